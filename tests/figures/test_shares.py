"""Whose dirt it is: shares of the spots against exact rationals, square by square, and the laws they keep."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rodcall.figures.earthwork.shares import dirt_at_spots
from rodcall.figures.earthwork.volumes import Grade, Surface
from rodcall.figures.ground.averages import area_weights
from tests.kit import cut_and_fill

from .test_earthwork import GRADES, surfaces
from .test_not_pad import PARTS
from .triangles import exact_cut_and_fill

LEVEL = Grade(0.0)


def square(*heights: float, side: float = 2.0) -> Surface:
    """One square; heights of A1, B1, A2, B2 in metres."""
    return Surface(np.reshape(heights, (2, 2)), np.array([0.0, side]), np.array([0.0, side]))


# -- by hand -----------------------------------------------------------------------------------------------


def test_all_cut_is_the_four_corner_method():
    """4 m2: a quarter of it, 1 m2, times each height."""
    cut, fill = dirt_at_spots(square(0.1, 0.2, 0.3, 0.4), LEVEL)
    assert cut == pytest.approx(np.array([[0.1, 0.2], [0.3, 0.4]]), rel=1e-14)
    assert not fill.any()


def test_half_cut_half_fill_is_less_than_the_prisms_over_the_corners():
    """A1 and A2 3 m high, B1 and B2 3 m low, 2 x 2 m: half of it, 2 m2, 1.5 m high on average, is 3 m3.

    Each high corner has half of that; prisms over the corners would hold 2 x 1 m2 x 3 m = 6 m3.
    """
    cut, fill = dirt_at_spots(square(3.0, -3.0, 3.0, -3.0), LEVEL)
    assert cut == pytest.approx(np.array([[1.5, 0.0], [1.5, 0.0]]), rel=1e-14)
    assert fill == pytest.approx(np.array([[0.0, 1.5], [0.0, 1.5]]), rel=1e-14)


def test_a_corner_twice_as_high_has_twice_the_share():
    """A1 2 m, B1 1 m high, the others level with the target: mean 0.75 m x 4 m2 = 3 m3, 2 and 1 of them."""
    cut, _ = dirt_at_spots(square(2.0, 1.0, 0.0, 0.0), LEVEL)
    assert cut == pytest.approx(np.array([[2.0, 1.0], [0.0, 0.0]]), rel=1e-14)


def test_where_nobody_digs_the_spots_beside_do():
    """The 3 m3 of that square: without A1 all of it is B1's; without both the other two have a half each."""
    ground = square(2.0, 1.0, 0.0, 0.0)
    for kept_out, expected in (
        ([1, 0, 0, 0], [0, 3, 0, 0]),
        ([1, 1, 0, 0], [0, 0, 1.5, 1.5]),
        ([1, 1, 1, 0], [0, 0, 0, 3]),
        ([1, 1, 1, 1], [0, 0, 0, 0]),
    ):
        cut, fill = dirt_at_spots(ground, LEVEL, np.reshape(kept_out, (2, 2)).astype(bool))
        assert cut.ravel() == pytest.approx(np.array(expected), abs=1e-14)
        assert not fill.any()


def test_a_square_that_nobody_serves_goes_to_the_nearest_spots():
    """Three squares in a row of 2 x 2 m, the first of them left out as a whole, 1 m high: C has the dirt of A and B."""
    ground = Surface(np.array([[1.0, 1.0, 0.0, 0.0]] * 2), np.array([0.0, 2.0]), np.arange(4) * 2.0)
    keep_out = np.array([[True, True, False, False]] * 2)
    cut, _ = dirt_at_spots(ground, LEVEL, keep_out)
    # 4 m3 of the first square, 2 m3 of the second.
    assert cut == pytest.approx(np.array([[0.0, 0.0, 3.0, 0.0]] * 2), abs=1e-14)


def test_the_nearest_spot_is_so_to_the_right_as_to_the_left():
    """The same mirrored: B has the dirt of C and D."""
    ground = Surface(np.array([[0.0, 0.0, 1.0, 1.0]] * 2), np.array([0.0, 2.0]), np.arange(4) * 2.0)
    keep_out = np.array([[False, False, True, True]] * 2)
    cut, _ = dirt_at_spots(ground, LEVEL, keep_out)
    assert cut == pytest.approx(np.array([[0.0, 3.0, 0.0, 0.0]] * 2), abs=1e-14)


def test_the_strip_outside_is_shared_out_among_the_spots_beside_it():
    """A1 1 m high, 2 m from spot to spot, 1 m to the edge: 1 m3 of the corner, 1 of each strip, 1 of the square."""
    ground = Surface(np.array([[1.0, 0.0], [0.0, 0.0]]), np.array([0.0, 2.0]), np.array([0.0, 2.0]), 1.0)
    cut, fill = dirt_at_spots(ground, LEVEL)
    assert cut == pytest.approx(np.array([[4.0, 0.0], [0.0, 0.0]]), abs=1e-14)
    assert not fill.any()


