"""What is expected at a position, against the same written out: scipy's Student t, each covariance entry by entry."""

from __future__ import annotations

import warnings
from functools import cache
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_t

from rodcall.figures.outliers import expectation
from rodcall.figures.outliers.edges import Ground, edged
from rodcall.figures.outliers.expectation import NEAREST, WINDOW, expect, log_evidence, nearest
from rodcall.figures.outliers.jumps import enclosed, jumps_of, widened, within

BEFORE = expectation._SHOTS_WORTH
USUAL_M = expectation._USUAL_M


def bank() -> list[tuple[float, float, float, float]]:
    """Reach along and across, roughness and slope of each member, as the module's docstrings say them."""
    smooth = list(expectation._SMOOTH)
    alike = [*smooth, expectation._ROUGH]
    return (
        [(reach, reach, rough, expectation._SLOPE) for reach, rough in alike]
        + [(along, across, expectation._LINED_ROUGH, expectation._SLOPE) for along, across in expectation._LINED]
        + [(reach, reach, rough, expectation._STEEP) for reach, rough in smooth if reach == max(r for r, _ in smooth)]
    )


def covariance(member: tuple[float, float, float, float], places: np.ndarray) -> np.ndarray:
    """Entry by entry: level, plane, rational quadratic with exponent 1 (Rasmussen and Williams 2006, eq. 4.19, MEMORY:
    1 / (1 + r^2 / 2 l^2)), and roughness of each spot's own.

    Heights are told from a spot on the ground, which lies off its mean as any other does: by a standard deviation of 1.
    """
    along, across, rough, slope = member
    found = np.empty((len(places), len(places)))
    for i, j in product(range(len(places)), repeat=2):
        (x, y), (u, v) = places[i], places[j]
        smooth = 1 / (1 + (x - u) ** 2 / (2 * along**2) + (y - v) ** 2 / (2 * across**2))
        plane = 1 + slope**2 * (x * u + y * v)
        found[i, j] = (1 - rough) * smooth + plane + (rough if i == j else 0.0)
    return found


def zero_of(heights: np.ndarray) -> float:
    """Heights are counted from the zero, or from their median where they lie further from the zero than they range."""
    middle = float(np.median(heights))
    return middle if abs(middle) > heights.max() - heights.min() else 0.0


def log_joint(member: tuple[float, float, float, float], heights: np.ndarray, places: np.ndarray, zero: float) -> float:
    """By scipy's multivariate t: a scale that is known beforehand as so many shots would tell it, integrated out."""
    shape = USUAL_M**2 * covariance(member, places)
    return float(multivariate_t.logpdf(heights, np.full(len(heights), zero), shape, df=BEFORE))


