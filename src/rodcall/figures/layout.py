"""Laying the pad out: diagonals, how far out of square it is, and the footprint inside it. Whole nanometres."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rodcall.book.grid import Grid
from rodcall.figures.ground import Mask
from rodcall.language import say


def diagonal(length_nm: int, width_nm: int) -> int:
    """Diagonal of a rectangle, nearest whole nanometre: the two are equal when it is square."""
    return math.isqrt(4 * (length_nm**2 + width_nm**2)) + 1 >> 1


@dataclass(frozen=True)
class Squareness:
    """What two taped diagonals say of a pad whose sides are right."""

    far_edge_shift_nm: int
    """How far the far edge stands to the right (+) or left (-) of where it should."""
    longer_by_nm: int
    """First diagonal minus second."""


def squareness(length_nm: int, width_nm: int, near_left_to_far_right: int, near_right_to_far_left: int) -> Squareness:
    """How far out of square a pad is.

    With sides as they should be the pad is a parallelogram, and d1^2 - d2^2 = 4 x width x shift (law of cosines).

    Args:
        length_nm: Of the pad, away from the near edge.
        width_nm: Of the pad.
        near_left_to_far_right: Diagonal as taped.
        near_right_to_far_left: The other one.

    Raises:
        ValueError: when no pad with these sides has such diagonals.
    """
    first, second = near_left_to_far_right, near_right_to_far_left
    shift = (first**2 - second**2) / (4 * width_nm)
    expected = 2 * (length_nm**2 + width_nm**2)
    # The two diagonals of a parallelogram fix its sides: the sum of their squares is twice that of the sides.
    if abs(first**2 + second**2 - expected) > expected // 100:
        raise ValueError(say("diagonals that no pad with these sides has: tape them, and the sides, again"))
    return Squareness(round(shift), first - second)


@dataclass(frozen=True)
class Footprint:
    """What stands on the pad, by its margins to the pad's edges, nanometres."""

    near: int
    far: int
    left: int
    right: int

    def inside(self, grid: Grid) -> Mask:
        """Which positions lie in it or on its edge, flat; the others are the apron."""
        along, across = grid.along_nm + grid.inset, grid.across_nm + grid.inset
        rows = (along >= self.near) & (along <= grid.length - self.far)
        columns = (across >= self.left) & (across <= grid.width - self.right)
        return np.logical_and.outer(rows, columns).ravel()

    def fits(self, grid: Grid) -> bool:
        """True when something of the pad is left for it."""
        return self.near + self.far < grid.length and self.left + self.right < grid.width

    def corners(self, grid: Grid) -> tuple[int, ...]:
        """The positions nearest to its corners, where stakes and strings stand."""
        rows = [_nearest(grid.along_nm + grid.inset, at) for at in (self.near, grid.length - self.far)]
        columns = [_nearest(grid.across_nm + grid.inset, at) for at in (self.left, grid.width - self.right)]
        return tuple(sorted({row * grid.across + column for row in rows for column in columns}))


@dataclass(frozen=True)
class Part:
    """The positions of one part of the pad, footprint or apron, by index."""

    positions: tuple[int, ...]
    counted: int
    outside: tuple[int, ...]
    """Those that count and are out of tolerance."""


def part(mask: Mask, counts: Mask, outside: Mask) -> Part:
    """What of a part counts and what is out; all masks flat."""
    positions, out = (tuple(np.flatnonzero(chosen).tolist()) for chosen in (mask, mask & outside))
    return Part(positions, int(np.count_nonzero(mask & counts)), out)


def _nearest(at: np.ndarray, wanted: int) -> int:
    return int(np.abs(at - wanted).argmin())
