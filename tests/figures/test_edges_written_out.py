"""Edges laid over a member of the bank, against the covariance written out: no rank-one shortcut, plain inverses."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.figures.outliers.edges import _HEIGHT, Ground, _beyond, _near, _Over, _twins, _Weighed
from rodcall.figures.outliers.places import Places

FREEDOM = 9.0
SHOTS, LINES, ROWS = 8, 6, 2


@pytest.fixture(params=range(3))
def drawn(request):
    """Some covariance of nine places, heights of eight for two positions that lie alike, and lines among the places."""
    rng = np.random.default_rng(request.param)
    at = rng.uniform(0, 5, (SHOTS + 1, 2))
    covariance = np.exp(-((at[:, None] - at) ** 2).sum(axis=2) / 4) + 0.05 * np.eye(SHOTS + 1)
    heights = rng.normal(0, 0.1, (ROWS, SHOTS))
    beyond = np.zeros((SHOTS + 1, LINES))
    while not ((beyond.sum(axis=0) > 0) & (beyond.sum(axis=0) < SHOTS)).all():
        beyond = (rng.random((SHOTS + 1, LINES)) < 0.5).astype(float)
    return covariance, heights, beyond


def over(drawn) -> _Over:
    covariance, heights, beyond = drawn
    factor = np.linalg.cholesky(covariance)
    independent = np.linalg.solve(factor[:SHOTS, :SHOTS], heights.T).T
    squares = 0.02 + (independent**2).sum(axis=1)
    belief = -np.log(np.diag(factor)[:SHOTS]).sum() - FREEDOM / 2 * np.log(squares)
    centres = independent @ factor[SHOTS, :SHOTS]
    ground = Ground(independent[None], factor[None], squares[None], belief[None], centres[None])
    found = _Over(ground, 0, beyond, FREEDOM)
    found.look_on()
    return found


def plainly(drawn, row: int, lines: list[int]):
    """Log likelihood of Student's t, expectation and scale at the position, and each shot left out in turn."""
    covariance, heights, beyond = drawn
    with_edges = covariance + _HEIGHT**2 * beyond[:, lines] @ beyond[:, lines].T
    among, toward = with_edges[:SHOTS, :SHOTS], with_edges[SHOTS, :SHOTS]
    inverse = np.linalg.inv(among)
    squares = 0.02 + heights[row] @ inverse @ heights[row]
    likelihood = -np.linalg.slogdet(among)[1] / 2 - FREEDOM / 2 * np.log(squares)
    centre = toward @ inverse @ heights[row]
    scale = np.sqrt((with_edges[SHOTS, SHOTS] - toward @ inverse @ toward) * squares / FREEDOM)
    left_out = inverse @ heights[row] / np.diag(inverse)
    deviation = np.sqrt(squares / FREEDOM / np.diag(inverse))
    return likelihood, centre, scale, left_out / deviation, deviation


def test_one_edge_is_as_likely_and_leads_to_what_its_covariance_does(drawn):
    found = over(drawn)
    for row in range(ROWS):
        for line in range(LINES):
            likelihood, centre, scale, surprise, deviation = plainly(drawn, row, [line])
            assert found.one[row, line] == pytest.approx(likelihood)
            assert found.centres_one[row, line] == pytest.approx(centre)
            assert found.scales_one[row, line] == pytest.approx(scale)
            assert found.both(row, line) == [line]
            by_line = found.surprise(row, line)
            assert by_line[0] == pytest.approx(surprise)
            assert by_line[1] == pytest.approx(deviation)


def test_a_second_edge_beside_the_likeliest_too(drawn):
    found = over(drawn)
    for row in range(ROWS):
        best = int(np.argmax([plainly(drawn, row, [line])[0] for line in range(LINES)]))
        assert found.best[row] == best
        for line in set(range(LINES)) - {best}:
            likelihood, centre, scale, surprise, deviation = plainly(drawn, row, [best, line])
            assert found.two[row, line] == pytest.approx(likelihood)
            assert found.centres_two[row, line] == pytest.approx(centre)
            assert found.scales_two[row, line] == pytest.approx(scale)
            assert found.both(row, LINES + line) == [best, line]
            by_both = found.surprise(row, LINES + line)
            assert by_both[0] == pytest.approx(surprise)
            assert by_both[1] == pytest.approx(deviation)


