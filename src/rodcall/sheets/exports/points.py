"""The shots as points with coordinates, as survey offices take them in: point, north, east, height, description.

Coordinates are of the pad's own plane and begin at A1. Without the term `north`, north is away from the near edge and
east is to the right; with it they are turned so that north is north. Heights are told from the zero.
"""

from __future__ import annotations

import csv
import io
import math

import numpy as np

from rodcall.figures.ground.averages import Floats
from rodcall.figures.summary import Summary
from rodcall.sheets.exports.table import inert, state
from rodcall.units.quantities import FOOT_M
from rodcall.wording import words

BEARINGS = {name: 45.0 * number for number, name in enumerate(("n", "ne", "e", "se", "s", "sw", "w", "nw"))}
"""Degrees from north, clockwise, of the way the far end looks."""


def north_east(summary: Summary, along_m: Floats, across_m: Floats) -> tuple[Floats, Floats]:
    """Coordinates of places on the pad, metres from A1.

    The far end looks along a bearing b, so a metre away is (cos b, sin b) north and east, and one to the right is
    (-sin b, cos b).

    Args:
        summary: Says how the pad lies.
        along_m: Distances from A1 away from the near edge.
        across_m: Distances to the right.
    """
    bearing = math.radians(BEARINGS.get(str(summary.terms.said.get("north", "")), 0.0))
    cos, sin = round(math.cos(bearing), 15), round(math.sin(bearing), 15)
    return along_m * cos - across_m * sin, along_m * sin + across_m * cos


def to_points(summary: Summary) -> str:
    """Comma-separated values (RFC 4180) of the positions that count, in feet or metres, and in metres."""
    imperial = words.is_imperial(summary.job)
    unit, metres = ("ft", FOOT_M) if imperial else ("m", 1.0)
    along, across = np.meshgrid(summary.along_m, summary.across_m, indexing="ij")
    north, east = (each.ravel() for each in north_east(summary, along, across))
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    own = [f"north {unit}", f"east {unit}", f"height {unit}"]
    table.writerow(["point", *own, "description", *(["north m", "east m", "height m"] if imperial else [])])
    for index in np.flatnonzero(summary.counts):
        place = float(north[index]), float(east[index]), int(summary.heights[index]) * 1e-9
        described = inert(f"{summary.kind} round, {state(summary, int(index))}")
        told = [_decimal(value / metres) for value in place]
        table.writerow([summary.grid.name(int(index)), *told, described, *(map(_decimal, place) if imperial else ())])
    return out.getvalue()


def _decimal(value: float) -> str:
    """To a hundred-thousandth of a foot or metre: finer than any rod."""
    return f"{value + 0.0:.5f}".replace("-0.00000", "0.00000")
