"""The planes that a shaped target is made of: the slopes of each, and where it holds, as a machine takes them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rodcall.book.model.grid import Grid
from rodcall.figures.earthwork.design import Crown, Dish, Ramp
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.target import Plane, metres
from rodcall.frozen import Frozen
from rodcall.i18n import phrase

NEAR, FAR, LEFT, RIGHT = phrase("near side"), phrase("far side"), phrase("left side"), phrase("right side")
FOOT, SLOPE, HEAD = phrase("foot of the ramp"), phrase("ramp"), phrase("head of the ramp")
ON_CREASE_M = 1e-6
"""A spot this near to a crease lies on both its planes."""


class Facet(Frozen, eq=False):
    """One plane of a target."""

    name: str
    """Which, a phrase."""
    along: float
    """Rise in m per m going away, the target's own slopes included."""
    across: float
    """Likewise going right."""
    sheds: bool
    """It is there to shed water: level parts of a ramp are not."""
    spots: Mask
    """Positions of the pad on it, those on a crease with both planes beside it; (along, across)."""

    @property
    def slope(self) -> float:
        """Down its steepest way, m per m."""
        return float(np.hypot(self.along, self.across))


def facets(plane: Plane, grid: Grid, pad: Mask) -> tuple[Facet, ...]:
    """The planes of a target that has a shape; none of a plane, and none of heights that each stand for themselves.

    Args:
        plane: The target.
        grid: Of the pad.
        pad: Flat mask of the positions that are part of it.
    """
    along, across = np.meshgrid(metres(grid.along_nm), metres(grid.across_nm), indexing="ij")
    found = []
    for name, rises, on, sheds in _parts(plane, along, across):
        spots = on & pad.reshape(grid.shape)
        if spots.any():
            found.append(Facet(name, plane.along + rises[0], plane.across + rises[1], sheds, spots))
    return tuple(found)


def _parts(plane: Plane, along: Floats, across: Floats) -> Iterator[tuple[str, tuple[float, float], Mask, bool]]:
    """Name, rise along and across of the shape alone, where it holds, and whether it is there to shed water."""
    shape = plane.shape
    match shape:
        case Crown():
            ((first, second, third),) = shape.creases
            beyond = first * along + second * across - third
            names = (RIGHT, LEFT) if abs(second) >= abs(first) else (FAR, NEAR)
            # The first name is of the side that lies farther right, or farther away.
            positive = second > 0 if abs(second) >= abs(first) else first > 0
            for side, name in zip((1.0, -1.0), names if positive else names[::-1], strict=True):
                yield (
                    name,
                    (-shape.fall * side * first, -shape.fall * side * second),
                    side * beyond >= -ON_CREASE_M,
                    True,
                )
        case Ramp():
            (first, second, foot), (_, _, head) = shape.creases
            at = first * along + second * across
            slope = shape.rise / (head - foot)
            yield FOOT, (0.0, 0.0), at <= foot + ON_CREASE_M, False
            on = (at >= foot - ON_CREASE_M) & (at <= head + ON_CREASE_M)
            yield SLOPE, (slope * first, slope * second), on, True
            yield HEAD, (0.0, 0.0), at >= head - ON_CREASE_M, False
        case Dish():
            away, right = along - shape.drain[0], across - shape.drain[1]
            for name, of, other, rise in (
                (NEAR, -away, right, (-shape.fall, 0.0)),
                (FAR, away, right, (shape.fall, 0.0)),
                (LEFT, -right, away, (0.0, -shape.fall)),
                (RIGHT, right, away, (0.0, shape.fall)),
            ):
                yield name, rise, of >= np.abs(other) - ON_CREASE_M, True


class MachinePlane(Frozen):
    """What a machine takes for one plane: its slopes, and how high it is at a spot on it."""

    facet: Facet
    at: int
    """Index of the position."""
    height_nm: int
    """Of the target there, above the zero."""


def machine_planes(found: tuple[Facet, ...], heights: Ints, grid: Grid, zero: int) -> tuple[MachinePlane, ...]:
    """Each plane with its height at the spot on it that is nearest to the zero.

    Args:
        found: The planes.
        heights: Of the target at each position, nanometres, flat.
        grid: Of the pad.
        zero: Index of the zero.
    """
    row, column = divmod(zero, grid.across)
    away, aside = metres(grid.along_nm - grid.along_nm[row]), metres(grid.across_nm - grid.across_nm[column])
    off = np.hypot(away[:, None], aside)
    planes = []
    for facet in found:
        at = int(np.where(facet.spots, off, np.inf).argmin())
        planes.append(MachinePlane(facet, at, int(heights[at])))
    return tuple(planes)


def drain_of(plane: Plane, grid: Grid) -> Mask:
    """The positions that stand for the drain of a dish, where water leaves the pad: those nearest to it; flat."""
    if not isinstance(plane.shape, Dish):
        return np.zeros(grid.size, np.bool_)
    away = np.abs(metres(grid.along_nm) - plane.shape.drain[0])[:, None]
    off = np.maximum(away, np.abs(metres(grid.across_nm) - plane.shape.drain[1])).ravel()
    nearest: Mask = off <= off.min() + ON_CREASE_M
    return nearest
