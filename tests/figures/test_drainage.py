"""Which way water runs, slopes that are not reached, and hollows, against a way of flooding that shares nothing."""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import ndimage

from rodcall.figures.ground.drainage import LEAST_SLOPE, Basin, Run, Shortfall, basins, drains, shortfalls, water
from rodcall.sheets.exports.figures_json import figures as as_json
from rodcall.units import MM, M, Unit
from rodcall.wording import words
from rodcall.wording.proof import remarks
from tests.kit import a_book, a_job, figures

SOIL, CONCRETE = LEAST_SLOPE["soil"], LEAST_SLOPE["concrete"]


def test_the_least_slope_of_each_surface() -> None:
    """SEEN: US Army SDDC Transportation Engineering Agency, parking tutorial, drainage; TI 804-11 (1998) for soil."""
    assert LEAST_SLOPE == {"soil": 0.01, "asphalt": 0.01, "concrete": 0.005}


@pytest.mark.parametrize(
    ("along", "across", "run", "arrow"),
    [
        (0.01, 0.0, Run(-1, 0), "v"),
        (-0.01, 0.0, Run(1, 0), "^"),
        (0.0, 0.01, Run(0, -1), "<"),
        (0.0, -0.01, Run(0, 1), ">"),
        (-0.02, -0.01, Run(1, 1), "^>"),
        (0.02, 0.01, Run(-1, -1), "v<"),
        (0.0, 0.0, Run(0, 0), "o"),
        # 0.0071 each way is 1.004 % down the diagonal; 0.007 is 0.99 %.
        (0.0071, -0.0071, Run(-1, 1), "v>"),
        (0.0070, -0.0070, Run(0, 0), "o"),
        (0.0099, 0.0, Run(0, 0), "o"),
    ],
)
def test_water_runs_down_where_it_is_steep_enough(along: float, across: float, run: Run, arrow: str) -> None:
    assert water(along, across, SOIL) == run
    assert run.arrow == arrow


def test_concrete_needs_half_of_it() -> None:
    assert water(0.005, 0.0, CONCRETE) == Run(-1, 0)
    assert water(0.0049, 0.0, CONCRETE) == Run(0, 0)


@given(st.floats(-179, 179), st.floats(0.0101, 0.2))
def test_the_nearest_of_eight_ways(bearing: float, slope: float) -> None:
    """By angles: water falls that way, and is said to go one that is less than 22.5 degrees off."""
    along, across = -slope * cos(radians(bearing)), -slope * sin(radians(bearing))
    run = water(along, across, SOIL)
    off = (degrees(atan2(run.across, run.along)) - bearing + 180) % 360 - 180
    assert abs(off) <= 22.5 + 1e-6


@pytest.mark.parametrize(
    ("asked", "reached", "least", "runs"),
    [
        ((0.02, 0.0), (0.019, 0.004), SOIL, (True, False)),
        ((0.02, 0.0), (0.009, 0.004), SOIL, (False, False)),
        # 10 mm over 20 m is 0.05 %: so much flatter is the crew's goal; not more.
        ((0.01, 0.0), (0.0096, 0.0), SOIL, (True, False)),
        ((0.01, 0.0), (0.0094, 0.0), SOIL, (False, False)),
        ((0.01, 0.0), (0.0094, 0.0), CONCRETE, (True, False)),
        # Both together are steep enough, and only what was asked is counted.
        ((0.008, 0.008), (0.008, 0.008), SOIL, (True, True)),
        ((0.008, 0.0), (0.008, 0.008), SOIL, (False, False)),
        # One of them the wrong way.
        ((0.02, -0.01), (0.02, 0.001), SOIL, (True, False)),
        ((-0.02, 0.0), (0.02, 0.0), SOIL, (False, False)),
        ((0.0, 0.0), (0.02, 0.0), SOIL, (False, False)),
    ],
)
def test_a_slope_drains_where_it_is_steep_and_runs_the_way_asked(asked, reached, least, runs) -> None:
    assert drains(asked, reached, (20.0, 20.0), 0.010, least) == runs


