"""How often the ground jumps, against expectation maximization as plain loops, each density by scipy."""

from __future__ import annotations

from math import atan2, hypot, pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import t as student_t

from rodcall.figures.outliers import jumps
from rodcall.figures.outliers.jumps import enclosed, jumps_of, widened, within


def wide(deviation: float) -> list[float]:
    """As expected; at a stone; beyond an edge: root sums of squares."""
    stone = min(jumps._STONE * deviation, hypot(deviation, jumps._STONE_M))
    return [deviation, stone, hypot(deviation, jumps._EDGE_M)]


def plainly(surprise: list[float], deviation: list[float], edges: float, freedom: float) -> list[float]:
    """Each shot is shared among the kinds of ground by how likely each makes it; so many shots were known before."""
    before = [float(each) for each in jumps._USUAL]
    before[2] += jumps._MORE * edges
    shares = [each / sum(before) for each in before]
    for _ in range(jumps._ROUNDS):
        counted = list(before)
        for off, at in zip(surprise, deviation, strict=True):
            likely = [
                share * student_t.pdf(off * at, freedom, scale=each)
                for share, each in zip(shares, wide(at), strict=True)
            ]
            for kind in range(3):
                counted[kind] += likely[kind] / sum(likely)
        shares = [each / sum(counted) for each in counted]
    return shares


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("shots", [1, 6, 30])
def test_the_shares_are_those_of_plain_loops(seed, shots):
    rng = np.random.default_rng(seed)
    surprise = rng.standard_t(3, (3, shots)) * 2
    deviation = np.exp(rng.uniform(np.log(0.001), np.log(0.1), (3, shots)))
    edges = np.array([0.0, 0.7, 2.0])
    told = jumps_of(surprise, deviation, edges, 4.0 + shots)
    for row in range(3):
        wanted = plainly(surprise[row].tolist(), deviation[row].tolist(), float(edges[row]), 4.0 + shots)
        assert told[row] == pytest.approx(wanted, rel=1e-9)


def test_a_shot_that_no_kind_of_ground_makes_is_no_fault():
    """A million kilometres off: nothing is divided by nothing."""
    told = jumps_of(np.array([[1e12, 0.1]]), np.array([[1e-3, 1e-3]]), np.zeros(1), 400.0)
    assert np.isfinite(told).all()


@given(st.floats(1e-4, 1.0))
def test_the_ground_is_as_wide_as_each_kind_makes_it(deviation):
    assert widened(np.array([[deviation]]))[0, 0] == pytest.approx(wide(deviation))
    assert widened(np.array([deviation])).shape == (1, 3)


@given(st.lists(st.tuples(st.integers(-3, 3), st.integers(-3, 3)).filter(any), min_size=1, max_size=8))
def test_a_position_is_enclosed_where_no_gap_between_two_directions_is_wider_than_half_a_turn(shots):
    """One by one: the way to the next shot round, counterclockwise; at just half a turn it lies between two of them."""
    ways = sorted({round(atan2(y, x), 12) for y, x in shots})
    gaps = [(then - way) % (2 * pi) for way, then in zip(ways, [*ways[1:], ways[0]], strict=True)]
    widest = max(gaps) if len(ways) > 1 else 2 * pi
    assert enclosed(np.array(shots, float)) is bool(widest <= pi + 1e-6)


def test_beyond_an_edge_is_so_much_less_often_where_it_is_enclosed():
    shares = np.array([[0.5, 0.2, 0.3], [0.9, 0.1, 0.0]])
    for row, told in zip(shares, within(shares), strict=True):
        few = [row[0], row[1], row[2] * jumps._ENCLOSED]
        assert told == pytest.approx([each / sum(few) for each in few])
