"""What was agreed of a pad, as keys of one JSON object: limits, size, spacing, edge, design, and the book's seals."""

from __future__ import annotations

from typing import Any

import numpy as np

from rodcall.figures.ground.averages import Ints
from rodcall.figures.summary import Summary
from rodcall.sheets.content.record import IssueRecord, Record
from rodcall.sheets.exports.geojson import edges

MM = 1_000_000
"""Nanometres in a millimetre."""


def agreed_of_the_pad(summary: Summary, record: Record | None) -> dict[str, Any]:
    """The keys that `figures_json.KEYS` explains under the same names.

    Args:
        summary: Of the round.
        record: Of the book it comes from; None where there is no file, and so no digest.
    """
    moved = summary.moved_since_first
    return {
        "place": summary.job.place,
        "customer": summary.job.customer,
        "limits": {
            "high_mm": summary.tolerance.high_nm / MM,
            "low_mm": summary.tolerance.low_nm / MM,
            "crew_mm": summary.job.goal / MM,
            "drift_mm": summary.evidence.allowed_drift_nm / MM,
        },
        "zone": _zone(summary),
        "pad": _pad(summary),
        "design_mm": _design(summary),
        "moved_m3": {"cut": moved.cut, "fill": moved.fill} if moved is not None else None,
        "issued": [_issued(each) for each in record.issues] if record is not None else [],
        "digest": record.digest if record is not None else None,
        "seals": _seals(summary),
    }


def _zone(summary: Summary) -> dict[str, Any] | None:
    """The part of the pad with a tolerance of its own; None where there is none."""
    zone, part, found = summary.zone, summary.zone_part, summary.as_built.zone
    if zone is None or part is None or found is None:
        return None
    return {
        "where": zone.said,
        "high_mm": zone.tolerance.high_nm / MM,
        "low_mm": zone.tolerance.low_nm / MM,
        "positions": len(part.positions),
        "counted": part.counted,
        "outside": summary.names(part.outside),
        "verdict": str(found.verdict),
    }


def _pad(summary: Summary) -> dict[str, Any]:
    grid = summary.grid
    return {
        "length_mm": grid.length / MM,
        "width_mm": grid.width / MM,
        "along": grid.along,
        "across": grid.across,
        "inset_mm": grid.inset / MM,
        "spacing_along_mm": _apart(grid.along_nm),
        "spacing_across_mm": _apart(grid.across_nm),
        "outline_mm": [
            [[round(along * 1e3, 6), round(across * 1e3, 6)] for along, across in ring] for ring in edges(summary)
        ],
        "zero": grid.name(summary.zero),
    }


def _apart(places: Ints) -> list[float]:
    return [nm / MM for nm in np.diff(places).tolist()]


def _design(summary: Summary) -> dict[str, float]:
    targets = summary.target_heights
    if targets is None:
        return {}
    pad = np.flatnonzero(summary.pad)
    return {summary.grid.name(index): nm / MM for index, nm in zip(pad.tolist(), targets[pad].tolist(), strict=True)}


def _issued(issue: IssueRecord) -> dict[str, Any]:
    return {
        "report": issue.report,
        "revision": issue.revision,
        "time": issue.time.isoformat(),
        "verdict": issue.verdict or None,
        "digest": issue.digest,
        "n": issue.number,
    }


def _seals(summary: Summary) -> dict[str, Any]:
    """Damage goes before an edit: what is lost makes later seals fit no more."""
    edited, damaged = summary.evidence.edited, summary.evidence.damaged
    state = "damaged" if damaged else "edited" if edited else "whole"
    return {"state": state, "edited": list(edited), "damaged": list(damaged)}
