"""Edges of the ground and jumps beyond them: against the same worked out with whole matrices, and on stepped ground."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.spatial import Delaunay

from rodcall.figures.outliers import edges, expectation
from rodcall.figures.outliers.edges import Ground, edged
from rodcall.figures.outliers.expectation import expect
from rodcall.figures.outliers.judging import judge
from rodcall.figures.outliers.jumps import enclosed, jumps_of, widened, within
from rodcall.figures.outliers.mistakes import Mistake
from rodcall.figures.outliers.outlier import expected_at
from rodcall.figures.outliers.places import Places
from rodcall.units import FOOT, INCH
from tests.detectors import INCHES
from tests.simulated_ground import other_ground

N = 11
FREEDOM = N + 2.0
KNOWN = 2 * 0.05**2
"""Sum of squares that is known beforehand: two shots' worth of 5 cm."""


def some_ground(seed: int) -> tuple[np.ndarray, np.ndarray, Ground]:
    """Offsets of eleven shots, heights, and one member of the bank as it sees them."""
    rng = np.random.default_rng(seed)
    offsets = rng.uniform(-3, 3, (N, 2))
    heights = rng.normal(0, 0.02, N) + 0.08 * (offsets[:, 0] > 0.5)
    places = np.vstack([offsets, np.zeros(2)])
    factor = np.linalg.cholesky(expectation._covariance(places))[[8]]
    independent = np.linalg.solve(factor[0, :N, :N], heights)
    squares = KNOWN + independent @ independent
    belief = -np.log(np.diag(factor[0])[:N]).sum() - FREEDOM / 2 * np.log(squares)
    centre = factor[0, N, :N] @ independent
    return (
        offsets,
        heights,
        Ground(independent[None, None], factor, np.array([[squares]]), np.array([[belief]]), np.array([[centre]])),
    )


def by_hand(offsets: np.ndarray, heights: np.ndarray, lines: list[np.ndarray]) -> tuple[float, float, float]:
    """Log marginal likelihood, centre and scale with whole matrices: each edge adds its rank-one term."""
    whole = expectation._covariance(np.vstack([offsets, np.zeros(2)]))[8]
    whole = whole + 64 * sum(np.outer(line, line) for line in lines)
    among, across = whole[:N, :N], whole[N, :N]
    squares = KNOWN + heights @ np.linalg.solve(among, heights)
    left = whole[N, N] - across @ np.linalg.solve(among, across)
    return (
        -np.linalg.slogdet(among)[1] / 2 - FREEDOM / 2 * np.log(squares),
        across @ np.linalg.solve(among, heights),
        np.sqrt(left * squares / FREEDOM),
    )


@pytest.mark.parametrize("seed", range(5))
def test_one_edge_and_two_are_weighed_as_with_whole_matrices(seed):
    offsets, heights, ground = some_ground(seed)
    lines = edges._beyond(Places(offsets), 6, 5)
    over = edges._Over(ground, 0, lines, FREEDOM)
    over.look_on()
    best = int(over.one[0].argmax())
    assert over.best[0] == best
    for at in range(lines.shape[1]):
        one = by_hand(offsets, heights, [lines[:, at]])
        assert (over.one[0, at], over.centres_one[0, at], over.scales_one[0, at]) == pytest.approx(one, rel=1e-7)
        likelihood, *two = by_hand(offsets, heights, [lines[:, best], lines[:, at]])
        # Half of it, where another line parts the shots as the best does.
        two = (likelihood - np.log(2) * (over.twin[0] != best), *two)
        assert (over.two[0, at], over.centres_two[0, at], over.scales_two[0, at]) == pytest.approx(two, rel=1e-7)


