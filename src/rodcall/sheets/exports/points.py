"""The shots as points with coordinates, as survey offices take them in: point, north, east, height, description.

Coordinates are of the pad's own plane and begin at A1, and heights are above the zero, unless the terms say how the pad
lies in the drawing's system: `a1` and `bearing` (or `north`) for coordinates, `datum` for elevations. Without a bearing
north is away from the near edge and east to the right.
"""

from __future__ import annotations

import csv
import io

import numpy as np

from rodcall.figures.summary import Summary
from rodcall.sheets.exports.named_points import elevation_nm, places, references, shots
from rodcall.sheets.exports.table import inert, state
from rodcall.units.quantities import FOOT_M
from rodcall.wording import words


def to_points(summary: Summary) -> str:
    """Comma-separated values (RFC 4180) of the positions that count, in feet or metres, and in metres."""
    imperial = words.is_imperial(summary.job)
    unit, metres = ("ft", FOOT_M) if imperial else ("m", 1.0)
    north, east = places(summary)
    zero, height = summary.datum.zero_nm or 0, "height" if summary.datum.zero_nm is None else "elevation"
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    own = [f"north {unit}", f"east {unit}", f"{height} {unit}"]
    table.writerow(["point", *own, "description", *(["north m", "east m", f"{height} m"] if imperial else [])])
    for index in np.flatnonzero(summary.counts):
        place = float(north[index]), float(east[index]), (int(summary.heights[index]) + zero) * 1e-9
        described = inert(f"{summary.kind} round, {state(summary, int(index))}")
        told = [_decimal(value / metres) for value in place]
        table.writerow([summary.grid.name(int(index)), *told, described, *(map(_decimal, place) if imperial else ())])
    return out.getvalue()


METRES = {"m": 1.0, "ft": FOOT_M}
"""Units of the plain file; the foot is the international one (24 FR 5348)."""


def to_plain_points(summary: Summary, unit: str = "", *, header: bool = False) -> str:
    """Five columns, comma-separated (RFC 4180): point, north, east, height, description.

    Every shot that counts, then the zero and the references that lie on the pad; heights are elevations where the datum
    is known.

    Args:
        summary: Of the round.
        unit: A key of `METRES`; the job's own where it is empty.
        header: Whether a first line names the columns with their unit.
    """
    unit = unit or ("ft" if words.is_imperial(summary.job) else "m")
    metres, out = METRES[unit], io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    if header:
        height = "height" if summary.datum.zero_nm is None else "elevation"
        table.writerow(["point", f"north_{unit}", f"east_{unit}", f"{height}_{unit}", "description"])
    for point in (*shots(summary), *references(summary)):
        place = point.north_m, point.east_m, elevation_nm(summary, point.height_nm) * 1e-9
        table.writerow([point.name, *(_decimal(value / metres) for value in place), inert(point.description)])
    return out.getvalue()


def _decimal(value: float) -> str:
    """To a hundred-thousandth of a foot or metre: finer than any rod."""
    return f"{value + 0.0:.5f}".replace("-0.00000", "0.00000")
