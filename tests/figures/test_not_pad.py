"""A pad of which a part is missing: areas, volumes and averages by hand, in exact rationals, and by laws."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from rodcall.book.model.grid import corners_on_pad
from rodcall.figures.earthwork.volumes import Grade, Surface, balance
from rodcall.figures.ground import averages
from rodcall.figures.ground.best_slopes import least_earth_grade, least_squares_grade
from rodcall.figures.ground.cells import Cells
from rodcall.figures.ground.drainage import basins
from rodcall.figures.ground.interpolation import above_target
from rodcall.figures.punch_list import Kind, Verdict
from rodcall.figures.summary import summarise
from rodcall.units import MM, M, Unit
from tests.kit import a_book, a_job, cut_and_fill, figures, say

from .test_earthwork import GRADES, SHRINKS, surfaces
from .triangles import exact_area, exact_cut_and_fill

LEVEL = Grade(0.0)


def mask(*lines: str) -> np.ndarray:
    """Which spots are pad, nearest line first: `#` is, `/` is not."""
    return np.array([[spot == "#" for spot in line] for line in lines])


def part_of(pad: np.ndarray, heights: np.ndarray | float = 1.0, inset: float = 0.0) -> Surface:
    """Squares of 2 x 3 m."""
    along, across = (np.arange(count) * gap for count, gap in zip(pad.shape, (2.0, 3.0), strict=True))
    return Surface(np.broadcast_to(np.float64(heights), pad.shape).copy(), along, across, inset, pad)


def with_part_missing(surface: Surface, seed: int) -> Surface:
    """The same surface with some positions no part of the pad."""
    rng = np.random.default_rng(seed)
    pad = rng.random(surface.heights.shape) < rng.choice([0.5, 0.75, 0.9])
    return replace(surface, pad=pad)


def has_area(surface: Surface) -> bool:
    return surface.cells is None or surface.cells.area > 0


PARTS = st.builds(with_part_missing, surfaces(), st.integers(0, 2**32 - 1)).filter(has_area)


# -- by hand -----------------------------------------------------------------------------------------------


def test_three_corners_of_a_square_are_the_triangle_between_them():
    """2 x 3 m, corners at 1, 2 and 4 m: half the square, 3 m2, times the mean of the three, 7/3: 7 m3."""
    for missing in range(4):
        pad = np.ones(4, bool)
        pad[missing] = False
        heights = np.array([9.0] * 4)
        heights[pad] = 1, 2, 4
        surface = part_of(pad.reshape(2, 2), heights.reshape(2, 2))
        assert surface.area == 3.0
        earth = cut_and_fill(surface, LEVEL)
        assert (earth.cut, earth.fill) == (pytest.approx(7.0, rel=1e-14), 0.0)
        assert surface.average == pytest.approx(7 / 3, rel=1e-14)


def test_a_triangle_that_the_target_cuts_through():
    """A right triangle of 3 m2, corners at +1, -1, -1 m about the target.

    The target cuts it half-way along both edges at the high corner: a quarter of the area with mean height 1/3, so
    0.75 x 1/3 = 0.25 m3 of cut; the net is 3 x -1/3 = -1 m3, so 1.25 m3 of fill.
    """
    surface = part_of(mask("##", "#/"), np.array([[1.0, -1.0], [-1.0, 50.0]]))
    earth = cut_and_fill(surface, LEVEL)
    assert (earth.cut, earth.fill, earth.above) == pytest.approx((0.25, 1.25, 0.75), rel=1e-14)


def test_two_corners_of_a_square_are_nothing():
    assert part_of(mask("###", "##/", "##/")).area == 2 * 6 + 3
    assert part_of(mask("##/", "##/", "/##")).area == 6 + 3 + 3


def test_an_l_of_level_ground():
    """4 x 6 squares of 2 x 3 m, the far right 2 x 3 squares missing: spots of 3 lines and 4 columns less one each.

    Whole squares: 24 - 6 missing - those along the inner corner that lost two corners. Spots (3..4, 4..6) are missing:
    squares with a missing corner are lines 2 to 3, columns 3 to 5 (6 of them); one of these, at (2, 3), lost one corner
    only and is a triangle; the others lost two or more. So 18 squares and a half: 18.5 x 6 = 111 m2; 0.25 m of cut is
    27.75 m3.
    """
    pad = np.ones((5, 7), bool)
    pad[3:, 4:] = False
    surface = part_of(pad, 0.25)
    assert surface.area == pytest.approx(111.0, rel=1e-14)
    assert cut_and_fill(surface, LEVEL).cut == pytest.approx(27.75, rel=1e-14)
    assert surface.average == pytest.approx(0.25, rel=1e-14)


def test_the_strip_outside_follows_the_spots_beside_it():
    """2 x 2 squares of 2 x 3 m with a strip of 1 m: 6 x 8 = 48 m2 in all; the near left spot is missing.

    Lost: half a square (3 m2), a strip of 2 m beside A1 to A2 and one of 3 m beside A1 to B1 (2 + 3 m2), and the corner
    of 1 m2: 9 m2.
    """
    surface = part_of(mask("/##", "###", "###"), 1.0, inset=1.0)
    assert surface.area == pytest.approx(48 - 9, rel=1e-14)
    assert cut_and_fill(surface, Grade(0.5)).cut == pytest.approx(39 / 2, rel=1e-14)


def test_the_centre_of_a_triangle_and_of_an_l():
    """A triangle's centre is the mean of its corners; an L's the mean of its rectangles' by area."""
    assert part_of(mask("##", "#/")).centre == pytest.approx((2 / 3, 1.0))
    strips = part_of(mask("##//", "##//", "####", "####"))
    # Rectangles of 3 x 1 and 1 x 2 squares of 6 m2, and a triangle of 3 m2 in the inner corner.
    by_hand = [(18, 3.0, 1.5), (12, 5.0, 6.0), (3, 2 + 4 / 3, 4.0)]
    area = sum(each[0] for each in by_hand)
    assert strips.area == area
    assert strips.centre == pytest.approx(tuple(sum(a * each[w] for a, *each in by_hand) / area for w in (0, 1)))