# -- laws --------------------------------------------------------------------------------------------------


def kept_out(surface: Surface, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return rng.random(surface.heights.shape) < rng.choice([0.0, 0.2, 0.6])


@given(surfaces() | PARTS, GRADES, st.integers(0, 999))
def test_the_shares_are_the_surfaces_cut_and_fill(surface, grade, seed):
    keep_out = kept_out(surface, seed)
    # Somebody on the pad has to give and take.
    assume(not (keep_out if surface.pad is None else keep_out | ~surface.pad).all())
    cut, fill = dirt_at_spots(surface, grade, keep_out)
    exact = [float(part) for part in exact_cut_and_fill(surface, grade)]
    worst = 1e-12 * sum(exact) + 1e-15 * surface.area
    assert (cut.sum(), fill.sum()) == pytest.approx(exact, rel=0, abs=worst)
    assert (cut >= 0).all()
    assert (fill >= 0).all()
    assert not cut[keep_out].any()
    assert not fill[keep_out].any()


@given(surfaces(), GRADES)
def test_each_square_shares_out_its_own(surface, grade):
    """Square by square, in exact rationals: the volume in proportion to how far each corner lies beyond the target."""
    surface = replace(surface, inset_m=0.0)
    cut, fill = dirt_at_spots(surface, grade)
    expected = [[Fraction(0)] * surface.heights.size for _ in "cf"]
    columns = surface.across_m.size
    for i in range(surface.along_m.size - 1):
        for j in range(columns - 1):
            piece = Surface(
                surface.heights[i : i + 2, j : j + 2], surface.along_m[i : i + 2], surface.across_m[j : j + 2]
            )
            for side, volume in enumerate(exact_cut_and_fill(piece, grade)):
                beyond = {
                    (i + a) * columns + j + b: max((-1) ** side * above_target(surface, grade, i + a, j + b), 0)
                    for a in (0, 1)
                    for b in (0, 1)
                }
                for spot, height in beyond.items():
                    expected[side][spot] += volume * height / sum(beyond.values()) if volume else 0
    scale = 1e-9 * float(sum(map(sum, expected))) + 1e-12 * surface.area
    assert cut.ravel() == pytest.approx(np.array(expected[0], float), rel=0, abs=scale)
    assert fill.ravel() == pytest.approx(np.array(expected[1], float), rel=0, abs=scale)


def above_target(surface: Surface, grade: Grade, row: int, column: int) -> Fraction:
    frac = Fraction
    plane = frac(grade.offset) + frac(grade.along) * (frac(surface.along_m[row]) - frac(grade.zero_along))
    plane += frac(grade.across) * (frac(surface.across_m[column]) - frac(grade.zero_across))
    return frac(surface.heights[row, column]) - plane


@given(surfaces() | PARTS, GRADES)
def test_a_spot_gives_or_takes_by_the_side_on_which_it_stands(surface, grade):
    surface = replace(surface, inset_m=0.0)
    above = surface.heights - grade.at(surface.along_m[:, None], surface.across_m)
    cut, fill = dirt_at_spots(surface, grade)
    assert not cut[above < 0].any()
    assert not fill[above > 0].any()


@given(surfaces(), GRADES)
def test_never_more_than_the_prism_over_the_spot(surface, grade):
    """Level target: what the order of work took before, height times the area that the spot stands for, is the most."""
    level = Grade(grade.offset)
    above = surface.heights - grade.offset
    weights = area_weights(surface.along_m, surface.across_m, surface.inset_m)
    cut, fill = dirt_at_spots(surface, level)
    prisms = np.abs(above) * weights
    assert cut.sum() <= prisms[above > 0].sum() * (1 + 1e-12)
    assert fill.sum() <= prisms[above < 0].sum() * (1 + 1e-12)


@given(surfaces() | PARTS, GRADES)
def test_upside_down_what_was_cut_is_fill(surface, grade):
    turned = replace(surface, heights=-surface.heights)
    upside_down = replace(grade, offset=-grade.offset, along=-grade.along, across=-grade.across)
    here, there = dirt_at_spots(surface, grade), dirt_at_spots(turned, upside_down)
    scale = 1e-9 * sum(each.sum() for each in here) + 1e-12 * surface.area
    assert here[0] == pytest.approx(there[1], rel=0, abs=scale)
    assert here[1] == pytest.approx(there[0], rel=0, abs=scale)


@given(surfaces() | PARTS, GRADES)
def test_square_by_square_is_all_of_it(surface, grade):
    relief = surface.over(grade)
    cut, fill = (volume.sum() for volume in relief.by_square(grade.offset))
    earth = cut_and_fill(surface, grade)
    assert (cut, fill) == pytest.approx((earth.cut, earth.fill), rel=1e-12)