def test_where_two_lines_part_the_shots_alike_either_may_be_the_first_edge(drawn):
    """They differ in whether the position lies beyond, of which the shots say nothing: each has half of the belief."""
    covariance, heights, beyond = drawn
    beyond = np.hstack([beyond[:, :3], beyond[:, :3]])
    beyond[SHOTS, 3:] = 1 - beyond[SHOTS, 3:]
    found = over((covariance, heights, beyond))
    for row in range(ROWS):
        best = int(found.best[row])
        twin = (best + 3) % LINES
        assert found.twin[row] == twin
        for first, beside in ((best, 0), (twin, LINES)):
            for line in set(range(LINES)) - {best, twin}:
                likelihood, centre, scale, surprise, _ = plainly((covariance, heights, beyond), row, [first, line])
                assert found.two[row, beside + line] == pytest.approx(likelihood - np.log(2))
                assert found.centres_two[row, beside + line] == pytest.approx(centre)
                assert found.scales_two[row, beside + line] == pytest.approx(scale)
                assert found.both(row, LINES + beside + line) == [first, line]
                assert found.surprise(row, LINES + beside + line)[0] == pytest.approx(surprise)


def test_a_line_without_another_that_parts_the_shots_alike_has_all_of_the_belief(drawn):
    found = over(drawn)
    assert found.twin.tolist() == found.best.tolist()
    assert np.isneginf(found.two[:, LINES:]).all()


def test_lines_are_twins_that_part_the_shots_alike():
    """One by one."""
    lines = (np.random.default_rng(8).random((9, 40)) < 0.5) - 0.5
    lines[:, 7], lines[:, 30] = lines[:, 21], lines[:, 2]
    wanted = [
        next((other for other in range(40) if other != at and (lines[:, other] == lines[:, at]).all()), at)
        for at in range(40)
    ]
    assert wanted[7] == 21
    assert _twins(lines).tolist() == wanted


# -- what is believed ------------------------------------------------------------------------------------------


def two_members(drawn, order: int = 1) -> Ground:
    """The same shots as two members of the bank see them."""
    covariance, heights, _ = drawn
    told = []
    for whole in (covariance, covariance + 0.3 * np.eye(SHOTS + 1))[::order]:
        factor = np.linalg.cholesky(whole)
        independent = np.linalg.solve(factor[:SHOTS, :SHOTS], heights.T).T
        squares = 0.02 + (independent**2).sum(axis=1)
        belief = -np.log(np.diag(factor)[:SHOTS]).sum() - FREEDOM / 2 * np.log(squares)
        told.append((independent, factor, squares, belief, independent @ factor[SHOTS, :SHOTS]))
    return Ground(*(np.array(each) for each in zip(*told, strict=True)))


def likelihoods(ground: Ground, beyond: np.ndarray) -> np.ndarray:
    """What each hypothesis is worth before smooth ground is, by Bayes: (rows, members, one or two, lines).

    One edge has a chance of 0.1 shared among all lines of all members; two have 0.03, of which each line beside the
    best has five shares, since the best stands for five that lie nearly alike. That is counted twice, beside the best
    and beside what parts the shots as it does.
    """
    found = np.zeros((ROWS, 2, 3, LINES))
    for member in range(2):
        over = _Over(ground, member, beyond - 0.5, FREEDOM)
        over.look_on()
        found[:, member, 0] = np.exp(over.one) * 0.1 / (2 * LINES)
        found[:, member, 1:] = np.exp(over.two).reshape(ROWS, 2, LINES) * 0.03 * 5 / LINES / (2 * LINES)
    return found


@pytest.mark.parametrize("order", [1, -1])
@pytest.mark.parametrize("chance", [0.2, 0.45, 0.55, 0.9])
def test_edges_are_believed_as_bayes_has_it(drawn, chance, order):
    ground, beyond = two_members(drawn, order), drawn[2]
    worth = likelihoods(ground, beyond).reshape(ROWS, -1)
    smooth = worth.sum(axis=1) * (1 / chance - 1) / (1 - 0.1 - 0.03)
    weighed = _Weighed(ground, beyond, LINES, np.log(smooth), FREEDOM)
    weighed.look_on()
    assert weighed.chance == pytest.approx(np.full(ROWS, chance))
    told = weighed.edged(SHOTS)
    many = np.tile(np.repeat([1, 2, 2], LINES), 2)
    for row in range(ROWS):
        likeliest = np.argsort(-worth[row])[:12]
        shares = worth[row, likeliest] / worth[row, likeliest].sum() * chance
        assert told.shares[row] == pytest.approx(shares)
        assert told.count[row] == pytest.approx((shares * many[likeliest]).sum())
        member, line = divmod(int(likeliest[0]), 3 * LINES)
        over = _Over(ground, member, beyond - 0.5, FREEDOM)
        over.look_on()
        surprise = over.surprise(row, line)[0] if chance > 0.5 else np.zeros(SHOTS)
        assert told.surprise[row] == pytest.approx(surprise)
        for each in over.both(row, line):
            assert (weighed.likeliest() == beyond[:, [each]]).all(axis=0).any()