# -- laws --------------------------------------------------------------------------------------------------


@given(surface=PARTS, grade=GRADES)
@settings(max_examples=300, deadline=None)
def test_cut_and_fill_are_exact(surface, grade):
    earth = cut_and_fill(surface, grade)
    cut, fill = (float(part) for part in exact_cut_and_fill(surface, grade))
    # As for a whole pad: the second term is the rounding of heights themselves.
    worst = 1e-12 * (cut + fill) + 1e-15 * surface.area
    assert (earth.cut, earth.fill) == pytest.approx((cut, fill), rel=0, abs=worst)
    assert surface.area == pytest.approx(float(exact_area(surface)), rel=1e-13)


@given(surface=PARTS, grade=GRADES)
def test_cut_minus_fill_is_the_area_times_the_average_above_the_target(surface, grade):
    earth = cut_and_fill(surface, grade)
    net = surface.area * (surface.average - grade.at(*surface.centre))
    scale = earth.cut + earth.fill + surface.area * np.abs(surface.heights).max()
    assert earth.cut - earth.fill == pytest.approx(net, rel=0, abs=1e-12 * scale)


@given(surface=PARTS, grade=GRADES)
def test_upside_down_cut_is_fill(surface, grade):
    turned = replace(surface, heights=-surface.heights)
    upside_down = replace(grade, offset=-grade.offset, along=-grade.along, across=-grade.across)
    earth, other = cut_and_fill(surface, grade), cut_and_fill(turned, upside_down)
    assert (earth.cut, earth.fill) == pytest.approx((other.fill, other.cut), rel=1e-12, abs=1e-15)


@given(surface=PARTS)
def test_weights_are_the_area_and_the_integral(surface):
    """A third of a triangle to each of its corners, a quarter of a square: the integral of the surface."""
    weights = np.asarray(surface.area)
    if surface.cells is not None:
        weights = surface.cells.weights
        assert (weights >= 0).all()
        assert (weights[~surface.pad] == 0).all()
    else:
        weights = averages.area_weights(surface.along_m, surface.across_m, surface.inset_m)
    assert weights.sum() == pytest.approx(surface.area, rel=1e-12)
    cut, fill = exact_cut_and_fill(surface, LEVEL)
    integral = float((weights * surface.heights).sum())
    assert integral == pytest.approx(float(cut - fill), rel=0, abs=1e-12 * surface.area)
    assert surface.average * surface.area == pytest.approx(integral, rel=0, abs=1e-12 * surface.area)


