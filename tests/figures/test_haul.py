"""The least haul: against a general solver of linear programs, and by the proof that it carries itself."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.optimize import linear_sum_assignment, linprog
from scipy.sparse import eye_array, kron

from rodcall.figures.earthwork import haul as haul_module
from rodcall.figures.earthwork.haul import Haul, least_haul


def a_pad(seed: int, shape: tuple[int, int] | None = None) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Supply and demand in mm3 and distances in nm of a pad that is rough, tilted or stepped, and off balance."""
    rng = np.random.default_rng(seed)
    along, across = shape or rng.integers(2, 13, size=2)
    line, column = np.divmod(np.arange(along * across), across)
    ground = [rng.normal(size=line.size), line - 0.3 * column, np.floor(line / 3) + rng.integers(0, 2, line.size)]
    height = ground[seed % 3] - ground[seed % 3].mean() + rng.choice([-0.5, 0.0, 0.5])
    height[[0, -1]] = 1.0, -1.0
    volume = np.rint(height * 1e8).astype(np.int64)
    at = np.stack([line * rng.uniform(0.5, 5), column * rng.uniform(0.5, 5)])
    high, low = volume > 0, volume < 0
    gap = at[:, high, None] - at[:, None, low]
    return volume[high], -volume[low], np.rint(np.hypot(*gap) * 1e9).astype(np.int64)


def assert_proven(haul: Haul, supply: np.ndarray, demand: np.ndarray, distance: np.ndarray) -> None:
    """Feasible, and as cheap as its prices say no plan can better; in whole numbers, so without a tolerance."""
    given_, taken = np.zeros_like(supply), np.zeros_like(demand)
    np.add.at(given_, haul.source, haul.volume)
    np.add.at(taken, haul.sink, haul.volume)
    assert (given_ + haul.left_over == supply).all()
    assert (taken + haul.short == demand).all()
    assert (haul.volume > 0).all()
    assert (haul.left_over >= 0).all()
    assert (haul.short >= 0).all()
    assert given_.sum() == min(supply.sum(), demand.sum())

    saved = haul.sink_price - haul.source_price[:, None] - distance
    assert saved.max(initial=0) == 0
    assert haul.source_price.min(initial=0) == 0
    assert haul.sink_price.max(initial=0) <= haul.shortage_price
    assert (saved[haul.source, haul.sink] == 0).all()
    assert (haul.source_price[haul.left_over > 0] == 0).all()
    assert (haul.sink_price[haul.short > 0] == haul.shortage_price).all()
    worth = dot(demand, haul.sink_price) - dot(supply, haul.source_price)
    assert haul.total + haul.shortage_price * int(haul.short.sum()) == worth
    assert haul.total == dot(haul.volume, distance[haul.source, haul.sink])


def dot(a: np.ndarray, b: np.ndarray) -> int:
    return sum(x * y for x, y in zip(a.tolist(), b.tolist(), strict=True))


@pytest.mark.parametrize("seed", range(200))
def test_same_total_as_a_general_solver(seed: int) -> None:
    supply, demand, distance = a_pad(seed)
    haul = least_haul(supply, demand, distance)
    assert_proven(haul, supply, demand, distance)

    # COMPUTED: scipy.optimize.linprog (HiGHS). The scarcer side is used up, the other is not exceeded.
    m, n = distance.shape
    gives, takes = kron(eye_array(m), np.ones((1, n))), kron(np.ones((1, m)), eye_array(n))
    sides = [(gives, supply * 1e-9), (takes, demand * 1e-9)]
    (scarce, used), (ample, limit) = sides if supply.sum() < demand.sum() else sides[::-1]
    found = linprog(distance.ravel() * 1e-9, A_ub=ample, b_ub=limit, A_eq=scarce, b_eq=used, method="highs")
    assert found.status == 0
    assert haul.total * 1e-18 == pytest.approx(found.fun, rel=1e-6)


few = st.integers(0, 6)
small = st.integers(1, 4)


