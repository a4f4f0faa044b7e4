"""The figures of a page as one JSON object: keys are a promise, added to but never renamed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from fractions import Fraction
from types import MappingProxyType
from typing import Any

from rodcall.figures.checks.agreed import Agreed
from rodcall.figures.checks.evidence import length_agreed
from rodcall.figures.ground.drainage import Basin
from rodcall.figures.machine_time import machine_time
from rodcall.figures.next_up import next_up
from rodcall.figures.outliers.outlier import Bust
from rodcall.figures.punch_list import Item
from rodcall.figures.shots import indices
from rodcall.figures.summary import Spot, Summary
from rodcall.i18n import speaking
from rodcall.sheets.content.record import Record
from rodcall.sheets.exports.pad_json import agreed_of_the_pad
from rodcall.wording.punch_list import clears, item_words

MM = 1_000_000

KEYS: Mapping[str, str] = MappingProxyType(
    {
        "job": "the job's name",
        "round": "number of the round, from 1 (the existing ground)",
        "kind": "existing, working or final",
        "positions": "spots of the whole grid",
        "shot": "spots shot in this round",
        "counted": "spots whose height counts",
        "left_out": "spots left out in this round",
        "not_pad": "spots that are no part of the pad",
        "missing": "spots not shot yet",
        "heights_mm": "height of each spot above the zero",
        "average_mm": "mean of the heights",
        "area_average_mm": "mean of the surface through the shots",
        "highest": "`at` and `mm`",
        "lowest": "`at` and `mm`",
        "spread_mm": "sample standard deviation of the heights",
        "tilt": "least-squares plane: `along` and `across` in m per m away from A1, `rms_mm`, `at_zero_mm`",
        "suggested_target_mm": "the suggested target at the zero",
        "target": "`offset_mm` at the zero, slopes `along` and `across`, `chosen` or only suggested",
        "rod_on_grade_mm": "rod reading at the zero when it is on target",
        "deviations_mm": "height minus target at each spot: above 0 is cut",
        "outside": "spots out of tolerance",
        "worst": "`at` and `mm` of the largest deviation",
        "within_tolerance": "how many spots are within tolerance",
        "within_goal": "how many spots are within the crew tolerance",
        "balance_mm": "target at which cut and fill balance",
        "cut_m3": "cut, in the ground",
        "fill_m3": "fill, compacted",
        "spare_m3": "left over above 0, short below 0",
        "stone_m3": "stone to order, compacted",
        "covered": "share of the pad with real shots",
        "touched": "later rounds: how many spots of the round before are shot again",
        "of_before": "later rounds: how many those are",
        "area_m2": "area of the pad",
        "datum": "the drawing's system where it is known: `reference`, elevations, coordinates of A1, `bearing`",
        "place": "where the pad is, as it was said",
        "customer": "the customer's name",
        "limits": "tolerance `high_mm` and `low_mm`, crew tolerance `crew_mm`, allowed drift of a check `drift_mm`",
        "zone": "part of the pad with a tolerance of its own: `where`, limits, how many are in it and out, `verdict`",
        "pad": "size, counts, `inset_mm`, distances from line to line and column to column, `zero`; `outline_mm` is "
        "the pad's edge, then its holes, corners out and right from A1",
        "design_mm": "height of the target at each position of the pad",
        "moved_m3": "earth dug (`cut`) and filled (`fill`) from the existing ground to this round; null in the first",
        "machine_time": "shots, dirt and hours as the times in the book say, and what is left at that pace",
        "issued": "certificates issued on this book: `report`, `revision`, `time`, `verdict`, `digest`, entry `n`",
        "digest": "seal of the book's last entry, as printed on the sheet",
        "seals": "`state` of the book's seals: whole, edited or damaged; places of the entries `edited` and `damaged`",
        "footprint": "figures inside the footprint",
        "apron": "figures on the apron around it",
        "busts": "readings that do not fit: `at`, `mm`, `expected_mm`, `explanation`",
        "doubt_mm": "plus/minus of each shot: two standard deviations",
        "marginal": "spots too close to a limit to call",
        "checks": "check shots: `n`, `reference`, `drift_mm`, `state`",
        "suspect": "spots that a bad check made suspect",
        "verdict": "PASS, FAIL or NOT PROVEN",
        "reasons": "why it is not PASS, in words",
        "punch_list": "what is open: `item`, `at`, `opened_by`, `clears`",
        "next": "what to do next: `do`, `at`",
        "agreed": "targets, zeros, limits as they were set: `what`, `said`, `n`, `tablet`, `why`",
        "readings": "spots read more than once: all readings in mm in the order read, struck ones too",
        "goal_verdict": "the verdict by the crew tolerance",
        "footprint_verdict": "the verdict inside the footprint",
        "guarded": "the limits read with the plus/minus allowed for",
        "slopes": "slopes asked for and reached",
        "drains": "which way the water runs, or that it does not",
        "least_slope": "the least slope anywhere, in m per m",
        "ponds": "where water stands",
        "design_ponds": "where a shaped target itself would hold water; likewise",
        "planes": "planes of a shaped target, for the machine: slopes `along` and `across`, height at one of its spots",
        "rounds": "each round so far: number, kind, and how many spots",
        "overdug": "spots that a later round left lower than the target",
        "moved_mm": "change of each spot since the round before",
        "levels": "level notes and their closures",
        "laser_checks": "tests of the laser",
        "machine_checks": "tests of the machine's display",
    }
)
"""What each key means, as the manual lists them."""


def figures(summary: Summary, record: Record | None = None) -> dict[str, Any]:
    """All figures: lengths in mm, areas m2, volumes m3, slopes m per m; None where there is nothing to say.

    Args:
        summary: Of the round.
        record: Of the book, which has the digest; None where there is no file.
    """
    shots = [int(index) for index in summary.counts.nonzero()[0]]
    name = summary.grid.name
    deviations, dirt = summary.deviations, summary.dirt
    return {
        "job": summary.job.name,
        "round": summary.round,
        "kind": summary.kind,
        "positions": summary.grid.size,
        "shot": summary.counted,
        "counted": summary.counted,
        "left_out": summary.names(summary.left_out),
        "not_pad": summary.names(summary.not_pad),
        "missing": summary.names(summary.missing),
        "heights_mm": {name(index): _mm(int(summary.heights[index])) for index in shots},
        "average_mm": _mm(summary.average),
        "area_average_mm": _mm(summary.area_average),
        "highest": _spot(summary, summary.highest),
        "lowest": _spot(summary, summary.lowest),
        "spread_mm": _mm(summary.spread),
        "tilt": _tilt(summary),
        "suggested_target_mm": _mm(summary.suggested),
        "target": _target(summary),
        "rod_on_grade_mm": _mm(summary.rod),
        "deviations_mm": {name(index): _mm(int(deviations[index])) for index in shots}
        if deviations is not None
        else {},
        "outside": summary.names(summary.outside),
        "worst": _spot(summary, summary.worst),
        "within_tolerance": summary.within_tolerance,
        "within_goal": summary.within_goal,
        "balance_mm": dirt.balance * 1e3 if dirt is not None else None,
        "cut_m3": dirt.earth.cut if dirt is not None else None,
        "fill_m3": dirt.earth.fill if dirt is not None else None,
        "spare_m3": dirt.spare if dirt is not None else None,
        "stone_m3": dirt.stone.in_place_m3 if dirt is not None and dirt.stone is not None else None,
        "covered": summary.covered,
        "touched": summary.evidence.touched if summary.evidence.earlier else None,
        "of_before": summary.evidence.of_before if summary.evidence.earlier else None,
        "area_m2": summary.area_m2,
        "datum": _datum(summary),
        **agreed_of_the_pad(summary, record),
        "machine_time": _machine_time(summary),
        "footprint": _part(summary, 0),
        "apron": _part(summary, 1),
        "busts": [_bust(summary, bust) for bust in summary.busts] if summary.busts is not None else None,
        **_proof(summary, shots),
    }


@speaking("en")
def _reasons(summary: Summary) -> list[str]:
    """The same in every language, since programs read them."""
    return [item_words(summary, item) for item in summary.punch_list.items]


@speaking("en")
def _item(summary: Summary, item: Item) -> dict[str, Any]:
    return {
        "item": str(item.kind),
        "at": [*summary.names(item.spots), *item.names],
        "opened_by": item.opened_by,
        "clears": clears(summary, item),
    }


def _next(summary: Summary) -> dict[str, Any]:
    first = next_up(summary, summary.punch_list)[0]
    at = summary.grid.name(first.spot) if first.spot is not None else first.reference
    return {"do": str(first.do), "at": at}


def _agreed(summary: Summary, each: Agreed) -> dict[str, Any]:
    length = length_agreed(summary.evidence, each)
    return {
        "what": each.what,
        "said": each.said,
        "n": each.number,
        "tablet": each.tablet,
        "why": each.why,
        "time": each.time,
        "value_mm": _mm(length),
    }


def _mm(nm: int | float | Fraction | None) -> float | None:
    """Nanometres as the nearest float of millimetres."""
    return None if nm is None else float(nm / MM) if isinstance(nm, Fraction) else nm / MM


def _proof(summary: Summary, shots: list[int]) -> dict[str, Any]:
    """Plus/minus, checks, rounds and the verdict."""
    name, trust, built, change = summary.grid.name, summary.trust, summary.as_built, summary.change
    return {
        "doubt_mm": {name(index): _mm(float(summary.uncertainty.nm[index])) for index in shots},
        "marginal": summary.names(summary.marginal),
        "checks": [
            {
                "n": check.number,
                "reference": check.reference,
                "drift_mm": _mm(check.drift_nm),
                "state": str(trust.state(check)),
            }
            for check in trust.checks
        ],
        "suspect": summary.names(trust.suspect),
        "verdict": str(built.pad.verdict),
        "reasons": _reasons(summary),
        "punch_list": [_item(summary, item) for item in summary.punch_list.items],
        "next": _next(summary),
        "agreed": [_agreed(summary, each) for each in summary.evidence.agreed],
        "readings": {
            name(index): [_mm(each.datum_nm - summary.evidence.zero_level_nm) for each in readings]
            for index, readings in sorted(summary.evidence.read_more.items())
        },
        "goal_verdict": str(built.pad_goal.verdict),
        "footprint_verdict": str(built.footprint.verdict) if built.footprint is not None else None,
        "guarded": _guarded(summary),
        "slopes": [
            {
                "side": slope.side,
                "part": slope.part or None,
                "asked": slope.asked,
                "reached": slope.reached,
                "short": slope.short,
            }
            for slope in built.slopes
        ],
        "drains": built.drains,
        "least_slope": summary.least_slope,
        "design_ponds": [_pond(summary, basin) for basin in summary.design_basins],
        "planes": [
            {
                "plane": plane.facet.name,
                "along": plane.facet.along,
                "across": plane.facet.across,
                "at": name(plane.at),
                "height_mm": _mm(plane.height_nm),
            }
            for plane in summary.machine_planes
        ],
        "ponds": [_pond(summary, basin) for basin in built.basins],
        "rounds": [asdict(tally) for tally in summary.tallies()],
        "overdug": summary.names(indices(change.overdug)) if change is not None else [],
        "moved_mm": {name(index): _mm(int(change.by_nm[index])) for index in indices(change.both)}
        if change is not None
        else {},
        "levels": [
            {
                "stations": [station.name for station in run.stations],
                "change_mm": _mm(run.change_nm),
                "page_check": run.page_check,
                "closes_on": run.closure.reference if run.closure is not None else None,
                "misclosure_mm": _mm(run.closure.misclosure_nm) if run.closure is not None else None,
                "allowed_mm": _mm(summary.closure_allowed(run.setups)),
            }
            for run in summary.level_runs
        ],
        "laser_checks": [
            {"n": each.number, "test": str(each.test), "slope": each.slope, "good": each.good}
            for each in summary.laser_results
        ],
        "machine_checks": [
            {"n": check.number, "at": check.at, "off_mm": _mm(off)} for check, off in summary.evidence.machine_checks
        ],
    }


def _pond(summary: Summary, basin: Basin) -> dict[str, Any]:
    return {
        "at": summary.names(basin.spots),
        "depth_mm": basin.depth_m * 1e3,
        "deepest": summary.grid.name(basin.deepest),
        "runs_off_over": summary.grid.name(basin.spills_at),
    }


def _guarded(summary: Summary) -> dict[str, list[str]] | None:
    """The limits read allowing for uncertainty."""
    if summary.guarded is None:
        return None
    return {key: summary.names(indices(mask)) for key, mask in vars(summary.guarded).items()}


def _machine_time(summary: Summary) -> dict[str, Any]:
    """What the times in the book say, hours and m3; the forecast None where nothing was measured or is left."""
    measured = machine_time(summary)
    return {
        "shooting": [
            {"round": each.round, "shots": each.shots, "hours": each.hours, "shots_an_hour": each.an_hour}
            for each in measured.shooting
        ],
        "passes": [
            {
                "after_round": each.after,
                "hours": each.hours,
                "cut_m3": each.moved_m3,
                "m3_an_hour": each.an_hour if each.counts else None,
            }
            for each in measured.passes
        ],
        "forecast": asdict(measured.forecast) if measured.forecast is not None else None,
    }


def _datum(summary: Summary) -> dict[str, Any] | None:
    """How the pad lies in the drawing's system; None where nobody said."""
    datum = summary.datum
    if not (datum.reference or datum.has_coordinates):
        return None
    north, east = datum.a1
    return {
        "reference": datum.reference or None,
        "elevation_mm": _mm(datum.elevation_nm) if datum.reference else None,
        "zero_elevation_mm": _mm(datum.zero_nm),
        "a1_north_m": north if datum.has_coordinates else None,
        "a1_east_m": east if datum.has_coordinates else None,
        "bearing": datum.bearing if datum.knows_bearing else None,
    }