@given(surface=surfaces(), grade=GRADES, shrink=SHRINKS)
def test_where_all_is_pad_nothing_changes(surface, grade, shrink):
    """To the last bit: the same work is done."""
    whole = replace(surface, pad=np.ones(surface.heights.shape, bool))
    assert cut_and_fill(whole, grade) == cut_and_fill(surface, grade)
    assert balance(whole, grade, shrink) == balance(surface, grade, shrink)
    assert least_squares_grade(whole, shrink) == least_squares_grade(surface, shrink)
    assert (whole.area, whole.average, whole.centre) == (surface.area, surface.average, surface.centre)


@given(surface=surfaces())
def test_the_squares_of_a_whole_pad_have_the_weights_of_a_whole_pad(surface):
    """The general way agrees with the way of a whole pad."""
    squares = Cells(surface.along_m, surface.across_m, surface.inset_m, np.ones(surface.heights.shape, bool))
    expected = averages.area_weights(surface.along_m, surface.across_m, surface.inset_m)
    assert squares.weights == pytest.approx(expected, rel=1e-12)
    assert squares.centre == pytest.approx(surface.centre, rel=1e-12)
    assert squares.area == pytest.approx(surface.area, rel=1e-12)


@given(surface=PARTS, grade=GRADES, seed=st.integers(0, 99))
def test_what_is_no_pad_has_no_say(surface, grade, seed):
    """Whatever height is estimated there."""
    assume(surface.cells is not None)
    other = np.where(surface.pad, surface.heights, np.random.default_rng(seed).normal(0, 3, surface.pad.shape))
    elsewhere = replace(surface, heights=other)
    here, there = cut_and_fill(surface, grade), cut_and_fill(elsewhere, grade)
    assert (here.cut, here.fill, here.above) == pytest.approx(
        (there.cut, there.fill, there.above), rel=1e-12, abs=1e-15
    )


@given(surface=PARTS, slopes=GRADES, shrink=SHRINKS)
def test_a_pad_dug_to_the_balance_leaves_nothing_over(surface, slopes, shrink):
    target = replace(slopes, offset=balance(surface, slopes, shrink))
    cut, fill = exact_cut_and_fill(surface, target)
    assert float(cut) * (1 - shrink) - float(fill) == pytest.approx(0, abs=1e-9 * surface.area)


# -- best slopes -------------------------------------------------------------------------------------------


def an_l(seed: int, inset: float = 0.0) -> Surface:
    rng = np.random.default_rng(seed)
    along, across = np.arange(7) * 2.0, np.arange(6) * 3.0
    pad = np.ones((7, 6), bool)
    pad[4:, 3:] = False
    pad[0, 0] = False
    heights = rng.normal(0, 0.04, pad.shape) + 0.01 * along[:, None] - 0.006 * across
    return Surface(heights, along, across, inset, pad)


@pytest.mark.parametrize("inset", [0.0, 0.5])
def test_least_squares_slopes_of_an_l(inset):
    """numpy's own least squares over the nodes, weighed by their area."""
    surface = an_l(1, inset)
    weights = np.sqrt(surface.cells.node_weights.ravel())
    along, across = (each.ravel() for each in np.meshgrid(surface.node_along, surface.node_across, indexing="ij"))
    design = np.column_stack((np.ones_like(along), along, across))
    height, *slopes = np.linalg.lstsq(design * weights[:, None], surface.nodes.ravel() * weights)[0]
    grade = least_squares_grade(surface, 0.0)
    assert (grade.along, grade.across) == pytest.approx(tuple(slopes), rel=1e-9)
    assert grade.offset == pytest.approx(height, abs=1e-12)


@pytest.mark.parametrize("shrink", [0.0, 0.2])
def test_least_earth_of_an_l_against_scipy(shrink):
    surface = an_l(2, 0.5)

    def cut(slopes):
        grade = Grade(0.0, *slopes)
        return cut_and_fill(surface, replace(grade, offset=balance(surface, grade, shrink))).cut

    start = least_squares_grade(surface, shrink)
    found = minimize(cut, (start.along, start.across), method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12})
    best = least_earth_grade(surface, shrink)
    assert cut_and_fill(surface, best).cut == pytest.approx(found.fun, rel=1e-7)
    assert found.fun < cut((start.along, start.across))


def test_a_plane_is_left_as_it_is():
    surface = an_l(3)
    surface = replace(surface, heights=0.1 + 0.01 * surface.along_m[:, None] - 0.02 * surface.across_m)
    for best in (least_squares_grade, least_earth_grade):
        grade = best(surface, 0.1)
        assert (grade.offset, grade.along, grade.across) == pytest.approx((0.1, 0.01, -0.02), abs=1e-12)


