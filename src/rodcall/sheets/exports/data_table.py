"""All positions as a table for programs (.csv): columns, units and words are the same in every language.

RFC 4180, with a header line, UTF-8 without a mark before it. Lengths are exact decimals; an empty cell is nothing.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from types import MappingProxyType

from rodcall.figures.checks.evidence import NO_SETUP
from rodcall.figures.summary import Summary
from rodcall.sheets.exports.named_points import places, six_decimals
from rodcall.sheets.exports.table import inert, plain_number, rows

NM_A_M = 1_000_000_000
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

COLUMNS: Mapping[str, str] = MappingProxyType(
    {
        "job": "the job's name",
        "round": "number of the round, from 1 (the existing ground)",
        "kind": "existing, working or final",
        "position": "name of the spot",
        "state": "shot, inside, HIGH, LOW, not shot, left out or not pad",
        "x_m": "distance to the right of A1",
        "y_m": "distance away from A1",
        "north_m": "in the drawing's system, as the terms a1, bearing and north have it",
        "east_m": "likewise",
        "height_mm": "above the zero",
        "elevation_m": "the same as an elevation, where the term datum is set",
        "design_mm": "the target there, above the zero",
        "target_chosen": "True where the target was chosen, False where it is only suggested",
        "deviation_mm": "height minus target: above 0 is cut",
        "limit_high_mm": "how far above the target is within tolerance",
        "limit_low_mm": "how far below",
        "uncertainty_mm": "plus/minus: two standard deviations",
        "too_close": "True where the spot is nearer to a limit than its plus/minus",
        "suspect": "True where a bad check made the shot suspect",
        "readings": "how many readings of the spot stand in this round",
        "setup": "number of the set-up it was read by, from 1; nothing where heights are called",
        "setup_reference": "what that set-up's backsight was on",
        "entry": "number of the shot's entry in the book",
        "time": "when it was written: ISO 8601, UTC",
    }
)
"""Each column with what it holds, as the manual lists them."""


def to_data_csv(summary: Summary) -> str:
    """The table of one round, a row for each position in the order of the grid."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(COLUMNS)
    evidence, datum = summary.evidence, summary.datum
    north, east = (each.tolist() for each in places(summary))
    setups = {each.order: (number, each.reference) for number, each in enumerate(evidence.setups, 1)}
    marginal, suspect = summary.marginal_mask.tolist(), summary.trust.suspect_mask.tolist()
    counts, times = summary.counts.tolist(), summary.times.tolist()
    setup, seconds, number = evidence.setup.tolist(), evidence.seconds.tolist(), evidence.number.tolist()
    same = inert(summary.job.name), summary.round, summary.kind
    highs, lows = summary.limits.high_nm.tolist(), summary.limits.low_nm.tolist()
    lines, columns = ([_metres(nm) for nm in each.tolist()] for each in (summary.grid.along_nm, summary.grid.across_nm))
    chosen = "" if summary.target is None else summary.chosen is not None
    for index, row in enumerate(rows(summary)):
        line, column = divmod(index, summary.grid.across)
        shot = counts[index]
        elevation = "" if row.height is None or datum.zero_nm is None else _metres(row.height + datum.zero_nm)
        by, reference = setups.get(setup[index], ("", "")) if shot and setup[index] != NO_SETUP else ("", "")
        table.writerow(
            [
                *(
                    *same,
                    row.name,
                    row.state,
                    columns[column],
                    lines[line],
                    six_decimals(north[index]),
                    six_decimals(east[index]),
                ),
                *(
                    _mm(row.height),
                    elevation,
                    _mm(row.target),
                    chosen,
                    _mm(row.difference),
                    _mm(highs[index]),
                    _mm(lows[index]),
                ),
                *(_mm(row.uncertainty), *((marginal[index], suspect[index]) if shot else ("", "")), times[index]),
                *((by, reference, number[index], iso_time(seconds[index])) if shot else ("", "", "", "")),
            ]
        )
    return out.getvalue()


def iso_time(seconds: float) -> str:
    """Seconds since 1970 as ISO 8601 in UTC; empty for a time that no calendar has."""
    try:
        told = EPOCH + timedelta(seconds=round(seconds))
    except (OverflowError, ValueError):
        return ""
    return f"{told.replace(tzinfo=None).isoformat()}Z"


def _mm(nm: int | None) -> str:
    return "" if nm is None else plain_number(nm)


def _metres(nm: int) -> str:
    """Metres as a plain decimal number, exact."""
    return plain_number(nm, NM_A_M, 9)