def test_one_edge_is_hoped_for_from_odds_of_three_in_ten(drawn):
    ground, beyond = two_members(drawn), drawn[2]
    one = likelihoods(ground, beyond)[:, :, 0].sum(axis=(1, 2))
    for odds, hoped in ((0.299, False), (0.301, True)):
        smooth = np.log(one / odds / (1 - 0.1 - 0.03))
        assert _Weighed(ground, beyond, LINES, smooth, FREEDOM).hopeful().tolist() == [hoped] * ROWS


def test_two_edges_count_as_two_beside_whichever_of_two_that_part_the_shots_alike(drawn):
    ground, beyond = two_members(drawn), drawn[2].copy()
    beyond[:, 3:] = beyond[:, :3]
    beyond[SHOTS, 3:] = 1 - beyond[SHOTS, 3:]
    worth = likelihoods(ground, beyond).reshape(ROWS, -1)
    assert (worth.reshape(ROWS, 2, 3, LINES)[:, :, 2] > 0).all()
    weighed = _Weighed(ground, beyond, LINES, np.log(worth.sum(axis=1) / 9 / 0.87), FREEDOM)
    weighed.look_on()
    told, many = weighed.edged(SHOTS), np.tile(np.repeat([1, 2, 2], LINES), 2)
    for row in range(ROWS):
        likeliest = np.argsort(-worth[row])[:12]
        shares = worth[row, likeliest] / worth[row, likeliest].sum() * 0.9
        assert told.shares[row] == pytest.approx(shares)
        assert told.count[row] == pytest.approx((shares * many[likeliest]).sum())


def test_edges_that_are_unlikely_everywhere_are_not_told(drawn):
    ground, beyond = two_members(drawn), drawn[2]
    worth = likelihoods(ground, beyond).reshape(ROWS, -1).sum(axis=1)
    for chances, told in (((0.0199, 0.001), False), ((0.0201, 0.0201), True), ((0.001, 0.0201), True)):
        smooth = np.log(worth * (1 / np.array(chances) - 1) / 0.87)
        weighed = _Weighed(ground, beyond, LINES, smooth, FREEDOM)
        weighed.look_on()
        assert (weighed.edged(SHOTS) is not None) is told


def test_lines_are_near_that_part_few_places_otherwise():
    """On which side is beyond is no matter; 12 in 100 of the places may differ, and one of few in any case."""
    rng = np.random.default_rng(5)
    for places in (6, 30):
        some = (rng.random((places, 2)) < 0.5).astype(float)
        lines = (rng.random((places, 60)) < 0.5).astype(float)
        for at in range(40):
            lines[:, at] = np.abs(some[:, at % 2] - (rng.random(places) < 0.02 * (at % 9)) - (at % 3 == 0))
        apart = np.abs(lines[:, :, None] - some[:, None]).sum(axis=0)
        near = (np.minimum(apart, places - apart) <= max(1, 0.12 * places)).any(axis=1)
        assert _near(lines, some).tolist() == near.tolist()
        assert 5 < near.sum() < 55


@pytest.mark.parametrize(("shots", "most"), [(3, 40), (5, 40), (9, 9), (9, 16), (30, 16)])
def test_lines_lie_between_each_two_places_next_to_each_other_in_each_direction(shots, most):
    """One by one, told alike once: so many directions of half a turn, and where there are more places than are thought
    of those at even steps among them; each parts the shots.
    """
    offsets = np.round(np.random.default_rng(shots).uniform(-4, 4, (shots, 2)), 6)
    places = [*map(tuple, offsets.tolist()), (0.0, 0.0)]
    wanted = set()
    for turn in range(7):
        far = [x * np.cos(turn * np.pi / 7) + y * np.sin(turn * np.pi / 7) for x, y in places]
        for line in range(most):
            # The last place has none beyond it.
            at = sorted(far)[round(line * (len(places) - 2) / (most - 1))]
            beyond = tuple(each > at + 1e-9 for each in far)
            if any(beyond[:-1]) and not all(beyond[:-1]):
                wanted.add(beyond)
    found = _beyond(Places(offsets), 7, most)
    assert found.shape == (shots + 1, len(wanted))
    assert {tuple(line) for line in (found > 0.5).T.tolist()} == wanted
    assert set(found.ravel().tolist()) <= {0.0, 1.0}
