"""Cut, fill, spare and balance: against published examples, scipy, and exact rational geometry."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad, simpson, trapezoid
from scipy.optimize import brentq

from rodcall.figures.earthwork.stone import CUBIC_YARD_M3
from rodcall.figures.earthwork.volumes import Grade, Surface, balance, covered
from rodcall.figures.ground.averages import area_weights
from tests.kit import cut_and_fill

from .triangles import divided_differences, exact_cut_and_fill

FOOT = 0.3048
VOLCANO = np.loadtxt(Path(__file__).parents[1] / "checkdata" / "volcano_87x61.csv", delimiter=",")


def evenly(heights, spacing=1.0, inset=0.0):
    heights = np.asarray(heights, dtype=np.float64)
    return Surface(heights, *(np.arange(n) * spacing for n in heights.shape), inset)


def volcano():
    return evenly(VOLCANO, 10.0)


@st.composite
def surfaces(draw, *, most=4):
    """Heights in whole millimetres, so that corners often lie on the target or level with each other."""
    shape = draw(st.integers(2, most)), draw(st.integers(2, most))
    heights = draw(st.lists(st.integers(-60, 60), min_size=shape[0] * shape[1], max_size=shape[0] * shape[1]))
    gap = st.integers(1, 40).map(lambda quarters: quarters / 4)
    along, across = (np.cumsum([0.0, *draw(st.lists(gap, min_size=n - 1, max_size=n - 1))]) for n in shape)
    inset = draw(st.sampled_from([0.0, 0.5, 1.3]))
    return Surface(np.array(heights).reshape(shape) / 1000, along, across, inset)


SLOPES = st.integers(-50, 50).map(lambda permille: permille / 1000)
GRADES = st.builds(
    Grade,
    st.integers(-60, 60).map(lambda mm: mm / 1000),
    SLOPES,
    SLOPES,
    st.sampled_from([0.0, 2.5]),
    st.sampled_from([0.0, -1.0]),
)
SHRINKS = st.sampled_from([0.0, 0.05, 0.1, 0.25, 0.5, -0.3])


def gross(earth):
    return earth.cut + earth.fill


# -- published examples ----------------------------------------------------------------------------


def test_borrow_pit_of_twelve_nodes():
    # A borrow pit of 20 m squares, a published problem (inputs SEEN, volume COMPUTED exactly).
    depths = np.array([[2.76, 7.14, 8.72, 10.10], [5.21, 6.77, 7.82, 8.07], [3.98, 4.31, 5.55, 7.45]])
    surface = evenly(depths, 20.0)
    earth = cut_and_fill(surface, Grade(0.0))
    assert earth.cut == pytest.approx(16_065.0, rel=1e-14)
    assert earth.fill == 0.0
    assert surface.area == 2400.0
    assert surface.average == pytest.approx(6.69375, rel=1e-14)
    # Unit-area method (Ghilani and Wolf, Elementary Surveying): V = A/4 x (h1 + 2 h2 + 3 h3 + 4 h4).
    shares = np.outer([1, 2, 1], [1, 2, 2, 1])
    assert earth.cut == pytest.approx(400 / 4 * (shares * depths).sum(), rel=1e-14)
    squares = [[2188, 3045, 3471], [2027, 2445, 2889]]
    for i, j in np.ndindex(2, 3):
        one = cut_and_fill(evenly(depths[i : i + 2, j : j + 2], 20.0), Grade(0.0))
        assert one.cut == pytest.approx(squares[i][j], rel=1e-14)


def test_one_square_in_fill():
    # A surveying course's problem (SEEN): 50 x 50 ft, corners raised to 90 ft: mean fill 2.15 ft, 199 yd3.
    surface = evenly(np.array([[87.6, 87.6], [87.6, 88.6]]) * FOOT, 50 * FOOT)
    earth = cut_and_fill(surface, Grade(90 * FOOT))
    assert earth.fill / surface.area / FOOT == pytest.approx(2.15, rel=1e-13)
    assert round(earth.fill / CUBIC_YARD_M3) == 199
    assert earth.cut == 0.0


def test_one_square_part_cut_part_fill():
    # Four-point method, eng-tips.com, thread 232788, C1 F2 / C2 F3 ft, side 50 ft: net -46.296 yd3 on any surface
    # (COMPUTED). Of other surfaces, the four-point method has 26.042 and 72.338 yd3 (SEEN), the bilinear one 26.104 and
    # 72.401 (COMPUTED).
    surface = evenly(np.array([[1.0, -2.0], [2.0, -3.0]]) * FOOT, 50 * FOOT)
    earth = cut_and_fill(surface, Grade(0.0))
    cut, fill = earth.cut / CUBIC_YARD_M3, earth.fill / CUBIC_YARD_M3
    assert cut - fill == pytest.approx(-46.296, abs=5e-4)
    assert (cut, fill) == pytest.approx((26.104, 72.401), abs=0.1)
    assert cut == pytest.approx(2500 * 3**2 / (108 * (3 + 5)), rel=0.01)
    exact = exact_cut_and_fill(surface, Grade(0.0))
    assert (earth.cut, earth.fill) == pytest.approx(tuple(map(float, exact)), rel=1e-14)


def test_four_point_method_where_it_is_exact():
    # Four-point method, L^2 Hc^2 / (108 (Hc + Hf)) in ft and yd3 (SEEN): Vc = A Hc^2 / (4 (Hc + Hf));
    # exact where the target cuts straight across.
    surface = evenly([[3.0, 3.0], [-1.0, -1.0]], 2.0)
    earth = cut_and_fill(surface, Grade(0.0))
    cut_sum, fill_sum = 6.0, 2.0
    assert earth.cut == pytest.approx(4 * cut_sum**2 / (4 * (cut_sum + fill_sum)), rel=1e-14)
    assert earth.fill == pytest.approx(4 * fill_sum**2 / (4 * (cut_sum + fill_sum)), rel=1e-14)


def test_a_plane_through_the_middle_at_the_average_balances():
    # IASRI land levelling lesson 18, SEEN; Scaloppi and Willardson, ASCE 1986.
    surface = evenly(np.random.default_rng(7).normal(0.0, 0.05, (6, 5)), 3.0)
    for slope_along, slope_across in ((0.0, 0.0), (0.02, 0.0), (-0.01, 0.03)):
        earth = cut_and_fill(surface, Grade(surface.average, slope_along, slope_across, *surface.centre))
        assert earth.cut == pytest.approx(earth.fill, rel=1e-12)


def test_slope_of_the_building_code():
    # IRC R401.3 (SEEN): 6 in within 10 ft is 5 %; 1:48 = 1/4 in per ft.
    assert Grade(0.0, along=-0.05).at(10 * FOOT, 0.0) == pytest.approx(-0.5 * FOOT)
    assert Grade(0.0, across=1 / 48).at(0.0, FOOT) == pytest.approx(FOOT / 48)


# -- volcano ---------------------------------------------------------------------------------------


def test_volcano_over_nothing():
    # R's open data set volcano, COMPUTED with scipy; trapezoid twice is the four-corner volume.
    earth = cut_and_fill(volcano(), Grade(0.0))
    assert earth.cut == pytest.approx(67_553_000.0, rel=1e-14)
    assert earth.cut == pytest.approx(trapezoid(trapezoid(VOLCANO, dx=10.0), dx=10.0), rel=1e-14)
    assert volcano().average == pytest.approx(130.9166667, abs=5e-8)


def test_volcano_about_130():
    # R's open data set volcano, COMPUTED.
    earth = cut_and_fill(volcano(), Grade(130.0))
    assert earth.cut - earth.fill == pytest.approx(473_000.0, rel=1e-11)


@pytest.mark.parametrize("level", [94.0, 100.5, 117.0, 130.0, 151.25, 180.0, 195.0])
def test_volcano_about_any_level(level):
    # scipy's Simpson rule over every triangle, u from its centre outwards and v along its edge: exact where a
    # triangle lies on one side, and near where it is cut; the exact comparison is with rationals, below.
    ring = [VOLCANO[:-1, :-1], VOLCANO[:-1, 1:], VOLCANO[1:, 1:], VOLCANO[1:, :-1]]
    middle = sum(ring) / 4
    u, v = np.linspace(0, 1, 17)[:, None, None, None], np.linspace(0, 1, 17)[:, None, None]
    cut = 0.0
    for k in range(4):
        height = middle + u * ((1 - v) * ring[k] + v * ring[(k + 1) % 4] - middle) - level
        cut += 2 * 25.0 * simpson(simpson(u * np.maximum(height, 0.0), dx=1 / 16, axis=0), dx=1 / 16, axis=0).sum()
    earth = cut_and_fill(volcano(), Grade(level))
    assert earth.cut == pytest.approx(cut, rel=1e-4, abs=1e-6)
    assert earth.fill == pytest.approx(cut - 516_000.0 * (volcano().average - level), rel=1e-4, abs=1e-4)


@pytest.mark.parametrize("level", [110.0, 130.0, 160.0])
def test_volcano_part_in_exact_rationals(level):
    surface = evenly(VOLCANO[10:22, 5:17], 10.0, 3.0)
    grade = Grade(level, 0.31, -0.17, 20.0, 30.0)
    cut, fill = exact_cut_and_fill(surface, grade)
    earth = cut_and_fill(surface, grade)
    assert (earth.cut, earth.fill) == pytest.approx((float(cut), float(fill)), rel=1e-13)


def test_mixed_square_against_dblquad():
    # scipy.integrate.dblquad for the split of a mixed square, a triangle at a time.
    corners = [0.31, -0.12, -0.47, 0.09]
    middle = sum(corners) / 4
    cut = 0.0
    for k in range(4):
        a, b = corners[k], corners[(k + 1) % 4]

        def above(v, u, a=a, b=b):
            return max(middle + u * (a - middle) + v * (b - middle), 0.0)

        part, _ = dblquad(above, 0, 1, 0, lambda u: 1 - u, epsabs=1e-6, epsrel=1e-6)
        cut += part / 2
    surface = evenly([[corners[0], corners[1]], [corners[3], corners[2]]])
    assert cut_and_fill(surface, Grade(0.0)).cut == pytest.approx(cut, abs=1e-6)


# -- any surface -----------------------------------------------------------------------------------


@given(surface=surfaces(), grade=GRADES)
@example(surface=evenly([[0.0, 0.0], [0.0, 0.0]]), grade=Grade(0.0))
@example(surface=evenly([[1.0, 0.0], [0.0, -1.0]]), grade=Grade(0.0))
@example(surface=evenly([[1.0, -1.0], [1.0, -1.0]]), grade=Grade(0.0))
@example(surface=evenly([[1.0, 0.0], [0.0, 0.0]]), grade=Grade(0.0))
@example(surface=evenly([[1.0, -1e-9], [1e-9, -1.0]]), grade=Grade(0.0))
@settings(max_examples=300, deadline=None)
def test_cut_and_fill_are_exact(surface, grade):
    earth = cut_and_fill(surface, grade)
    cut, fill = (float(part) for part in exact_cut_and_fill(surface, grade))
    # The second term is the rounding of heights themselves, for ground that lies in the target to the last digit.
    worst = 1e-12 * (cut + fill) + 1e-15 * surface.area
    assert (earth.cut, earth.fill) == pytest.approx((cut, fill), rel=0, abs=worst)
    assert earth.cut >= 0.0
    assert earth.fill >= 0.0


@given(seed=st.integers(0, 2**32 - 1), level=st.floats(-0.1, 0.1))
@settings(max_examples=60, deadline=None)
def test_bigger_grids_by_divided_differences(seed, level):
    random = np.random.default_rng(seed)
    surface = evenly(random.normal(0.0, 0.05, random.integers(2, 40, 2)), 1.5, 0.5)
    # With slopes, corners along the level strip differ too, as divided differences need.
    grade = Grade(level, 0.00713, -0.00391)
    earth = cut_and_fill(surface, grade)
    expected = divided_differences(surface, grade)
    assert (earth.cut, earth.fill) == pytest.approx(expected, rel=0, abs=1e-9 * gross(earth))


@given(surface=surfaces(), grade=GRADES)
def test_cut_minus_fill_is_the_signed_volume(surface, grade):
    earth = cut_and_fill(surface, grade)
    net = surface.area * (surface.average - grade.at(*surface.centre))
    assert earth.cut - earth.fill == pytest.approx(net, rel=0, abs=1e-12 * surface.area)


@given(surface=surfaces(), grade=GRADES, rise=st.floats(-0.1, 0.1))
def test_moving_the_target_changes_the_net_by_area_times_the_move(surface, grade, rise):
    before = cut_and_fill(surface, grade)
    after = cut_and_fill(surface, replace(grade, offset=grade.offset + rise))
    change = (after.cut - after.fill) - (before.cut - before.fill)
    assert change == pytest.approx(-surface.area * rise, rel=0, abs=1e-12 * surface.area)


@given(surface=surfaces(), grade=GRADES)
def test_area_above_is_the_slope_of_cut(surface, grade):
    step = 1e-6
    earth = cut_and_fill(surface, grade)
    higher, lower = (cut_and_fill(surface, replace(grade, offset=grade.offset + d)).cut for d in (step, -step))
    # Cut is convex in the offset: chords on either side bound its slope, which ground level with the target
    # leaves open.
    slack = 1e-9 * surface.area
    assert (earth.cut - higher) / step - slack <= earth.above <= (lower - earth.cut) / step + slack


@given(surface=surfaces(), grade=GRADES)
def test_upside_down_cut_is_fill(surface, grade):
    earth = cut_and_fill(surface, grade)
    under = Grade(-grade.offset, -grade.along, -grade.across, grade.zero_along, grade.zero_across)
    turned = cut_and_fill(replace(surface, heights=-surface.heights), under)
    assert (turned.fill, turned.cut) == pytest.approx((earth.cut, earth.fill), rel=1e-12, abs=1e-15)


@given(surface=surfaces(), grade=GRADES)
def test_mirrored_and_transposed_ground_moves_the_same_earth(surface, grade):
    earth = cut_and_fill(surface, grade)
    end = surface.across_m[-1]
    mirrored = cut_and_fill(
        replace(surface, heights=surface.heights[:, ::-1], across_m=(end - surface.across_m)[::-1]),
        replace(grade, across=-grade.across, zero_across=end - grade.zero_across),
    )
    transposed = cut_and_fill(
        Surface(surface.heights.T, surface.across_m, surface.along_m, surface.inset_m),
        Grade(grade.offset, grade.across, grade.along, grade.zero_across, grade.zero_along),
    )
    worst = 1e-12 * surface.area * 0.1
    for other in (mirrored, transposed):
        assert (other.cut, other.fill) == pytest.approx((earth.cut, earth.fill), rel=0, abs=worst)


def test_the_strip_beyond_the_shots_is_level():
    surface = evenly([[0.2, 0.2], [0.0, 0.0]], 4.0, 1.0)
    assert surface.area == 36.0
    # Level strips 6 x 1 m in front (0.2 m) and behind (0), between them 6 x 4 m at 0.1 m on average.
    assert cut_and_fill(surface, Grade(0.0)).cut == pytest.approx(6 * 0.2 + 24 * 0.1)


@given(surface=surfaces())
def test_average_by_area_agrees_with_the_weights_of_the_shots(surface):
    weights = area_weights(surface.along_m, surface.across_m, surface.inset_m)
    assert weights.sum() == pytest.approx(surface.area)
    assert surface.average == pytest.approx((weights * surface.heights).sum() / surface.area, abs=1e-15)


def test_covered_counts_area():
    weights = area_weights(np.array([0.0, 2.0, 4.0]), np.array([0.0, 2.0]), 0.0)
    counts = np.array([[True, True], [True, False], [False, False]])
    # A corner stands for 1 m2 and a middle one for 2 m2, of 8 m2.
    assert covered(weights, counts) == pytest.approx((1 + 1 + 2) / 8)
    assert covered(weights, np.ones((3, 2), dtype=bool)) == 1.0
    assert covered(weights, np.zeros((3, 2), dtype=bool)) == 0.0


@pytest.mark.parametrize("heights", [np.zeros((3, 2)), np.zeros((1, 3)), np.array([[0.0, np.nan, 0.0]] * 3)])
def test_what_is_no_surface_is_refused(heights):
    with pytest.raises(ValueError, match="height"):
        Surface(heights, np.arange(heights.shape[0]) * 1.0, np.arange(3.0))


# -- balance ---------------------------------------------------------------------------------------


def test_spare_in_words_of_the_trade():
    earth = cut_and_fill(evenly([[0.3, 0.3], [-0.1, -0.1]], 10.0), Grade(0.0))
    assert earth.spare(0.0) == pytest.approx(10.0)
    assert earth.spare(0.1, on_hand=2.0) == pytest.approx(10.0 - 0.1 * earth.cut + 2.0)


@given(surface=surfaces(), grade=GRADES, shrink=SHRINKS, on_hand=st.sampled_from([0.0, 0.2, -0.2]))
@settings(max_examples=200, deadline=None)
def test_at_the_balance_nothing_is_spare(surface, grade, shrink, on_hand):
    offset = balance(surface, grade, shrink, on_hand)
    earth = cut_and_fill(surface, replace(grade, offset=offset))
    assert earth.spare(shrink, on_hand) == pytest.approx(0.0, abs=1e-12 * surface.area)


@given(seed=st.integers(0, 2**32 - 1), shrink=SHRINKS)
@settings(max_examples=25, deadline=None)
def test_balance_against_brentq(seed, shrink):
    random = np.random.default_rng(seed)
    surface = evenly(random.normal(0.0, 0.05, random.integers(2, 12, 2)), 2.0)
    slopes = Grade(0.0, 0.00713, -0.00391)

    def spare(offset):
        cut, fill = divided_differences(surface, replace(slopes, offset=offset))
        return cut * (1 - shrink) - fill

    expected = brentq(spare, -1.0, 1.0, xtol=1e-14, rtol=1e-14)
    assert balance(surface, slopes, shrink) == pytest.approx(expected, rel=0, abs=1e-10)


def test_a_pad_dug_to_the_balance_leaves_nothing_over():
    # What is cut off, shrunk and spread in the lows, fills them: 1e-6 of the gross volume at most.
    shrink, slopes = 0.1, Grade(0.0, 0.01, -0.005)
    surface = evenly(np.random.default_rng(11).normal(0.0, 0.04, (9, 7)), 2.0, 0.6)
    target = replace(slopes, offset=balance(surface, slopes, shrink))
    earth = cut_and_fill(surface, target)
    assert abs(earth.spare(shrink)) <= 1e-6 * gross(earth)
    cut, fill = exact_cut_and_fill(surface, target)
    assert abs(float(cut) * (1 - shrink) - float(fill)) <= 1e-6 * gross(earth)


def test_flat_ground_balances_where_it_lies():
    for shrink in (0.0, 0.1, -0.3):
        assert balance(evenly(np.full((3, 3), -0.0125)), Grade(0.0), shrink) == pytest.approx(-0.0125, abs=1e-15)


def test_terraces_balance():
    # Half the pad at 0.1 m, half at 0, one step between: the target sits where (1 - s) x cut area x depth =
    # fill.
    surface = evenly([[0.1, 0.1], [0.1, 0.1], [0.0, 0.0], [0.0, 0.0]], 5.0)
    offset = balance(surface, Grade(0.0), 0.25)
    assert cut_and_fill(surface, Grade(offset)).spare(0.25) == pytest.approx(0.0, abs=1e-15)
    assert 0.0 < offset < surface.average


def test_dirt_that_shrinks_to_nothing_cannot_balance():
    with pytest.raises(ValueError, match="shrinks to nothing"):
        balance(evenly([[0.0, 1.0], [0.0, 0.0]]), Grade(0.0), 1.0)


def test_one_relief_serves_each_offset():
    surface, slopes = (
        evenly(np.random.default_rng(3).normal(0, 0.05, (8, 6)), 2.0, 0.5),
        Grade(9.0, 0.002, 0.001),
    )
    offsets = np.linspace(-0.1, 0.1, 9)
    relief = surface.over(slopes)
    for offset in offsets:
        assert relief.at(float(offset)) == cut_and_fill(surface, replace(slopes, offset=float(offset)))


def test_no_dirt_is_on_hand_unless_it_is_said():
    """A level metre of ground over 4 x 2 m: a target a metre up balances without shrink, whatever the shrink is."""
    ground = Surface(np.ones((2, 2)), np.array([0.0, 4.0]), np.array([0.0, 2.0]))
    for shrink in (0.0, 0.25):
        assert ground.over(Grade(0.0)).balance(shrink) == pytest.approx(1.0, abs=1e-12)
    assert ground.over(Grade(0.0)).balance(0.25, 4.0) == pytest.approx(1.5, abs=1e-12), "4 m3 over 8 m2"