@pytest.mark.parametrize("second", [False, True])
def test_the_surprise_of_a_shot_is_what_the_others_say_of_it(second):
    offsets, heights, ground = some_ground(7)
    lines = edges._beyond(Places(offsets), 6, 5)
    over = edges._Over(ground, 0, lines, FREEDOM)
    over.look_on()
    line = int((over.two if second else over.one)[0].argmax())
    which = over.both(0, line + second * lines.shape[1])
    whole = expectation._covariance(offsets)[8] + 64 * sum(np.outer(*2 * [lines[:N, at]]) for at in which)
    scale = np.sqrt((KNOWN + heights @ np.linalg.solve(whole, heights)) / FREEDOM)
    surprise, deviation = over.surprise(0, line + second * lines.shape[1])
    for at in range(N):
        rest = np.delete(np.arange(N), at)
        weights = np.linalg.solve(whole[np.ix_(rest, rest)], whole[rest, at])
        spread = scale * np.sqrt(whole[at, at] - weights @ whole[rest, at])
        assert deviation[at] == pytest.approx(spread, rel=1e-7)
        assert surprise[at] == pytest.approx((heights[at] - weights @ heights[rest]) / spread, rel=1e-6)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000), st.integers(5, 30))
def test_each_line_parts_the_shots_and_is_straight(seed, shots):
    """COMPUTED by scipy's linprog: a plane that is above 1 beyond the line and below -1 before it."""
    places = np.random.default_rng(seed).integers(-4, 5, (shots, 2)).astype(float)
    places = np.unique(places[places.any(axis=1)], axis=0)
    assume(len(places) > 3)
    lines = edges._beyond(Places(places), 12, 16)
    assert len({each.tobytes() for each in lines.T}) == lines.shape[1]
    at = np.column_stack([np.vstack([places, np.zeros(2)]), np.ones(len(places) + 1)])
    for line in lines.T[:12]:
        assert 0 < line[:-1].sum() < len(places)
        side = 1 - 2 * line
        assert linprog(np.zeros(3), side[:, None] * at, -np.ones(len(at)), bounds=(None, None)).status == 0


def test_smooth_ground_has_no_edges_and_stepped_ground_has():
    offsets = np.array([(r, c) for r in range(-4, 1) for c in range(-3, 4) if (r, c) != (0, 0)], float)
    rng = np.random.default_rng(3)
    rough = rng.normal(0, 0.004, len(offsets))
    stepped = rough + 0.07 * (offsets[:, 1] > 1.2)
    # What is expected on the near side of the edge, three spacings off it and one.
    for heights, many in ((rough, 3), (rough + 0.01 * offsets[:, 0], 3), (stepped, 6)):
        assert (expect(heights, offsets).centres.size > 13 * 3) is (many == 6)
    assert float(expect(stepped, offsets).centre) == pytest.approx(0.0, abs=0.01)
    assert float(expect(stepped, offsets).deviation) < 0.02


def test_several_positions_at_once_are_told_as_one_by_one():
    """Some with edges and some without."""
    offsets = np.array([(r, c) for r in range(-4, 1) for c in range(-3, 4) if (r, c) != (0, 0)], float)
    rng = np.random.default_rng(4)
    rows = rng.normal(0, 0.004, (5, len(offsets)))
    rows[1] += 0.07 * (offsets[:, 1] > 1.2)
    rows[3] -= 0.05 * (offsets[:, 0] < -2)
    together, at = expect(rows, offsets), np.linspace(-0.3, 0.3, 7)
    for row, heights in enumerate(rows):
        alone = expect(heights, offsets).log_density(at)
        assert together[row].log_density(at) == pytest.approx(alone, abs=0.02)


@pytest.mark.parametrize("kind", ["two levels", "steps", "heavy tails"])
@pytest.mark.parametrize("seed", range(3))
def test_a_pad_mirrored_or_turned_is_judged_alike(kind, seed):
    """Which corner is A1 is no matter, nor which side of an edge is called beyond, nor the order of the shots."""
    rng = np.random.default_rng(seed)
    pad = other_ground(rng, INCHES.step_nm, kind, (7, 5))
    at = np.arange(35).reshape(7, 5)
    alike = [
        (pad.heights[::-1], at[::-1], pad.along_m, pad.across_m),
        (pad.heights[:, ::-1], at[:, ::-1], pad.along_m, pad.across_m),
        (pad.heights.T, at.T, pad.across_m, pad.along_m),
    ]
    heights_m = pad.heights.mean() * 1e-9 + np.linspace(-0.2, 0.2, 5)
    for index in rng.permutation(35)[:6].tolist():
        plain = expected_at(pad.heights, np.ones((7, 5), np.bool_), index, pad.along_m, pad.across_m)
        for heights, where, *axes in alike:
            there = int(np.flatnonzero(where.ravel() == index)[0])
            told = expected_at(np.ascontiguousarray(heights), np.ones(heights.shape, np.bool_), there, *axes)
            # As many lines as are told stand for the rest: those that are worth the same may be others.
            assert told.log_density(heights_m) == pytest.approx(plain.log_density(heights_m), abs=0.02)