def test_a_generous_goal_does_not_make_level_ground_drain() -> None:
    """25 mm over 2 m would be 1.25 %; half of the 1 % has to be there."""
    assert drains((0.01, 0.0), (0.0049, 0.0), (2.0, 2.0), 0.025, SOIL) == (False, False)
    assert drains((0.01, 0.0), (0.0051, 0.0), (2.0, 2.0), 0.025, SOIL) == (True, False)


# -- hollows -----------------------------------------------------------------------------------------------


def hollows(*lines: str, pad: np.ndarray | None = None) -> tuple[Basin, ...]:
    """Of heights in millimetres, the near line first; all shot."""
    heights = np.array([[float(nm) for nm in line.split()] for line in lines]) * 1e-3
    return basins(heights, np.ones(heights.shape, bool), pad)


def test_a_pond_of_two_equal_neighbours_is_seen() -> None:
    """By hand: both lie 10 mm under the lowest of the ten around them, which is the far right one, 50 mm."""
    (basin,) = hollows("90 90 90 90", "90 40 40 90", "90 90 90 50")
    assert basin.spots == (5, 6)
    assert (basin.deepest, basin.spills_at) == (5, 11)
    assert basin.depth_m == pytest.approx(0.010)


def test_two_hollows_with_a_lip_between_and_one_in_another() -> None:
    """The left one (20) runs off over its lip of 50 into the right one (10), which fills to 60 and takes it in.

    So there is one pond up to 60, whatever lips lie under water; it is 50 mm deep at the right one.
    """
    (basin,) = hollows("90 90 90 90 90", "90 20 50 10 60", "90 90 90 90 90")
    assert basin.spots == (6, 7, 8)
    assert (basin.deepest, basin.spills_at) == (8, 9)
    assert basin.depth_m == pytest.approx(0.050)
    # With a lip of 70 there are two ponds, and the left one spills into the right.
    left, right = hollows("90 90 90 90 90", "90 20 70 10 60", "90 90 90 90 90")
    assert (left.spots, left.spills_at, right.spots, right.spills_at) == ((6,), 7, (8,), 9)


def test_level_ground_and_an_even_slope_hold_no_water() -> None:
    assert hollows(*["5 5 5 5"] * 4) == ()
    assert hollows("0 0 0", "5 5 5", "9 9 9") == ()


def test_no_pad_is_a_way_out() -> None:
    pad = np.ones((3, 4), bool)
    pad[1, 2] = False
    assert hollows("90 90 90 90", "90 40 10 90", "90 90 90 90", pad=pad) == ()


def flooded(heights: np.ndarray, outlet: np.ndarray) -> np.ndarray:
    """Water level by lowering it from above all ground until nothing changes (Planchon and Darboux 2001)."""
    level = np.where(outlet, heights, heights.max() + 1)
    while True:
        lowered = np.maximum(heights, ndimage.minimum_filter(level, size=3, mode="nearest"))
        lowered = np.where(outlet, heights, lowered)
        if (lowered == level).all():
            return level
        level = lowered


@given(st.integers(3, 9), st.integers(3, 9), st.integers(2, 9), st.integers(0, 2**32 - 1))
def test_hollows_are_those_of_another_way_to_flood(rows: int, columns: int, levels: int, seed: int) -> None:
    """Few levels, so that many neighbours are equal."""
    rng = np.random.default_rng(seed)
    heights = rng.integers(0, levels, (rows, columns)).astype(float)
    pad = rng.random((rows, columns)) < rng.choice([1.0, 0.9])
    outlet = ~pad
    outlet[[0, -1]] = outlet[:, [0, -1]] = True
    low = np.where(pad, heights, -1.0)
    level = flooded(low, outlet)
    lakes, count = ndimage.label(level > low, structure=np.ones((3, 3)))
    found = basins(heights, np.ones(heights.shape, bool), pad)
    assert len(found) == count
    for basin in found:
        lake = lakes == lakes.flat[basin.spots[0]]
        assert set(np.flatnonzero(lake)) == set(basin.spots)
        height = level.flat[basin.deepest]
        assert basin.depth_m == (level - low)[lake].max() == height - low.flat[basin.deepest]
        # The lip is as high as the water, beside it, and from there water gets away.
        assert level.flat[basin.spills_at] == low.flat[basin.spills_at] == height
        assert ndimage.binary_dilation(lake, np.ones((3, 3))).flat[basin.spills_at]


