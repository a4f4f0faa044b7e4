"""The figures of a page as one JSON object: keys are a promise, added to but never renamed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from rodcall.figures.summary import Spot, Summary

MM = 1_000_000


def figures(summary: Summary) -> dict[str, Any]:
    """All figures: lengths in mm, areas m2, volumes m3, slopes m per m; None where there is nothing to say."""
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
        "area_m2": summary.area_m2,
        "footprint": _part(summary, 0),
        "apron": _part(summary, 1),
        "verdict": str(summary.finding.verdict),
        "reasons": list(summary.finding.reasons),
    }


def _mm(nm: int | float | Fraction | None) -> float | None:
    """Nanometres as the nearest float of millimetres."""
    return None if nm is None else float(nm / MM) if isinstance(nm, Fraction) else nm / MM


def _part(summary: Summary, which: int) -> dict[str, Any] | None:
    """The positions in the footprint (0) or on the apron around it (1)."""
    if summary.parts is None:
        return None
    part = summary.parts[which]
    return {"positions": len(part.positions), "counted": part.counted, "outside": summary.names(part.outside)}


def _spot(summary: Summary, spot: Spot | None) -> dict[str, Any] | None:
    return None if spot is None else {"at": summary.grid.name(spot.index), "mm": _mm(spot.nm)}


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