# -- pictures ----------------------------------------------------------------------------------------------


def test_a_raster_has_nothing_where_there_is_no_pad():
    """The share of the raster that has a height is the share of the area; its mean the average by area."""
    surface = part_of(mask("/###", "####", "###/", "##//"), np.random.default_rng(4).normal(0, 1, (4, 4)))
    found = above_target(surface, LEVEL, 600, 600)
    assert np.isfinite(found).mean() == pytest.approx(surface.area / (6 * 9), abs=0.002)
    assert np.nanmean(found) == pytest.approx(surface.average, abs=0.005)


def test_in_a_triangle_the_raster_meets_the_plane():
    heights = np.array([[1.0, 3.0], [2.0, 77.0]])
    found = above_target(part_of(mask("##", "#/"), heights), LEVEL, 4, 4)
    for row, column in np.ndindex(4, 4):
        v, u = (row + 0.5) / 4, (column + 0.5) / 4
        if u + v > 1:
            assert np.isnan(found[row, column])
        else:
            assert found[row, column] == pytest.approx(1 + 2 * u + v)


# -- a page ------------------------------------------------------------------------------------------------


def in_millimetres(*lines: str, **known):
    """A pad of 6 x 4 m, four lines of three spots 2 m apart, lines dictated in millimetres."""
    job = a_job(Unit.MM, length=6 * M, width=4 * M, tolerance_high=6 * MM, tolerance_low=6 * MM, goal=3 * MM, **known)
    return a_book(*lines, job=job)


ALL = tuple(f"{column}{row} +{10 * row}" for row in range(1, 5) for column in "ABC")


def test_figures_of_a_page_with_a_corner_missing():
    """A1 is no part: eleven spots; 6 squares of 4 m2 less half of one.

    Plain average (20 + 90 + 120 + 90 + ... ) = (2 x 10 + 3 x 20 + 3 x 30 + 3 x 40) / 11 = 290 / 11 mm.
    Volume over the zero: squares between lines at 10 and 20 have a mean of 15, then 25 and 35: one of 4 m2 x 15 mm and
    a triangle of 2 m2 with the mean of 10, 20, 20; then two each: (60 + 2 x 50 / 3 + 200 + 280) / 1000 m3.
    """
    book = in_millimetres(*ALL, "A1 not pad corner", "target 0")
    summary = figures(book)
    assert summary.names(summary.not_pad) == ["A1"]
    assert (summary.positions, summary.counted, summary.missing, summary.left_out) == (11, 11, (), ())
    assert summary.average == Fraction(290 * MM, 11)
    assert summary.area_m2 == pytest.approx(22.0, rel=1e-12)
    volume = (60 + 100 / 3 + 200 + 280) / 1000
    assert summary.dirt.earth.cut == pytest.approx(volume, rel=1e-12)
    assert summary.dirt.earth.fill == 0.0
    assert summary.area_average == pytest.approx(volume / 22 * 1e9, rel=1e-12)
    assert summary.covered == pytest.approx(1.0)
    assert summary.names([summary.highest.index, summary.lowest.index]) == ["A4", "B1"]
    assert summary.tilt.along == pytest.approx(0.005)
    assert summary.keep_out.tolist() == [True] + [False] * 11


def test_area_above_a_slope_is_told_at_the_zero_exactly():
    """The plain average above the slopes is 7 mm, as the spots lie; by area the level strip outside has its say."""
    slopes = {"slope_along": 0.005, "slope_across": -0.01, "inset": M}
    spots = [f"{column}{row}" for row in range(1, 5) for column in "ABC"]
    book = a_book(job=a_job(Unit.MM, length=8 * M, width=6 * M, **slopes))
    say(book, *(f"{at} {7 + 10 * (int(at[1]) - 1) - 20 * 'ABC'.index(at[0]):+d}" for at in spots), "B4:C3 not pad")
    summary = figures(book)
    strip = summary.cells
    # In the strip the ground is level, so there the plane and it differ; by nodes, as the surface has it.
    rise = 5.0 * (strip.node_along[:, None]) - 10.0 * strip.node_across
    level = np.pad(summary.surface_m, 1, mode="edge") * 1e3 - rise
    expected = float((strip.node_weights * level).sum() / strip.area)
    assert summary.area_average_above_slope == pytest.approx(expected * 1e6, rel=1e-9)
    assert float(summary.average_above_slope) == pytest.approx(7 * MM)