def test_only_what_was_shot_is_a_pond() -> None:
    heights = np.full((3, 4), 9.0)
    heights[1, 1:3] = 1.0, 2.0
    counts = np.ones((3, 4), bool)
    counts[1, 1] = False
    (basin,) = basins(heights, counts)
    assert (basin.spots, basin.depth_m) == ((6,), 7.0)
    counts[1, 2] = False
    assert basins(heights, counts) == ()


# -- a page ------------------------------------------------------------------------------------------------


def a_fall(*lines: str, fall: float = -0.01):
    """4 x 4 spots over 30 x 30 m that fall 1 % away, B2 and B3 dug out to one level."""
    job = a_job(Unit.MM, along=4, across=4, length=30 * M, width=30 * M, slope_along=fall, goal=10 * MM)
    shots = [f"{column}{row} {fall * (row - 1) * 10_000:+.0f}" for row in range(1, 5) for column in "ABCD"]
    return figures(a_book(*shots, *lines, job=job))


def test_a_pond_in_words_and_for_programs() -> None:
    """B2 and B3 at -350; the lowest spot around them is A4, B4 or C4 at -300: 50 mm."""
    summary = a_fall("B2 -350", "B3 -350")
    assert "standing water at B2 B3, 50 deep at B2; it runs off over A4" in remarks(summary)
    told = as_json(summary)
    assert told["drains"] is False
    assert told["least_slope"] == 0.01
    (pond,) = told["ponds"]
    assert (pond["at"], pond["deepest"], pond["runs_off_over"]) == (["B2", "B3"], "B2", "A4")
    assert pond["depth_mm"] == pytest.approx(50.0)
    assert as_json(a_fall())["ponds"] == []


def test_a_target_too_flat_for_its_surface_is_told() -> None:
    flat = "a slope of 0.60% does not drain on soil: it needs 1%"
    assert flat in words.warnings(a_fall(fall=-0.006))
    assert words.warnings(a_fall("set surface concrete", fall=-0.006)) == []
    assert words.warnings(a_fall()) == []
    assert words.warnings(a_fall(fall=0.0)) == []


FALL_FROM_A_BUILDING = 0.5 / 10
"""IRC R401.3: 6 in within the first 10 ft, 5 %. SEEN."""
CROSS_SLOPE = 1 / 48
"""ADA Standards (2010) 403.3, cross slope 1:48, 2.0833 %. SEEN."""
TEN_FEET = (3.048, 3.048)


def test_a_slope_that_is_reached_is_no_shortfall() -> None:
    asked = (-FALL_FROM_A_BUILDING, CROSS_SLOPE)
    assert shortfalls(asked, asked, TEN_FEET, 0.0) == ()


def test_steeper_than_asked_is_no_shortfall() -> None:
    assert shortfalls((-FALL_FROM_A_BUILDING, 0.0), (-0.06, 0.0), TEN_FEET, 0.0) == ()


def test_what_lacks_more_than_the_goal_over_the_pad_is_told() -> None:
    # 4.5 % instead of 5 % over 10 ft lacks 0.6 in: told with a goal of 1/2 in, not with one of 5/8 in.
    reached = (-0.045, 0.0)
    asked = (-FALL_FROM_A_BUILDING, 0.0)
    assert shortfalls(asked, reached, TEN_FEET, 0.0127) == (Shortfall("along", asked[0], reached[0]),)
    assert shortfalls(asked, reached, TEN_FEET, 0.015875) == ()


def test_the_wrong_way_lacks_all_of_it_and_more() -> None:
    found = shortfalls((0.0, CROSS_SLOPE), (0.3, -CROSS_SLOPE), TEN_FEET, 0.1)
    assert found == (Shortfall("across", CROSS_SLOPE, -CROSS_SLOPE),)


def test_where_no_slope_was_asked_for_none_is_missed() -> None:
    assert shortfalls((0.0, 0.0), (0.05, -0.05), TEN_FEET, 0.0) == ()


