"""Diagonals, squareness and the footprint, against coordinates and hand-worked pads."""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.grid import Grid
from rodcall.figures.layout import Footprint, diagonal, part, squareness
from rodcall.lengths import FOOT, INCH, MM, M

sides = st.integers(3 * M, 100 * M)


def test_three_four_five() -> None:
    assert diagonal(40 * FOOT, 30 * FOOT) == 50 * FOOT


@given(sides, sides)
def test_diagonal_is_the_nearest_whole_nanometre(length: int, width: int) -> None:
    squares, found = length**2 + width**2, diagonal(length, width)
    # Whole numbers all through: (d - 1/2)^2 <= squares <= (d + 1/2)^2, times four.
    assert (2 * found - 1) ** 2 <= 4 * squares <= (2 * found + 1) ** 2


@given(length=sides, width=sides, share=st.floats(-0.05, 0.05))
def test_squareness_finds_the_shift_of_a_pad_laid_out_by_coordinates(length: int, width: int, share: float) -> None:
    shift = share * min(length, width)
    # Near edge from (0, 0) to (width, 0); the sides keep their length, so that the far edge comes nearer.
    away = sqrt(length**2 - shift**2)
    first, second = hypot(width + shift, away), hypot(width - shift, away)
    found = squareness(length, width, round(first), round(second))
    # Half a nanometre in each diagonal is (d1 + d2) / (4 width) of one in the shift; floats hold 1e-16 of 100 m.
    assert found.far_edge_shift_nm == pytest.approx(shift, abs=(first + second) / (4 * width) + 100)
    assert found.longer_by_nm == round(first) - round(second)


def test_equal_diagonals_are_square() -> None:
    taped = diagonal(60 * FOOT, 40 * FOOT)
    assert squareness(60 * FOOT, 40 * FOOT, taped, taped).far_edge_shift_nm == 0


@pytest.mark.parametrize(("first", "second"), [(45 * FOOT, 45 * FOOT), (50 * FOOT, 52 * FOOT), (50 * FOOT, 60 * FOOT)])
def test_diagonals_that_no_such_pad_has_are_refused(first: int, second: int) -> None:
    # 40 x 30 ft: their squares must sum to 2 (40^2 + 30^2) = 5000 ft2; 4050, 5204 and 6100 do not.
    with pytest.raises(ValueError, match="tape them"):
        squareness(40 * FOOT, 30 * FOOT, first, second)


PAD = Grid(length=50 * FOOT, width=40 * FOOT, along=6, across=5)
"""Lines every 10 ft, columns every 10 ft."""


def names(mask: np.ndarray) -> set[str]:
    return {PAD.name(int(index)) for index in np.flatnonzero(mask)}


def test_positions_on_the_footprints_edge_are_in_it() -> None:
    inside = Footprint(near=10 * FOOT, far=20 * FOOT, left=10 * FOOT, right=10 * FOOT).inside(PAD)
    assert names(inside) == {f"{column}{line}" for column in "BCD" for line in (2, 3, 4)}


def test_an_inch_more_of_margin_leaves_the_edge_to_the_apron() -> None:
    inside = Footprint(near=10 * FOOT + INCH, far=20 * FOOT, left=10 * FOOT, right=10 * FOOT + INCH).inside(PAD)
    assert names(inside) == {"B3", "C3", "B4", "C4"}


def test_margins_count_from_the_pads_edge_where_the_shots_are_inset() -> None:
    grid = Grid(length=12 * M, width=12 * M, along=3, across=3, inset=1 * M)
    # Shots at 1, 6 and 11 m from the edge.
    assert Footprint(1 * M, 1 * M, 1 * M, 1 * M).inside(grid).all()
    assert np.flatnonzero(Footprint(1 * M + MM, 1 * M, 1 * M, 1 * M).inside(grid)).tolist() == [3, 4, 5, 6, 7, 8]


def test_corners_are_the_nearest_positions() -> None:
    footprint = Footprint(near=6 * FOOT, far=14 * FOOT, left=4 * FOOT, right=11 * FOOT)
    # 6 ft is nearer to line 2 (10 ft), 36 ft to line 5 (40 ft); 4 ft nearer to A (0), 29 ft to D (30 ft).
    assert [PAD.name(index) for index in footprint.corners(PAD)] == ["A2", "D2", "A5", "D5"]


@pytest.mark.parametrize(("far", "fits"), [(39 * FOOT, True), (40 * FOOT, False), (60 * FOOT, False)])
def test_a_footprint_needs_room(far: int, fits: bool) -> None:
    assert Footprint(near=10 * FOOT, far=far, left=0, right=0).fits(PAD) is fits


def test_part_counts_what_counts_and_names_what_is_out() -> None:
    mask, counts, outside = (np.array(list(map(bool, row))) for row in ([1, 1, 1, 0], [1, 0, 1, 1], [0, 0, 1, 1]))
    found = part(mask, counts, outside)
    assert (found.positions, found.counted, found.outside) == ((0, 1, 2), 2, (2,))
