"""Edges laid over a member of the bank, against the covariance written out: no rank-one shortcut, plain inverses."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.figures.outliers.edges import _HEIGHT, Ground, _Over

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