def some(seed: int, shots: int = 7, zero: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """Heights and offsets of some shots that are no grid and are not alike in any two ways."""
    rng = np.random.default_rng(seed)
    places = rng.uniform(-4, 4, (shots, 2)) + rng.uniform(-1, 1, 2)
    return zero + rng.normal(0.01, 0.03, shots) + 0.02 * places[:, 0] - 0.01 * places[:, 1], places


AT_ITSELF = np.zeros((1, 2))


def plainly(heights: np.ndarray, offsets: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Share, centre and scale of each member: by Bayes' rule, and by solving the normal equations."""
    zero, n = zero_of(heights), len(heights)
    shares = np.array([log_joint(member, heights, offsets, zero) for member in bank()])
    shares = np.exp(shares - shares.max())
    centres, scales = [], []
    for member in bank():
        whole = covariance(member, np.vstack([offsets, AT_ITSELF]))
        among, across = whole[:n, :n], whole[n, :n]
        weights = np.linalg.solve(among, across)
        squares = BEFORE * USUAL_M**2 + (heights - zero) @ np.linalg.solve(among, heights - zero)
        centres.append(zero + weights @ (heights - zero))
        scales.append(np.sqrt((whole[n, n] - weights @ across) * squares / (BEFORE + n)))
    return shares / shares.sum(), np.array(centres), np.array(scales)


# -- smooth ground -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("zero", [0.0, 0.4, -12.0])
@pytest.mark.parametrize("seed", range(3))
def test_a_further_height_is_as_likely_as_all_together_over_those_known(seed, zero):
    """Bayes' rule over the bank: the density is the sum of the joint ones over the sum of those without it."""
    heights, offsets = some(seed, 5 + 2 * seed, zero)
    places, counted = np.vstack([offsets, AT_ITSELF]), zero_of(heights)
    known = np.logaddexp.reduce([log_joint(member, heights, offsets, counted) for member in bank()])
    expected = expect(heights, offsets, jumps=False)
    for further in zero + np.array([-0.3, 0.0, 0.02, 0.11, 2.0]):
        joint = [log_joint(member, np.append(heights, further), places, counted) for member in bank()]
        by_bayes = np.logaddexp.reduce(joint) - known
        assert expected.log_density(np.array([further]))[0] == pytest.approx(by_bayes, rel=1e-7, abs=1e-7)


@pytest.mark.parametrize("seed", range(3))
def test_each_member_tells_its_own_centre_and_scale(seed):
    heights, offsets = some(10 + seed, 6 + seed)
    shares, centres, scales = plainly(heights, offsets)
    told = expect(heights, offsets, jumps=False)
    assert told.centres == pytest.approx(centres, rel=1e-8)
    assert told.scales == pytest.approx(scales, rel=1e-8)
    assert told.shares == pytest.approx(shares, rel=1e-7)
    assert told.freedom == BEFORE + len(heights)


def test_one_shot_tells_of_a_position_too():
    for height in (0.0, 0.3, -5.0):
        heights, offsets = np.array([height]), np.array([(1.0, -2.0)])
        shares, centres, scales = plainly(heights, offsets)
        told = expect(heights, offsets, jumps=False)
        assert told.centres == pytest.approx(centres, rel=1e-8)
        assert told.scales == pytest.approx(scales, rel=1e-8)
        assert told.shares == pytest.approx(shares, rel=1e-8)


def test_of_as_many_shots_as_are_heard_on_an_even_pad_each_member_has_its_share():
    """The likelihoods of 72 shots within a tenth of a millimetre, e to the 360th, are hardly floats any more."""
    offsets = np.array([(r, c) for r in range(-4, 5) for c in range(-4, 5) if (r, c) != (0, 0)], float)[:72]
    heights = np.random.default_rng(3).normal(0, 1e-4, 72)
    shares, _, _ = plainly(heights, offsets)
    assert expect(heights, offsets, jumps=False).shares == pytest.approx(shares, rel=1e-6)


def test_what_is_known_beforehand_is_worth_two_shots_of_an_inch_or_two():
    """Two degrees of freedom, and one more for each shot. An inch or two of natural ground: common practice."""
    for shots in (1, 9):
        assert expect(np.zeros(shots), some(60, shots)[1], jumps=False).freedom == 2 + shots
    assert 0.0254 <= expectation._USUAL_M <= 2 * 0.0254


@pytest.mark.parametrize("jumps", [False, True])
@pytest.mark.parametrize("seed", range(3))
def test_a_pad_turned_by_a_quarter_or_mirrored_leads_one_to_expect_the_same(seed, jumps):
    """Nobody knows which way a pad's lines run with the ground: what holds along holds across."""
    heights, offsets = some(40 + seed, 12)
    at = np.linspace(-0.3, 0.3, 7)
    plain = expect(heights, offsets, jumps=jumps).log_density(at)
    for turned in (offsets[:, ::-1], offsets * np.array([-1, 1]), offsets * np.array([1, -1])):
        # Edges are thought of in so many directions only.
        assert expect(heights, turned, jumps=jumps).log_density(at) == pytest.approx(plain, abs=0.05 if jumps else 1e-9)


@given(st.integers(0, 2**32))
def test_the_order_of_the_shots_and_which_way_is_up_tell_nothing(seed):
    heights, offsets = some(seed, 9)
    at, order = np.linspace(-0.3, 0.3, 7), np.random.default_rng(seed).permutation(9)
    plain = pytest.approx(expect(heights, offsets, jumps=False).log_density(at), abs=1e-8)
    assert expect(heights[order], offsets[order], jumps=False).log_density(at) == plain
    assert expect(-heights, offsets, jumps=False).log_density(-at) == plain


@pytest.mark.parametrize("jumps", [False, True])
@pytest.mark.parametrize("rows", [1, 2, expectation._FEW, expectation._FEW + 1, expectation._FEW + 4])
def test_positions_that_lie_alike_are_told_together_as_each_alone(rows, jumps):
    """Few rows and many go two ways; their zeros lie apart, and each has its own likeliest member."""
    _, offsets = some(21, 9)
    rng = np.random.default_rng(22)
    heights = rng.normal(0, 0.02, (rows, 9)) * np.linspace(0.2, 3, rows)[:, None]
    heights[::3] += 4.0
    heights[1::3] += 0.03 * offsets[:, 1]
    together, at = expect(heights, offsets, jumps=jumps), np.linspace(-0.1, 4.1, 5)
    assert together.centres.shape[0] == rows
    densities = together.log_density(at)
    for row in range(rows):
        alone = expect(heights[row], offsets, jumps=jumps)
        assert together[row].centres[:13] == pytest.approx(alone.centres[:13], rel=1e-8, abs=1e-10)
        assert densities[row] == pytest.approx(alone.log_density(at), rel=1e-6)
        assert together[row].log_density(at) == pytest.approx(densities[row])
        assert together.centre[row] == pytest.approx(together[row].centre)
        assert together.deviation[row] == pytest.approx(together[row].deviation)
        assert together.log_peak[row] == pytest.approx(together[row].log_peak)


def test_what_is_read_where_smooth_ground_leads_one_to_expect_it_is_not_held_against_jumps():
    offsets = np.array([(r, c) for r in range(-2, 3) for c in range(-2, 3) if (r, c) != (0, 0)], float)
    heights = np.random.default_rng(2).normal(0, 0.003, len(offsets))
    smooth, whole = expect(heights, offsets, jumps=False), expect(heights, offsets)
    middle = float(smooth.centre)
    assert smooth.is_just(middle)
    assert not smooth.is_just(0.2)
    assert expect(heights, offsets, read_m=middle).centres.size == smooth.centres.size
    assert expect(heights, offsets, read_m=0.2).centres.size == whole.centres.size > smooth.centres.size
    assert expect(heights, offsets, jumps=False, read_m=0.2).centres.size == smooth.centres.size
    # It says so of the one position alone, whichever shape the heights have.
    assert expect(heights[None], offsets, read_m=middle).centres.shape == (1, smooth.centres.size)
    assert expect(heights, offsets, read_m=middle).centres.shape == (smooth.centres.size,)


# -- ground that jumps -----------------------------------------------------------------------------------------------


def with_jumps(heights: np.ndarray, offsets: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, bool]:
    """Share, centre and scale of each member or edge times each kind of ground; and whether there were edges.

    Of edges and of shares of jumps their own modules tell; here all that goes into them and comes of them is plain.
    """
    n, freedom = len(heights), BEFORE + len(heights)
    shares, centres, scales = plainly(heights, offsets)
    zero = zero_of(heights)
    off = heights - zero
    independent, factors, squares, belief = [], [], [], []
    for member in bank():
        whole = covariance(member, np.vstack([offsets, AT_ITSELF]))
        factors.append(np.linalg.cholesky(whole))
        independent.append(np.linalg.solve(factors[-1][:n, :n], off))
        squares.append(BEFORE * USUAL_M**2 + independent[-1] @ independent[-1])
        belief.append(-np.log(np.diag(factors[-1])[:n]).sum() - freedom / 2 * np.log(squares[-1]))
    under = [at for at, member in enumerate(bank()) if member[2] == expectation._ROUGH[1]] + [len(bank()) - 1]
    ground = Ground(
        *(
            np.array([each[at] for at in under])
            for each in ([i[None] for i in independent], factors, [[s] for s in squares], [[b] for b in belief])
        ),
        np.array([[centres[at]] for at in under]),
    )
    found = edged(ground, offsets, np.array([np.log(np.mean(np.exp(np.array(belief))))]), freedom)
    best = int(np.argmax(shares))
    whole = covariance(bank()[best], offsets)
    surprise, deviation = np.empty((2, 1, n))
    for out in range(n):
        rest = np.delete(np.arange(n), out)
        weights = np.linalg.solve(whole[np.ix_(rest, rest)], whole[rest, out])
        deviation[0, out] = np.sqrt(squares[best] / freedom * (whole[out, out] - weights @ whole[rest, out]))
        surprise[0, out] = (off[out] - weights @ off[rest]) / deviation[0, out]
    count = np.zeros(1)
    if found is not None:
        shares = np.append(shares * (1 - found.shares.sum()), found.shares[0])
        centres, scales = np.append(centres, found.centres[0]), np.append(scales, found.scales[0])
        count = found.count
        if (found.deviation > 0).all():
            surprise, deviation = found.surprise, found.deviation
    kinds = jumps_of(surprise, deviation, count, freedom - 1)
    kinds = within(kinds) if enclosed(offsets) else kinds
    each = [
        (share * kinds[0, kind], centre, widened(np.array([scale]))[0, kind])
        for share, centre, scale in zip(shares, centres, scales, strict=True)
        for kind in range(kinds.shape[1])
    ]
    return (*np.array(each).T, found is not None)


ALL_ROUND = [(r, c) for r in range(-2, 3) for c in range(-2, 3) if (r, c) != (0, 0)]
ON_ONE_SIDE = [(r, c) for r in range(-3, 1) for c in range(-2, 4) if (r, c) < (0, 0)]


@pytest.mark.parametrize("around", [ALL_ROUND, ON_ONE_SIDE])
@pytest.mark.parametrize("kind", ["even", "one far off", "rough", "step", "step of another zero"])
def test_ground_that_may_jump_is_what_its_members_edges_and_jumps_are(around, kind):
    rng = np.random.default_rng(6)
    # Not quite on a grid, where edges that are worth the same would be told in any order.
    offsets = np.array(around) + rng.uniform(-0.1, 0.1, (len(around), 2))
    heights = rng.normal(0, 0.02 if kind == "rough" else 0.003, len(offsets))
    if kind == "one far off":
        heights[5] += 0.1
    if kind.startswith("step"):
        heights += 0.08 * (offsets[:, 1] > 0.5) + (3.0 if kind.endswith("zero") else 0.0)
    shares, centres, scales, seen = with_jumps(heights, offsets)
    told = expect(heights, offsets)
    assert seen or not kind.startswith("step")
    assert told.freedom == BEFORE + len(heights)
    assert told.shares.sum() == pytest.approx(1)
    assert told.shares == pytest.approx(shares, rel=1e-5, abs=1e-9)
    assert told.centres == pytest.approx(centres, rel=1e-5, abs=1e-9)
    assert told.scales == pytest.approx(scales, rel=1e-5)


def test_of_several_positions_each_has_the_edges_of_its_own():
    """One has none, which gives its edges no share, and no logarithm of nothing either."""
    offsets, rng = np.array(ON_ONE_SIDE, float), np.random.default_rng(7)
    heights = rng.normal(0, 0.003, (3, len(offsets)))
    heights[1] += 0.08 * (offsets[:, 1] > 0.5)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        together = expect(heights, offsets)
        densities = together.log_density(np.linspace(-0.2, 0.2, 9))
    assert np.isfinite(densities).all()
    for row in (0, 2):
        alone = expect(heights[row], offsets)
        assert densities[row] == pytest.approx(alone.log_density(np.linspace(-0.2, 0.2, 9)), abs=1e-6)
        assert together.shares[row].sum() == pytest.approx(1)


# -- evidence, and the nearest -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("zero", [0.0, 7.0])
def test_evidence_differs_as_the_joint_densities_do(zero):
    places = some(31, 9)[1]
    rows = [some(32 + at, 9, zero)[0] for at in range(3)]
    ours = [log_evidence(row, places) for row in rows]
    theirs = [np.logaddexp.reduce([log_joint(m, row, places, zero_of(row)) for m in bank()]) for row in rows]
    assert np.diff(ours) == pytest.approx(np.diff(theirs), rel=1e-7)
    # What was worked out for places that lie alike serves again.
    assert log_evidence(rows[0], places.copy()) == ours[0]


def test_heights_that_range_just_as_far_as_the_zero_lies_off_are_counted_from_it():
    """Exact in floats: a median of 1/2 and a range of 1/2; an eighth more, and they lie elsewhere."""
    _, offsets = some(50, 3)
    for heights in (np.array([0.5, 1.0, 0.5]), np.array([0.625, 1.0, 0.5])):
        told = expect(heights, offsets, jumps=False)
        assert told.centres == pytest.approx(plainly(heights, offsets)[1], rel=1e-8)


def test_on_lines_to_the_nanometre_equal_distances_come_in_one_order_everywhere():
    """A third of a foot, 101,600,000 nm, and a ninth of a metre, which is no whole number of them."""
    along, across = np.arange(20) * 0.1016, np.rint(np.arange(20) * 1e9 / 9) / 1e9
    counts = np.ones((20, 20), np.bool_)
    told = [nearest(counts, (row, column), along, across) for row, column in ((9, 9), (10, 9), (9, 11), (10, 10))]
    steps = [found - found[0] for found, _ in told]
    assert all(each.tolist() == steps[0].tolist() for each in steps)


@cache
def _grid(lines: int, columns: int, uneven: bool) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(lines)
    along = np.cumsum(rng.integers(1, 4, lines) if uneven else np.full(lines, 2)) * 0.75
    across = np.cumsum(rng.integers(1, 4, columns) if uneven else np.full(columns, 3)) * 0.75
    return along - along[0], across - across[0]


@pytest.mark.parametrize("uneven", [False, True])
@pytest.mark.parametrize(
    ("lines", "columns", "share"), [(5, 4, 0.6), (15, 15, 1.0), (40, 3, 0.5), (50, 44, 0.12), (60, 50, 0.02), (8, 9, 0)]
)
def test_the_nearest_are_those_within_the_least_window_that_holds_enough(lines, columns, share, uneven):
    """One by one: windows of so many lines and columns, doubled until more than enough are shot there."""
    along, across = _grid(lines, columns, uneven)
    rng = np.random.default_rng(lines * columns)
    counts = rng.random((lines, columns)) < share
    spacing = np.sqrt((along.max() / (lines - 1)) * (across.max() / (columns - 1)))
    for row, column in ((0, 0), (lines - 1, columns - 1), (lines // 2, columns // 2), (1, columns - 1)):
        reach = WINDOW
        while True:
            window = [
                (r, c)
                for r, c in zip(*(each.tolist() for each in np.nonzero(counts)), strict=True)
                if abs(r - row) <= reach and abs(c - column) <= reach
            ]
            if len(window) > NEAREST or reach >= max(lines, columns):
                break
            reach *= 2
        away = {
            (r, c): ((along[r] - along[row]) / spacing, (across[c] - across[column]) / spacing)
            for r, c in window
            if (r, c) != (row, column)
        }
        order = sorted(away, key=lambda at: (round(away[at][0] ** 2 + away[at][1] ** 2, 6), at))[:NEAREST]
        found, offsets = nearest(counts, (row, column), along, across)
        assert found.tolist() == [r * columns + c for r, c in order]
        assert offsets.shape == (len(order), 2)
        assert offsets.tolist() == [[round(float(each), 6) + 0.0 for each in away[at]] for at in order]