def test_what_lacks_across_goes_by_the_width() -> None:
    """0.5 % less than asked: 10 mm over 2 m of width, 100 mm over 20 m of length."""
    asked, reached = (0.02, 0.02), (0.015, 0.015)
    assert [each.side for each in shortfalls(asked, reached, (20.0, 2.0), 0.050)] == ["along"]
    assert [each.side for each in shortfalls(asked, reached, (2.0, 20.0), 0.050)] == ["across"]


def test_what_lacks_exactly_the_goal_is_none() -> None:
    """In binary whole numbers: a quarter asked, an eighth reached, over 8 m, lacks 1 m."""
    assert shortfalls((0.25, 0.0), (0.125, 0.0), (8.0, 8.0), 1.0) == ()
    assert len(shortfalls((0.25, 0.0), (0.125, 0.0), (8.0, 8.0), 0.99)) == 1


AROUND = [0, 1, 2, 3, 5, 6, 7, 8]


@pytest.mark.parametrize("lip", AROUND)
def test_a_pond_runs_off_over_any_of_the_eight_around_it(lip: int) -> None:
    """The middle at 10, one of the eight at 40, the others at 90: 30 mm of water."""
    heights = np.full(9, 0.090)
    heights[4], heights[lip] = 0.010, 0.040
    (basin,) = basins(heights.reshape(3, 3), np.ones((3, 3), bool))
    assert (basin.spots, basin.deepest, basin.spills_at) == ((4,), 4, lip)
    assert basin.depth_m == pytest.approx(0.030)


@pytest.mark.parametrize("lower", AROUND)
def test_where_one_of_the_eight_is_no_higher_no_water_is_left(lower: int) -> None:
    heights = np.full(9, 0.090)
    heights[4] = heights[lower] = 0.040
    assert basins(heights.reshape(3, 3), np.ones((3, 3), bool)) == ()


@pytest.mark.parametrize("beside", [(-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1)])
def test_a_pond_of_two_goes_any_of_eight_ways(beside: tuple[int, int]) -> None:
    """In the midst of 5 x 5: both positions are one pond, whichever way the second lies."""
    heights = np.full((5, 5), 0.090)
    heights[2, 2] = heights[2 + beside[0], 2 + beside[1]] = 0.010
    (basin,) = basins(heights, np.ones((5, 5), bool))
    assert basin.spots == tuple(sorted((12, 12 + 5 * beside[0] + beside[1])))


@pytest.mark.parametrize(("goal_mm", "runs"), [(11, False), (12, True)])
def test_where_both_sides_slope_the_goal_is_spread_over_the_longer_one(goal_mm: float, runs: bool) -> None:
    """Asked 0.6 % and 0.8 %, 1 % together (3-4-5); 4 % of each lacks: 0.04 % over 30 m are 12 mm, whatever 10 m are."""
    reached = (0.006 * 0.96, 0.008 * 0.96)
    assert drains((0.006, 0.008), reached, (30.0, 10.0), goal_mm * 1e-3, 0.01) == (runs, runs)
    assert drains((0.008, 0.006), reached[::-1], (10.0, 30.0), goal_mm * 1e-3, 0.01) == (runs, runs)


@pytest.mark.parametrize(("goal_mm", "runs"), [(11, False), (12, True)])
def test_where_one_side_slopes_the_goal_is_spread_over_that_one(goal_mm: float, runs: bool) -> None:
    assert drains((0.01, 0.0), (0.0096, 0.0), (30.0, 10.0), goal_mm * 1e-3, 0.01) == (runs, False)
    assert drains((0.0, 0.01), (0.0, 0.0096), (50.0, 30.0), goal_mm * 1e-3, 0.01) == (False, runs)


@pytest.mark.parametrize(("off", "aside"), [(22.0, False), (23.0, True)])
def test_water_runs_aslant_from_half_way_between_two_ways_on(off: float, aside: bool) -> None:
    """Eight ways lie 45 degrees apart: to 22.5 degrees off one of them it is that one."""
    turned = np.radians(off)
    for along, across in ((np.cos(turned), np.sin(turned)), (-np.cos(turned), -np.sin(turned))):
        sign = -1 if along > 0 else 1
        assert water(0.02 * along, 0.02 * across, 0.01) == Run(sign, sign * aside)
        assert water(0.02 * across, 0.02 * along, 0.01) == Run(sign * aside, sign)
