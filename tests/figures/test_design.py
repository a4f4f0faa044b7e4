"""Designs besides a plane, by hand: where they bend, and how high they are."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.figures.earthwork.design import Crown, Dish, Ramp, Spots, shape_of_words
from rodcall.units import INCH
from tests.kit import a_job


def at(shape, *places: tuple[float, float]) -> list[float]:
    along, across = (np.array(each) for each in zip(*places, strict=True))
    return shape.at(along, across).tolist()


def test_a_crown_along_a_slanting_line():
    """From (1, 2) by 3 away and 4 across, 3-4-5: square to it is (4, -3) / 5; 2 m to a side it falls by 2 m of fall."""
    crown = Crown((1.0, 2.0), (4.0, 6.0), 0.02)
    ((first, second, limit),) = crown.creases
    assert (first, second, limit) == pytest.approx((0.8, -0.6, -0.4))
    assert at(crown, (1, 2), (4, 6), (1 + 1.6, 2 - 1.2), (1 - 1.6, 2 + 1.2), (4 + 0.8, 6 - 0.6)) == pytest.approx(
        [0, 0, -0.04, -0.04, -0.02]
    )
    assert at(Crown((1.0, 2.0), (4.0, 6.0), -0.02), (2.6, 0.8)) == pytest.approx([0.04]), "a valley"


def test_a_ramp_along_a_slanting_line():
    """From (1, 2) to (4, 6), 5 m: level before and after, a third of the way up a third of the rise."""
    ramp = Ramp((1.0, 2.0), (4.0, 6.0), 0.3)
    (*way, foot), (*same, head) = ramp.creases
    assert way == same == pytest.approx([0.6, 0.8])
    assert (foot, head) == pytest.approx((2.2, 7.2))
    places = [(1, 2), (0.4, 1.2), (2, 2 + 4 / 3), (4, 6), (7, 10), (2 - 0.8, 2 + 4 / 3 + 0.6)]
    assert at(ramp, *places) == pytest.approx([0, 0, 0.1, 0.3, 0.3, 0.1])


def test_a_dish_falls_to_its_drain_from_all_four_sides():
    dish = Dish((5.0, 3.0), 0.01)
    assert at(dish, (5, 3), (7, 3), (3, 3), (5, 7), (5, -1), (7, 4), (6, 7)) == pytest.approx(
        [0, 0.02, 0.02, 0.04, 0.04, 0.02, 0.04]
    )
    half = 0.5**0.5
    assert dish.creases == (pytest.approx((half, half, 8 * half)), pytest.approx((half, -half, 2 * half)))


def test_a_height_a_position_is_met_at_each_and_in_the_middle_of_four():
    """Heights 1, 2, 4 and 9 m at the corners: 4 m in the middle, level beyond."""
    spots = Spots(np.array([[1.0, 2.0], [4.0, 9.0]]), np.array([0.0, 10.0]), np.array([0.0, 20.0]))
    found = at(spots, (0, 0), (0, 20), (10, 0), (10, 20), (5, 10), (-3, -3), (12, 25))
    assert found == pytest.approx([1, 2, 4, 9, 4, 1, 9])
    assert spots.creases == ()


@pytest.mark.parametrize("made", [lambda: Crown((1.0, 2.0), (1.0, 2.0), 0.02), lambda: Ramp((0, 0), (0, 0), 1.0)])
def test_a_line_needs_two_points(made):
    with pytest.raises(ValueError, match="needs two points"):
        made()


def test_words_lay_a_shape_over_the_grid():
    """Lines and columns 20 ft apart."""
    grid, column = a_job().grid, 20 * 0.3048
    crown = shape_of_words("crown B1 B4 2%", grid)
    assert (crown.start, crown.end, crown.fall) == (
        pytest.approx((0, column)),
        pytest.approx((3 * column, column)),
        0.02,
    )
    assert shape_of_words("valley B1 B4 2%", grid).fall == -0.02
    ramp = shape_of_words("ramp A2 A4 6in", grid)
    assert (ramp.start, ramp.end) == (pytest.approx((column, 0)), pytest.approx((3 * column, 0)))
    assert ramp.rise == pytest.approx(6 * INCH * 1e-9)
    dish = shape_of_words("dish B3 1%", grid)
    assert (dish.drain, dish.fall) == (pytest.approx((2 * column, column)), 0.01)
    assert shape_of_words("", grid) is None