def _part(summary: Summary, which: int) -> dict[str, Any] | None:
    """The positions in the footprint (0) or on the apron around it (1)."""
    if summary.parts is None:
        return None
    part = summary.parts[which]
    return {"positions": len(part.positions), "counted": part.counted, "outside": summary.names(part.outside)}


def _spot(summary: Summary, spot: Spot | None) -> dict[str, Any] | None:
    return None if spot is None else {"at": summary.grid.name(spot.index), "mm": _mm(spot.nm)}


def _bust(summary: Summary, bust: Bust) -> dict[str, Any]:
    return {
        "at": summary.grid.name(bust.index),
        "mm": _mm(bust.height_nm),
        "expected_mm": _mm(bust.expected_nm),
        "explanation": str(bust.explanations[0].mistake) if bust.explanations else None,
    }


def _tilt(summary: Summary) -> dict[str, Any] | None:
    tilt = summary.tilt
    if tilt is None or summary.tilt_at_zero is None:
        return None
    return {
        "along": tilt.along,
        "across": tilt.across,
        "rms_mm": tilt.rms * 1e3,
        "at_zero_mm": summary.tilt_at_zero * 1e3,
    }


def _target(summary: Summary) -> dict[str, Any] | None:
    target = summary.target
    if target is None:
        return None
    return {
        "offset_mm": _mm(target.offset_nm),
        "along": target.along,
        "across": target.across,
        "chosen": summary.chosen is not None,
    }