def test_a_spot_that_is_no_pad_is_neither_missing_nor_out_of_tolerance():
    book = in_millimetres(*ALL[1:], "target +25")
    listed = figures(book).punch_list
    assert len(listed.of(Kind.OUT)[0].spots) == 5
    assert listed.of(Kind.NOT_SHOT)
    say(book, "A1 not pad", "A4:C4 not pad", "B1:C1 not pad")
    summary = figures(book)
    assert not summary.punch_list.of(Kind.OUT) + summary.punch_list.of(Kind.NOT_SHOT)
    assert summary.verdict is not Verdict.FAIL
    assert (summary.outside, summary.missing, summary.within_tolerance) == ((), (), 6)


def test_it_is_no_pad_in_earlier_rounds_too():
    book = in_millimetres(*ALL, "round working", "A2 +20", "target +25")
    assert (summarise(book.page, 1).counted, figures(book).counted) == (12, 1)
    say(book, "A2 not pad stump")
    first, second = summarise(book.page, 1), figures(book)
    assert (first.counted, second.counted, len(second.missing)) == (11, 0, 11)
    assert [(tally.inside, tally.outside, tally.unshot) for tally in second.tallies()] == [(5, 6, 0), (0, 0, 11)]
    assert not second.change.both.any()
    assert second.evidence.shots_since_check == 11
    say(book, "strike A2")
    assert (summarise(book.page, 1).counted, figures(book).counted) == (12, 1)


def test_what_lies_beside_it_is_at_the_edge_where_no_water_stands():
    heights = np.ones((4, 4))
    heights[1, 1] = 0
    shot, pad = np.ones((4, 4), bool), np.ones((4, 4), bool)
    assert [basin.spots for basin in basins(heights, shot, pad)] == [(5,)]
    pad[0, 0] = False
    assert basins(heights, shot, pad) == ()


def test_footprint_and_apron_have_nothing_of_it():
    margins = ("set margin-near 1m", "set margin-far 1m", "set margin-left 1m", "set margin-right 1m")
    book = in_millimetres(*ALL, *margins, "B2 not pad stump", "A1 not pad")
    inside, apron = figures(book).parts
    assert book.page.grid.index("B2") not in (*inside.positions, *apron.positions)
    assert len(inside.positions) + len(apron.positions) == 10


def test_the_zero_may_lie_there_and_is_not_dug_away():
    book = in_millimetres(*ALL, "target 0", "reference BM1 +40")
    book.refer("PIN", "+40mm", position="A4")
    assert {each.name for each in figures(book).undermined} >= {"PIN"}
    say(book, "A4 not pad", "A1 not pad")
    summary = figures(book)
    assert summary.zero == 0
    assert summary.undermined == ()
    assert summary.tilt_at_zero == pytest.approx(0.01)


def test_dig_takes_nothing_from_it():
    book = in_millimetres(*ALL, "target +25", "A1 not pad", "C4 not pad")
    summary = figures(book)
    plan = summary.dig()
    touched = {at for move in plan.moves for at in (*move.take, *move.put)}
    assert touched
    assert not touched & set(summary.not_pad)


def kinds_of(summary):
    return [(item.kind, item.spots) for item in summary.punch_list.items]


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=40, deadline=None)
def test_what_was_read_there_counts_nowhere(seed):
    """The same figures whether such spots were shot before, or never."""
    rng = np.random.default_rng(seed)
    gone = rng.choice(12, rng.integers(1, 5), replace=False)
    names = [f"{column}{row}" for row in range(1, 5) for column in "ABC"]
    readings = [f"{name} {rng.integers(-40, 40):+d}" for name in names]
    denied = [f"{names[at]} not pad" for at in gone]
    kept = np.ones(12, bool)
    kept[gone] = False
    assume((corners_on_pad(kept.reshape(4, 3)) >= 3).any())
    shot = in_millimetres(*readings, "target +3", *denied)
    never = in_millimetres(*(line for at, line in enumerate(readings) if kept[at]), "target +3", *denied)
    one, other = figures(shot), figures(never)
    for name in ("average", "area_average", "area_m2", "covered", "missing", "outside", "worst", "tilt", "spread"):
        assert getattr(one, name) == getattr(other, name), name
    assert one.dirt.earth == other.dirt.earth
    assert kinds_of(one) == kinds_of(other)
