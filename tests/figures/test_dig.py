"""Order of work and moves: nothing lost in the merging, finished ground stays finished."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import chain

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from rodcall.figures.earthwork import dig as dig_module
from rodcall.figures.earthwork.dig import DigPlan, Exit, Machine, order_of_work, plan_dig
from rodcall.figures.earthwork.haul import least_haul

MACHINE = Machine(lane_width_m=4.0, bucket_m3=0.1)
AS_IT_LIES = {"shrink": 0.0, "swell": 0.0}


def spaced(count: int, gap: float = 2.0) -> np.ndarray:
    return np.arange(count) * gap


def plan_of(signed: np.ndarray, machine: Machine = MACHINE, **how: object) -> DigPlan:
    """A plan for volumes in m3, cut above 0 and fill below, on positions 2 m apart."""
    along, across = signed.shape
    return plan_dig(
        np.maximum(signed, 0), np.maximum(-signed, 0), spaced(along), spaced(across), machine, **(AS_IT_LIES | how)
    )


# Order of work


def test_far_end_first_and_out_by_the_near_left() -> None:
    lanes = order_of_work(spaced(3), spaced(4), 4.0, Exit.NEAR_LEFT)
    assert lanes == ((11, 10, 7, 6, 3, 2), (9, 8, 5, 4, 1, 0))


@pytest.mark.parametrize(
    ("leave_by", "first", "last"),
    [
        (Exit.NEAR_LEFT, 24, 0),
        (Exit.NEAR_RIGHT, 20, 4),
        (Exit.FAR_LEFT, 4, 20),
        (Exit.FAR_RIGHT, 0, 24),
        (Exit.NEAR_MIDDLE, 20, 2),
        (Exit.FAR_MIDDLE, 0, 22),
    ],
)
def test_first_and_last_position_by_exit(leave_by: Exit, first: int, last: int) -> None:
    lanes = order_of_work(spaced(5), spaced(5), 2.0, leave_by)
    assert (lanes[0][0], lanes[-1][-1]) == (first, last)


def test_lanes_close_in_on_an_exit_in_the_middle() -> None:
    lanes = order_of_work(spaced(1), spaced(5), 2.0, Exit.NEAR_MIDDLE)
    assert lanes == ((0,), (4,), (1,), (3,), (2,))


@pytest.mark.parametrize(
    ("width", "columns"),
    [(0.5, [1] * 7), (2.0, [1] * 7), (4.1, [1, 2, 2, 2]), (6.0, [2, 2, 3]), (14.0, [7]), (99.0, [7])],
)
def test_lanes_are_no_wider_than_the_reach_and_about_equal(width: float, columns: list[int]) -> None:
    lanes = order_of_work(spaced(1), spaced(7), width, Exit.NEAR_LEFT)
    assert [len(lane) for lane in lanes] == columns


def test_a_lane_just_as_wide_as_three_columns_holds_three() -> None:
    # 0.1 x 3 is above 0.3 in binary.
    assert len(order_of_work(spaced(2), spaced(3, 0.1), 0.3, Exit.NEAR_LEFT)) == 1


@given(st.integers(1, 9), st.integers(1, 9), st.floats(0.1, 30), st.sampled_from(Exit))
def test_every_position_is_worked_once(along: int, across: int, width: float, leave_by: Exit) -> None:
    lanes = order_of_work(spaced(along), spaced(across), width, leave_by)
    assert sorted(chain(*lanes)) == list(range(along * across))


# Moves


def test_two_highs_at_the_far_end_go_into_two_lows_near_by() -> None:
    """A4-B4 -> C1-C2 on a pad of 3 x 4."""
    signed = np.zeros((4, 3))
    signed[3, :2], signed[:2, 2] = 0.5, -0.5
    plan = plan_of(signed)
    assert [(move.take, move.put) for move in plan.moves] == [((9, 10), (2, 5))]
    (move,) = plan.moves
    # By hand: A4 to C2 and B4 to C1, or A4 to C1 and B4 to C2.
    ways = np.hypot(4, 4) + np.hypot(2, 6), np.hypot(4, 6) + np.hypot(2, 4)
    assert move.bank_m3 == 1.0
    assert move.distance_m == pytest.approx(min(ways) / 2, rel=1e-9)
    assert plan.total_haul == pytest.approx(min(ways) * 0.5, rel=1e-9)


@pytest.mark.parametrize(
    ("bank", "bucket", "buckets"),
    # By hand: 0.8 m3 swells by a quarter to 1.0 m3. 0.48 m3 fills 0.6 m3 just so, which it misses in binary.
    [(0.8, 0.1, 10), (0.8, 0.11, 10), (0.8, 0.3, 4), (0.8, 5.0, 1), (0.48, 0.6, 1), (0.481, 0.6, 2)],
)
def test_bucketfuls_are_loose_and_the_last_counts_whole(bank: float, bucket: float, buckets: int) -> None:
    (move,) = plan_of(np.array([[bank], [-bank]]), Machine(4.0, bucket), swell=0.25).moves
    assert move.buckets == buckets


def test_cut_shrinks_into_fill() -> None:
    # By hand: 1 m3 compacted of dirt that loses a tenth needs 1/0.9 m3 of cut.
    plan = plan_of(np.array([[2.0], [-1.0]]), shrink=0.1)
    assert plan.moves[0].bank_m3 == pytest.approx(1 / 0.9)
    assert plan.left_over_m3.ravel() == pytest.approx([2 - 1 / 0.9, 0])
    assert not plan.short_m3.any()


def test_short_says_where() -> None:
    plan = plan_of(np.array([[1.0, -0.25, -1.0]]))
    assert plan.short_m3.tolist() == [[0.0, 0.0, 0.25]]
    assert not plan.left_over_m3.any()


def test_nothing_goes_to_or_from_what_is_kept_out() -> None:
    signed = np.array([[1.0, np.nan, -1.0], [-1.0, 1.0, 0.0]])
    keep_out = np.array([[False, True, False], [True, False, False]])
    plan = plan_of(signed, keep_out=keep_out)
    assert [(move.take, move.put) for move in plan.moves] == [((4,), (2,))]
    assert plan.left_over_m3.tolist() == [[1.0, 0, 0], [0, 0, 0]]


def test_a_level_pad_needs_no_move() -> None:
    plan = plan_of(np.zeros((3, 4)))
    assert (plan.moves, plan.total_haul) == ((), 0)


volumes = st.sampled_from([0.0, 0.0, 0.25, 1.0]) | st.floats(0, 2)


@st.composite
def pads(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray]:
    along, across = draw(st.integers(1, 7)), draw(st.integers(1, 7))
    cells = st.lists(volumes, min_size=along * across, max_size=along * across)
    return tuple(np.reshape(draw(cells), (along, across)) for _ in "cf")


@settings(max_examples=150)
@given(pads(), st.sampled_from([1.0, 4.0, 7.0]), st.sampled_from(Exit), st.sampled_from([0.0, 0.1]))
def test_merging_loses_nothing(pad: tuple[np.ndarray, np.ndarray], width: float, leave_by: Exit, shrink: float) -> None:
    cut, fill = pad
    along, across = (spaced(count) for count in cut.shape)
    plan = plan_dig(cut, fill, along, across, Machine(width, 0.1), shrink=shrink, swell=0.2, leave_by=leave_by)

    give, need = cut.ravel(), fill.ravel() / (1 - shrink)
    left, short = plan.left_over_m3.ravel(), plan.short_m3.ravel()
    within = np.minimum(give, need)
    moved = sum(move.bank_m3 for move in plan.moves)
    dirt = max(give.sum(), need.sum())
    same = partial(pytest.approx, rel=1e-12, abs=1e-12 * dirt + 1e-20)
    assert moved == same((give - within - left).sum())
    assert moved == same((need - within - short).sum())
    assert (plan.moved_m3, plan.cut_m3) == (same(moved), same(give.sum()))
    assert plan.moved_m3 + plan.in_place_m3 + plan.short_m3.sum() == same(need.sum())
    for ends, change, whole in [("take", give - within - left, give), ("put", need - within - short, need)]:
        touched = {position for move in plan.moves for position in getattr(move, ends)}
        assert set(np.flatnonzero(change > 1e-12 * (dirt + 1))) <= touched <= set(np.flatnonzero(whole > 0))
    assert sum(move.haul_grains_nm for move in plan.moves) * plan_grain(plan) * 1e-9 == pytest.approx(plan.total_haul)
    assert plan.in_place_m3 == same(within.sum())

    # Serving itself first costs a position nothing: the whole problem, not netted, has the same least haul.
    at = np.indices(cut.shape).reshape(2, -1) * 2.0
    give, need = (np.rint(volume * 1e12).astype(np.int64) for volume in (give, need))
    high, low = give > 0, need > 0
    distance = np.rint(np.hypot(*(at[:, high, None] - at[:, None, low])) * 1e9).astype(np.int64)
    whole = least_haul(give[high], need[low], distance)
    assert plan.total_haul == pytest.approx(whole.total * 1e-21, rel=1e-8, abs=1e-9)


def plan_grain(plan: DigPlan) -> float:
    return plan.moves[0].grain_m3 if plan.moves else 0.0


@settings(max_examples=50)
@given(pads(), st.sampled_from([1.0, 4.0, 7.0]), st.sampled_from(Exit))
def test_finished_ground_is_neither_dug_nor_filled_again(
    pad: tuple[np.ndarray, np.ndarray], width: float, leave_by: Exit
) -> None:
    plan = plan_of(pad[0] - pad[1], Machine(width, 0.1), leave_by=leave_by)
    # A stand is one position where lanes are narrow; else its lane says enough.
    pieces = list(chain(*plan.lanes)) if width < 2 else plan.lanes
    number = {position: n for n, piece in enumerate(pieces) for position in np.ravel(piece).tolist()}
    firsts = [min(number[position] for position in move.take + move.put) for move in plan.moves]
    assert firsts == sorted(firsts)


def test_a_move_stays_within_reach_at_both_ends() -> None:
    signed = np.random.default_rng(4).normal(size=(12, 9))
    line, column = np.divmod(np.arange(signed.size), 9)
    for move in plan_of(signed, Machine(6.0, 0.1)).moves:
        for end in (list(move.take), list(move.put)):
            assert np.ptp(line[end]) < 3
            assert np.ptp(column[end]) < 3


# What is refused, and who may stop it


@pytest.mark.parametrize(
    ("signed", "how", "message"),
    [
        ([[1.0, np.nan]], {}, "numbers"),
        ([[1.0, -np.inf]], {}, "numbers"),
        ([[1.0, -1.0]], {"shrink": 1.0}, "shrink"),
        ([[1.0, -1.0]], {"shrink": -1.0}, "shrink"),
        ([[1.0, -1.0]], {"swell": np.inf}, "swell"),
        ([[1.0, -1.0]], {"swell": -0.1}, "swell"),
        ([[1.0, -1.0]], {"keep_out": np.zeros((2, 2), dtype=bool)}, "shape"),
    ],
)
def test_what_cannot_be_planned_is_refused(signed: list, how: dict, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        plan_of(np.array(signed), **how)


@pytest.mark.parametrize("size", [0.0, -1.0, np.nan, np.inf])
def test_a_machine_has_a_size(size: float) -> None:
    for field in ("lane_width_m", "bucket_m3"):
        with pytest.raises(ValueError, match="size"):
            replace(MACHINE, **{field: size})


def test_volumes_below_zero_are_refused() -> None:
    with pytest.raises(ValueError, match="0 or above"):
        plan_dig(np.array([[-1.0]]), np.array([[0.0]]), spaced(1), spaced(1), MACHINE, **AS_IT_LIES)


def test_progress_may_cancel() -> None:
    def cancel(share: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        plan_of(np.array([[1.0, -1.0]]), progress=cancel)


# Big pads, uneven lines, and what is left alone


def test_a_big_pad_is_matched_block_by_block(monkeypatch: pytest.MonkeyPatch) -> None:
    """Squares of 2 x 2 serve themselves first, the rest goes by COMPUTED linprog (scipy) between middles."""
    monkeypatch.setattr(dig_module, "MOST_SINGLY", 12)
    rng = np.random.default_rng(11)
    signed = np.rint(rng.normal(size=(6, 7)) * 8) / 8
    along, across = spaced(6), spaced(7)
    plan = plan_of(signed, MACHINE)
    row, column = np.divmod(np.arange(signed.size), 7)
    block = row // 2 * 4 + column // 2
    high, low = np.maximum(signed, 0).ravel(), np.maximum(-signed, 0).ravel()
    gives, takes = (np.bincount(block, volume) for volume in (high, low))
    own = np.minimum(gives, takes)
    for at in range(12):
        inside = sum(load.bank_m3 for load in plan.loads if block[load.source] == block[load.sink] == at)
        assert inside == pytest.approx(own[at], abs=1e-12)
    gives, takes = gives - own, takes - own
    middle = [np.bincount(block, axis[index]) / np.bincount(block) for axis, index in ((along, row), (across, column))]
    away = np.hypot(*(np.subtract.outer(axis, axis) for axis in middle))
    scarce, ample = (takes, gives) if takes.sum() < gives.sum() else (gives, takes)
    cost = away if scarce is gives else away.T
    each = np.kron(np.eye(12), np.ones((1, 12))), np.kron(np.ones((1, 12)), np.eye(12))
    best = linprog(cost.ravel(), A_eq=each[0], b_eq=scarce, A_ub=each[1], b_ub=ample)
    between = [load for load in plan.loads if block[load.source] != block[load.sink]]
    told = sum(load.bank_m3 * away[block[load.source], block[load.sink]] for load in between)
    assert told == pytest.approx(best.fun, rel=1e-7)
    apart = [
        np.hypot(*(axis[load.source] - axis[load.sink] for axis in (along[row], across[column]))) for load in plan.loads
    ]
    assert plan.total_haul == pytest.approx(sum(x * load.bank_m3 for x, load in zip(apart, plan.loads, strict=True)))
    assert plan.loads == tuple(sorted(plan.loads))
    assert plan.moved_m3 == pytest.approx(min(high.sum(), low.sum()))


@pytest.mark.parametrize(
    ("across", "width", "columns"),
    # By hand: a column takes the gap to the next, the last one as much as the one before it.
    [
        ([0, 1, 3, 4], 3.0, [2, 2]),
        ([0, 1, 3, 4], 2.9, [1, 1, 2]),
        ([0, 1, 3, 4], 5.0, [4]),
        ([0, 1, 3, 4], 0.5, [1, 1, 1, 1]),
        ([0, 3, 4, 5], 3.0, [1, 3]),
        ([0.0, 0.1, 0.2, 0.5], 0.2, [2, 1, 1]),
    ],
)
def test_lanes_of_uneven_columns_are_no_wider_than_the_reach(across: list, width: float, columns: list[int]) -> None:
    lanes = order_of_work(spaced(1), np.array(across, float), width, Exit.NEAR_RIGHT)
    assert [len(lane) for lane in lanes] == columns
    assert list(chain(*lanes)) == list(range(4)), "from the left, out by the right"


def test_what_is_left_alone_is_told_apart_and_counts_towards_the_spare() -> None:
    """By hand: of 2 + 3 of cut and 1.8 + 0.9 of fill, which takes 2 + 1 of cut, two spots of 2 and 1 are left alone."""
    leave = np.array([[True, False, False, True]])
    plan = plan_of(np.array([[2.0, 3.0, -1.8, -0.9]]), shrink=0.1, leave=leave)
    assert (plan.left_alone, plan.left_cut_m3, plan.left_fill_m3) == ((0, 3), 2.0, pytest.approx(1.0))
    assert (plan.moved_m3, plan.cut_m3, plan.needed_m3) == (pytest.approx(2.0), pytest.approx(5.0), pytest.approx(3.0))
    assert plan.over_m3 == pytest.approx(2.0)
    assert plan.left_over_m3.tolist() == [[0.0, pytest.approx(1.0), 0.0, 0.0]]
    (move,) = plan.moves
    assert move.works_at(np.array([False, True, False, True])) == (1,)
    assert move.works_at(np.array([True, True, True, True])) == (1, 2)


@pytest.mark.parametrize("volume", [1e-9, 0.7, 1.0, 123.0, 1e5])
def test_the_pads_dirt_has_between_2_to_the_49_and_2_to_the_50_grains(volume: float) -> None:
    plan = plan_of(np.array([[volume, -volume]]))
    grains = plan.moves[0].bank_grains
    assert 2**49 <= grains <= 2**50
    assert plan.moves[0].grain_m3 == 2.0 ** np.round(np.log2(plan.moves[0].grain_m3)), "a power of two"
    assert plan.moved_m3 == pytest.approx(volume, rel=1e-14)


def test_the_greater_of_cut_and_fill_sets_the_grain() -> None:
    """1,000 m3 lie below 2^10: a grain of 2^-40 m3, however little the fill wants."""
    (move,) = plan_of(np.array([[1000.0, -1.0]])).moves
    assert (move.grain_m3, move.bank_grains) == (2.0**-40, 2**40)


def test_dirt_of_less_than_a_thousandth_of_a_cubic_millimetre_is_none() -> None:
    assert plan_of(np.array([[2.0**-92, -(2.0**-92)]])).moves == ()
    assert plan_of(np.array([[2.0**-90, -(2.0**-90)]])).moves[0].bank_grains == 1


@pytest.mark.parametrize(("shape", "singly"), [((60, 60), True), ((13, 277), False)])
def test_up_to_3600_spots_are_matched_spot_by_spot_and_from_there_in_squares(
    monkeypatch: pytest.MonkeyPatch, shape: tuple[int, int], singly: bool
) -> None:
    """Half of the pad is cut: as many sources as spots there, or as squares of 2 x 2; 13 x 277 are 3601."""

    class AskedError(Exception):
        """Enough is known."""

    def asked(supply: np.ndarray, *_: object) -> None:
        raise AskedError(supply.size)

    monkeypatch.setattr(dig_module, "least_haul", asked)
    signed = np.ones(shape)
    signed[:, shape[1] // 2 :] = -2.0
    with pytest.raises(AskedError) as told:
        plan_of(signed)
    half = shape[1] // 2
    assert told.value.args == (shape[0] * half if singly else -(-shape[0] // 2) * (half // 2),)


def test_two_columns_farther_apart_than_half_the_reach_are_two_lanes() -> None:
    """By hand: a column takes the gap to the next, 4 m; a reach of 4 m holds one, of 8 m both."""
    columns = np.array([0.0, 4.0])
    assert [len(order_of_work(spaced(3), columns, reach, Exit.NEAR_LEFT)) for reach in (4.0, 7.9, 8.0)] == [2, 2, 1]