def test_a_pad_of_two_levels_questions_no_spot_beside_the_edge_but_a_foot():
    rows, columns = np.indices((8, 6))
    even = np.arange(8) * 3.0, np.arange(6) * 3.0
    heights = ((rows * 3 + columns * 5) % 3 + 24 * (2 * rows + columns > 10)).astype(np.int64) * (INCH // 8)
    counts = np.ones((8, 6), np.bool_)
    assert not any(judge(heights, counts, index, *even, INCHES) for index in range(48))
    for index in (13, 20, 26, 34):
        wrong = heights.copy()
        wrong.flat[index] -= FOOT
        assert judge(wrong, counts, index, *even, INCHES).explanations[0].mistake is Mistake.FOOT


# -- jumps -----------------------------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(3, 12))
def test_a_position_is_enclosed_where_it_lies_in_the_hull_of_the_shots(seed, shots):
    """COMPUTED by scipy's Delaunay triangulation; not where it lies on the hull's very edge."""
    offsets = np.random.default_rng(seed).uniform(-2, 2, (shots, 2)) + np.array([0.6, 0.0])
    assert enclosed(offsets) is bool(Delaunay(offsets).find_simplex(np.zeros(2)) >= 0)


def test_between_two_neighbours_of_one_line_it_is_enclosed_at_the_end_of_one_it_is_not():
    line = np.array([(0.0, -1), (0.0, 1), (-1.0, 0)])
    assert enclosed(line)
    assert not enclosed(line[[0, 2]])
    assert not enclosed(line[:1])


def test_what_is_enclosed_lies_less_often_beyond_an_edge():
    shares = np.array([[0.7, 0.1, 0.2]])
    assert within(shares) == pytest.approx(np.array([[0.7, 0.1, 0.04]]) / 0.84)


def test_a_stone_is_a_few_centimetres_and_an_edge_does_not_ask_how_even_the_ground_is():
    """Standard deviations, root sum of squares: 3 cm at most of a stone, 6 of an edge."""
    told = widened(np.array([0.001, 0.1]))
    assert told[0] == pytest.approx([0.001, 0.003, np.hypot(0.001, 0.06)])
    assert told[1] == pytest.approx([0.1, np.hypot(0.1, 0.03), np.hypot(0.1, 0.06)])


def test_what_the_shots_show_is_learned_and_nothing_seen_is_what_is_usual():
    usual = np.array([4, 0.3, 0.5]) / 4.8
    none = jumps_of(np.zeros((1, 0)), np.zeros((1, 0)), np.zeros(1), 8.0)
    assert none[0] == pytest.approx(usual)
    even, one_far = np.full((1, 20), 0.8), np.full((1, 20), 0.8)
    one_far[0, 3] = 12
    deviation = np.full((1, 20), 0.005)
    plain, jumped = (jumps_of(each, deviation, np.zeros(1), 8.0)[0] for each in (even, one_far))
    assert plain.sum() == pytest.approx(1)
    assert plain[2] < usual[2] < jumped[2] + 0.05
    assert jumped[2] > 2 * plain[2]
    # An edge that is known counts as one and a half shots beyond another.
    more = jumps_of(np.zeros((1, 0)), np.zeros((1, 0)), np.ones(1), 8.0)[0]
    assert more == pytest.approx(np.array([4, 0.3, 2.0]) / 6.3)


def test_edges_are_none_where_no_line_parts_the_shots():
    offsets, _, ground = some_ground(1)
    one_place = np.zeros_like(offsets) + offsets[0]
    assert edged(ground, one_place, np.array([0.0]), FREEDOM) is None
