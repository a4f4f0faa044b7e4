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
from rodcall.sheets.exports.table import inert, state
from rodcall.units.quantities import FOOT_M
from rodcall.wording import words


def to_points(summary: Summary) -> str:
    """Comma-separated values (RFC 4180) of the positions that count, in feet or metres, and in metres."""
    imperial = words.is_imperial(summary.job)
    unit, metres = ("ft", FOOT_M) if imperial else ("m", 1.0)
    along, across = np.meshgrid(summary.along_m, summary.across_m, indexing="ij")
    north, east = (each.ravel() for each in summary.datum.coordinates(along, across))
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


def _decimal(value: float) -> str:
    """To a hundred-thousandth of a foot or metre: finer than any rod."""
    return f"{value + 0.0:.5f}".replace("-0.00000", "0.00000")
