"""Diagonals, squareness and the footprint, against coordinates and hand-worked pads."""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import minimize

from rodcall.book.model.grid import Grid
from rodcall.figures.layout import Footprint, Squareness, diagonal, part, squareness
from rodcall.units import FOOT, INCH, MM, M

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


def test_equal_diagonals_that_are_too_short_are_not_square() -> None:
    """40 x 30 ft, taped 45 ft twice, by hand.

    D = 45 sqrt 2 and S = 50 sqrt 2, so D / S = 9 / 10. Each diagonal times (2 D + S) / (3 D) = 28 / 27 is 46 ft 8 in,
    1 ft 8 in more; the sides times 28 / 30 are 37 ft 4 in and 28 ft, 2 ft 8 in and 2 ft less. And
    37 1/3 ^2 + 28^2 = 46 2/3 ^2 = 2177 7/9.
    """
    found = squareness(40 * FOOT, 30 * FOOT, 45 * FOOT, 45 * FOOT)
    assert (found.far_edge_shift_nm, found.longer_by_nm, found.too_long_nm) == (0, 0, -5 * FOOT)
    assert (found.length_nm, found.width_nm) == (-32 * INCH, -24 * INCH)
    assert (found.first_nm, found.second_nm) == (20 * INCH, 20 * INCH)
    assert not found.fits(INCH // 2)
    assert not found.is_skew


def test_diagonals_that_differ_by_more_than_they_fail_to_fit_are_skew() -> None:
    """40 x 30 ft, 50 and 52 ft: 52 - 50 = 2 ft, and sqrt((2500 + 2704) / 2) - 50 = 1.0098 ft too long."""
    found = squareness(40 * FOOT, 30 * FOOT, 50 * FOOT, 52 * FOOT)
    assert found.too_long_nm / FOOT == pytest.approx(1.00980, abs=1e-5)
    assert found.is_skew
    assert found.far_edge_shift_nm < 0


def test_no_pad_has_sides_and_diagonals_that_do_not_close_even_corrected() -> None:
    """3 x 10 ft with 11.7 and 5.85 ft, by hand: D / S = 0.886, the sides times 0.924 are 2.772 ft long.

    The far edge would have moved by 3.021 ft: more than that, though less than 3 ft 2.7 in, were it added.
    """
    with pytest.raises(ValueError, match="tape sides and diagonals again"):
        squareness(3 * FOOT, 10 * FOOT, round(11.7 * FOOT), round(5.85 * FOOT))
    assert squareness(3 * FOOT, 10 * FOOT, round(13.65 * FOOT), round(7.56 * FOOT)).is_skew


def test_a_tape_read_to_its_step_fits() -> None:
    """The half inch to which it is read can move each diagonal by a quarter: what the four then lack is less."""
    for first, second in ((50 * FOOT + INCH // 4, 50 * FOOT + INCH // 4), (50 * FOOT - INCH // 4, 50 * FOOT)):
        assert squareness(40 * FOOT, 30 * FOOT, first, second).fits(INCH // 2)
    # An inch more in both: a third of an inch less for each diagonal, 8/15 and 2/5 in more for the sides.
    found = squareness(40 * FOOT, 30 * FOOT, 50 * FOOT + INCH, 50 * FOOT + INCH)
    assert [round(nm / INCH, 2) for nm in (found.first_nm, found.length_nm, found.width_nm)] == [-0.33, 0.53, 0.40]
    assert not found.fits(INCH // 2)


@given(length=sides, width=sides, off=st.tuples(*[st.floats(0.97, 1.03)] * 2))
def test_corrected_they_are_those_of_a_pad(length: int, width: int, off: tuple[float, float]) -> None:
    """The parallelogram law holds, and no correction by scipy is less (Lagrange against its SLSQP)."""
    first, second = (round(diagonal(length, width) * share) for share in off)
    try:
        found = squareness(length, width, first, second)
    except ValueError:
        assume(False)
    corrections = [found.first_nm, found.second_nm, found.length_nm, found.width_nm]
    one, other, long, wide = (sum(each) for each in zip((first, second, length, width), corrections, strict=True))
    assert one**2 + other**2 == pytest.approx(2 * (long**2 + wide**2), rel=1e-8)
    # And d1^2 - d2^2 = 4 x width x shift (law of cosines), all of them as corrected.
    assert one**2 - other**2 == pytest.approx(4 * wide * found.far_edge_shift_nm, rel=1e-8, abs=4 * wide)
    taped = np.array([first, second, length, width]) / length
    best = minimize(
        lambda told: ((told - taped) ** 2).sum() * 1e4,
        taped,
        jac=lambda told: 2e4 * (told - taped),
        constraints={
            "type": "eq",
            "fun": lambda told: told**2 @ [1, 1, -2, -2],
            "jac": lambda t: 2 * t * [1, 1, -2, -2],
        },
        method="SLSQP",
        options={"ftol": 1e-15, "maxiter": 200},
    )
    assert np.array(corrections) / length == pytest.approx(best.x - taped, abs=1e-5)


@given(length=sides, width=sides, share=st.floats(-0.05, 0.05))
def test_a_pad_laid_out_by_coordinates_needs_no_correction(length: int, width: int, share: float) -> None:
    shift = share * min(length, width)
    away = sqrt(length**2 - shift**2)
    found = squareness(length, width, round(hypot(width + shift, away)), round(hypot(width - shift, away)))
    assert found.fits(2000)


def test_diagonals_of_no_pad_at_all_are_refused() -> None:
    """40 x 30 ft, 70 and 2 ft: the far edge would stand about 40 ft aside, which no side of 40 ft reaches."""
    with pytest.raises(ValueError, match="tape sides and diagonals again"):
        squareness(40 * FOOT, 30 * FOOT, 70 * FOOT, 2 * FOOT)


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


def test_corners_and_far_margins_count_from_the_pads_edge_where_the_shots_are_inset() -> None:
    grid = Grid(length=12 * M, width=12 * M, along=3, across=3, inset=1 * M)
    # Shots at 1, 6 and 11 m; the footprint goes from 0 to 8 m: nearest are 1 and 6, not 11.
    corners = Footprint(near=0, far=4 * M, left=0, right=4 * M).corners(grid)
    assert [grid.name(index) for index in corners] == ["A1", "B1", "A2", "B2"]
    # And from 3.4 m, which is nearer to 1 m than to 6 m only if the inset is counted.
    corners = Footprint(near=3_400 * MM, far=0, left=3_400 * MM, right=0).corners(grid)
    assert [grid.name(index) for index in corners] == ["A1", "C1", "A3", "C3"]
    inside = Footprint(0, 1 * M + MM, 0, 1 * M + MM).inside(grid)
    assert np.flatnonzero(inside).tolist() == [0, 1, 3, 4], "11 m is in the margin of 1.001 m"


@pytest.mark.parametrize(("right", "fits"), [(29 * FOOT, True), (30 * FOOT, False)])
def test_a_footprint_needs_room_across_too(right: int, fits: bool) -> None:
    assert Footprint(near=0, far=0, left=10 * FOOT, right=right).fits(PAD) is fits


def test_the_shift_is_to_the_right_where_the_first_diagonal_is_longer() -> None:
    """From the near left to the far right, so a far edge that stands to the right makes it longer."""
    assert squareness(40 * FOOT, 30 * FOOT, 52 * FOOT, 50 * FOOT).far_edge_shift_nm > 0


def misfit(*corrections: int, longer: int = 0, too_long: int = 0) -> Squareness:
    """With these corrections of length, width and both diagonals."""
    return Squareness(0, longer, too_long, *corrections)


@pytest.mark.parametrize("at", range(4))
def test_each_of_the_four_must_fit_and_half_a_step_does(at: int) -> None:
    one = [5 * (place == at) for place in range(4)]
    assert misfit(*one).fits(10)
    assert not misfit(*one).fits(9)
    assert not misfit(*(-nm for nm in one)).fits(9)


@pytest.mark.parametrize(("longer", "too_long", "skew"), [(5, 5, False), (-5, 5, False), (6, 5, True), (-6, -5, True)])
def test_as_much_longer_as_too_long_is_not_surely_skew(longer: int, too_long: int, skew: bool) -> None:
    assert misfit(0, 0, 0, 0, longer=longer, too_long=too_long).is_skew is skew
