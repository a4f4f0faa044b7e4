"""Balanced planes of least squares and of least earth, against numpy and scipy on independent functions."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq, minimize

from rodcall.book.model.outline import Outline
from rodcall.figures.earthwork.volumes import Grade, Surface
from rodcall.figures.ground import best_slopes
from rodcall.figures.ground.averages import area_weights
from rodcall.figures.ground.best_slopes import _updated, _weigh, _Weighed, least_earth_grade, least_squares_grade
from tests.kit import cut_and_fill

from .triangles import divided_differences


def ground(seed, shape=(6, 5), inset=0.0):
    random = np.random.default_rng(seed)
    along, across = np.arange(shape[0]) * 2.0, np.arange(shape[1]) * 1.5
    tilt = random.normal(0.0, 0.01, 2)
    heights = random.normal(0.0, 0.03, shape) + tilt[0] * along[:, None] + tilt[1] * across
    heights[0, 0] += 0.3  # a pile: squares weigh it far more than earth does
    return Surface(heights, along, across, inset)


def moved(surface, grade):
    earth = cut_and_fill(surface, grade)
    return earth.cut + earth.fill


@pytest.mark.parametrize("seed", range(4))
def test_least_squares_slopes(seed):
    surface = ground(seed)
    weights = np.sqrt(area_weights(surface.along_m, surface.across_m, 0.0).ravel())
    along, across = (m.ravel() for m in np.meshgrid(surface.along_m, surface.across_m, indexing="ij"))
    design = np.column_stack((np.ones_like(along), along, across))
    height, *slopes = np.linalg.lstsq(design * weights[:, None], surface.heights.ravel() * weights)[0]
    grade = least_squares_grade(surface, 0.0)
    assert (grade.along, grade.across) == pytest.approx(tuple(slopes), rel=1e-10)
    # IASRI land levelling lesson 18 (SEEN): the weighted fit goes through the centroid, and so it
    # balances.
    assert grade.offset == pytest.approx(height, abs=1e-12)


@pytest.mark.parametrize("best", [least_squares_grade, least_earth_grade])
@pytest.mark.parametrize("shrink", [0.0, 0.1, -0.3])
def test_best_planes_balance_wherever_the_zero_is(best, shrink):
    surface = ground(5, inset=0.5)
    grade = best(surface, shrink, 0.2)
    assert cut_and_fill(surface, grade).spare(shrink, 0.2) == pytest.approx(0.0, abs=1e-12)
    elsewhere = best(surface, shrink, 0.2, zero=(4.0, 3.0))
    assert elsewhere.offset == pytest.approx(grade.at(4.0, 3.0), abs=1e-9)


@pytest.mark.parametrize("shrink", [0.0, 0.1, 0.3, -0.3])
@pytest.mark.parametrize("seed", range(3))
def test_least_earth_against_scipy(seed, shrink):
    surface = ground(seed)

    def earth_moved(slopes):
        def spare(offset):
            cut, fill = divided_differences(surface, Grade(offset, *slopes))
            return cut * (1 - shrink) - fill

        return sum(divided_differences(surface, Grade(brentq(spare, -2.0, 2.0, xtol=1e-13), *slopes)))

    start = least_squares_grade(surface, shrink)
    simplex = [[start.along + a, start.across + b] for a, b in ((0.0, 0.0), (0.01, 0.0), (0.0, 0.01))]
    found = minimize(earth_moved, simplex[0], method="Nelder-Mead",
                     options={"initial_simplex": simplex, "xatol": 1e-8, "fatol": 1e-11})  # fmt: skip
    grade = least_earth_grade(surface, shrink)
    assert moved(surface, grade) == pytest.approx(found.fun, rel=1e-7)
    assert moved(surface, grade) < moved(surface, start)


def test_least_earth_has_the_centroid_of_the_cut_in_the_middle_of_the_pad():
    # A small turn about the middle changes the cut by the area's first moment alone: none is left at the
    # least.
    surface = ground(2, (12, 10), 0.5)
    grade = least_earth_grade(surface, 0.0)
    middle = Grade(grade.at(*surface.centre), grade.along, grade.across, *surface.centre)
    turn = 1e-5
    for slope in ("along", "across"):
        more, less = (cut_and_fill(surface, replace(middle, **{slope: getattr(middle, slope) + d})).cut
                      for d in (turn, -turn))  # fmt: skip
        assert (more - less) / (2 * turn) == pytest.approx(0.0, abs=1e-4 * surface.area)


@pytest.mark.parametrize("best", [least_squares_grade, least_earth_grade])
def test_ground_that_is_a_plane_is_left_as_it_is(best):
    along, across = np.arange(5) * 3.0, np.arange(4) * 2.0
    surface = Surface(0.1 + 0.01 * along[:, None] - 0.02 * across, along, across)
    grade = best(surface, 0.1)
    assert (grade.offset, grade.along, grade.across) == pytest.approx((0.1, 0.01, -0.02), abs=1e-12)
    assert moved(surface, grade) == pytest.approx(0.0, abs=1e-12)


def test_least_earth_never_ends_above_least_squares():
    # Terraces: flat in pieces, where the search meets kinks.
    heights = np.zeros((6, 6))
    heights[:3, :] = 0.2
    heights[4:, 4:] = -0.1
    surface = Surface(heights, np.arange(6.0), np.arange(6.0))
    for shrink in (0.0, 0.2):
        least, squares = least_earth_grade(surface, shrink), least_squares_grade(surface, shrink)
        assert moved(surface, least) <= moved(surface, squares)


OUTLINE = Outline(((0.0, 0.5), (1.0, 6.0), (9.0, 5.0), (10.0, 1.5)))


@pytest.mark.parametrize("outline", [None, OUTLINE])
@pytest.mark.parametrize("shrink", [0.0, 0.3, -0.3])
@pytest.mark.parametrize("seed", range(3))
def test_how_the_cut_changes_with_the_slopes_is_told_exactly(seed, shrink, outline):
    """Beside central differences of the cut of balanced planes; kinks leave them a hundred-thousandth off."""
    surface = replace(ground(seed), outline=outline)
    slopes, step = np.array([0.004, -0.003]), 1e-5
    told = _weigh(surface, slopes, shrink, 0.1).gradient
    for way in (0, 1):
        turn = step * np.eye(2)[way]
        more, less = (_weigh(surface, slopes + each, shrink, 0.1).cut for each in (turn, -turn))
        assert told[way] == pytest.approx((more - less) / (2 * step), abs=1e-5 * surface.area)


def test_the_curvature_carries_a_step_to_its_change_and_stays_where_that_says_nothing():
    """The secant condition of quasi-Newton methods (Nocedal and Wright, Numerical Optimization, 6.4, MEMORY)."""
    before = np.array([[2.0, 0.5], [0.5, 1.0]])
    step, change = np.array([0.3, -0.2]), np.array([0.1, -0.4])
    after = _updated(before, step, change)
    assert after @ change == pytest.approx(step, rel=1e-12)
    assert after == pytest.approx(after.T, rel=1e-12)
    # BFGS word by word (6.17): (I - r s y') H (I - r y s') + r s s' with r = 1 / y's.
    share = 1 / (change @ step)
    left, right = (np.eye(2) - share * np.outer(*pair) for pair in ((step, change), (change, step)))
    assert after == pytest.approx(left @ before @ right + share * np.outer(step, step), rel=1e-12)
    for nothing in (np.zeros(2), -change, np.array([0.2, 0.3])):
        assert _updated(before, step, nothing) is before


def terraces(seed):
    heights = np.rint(np.random.default_rng(seed).normal(0, 1, (7, 6))) * 0.1
    return Surface(heights, np.arange(7) * 3.0, np.arange(6) * 3.0)


BIG = Surface(ground(5).heights * 30, np.arange(6) * 20.0, np.arange(5) * 15.0)
STEPPED = Surface(np.kron([[0.2, 0.2], [0.0, -0.1]], np.ones((3, 3))), np.arange(6.0), np.arange(6.0))


@pytest.mark.parametrize(
    "surface", [*map(ground, range(4)), ground(2, (12, 10), 0.5), *map(terraces, range(3)), BIG, STEPPED]
)
@pytest.mark.parametrize("shrink", [0.0, 0.2])
def test_the_search_weighs_few_planes(monkeypatch, surface, shrink):
    """Each takes milliseconds on a big pad: 7 to 12 of them were enough on these; twice as many are a search astray."""
    weighed = []
    monkeypatch.setattr(best_slopes, "_weigh", lambda *of: weighed.append(of) or _weigh(*of))
    least_earth_grade(surface, shrink)
    assert 1 <= len(weighed) <= 13


class EnoughError(Exception):
    """So many tries were watched."""


@pytest.mark.parametrize(("gains", "taken"), [(1.01, 1), (0.99, 2), (0.52, 2), (0.4, 3), (0.26, 3)])
def test_a_step_is_halved_until_it_gains_a_ten_thousandth_of_what_its_slope_promises(monkeypatch, gains, taken):
    """Armijo's rule (Nocedal and Wright, Numerical Optimization, 3.1, MEMORY): whatever is tried gains so many ten
    thousandths of what the first step promises; so much is enough for a whole step, half for half a step."""
    surface = ground(1)
    half = np.array([np.ptp(surface.node_along), np.ptp(surface.node_across)]) / 2
    tried = []

    def weighed(_, slopes, *of):
        told = _weigh(surface, slopes, *of)
        if not tried:
            tried.append(slopes)
            first[:] = [told, slopes]
            return told
        if len(tried) > 5:
            raise EnoughError
        tried.append(slopes)
        start = first[0]
        gradient = start.gradient / half
        promised = start.cut / surface.area**2 * float(gradient @ gradient)
        return _Weighed(start.cut - gains * 1e-4 * promised, start.gradient)

    first = []
    monkeypatch.setattr(best_slopes, "_weigh", weighed)
    with pytest.raises(EnoughError):
        least_earth_grade(surface, 0.1)
    away = [np.hypot(*(each - tried[0])) for each in tried[1:]]
    assert np.array(away[:taken]) * 2.0 ** np.arange(taken) == pytest.approx(away[0], rel=1e-9)
    assert away[taken] > away[taken - 1], "and from there on with a whole step"


def test_where_no_step_gains_the_search_ends_after_thirty_halvings(monkeypatch):
    """A billionth of a step is left then; the plane of least squares stays."""
    surface, weighed = ground(1), []

    def never(_, *of):
        weighed.append(of)
        told = _weigh(surface, *of)
        return told if len(weighed) == 1 else _Weighed(told.cut + 1.0, told.gradient)

    monkeypatch.setattr(best_slopes, "_weigh", never)
    found, start = least_earth_grade(surface, 0.1), least_squares_grade(surface, 0.1)
    assert (found.along, found.across, found.offset) == pytest.approx((start.along, start.across, start.offset))
    assert len(weighed) == 1 + 30