@given(few, few, st.data())
def test_ties_and_degenerate_cases_end_and_are_proven(m: int, n: int, data: st.DataObject) -> None:
    supply = data.draw(arrays(np.int64, m, elements=small))
    demand = data.draw(arrays(np.int64, n, elements=small))
    distance = data.draw(arrays(np.int64, (m, n), elements=st.integers(0, 3)))
    assert_proven(least_haul(supply, demand, distance), supply, demand, distance)


def test_the_tree_stays_strongly_feasible(monkeypatch: pytest.MonkeyPatch) -> None:
    """What rules out cycling: an arc that points away from the root always carries something."""
    pivots = 0

    class Watched(haul_module._Tree):
        def pivot(self, source: int, sink: int, saved: int) -> None:
            nonlocal pivots
            assert saved < 0, "an arc that saves nothing is left alone"
            super().pivot(source, sink, saved)
            assert min(self.flow[self.heap + 1 :]) > 0
            pivots += 1

    monkeypatch.setattr(haul_module, "_Tree", Watched)
    rng = np.random.default_rng(3)
    for _ in range(30):
        least_haul(rng.integers(1, 3, 20), rng.integers(1, 3, 20), rng.integers(0, 9, (20, 20)))
    assert pivots > 30 * 20


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_a_large_pad_is_proven(seed: int) -> None:
    pad = a_pad(seed, (40, 30))
    assert_proven(least_haul(*pad), *pad)


def test_equal_volumes_on_a_large_pad_are_an_assignment() -> None:
    rng = np.random.default_rng(5)
    line, column = np.divmod(rng.permutation(1200), 30)
    distance = np.abs(line[:600, None] - line[600:]) + np.abs(column[:600, None] - column[600:])
    one_each = np.ones(600, dtype=np.int64)
    haul = least_haul(one_each, one_each, distance)
    assert_proven(haul, one_each, one_each, distance)
    # COMPUTED: scipy.optimize.linear_sum_assignment, a method of its own.
    assert haul.total == distance[linear_sum_assignment(distance)].sum()


def test_left_over_dirt_is_the_farthest_and_short_sinks_too() -> None:
    distance = np.array([[10, 20, 30]])
    assert least_haul(np.array([5]), np.array([3, 3, 3]), distance).short.tolist() == [0, 1, 3]
    assert least_haul(np.array([3, 3, 3]), np.array([5]), distance.T).left_over.tolist() == [0, 1, 3]


def test_dirt_is_not_saved_when_all_of_it_is_far_away() -> None:
    haul = least_haul(np.array([4]), np.array([6]), np.array([[10**12]]))
    assert (haul.volume.tolist(), haul.short.tolist()) == ([4], [2])


def test_progress_never_falls_and_ends_at_one() -> None:
    supply, demand, distance = a_pad(1, (20, 20))
    told: list[float] = []
    least_haul(supply, demand, distance, told.append)
    assert told == sorted(told)
    assert told[0] < told[-1] == 1.0


def test_what_progress_raises_ends_the_work() -> None:
    class CancelledError(Exception):
        pass

    def cancel(share: float) -> None:
        raise CancelledError

    with pytest.raises(CancelledError):
        least_haul(*a_pad(1), cancel)


@pytest.mark.parametrize(
    ("supply", "demand", "distance"),
    [([1], [1], [[1, 2]]), ([0], [1], [[1]]), ([1], [0], [[1]]), ([1], [-1], [[1]]), ([1], [1], [[-1]])],
)
def test_what_is_no_such_problem_is_refused(supply: list, demand: list, distance: list) -> None:
    with pytest.raises(ValueError, match="distance"):
        least_haul(np.array(supply), np.array(demand), np.array(distance))


def test_progress_goes_on_from_nothing_to_all_and_never_back() -> None:
    """The share of sources that are settled: on a pad of some hundred, told in several steps."""
    rng = np.random.default_rng(4)
    places = rng.uniform(0, 100, (2, 200, 2))
    distance = np.rint(np.hypot(*(places[0][:, None] - places[1]).transpose(2, 0, 1)) * 1000).astype(np.int64)
    shares: list[float] = []
    least_haul(rng.integers(1, 50, 200), rng.integers(1, 50, 200), distance, shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert any(0.0 < share < 1.0 for share in shares)
