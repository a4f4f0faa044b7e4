"""The pad as GeoJSON (RFC 7946): its edge as a polygon, shots and references as points.

The standard knows WGS 84 only, longitude first (section 4), and rings of polygons closed and by the right-hand rule
(3.1.6). A third coordinate would be a height above the ellipsoid, which no level tells: heights are properties.
"""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from rodcall.book.model.outline import Ring
from rodcall.figures.ground.averages import Floats
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.sheets.content.record import Record
from rodcall.sheets.exports.data_table import iso_time
from rodcall.sheets.exports.named_points import NamedPoint, references, shots

DECIMALS = 9
"""Of degrees: a tenth of a millimetre."""
MM = 1_000_000
"""Nanometres in a millimetre."""


class NowhereError(ValueError):
    """Nobody said where on the earth the pad lies; one line with what to set."""


def to_geojson(summary: Summary, record: Record) -> str:
    """One FeatureCollection; keys and words are the same in every language.

    Raises:
        NowhereError: when the terms do not say where A1 lies, or which way the far end looks.
    """
    if summary.datum.latitude_longitude is None:
        raise NowhereError(
            say("GeoJSON has longitude and latitude in WGS 84 only (RFC 7946); set a1-wgs84 46.2087310,-116.8800000")
        )
    if not summary.datum.knows_bearing:
        raise NowhereError(say("GeoJSON needs the way the far end faces, from true north; set bearing 37.5"))
    found = [_pad(summary, record), *_shots(summary), *_references(summary)]
    return json.dumps({"type": "FeatureCollection", "features": found}, allow_nan=False) + "\n"


def edges(summary: Summary) -> tuple[Ring, ...]:
    """The pad's edge, then each hole in it: corners along and across from A1, metres, in order around."""
    if summary.outline is not None:
        return summary.outline.rings
    grid = summary.grid
    near, left = -grid.inset * 1e-9, -grid.inset * 1e-9
    far, right = near + grid.length * 1e-9, left + grid.width * 1e-9
    return (((near, left), (near, right), (far, right), (far, left)),)


def _pad(summary: Summary, record: Record) -> dict[str, Any]:
    rings = []
    for number, ring in enumerate(edges(summary)):
        along, across = np.array(ring).T
        placed = _degrees(summary, along, across)
        # Counter-clockwise around the pad, clockwise around a hole; turning it to the north keeps the way around.
        turns_left = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in _sides(np.stack((across, along), 1).tolist())) > 0
        if turns_left != (number == 0):
            placed = placed[::-1]
        rings.append([*placed, placed[0]])
    tolerance, target = summary.tolerance, summary.target
    told = {
        "what": "pad",
        "job": summary.job.name,
        "place": summary.job.place,
        "round": summary.round,
        "kind": summary.kind,
        "area_m2": summary.area_m2,
        "design_at_zero_mm": target.offset_nm / MM if target is not None else None,
        "target_chosen": summary.chosen is not None,
        "limit_high_mm": tolerance.high_nm / MM,
        "limit_low_mm": tolerance.low_nm / MM,
        "outside": summary.names(summary.outside),
        "digest": record.digest,
    }
    return _feature({"type": "Polygon", "coordinates": rings}, told)


def _shots(summary: Summary) -> list[dict[str, Any]]:
    points = list(shots(summary))
    targets, uncertainty, seconds = summary.target_heights, summary.uncertainty.nm, summary.evidence.seconds
    found, limits = [], summary.limits
    for point, place in zip(points, _placed(summary, points), strict=True):
        deviation = summary.deviation_at(point.index)
        told = {
            "what": "shot",
            **_heights(summary, point),
            "design_mm": int(targets[point.index]) / MM if targets is not None else None,
            "deviation_mm": deviation / MM if deviation is not None else None,
            "limit_high_mm": int(limits.high_nm[point.index]) / MM,
            "limit_low_mm": int(limits.low_nm[point.index]) / MM,
            "uncertainty_mm": round(float(uncertainty[point.index])) / MM,
            "time": iso_time(float(seconds[point.index])) or None,
        }
        found.append(_feature({"type": "Point", "coordinates": place}, told))
    return found


def _references(summary: Summary) -> list[dict[str, Any]]:
    points = list(references(summary))
    return [
        _feature({"type": "Point", "coordinates": place}, {"what": "reference", **_heights(summary, point)})
        for point, place in zip(points, _placed(summary, points), strict=True)
    ]


def _heights(summary: Summary, point: NamedPoint) -> dict[str, Any]:
    zero = summary.datum.zero_nm
    return {
        "name": point.name,
        "description": point.description,
        "height_mm": point.height_nm / MM,
        "elevation_m": (point.height_nm + zero) * 1e-9 if zero is not None else None,
    }


def _placed(summary: Summary, points: list[NamedPoint]) -> list[list[float]]:
    rows, columns = np.divmod(np.array([point.index for point in points], np.int64), summary.grid.across)
    return _degrees(summary, summary.along_m[rows], summary.across_m[columns])


def _degrees(summary: Summary, along: Floats, across: Floats) -> list[list[float]]:
    """Longitude and latitude of each place."""
    placed = summary.datum.longitude_latitude(along, across)
    assert placed is not None
    found: list[list[float]] = np.stack(placed, axis=1).round(DECIMALS).tolist()
    return found


def _sides(ring: list[list[float]]) -> list[tuple[list[float], list[float]]]:
    return list(zip(ring, [*ring[1:], ring[0]], strict=True))


def _feature(geometry: dict[str, Any], told: dict[str, Any]) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": told}
