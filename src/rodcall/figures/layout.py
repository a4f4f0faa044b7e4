"""Laying the pad out: diagonals, how far out of square it is, and the footprint inside it. Whole nanometres."""

from __future__ import annotations

import math

import numpy as np

from rodcall.book.model.grid import Grid
from rodcall.book.model.outline import Outline
from rodcall.book.model.shapes import place_of
from rodcall.book.model.terms import FOOTPRINT, INSET, Terms
from rodcall.figures.ground.averages import Mask
from rodcall.figures.target import Tolerance, metres
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.units import parse_length


def diagonal(length_nm: int, width_nm: int) -> int:
    """Diagonal of a rectangle, nearest whole nanometre: the two are equal when it is square."""
    return math.isqrt(4 * (length_nm**2 + width_nm**2)) + 1 >> 1


class Squareness(Frozen):
    """What two sides and two taped diagonals say of a pad, and how far they are from being those of any pad."""

    far_edge_shift_nm: int
    """How far the far edge stands to the right (+) or left (-) of where it should, once all four fit."""
    longer_by_nm: int
    """First diagonal minus second, as taped."""
    too_long_nm: int
    """How much longer (+) or shorter (-) both diagonals are than the sides let them be, in the mean of squares."""
    length_nm: int
    """Least correction of the length, so that all four fit; taped + correction = fitting."""
    width_nm: int
    """That of the width."""
    first_nm: int
    """That of the first diagonal."""
    second_nm: int
    """That of the second."""

    def fits(self, step_nm: int) -> bool:
        """Is each correction lost when the tape is read to such a step?"""
        return 2 * max(map(abs, (self.length_nm, self.width_nm, self.first_nm, self.second_nm))) <= step_nm

    @property
    def is_skew(self) -> bool:
        """Do the diagonals differ by more than sides and diagonals disagree? Else a shift would be guesswork."""
        return abs(self.longer_by_nm) > abs(self.too_long_nm)


def squareness(length_nm: int, width_nm: int, near_left_to_far_right: int, near_right_to_far_left: int) -> Squareness:
    """How far out of square a pad is, and whether sides and diagonals can all be right.

    A pad whose opposite sides are equal is a parallelogram. The squares of its diagonals sum to twice the squares of
    its sides, and d1^2 - d2^2 = 4 x width x shift (both from the law of cosines). Four lengths were told where three
    make the shape, so one condition is left to check: with D^2 = d1^2 + d2^2 and S^2 = 2 (length^2 + width^2), D = S.

    Where it fails, the least corrections by which it holds are told (adjustment by least squares with a condition,
    all four lengths of equal weight; the method is Gauss's, in any text on adjustment, MEMORY). The condition is a
    quadratic form without mixed terms, so that Lagrange's equations solve exactly: each diagonal is multiplied by
    (2 D + S) / (3 D), each side by (2 D + S) / (3 S).

    Args:
        length_nm: Of the pad, away from the near edge.
        width_nm: Of the pad.
        near_left_to_far_right: Diagonal as taped.
        near_right_to_far_left: The other one.

    Raises:
        ValueError: when even so no pad has such diagonals.
    """
    first, second = near_left_to_far_right, near_right_to_far_left
    diagonals, sides = math.hypot(first, second), math.sqrt(2) * math.hypot(length_nm, width_nm)
    of_diagonals, of_sides = (sides - diagonals) / (3 * diagonals), 2 * (diagonals - sides) / (3 * sides)
    by_length, by_width = (round(side * of_sides) for side in (length_nm, width_nm))
    by_first, by_second = (round(taped * of_diagonals) for taped in (first, second))
    # From the corrections as they are told, so that all that is told agrees.
    shift = ((first + by_first) ** 2 - (second + by_second) ** 2) / (4 * (width_nm + by_width))
    if abs(shift) >= length_nm + by_length:
        raise ValueError(say("no pad with these sides has such diagonals: tape sides and diagonals again"))
    return Squareness(
        far_edge_shift_nm=round(shift),
        longer_by_nm=first - second,
        too_long_nm=round((diagonals - sides) / math.sqrt(2)),
        length_nm=by_length,
        width_nm=by_width,
        first_nm=by_first,
        second_nm=by_second,
    )


class Footprint(Frozen):
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


class Zone(Frozen, eq=False):
    """A part of the pad with a tolerance of its own."""

    said: str
    """As the term `zone` has it."""
    inside: Mask
    """Its positions, flat."""
    tolerance: Tolerance
    rectangle: tuple[int, int, int, int] | None
    """Its near, far, left and right sides, nanometres from A1; None where it is no rectangle."""

    @property
    def beyond(self) -> frozenset[int]:
        """The positions outside of it."""
        return frozenset(np.flatnonzero(~self.inside).tolist())


def zone_of(terms: Terms, grid: Grid, pad: Mask, outline: Outline | None, usual: Tolerance) -> Zone | None:
    """The zone that the terms say; None where they say none, set no tolerance for it, or no spot of the pad is in it.

    Args:
        terms: In force.
        grid: Of the pad.
        pad: Flat mask of the positions that are part of it.
        outline: The pad's edge where it is no full rectangle.
        usual: The tolerance elsewhere, and in the zone for a side that was not set.
    """
    said = str(terms.said.get("zone", ""))
    if not said or not {"zone-high", "zone-low"} & set(terms.said):
        return None
    rectangle = _rectangle(said, terms, grid, outline)
    if rectangle is not None:
        near, far, left, right = rectangle
        rows, columns = (
            (at >= low) & (at <= high) for at, low, high in ((grid.along_nm, near, far), (grid.across_nm, left, right))
        )
        inside = pad & np.logical_and.outer(rows, columns).ravel()
    elif outline is not None and said.startswith(INSET):
        along, across = np.meshgrid(metres(grid.along_nm), metres(grid.across_nm), indexing="ij")
        # Positions are whole nanometres, an outline's edge is not.
        inside = pad & (outline.from_edge(along, across) >= _inset(said) * 1e-9 - 2e-9).ravel()
    else:
        return None
    high, low = terms.limit("zone-high", usual.high_nm), terms.limit("zone-low", usual.low_nm)
    return Zone(said, inside, Tolerance(high, low), rectangle) if inside.any() else None


def _rectangle(said: str, terms: Terms, grid: Grid, outline: Outline | None) -> tuple[int, int, int, int] | None:
    """The sides of a zone that is a rectangle; None for one in from an outline, and for a footprint that is not set."""
    near, left = -grid.inset, -grid.inset
    far, right = near + grid.length, left + grid.width
    if said == FOOTPRINT:
        margins = terms.footprint
        return None if margins is None else (near + margins[0], far - margins[1], left + margins[2], right - margins[3])
    if said.startswith(INSET):
        inset = _inset(said)
        return (near + inset, far - inset, left + inset, right - inset) if outline is None else None
    one, other = (place_of(grid, corner) for corner in said.split(":"))
    return min(one[0], other[0]), max(one[0], other[0]), min(one[1], other[1]), max(one[1], other[1])


def _inset(said: str) -> int:
    return parse_length(said.removeprefix(INSET).strip())


class Part(Frozen):
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
