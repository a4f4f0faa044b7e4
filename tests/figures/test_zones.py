"""The order of work in zones: no dirt is lost by gathering, few zones, and a way out at every step."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import ndimage
from scipy.cluster.hierarchy import fcluster, linkage

from rodcall.figures.earthwork.dig import Exit, Machine, plan_dig
from rodcall.figures.earthwork.zones import (
    MOST_GROUPS,
    MOST_ZONES,
    Zone,
    _blocks,
    _exit_place,
    _gather,
    _half,
    _in_order,
    _places,
    driven_to,
    spread_of,
    zones,
)
from tests.benchmarks.zone_haul import hauls
from tests.figures.dug_pads import FT, planned

SIZES = st.tuples(st.integers(2, 14), st.integers(2, 10))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), SIZES, st.sampled_from(list(Exit)), st.booleans(), st.floats(0.05, 0.95))
@example(3, (30, 20), Exit.NEAR_LEFT, False, 0.5)
@example(4, (30, 20), Exit.FAR_RIGHT, True, 0.2)
def test_zones_hold_all_dirt_of_the_plan_and_no_more(seed, shape, leave_by, halves, share):
    plan, ordered, _ = planned(seed, shape, share=share, leave_by=leave_by, halves=halves)
    cut = sum(zone.bank_m3 for zone in ordered.zones if zone.is_cut)
    fill = sum(zone.bank_m3 for zone in ordered.zones if not zone.is_cut)
    scale = plan.cut_m3 + plan.needed_m3
    assert cut == pytest.approx(plan.moved_m3 + plan.left_over_m3.sum(), abs=1e-9 * scale)
    assert fill == pytest.approx(plan.moved_m3 + plan.short_m3.sum(), abs=1e-9 * scale)
    assert ordered.moved_m3 == pytest.approx(plan.moved_m3, abs=1e-9 * scale)
    for zone in ordered.zones:
        assert sum(to.bank_m3 for to in zone.gives) == pytest.approx(zone.bank_m3, abs=1e-9 * scale)
        assert [to.bank_m3 for to in zone.gives] == sorted((to.bank_m3 for to in zone.gives), reverse=True)
    for number, zone in enumerate(ordered.zones):
        for to in zone.gives:
            if to.zone is not None:
                other = ordered.zones[to.zone]
                assert other.is_cut is not zone.is_cut
                assert next(back.bank_m3 for back in other.gives if back.zone == number) == pytest.approx(to.bank_m3)
    of_kind = [[spot for zone in ordered.zones if zone.is_cut is kind for spot in zone.spots] for kind in (True, False)]
    assert all(len(spots) == len(set(spots)) for spots in of_kind)


@pytest.mark.parametrize("seed", range(12))
def test_a_pad_of_600_spots_is_twelve_zones_at_most(seed):
    plan, ordered, _ = planned(seed)
    assert 2 <= len(ordered.zones) <= 12
    assert plan.total_haul > 0


def test_so_many_zones_as_can_be_kept_in_the_head_are_made_where_there_is_dirt_for_them():
    _, ordered, _ = planned(1)
    assert len(ordered.zones) == MOST_ZONES == 12
    _, halved, (_, across) = planned(1, halves=True)
    crossing = [len({spot % across.size >= 10 for spot in zone.spots}) for zone in ordered.zones]
    assert max(crossing) == 2, "unless halves are asked for"
    assert max(len({spot % across.size >= 10 for spot in zone.spots}) for zone in halved.zones) == 1


@pytest.mark.parametrize("count", [150, 200, 201, 600])
def test_a_big_pad_is_gathered_from_square_blocks_and_each_spot_lies_in_one(count):
    places = _places(np.arange(30) * 3.0, np.arange(25) * 2.0)
    spots = np.sort(np.random.default_rng(count).permutation(750)[:count])
    blocks = _blocks(spots, places)
    assert sorted(np.concatenate(blocks).tolist()) == spots.tolist()
    if count <= MOST_GROUPS // 2:
        assert all(block.size == 1 for block in blocks)
    else:
        # A hundred squares over the longer side, which the places span.
        side = np.ptp(places[spots], axis=0).max() / 10
        assert all((np.ptp(places[block], axis=0) <= side).all() for block in blocks)
        assert 50 < len(blocks) <= 11 * 11


def test_blocks_are_the_same_wherever_a1_lies():
    places = _places(np.arange(30) * 3.0, np.arange(25) * 2.0)
    here, there = (_blocks(np.arange(750), places + moved) for moved in ((0.0, 0.0), (0.0, 512.0)))
    assert [block.tolist() for block in here] == [block.tolist() for block in there]


@pytest.mark.parametrize("seed", range(8))
def test_zones_are_gathered_by_wards_method(seed):
    """COMPUTED: scipy.cluster.hierarchy.linkage("ward"), where a spot of 3 m3 is three spots of 1 m3 at one place."""
    rng = np.random.default_rng(seed)
    places, dirt = rng.uniform(20, 120, (30, 2)), rng.integers(1, 6, 30)
    tree = linkage(np.repeat(places, dirt, axis=0), "ward")
    of_spot = np.append(0, dirt.cumsum()[:-1])
    for most in (12, 7, 3):
        theirs = fcluster(tree, most, "maxclust")[of_spot]
        amounts = {True: dirt.astype(float), False: np.zeros(30)}
        ours = np.zeros(30, int)
        for number, (_, spots) in enumerate(_gather(amounts, places, np.zeros(30, np.intp), most, 0.0)):
            ours[spots] = number
        assert ((ours[:, None] == ours) == (theirs[:, None] == theirs)).all()


def test_how_deep_a_zone_is_cut_and_that_none_is_too_small_unless_it_is_said():
    """By hand: 0.3 m3 from a spot of 2 m2 into one of 1.5 m2."""
    along, across = np.arange(1) * 2.0, np.arange(3) * 2.0
    signed = np.array([[0.3, 0.0, -0.3]])
    plan = plan_dig(np.maximum(signed, 0), np.maximum(-signed, 0), along, across, Machine(4, 1), shrink=0.0, swell=0.0)
    told = zones(plan, along, across, np.array([2.0, 1.0, 1.5]), Exit.NEAR_LEFT).zones
    assert {zone.is_cut: zone.depth_m for zone in told} == {True: pytest.approx(0.15), False: pytest.approx(0.2)}
    signed = np.array([[0.3, 0.3, 0.3]])
    plan = plan_dig(signed, 0 * signed, along, across, Machine(4, 1), shrink=0.0, swell=0.0)
    assert len(zones(plan, along, across, np.ones(3), Exit.NEAR_LEFT).zones) == 3
    assert len(zones(plan, along, across, np.ones(3), Exit.NEAR_LEFT, least_m3=0.5).zones) == 1


@given(st.integers(1, 7), st.integers(1, 7), st.data())
def test_what_can_be_driven_to_is_what_touches_the_exit_over_free_ground(rows, columns, data):
    """COMPUTED by scipy.ndimage.label: eight neighbours, from the free spots at the exit's own and beside it."""
    free = np.array(data.draw(st.lists(st.booleans(), min_size=rows * columns, max_size=rows * columns)))
    start = data.draw(st.integers(0, rows * columns - 1))
    told = driven_to(free, start, (rows, columns)).reshape(rows, columns)
    patches, _ = ndimage.label(free.reshape(rows, columns), structure=np.ones((3, 3)))
    row, column = divmod(start, columns)
    entered = {
        int(patches[r, c])
        for r in range(max(row - 1, 0), min(row + 2, rows))
        for c in range(max(column - 1, 0), min(column + 2, columns))
    } - {0}
    assert told.tolist() == np.isin(patches, sorted(entered)).tolist()


@pytest.mark.parametrize(
    ("leave_by", "place", "first_half"),
    [
        (Exit.NEAR_LEFT, (1.0, 2.0), [False, False, False, True]),
        (Exit.NEAR_MIDDLE, (1.0, 7.0), [False, False, False, True]),
        (Exit.NEAR_RIGHT, (1.0, 12.0), [True, True, True, False]),
        (Exit.FAR_LEFT, (9.0, 2.0), [False, False, False, True]),
        (Exit.FAR_MIDDLE, (9.0, 7.0), [False, False, False, True]),
        (Exit.FAR_RIGHT, (9.0, 12.0), [True, True, True, False]),
    ],
)
def test_where_the_exit_is_and_which_half_lies_away_from_it(leave_by, place, first_half):
    """The pad's middle across is 7; what lies on it is in the left half."""
    along, across = np.array([1.0, 4.0, 9.0]), np.array([2.0, 4.0, 7.0, 12.0])
    assert _exit_place(along, across, leave_by).tolist() == list(place)
    assert (
        _half(_places(along, across), across, leave_by).reshape(3, 4).tolist() == [[int(on) for on in first_half]] * 3
    )


def test_a_zone_reaches_from_its_first_line_and_column_to_its_last():
    zone = Zone(True, (6, 12, 9), 1.0, 0.1, ())
    assert spread_of(zone, (4, 5)).tolist() == [1, 2, 1, 4]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1), SIZES, st.sampled_from(list(Exit)), st.booleans())
def test_finished_ground_never_bars_the_way_out(seed, shape, leave_by, halves):
    """Common practice: work out over ground not yet dug. Each zone to come is reached from the exit."""
    _, ordered, (along, across) = planned(seed, shape, leave_by=leave_by, halves=halves)
    end, side = leave_by.split()
    column = {"left": 0, "middle": (across.size - 1) // 2, "right": across.size - 1}[side]
    start = (0 if end == "near" else along.size - 1) * across.size + column
    free = np.ones(along.size * across.size, bool)
    barred = 0
    for number, zone in enumerate(ordered.zones):
        free[list(zone.spots)] = False
        reached = driven_to(free, start, (along.size, across.size))
        barred += sum(not reached[list(later.spots)].any() for later in ordered.zones[number + 1 :])
    assert barred == 0


def test_what_is_near_enough_is_left_alone():
    leave = np.zeros((6, 5), bool)
    leave[2:4, 1:4] = True
    plan, ordered, _ = planned(5, (6, 5), leave=leave)
    touched = {spot for zone in ordered.zones for spot in zone.spots}
    assert touched.isdisjoint(np.flatnonzero(leave).tolist())
    assert plan.left_alone == tuple(np.flatnonzero(leave).tolist())
    _, whole, _ = planned(5, (6, 5))
    assert plan.cut_m3 == pytest.approx(sum(zone.bank_m3 for zone in whole.zones if zone.is_cut))


def test_a_pad_of_cut_only_goes_off_the_pad_far_end_first():
    plan, ordered, _ = planned(3, (8, 5), share=0.0)
    assert all(zone.is_cut for zone in ordered.zones)
    assert {to.zone for zone in ordered.zones for to in zone.gives} == {None}
    assert plan.short_m3.sum() == 0
    ends = [np.mean([spot // 5 for spot in zone.spots]) for zone in ordered.zones]
    assert ends[0] > ends[-1]


def test_a_pad_that_needs_nothing_has_no_zone():
    along, across = np.arange(3) * 1.0, np.arange(3) * 1.0
    nothing = np.zeros((3, 3))
    plan = plan_dig(nothing, nothing, along, across, Machine(5, 0.4), shrink=0.1, swell=0.2)
    assert zones(plan, along, across, np.ones(9), Exit.NEAR_LEFT).zones == ()


def test_halves_are_finished_one_after_the_other():
    _, ordered, (_, across) = planned(7, (8, 6), halves=True)
    sides = [{bool(spot % across.size >= 3) for spot in zone.spots} for zone in ordered.zones]
    assert all(len(side) == 1 for side in sides)
    order = [next(iter(side)) for side in sides]
    assert order == sorted(order, reverse=True)


@pytest.mark.parametrize(("seed", "share"), [(0, 0.5), (1, 0.3), (2, 0.7)])
def test_the_amounts_from_zone_to_zone_can_be_hauled_within_five_per_cent_of_the_least(seed, share):
    """Which spots of a zone give and take is free; the least haul of that by HiGHS (COMPUTED, scipy)."""
    number, least, best, _ = hauls(seed, (15, 10), share)
    assert number <= MOST_ZONES
    assert best == pytest.approx(least, rel=0.05)


def test_beside_the_exit_is_no_farther_than_the_next_spot():
    free = np.zeros(25, bool)
    free[[2, 22, 10, 14]] = True
    assert not driven_to(free, 12, (5, 5)).any(), "from the middle all of these are two spots away"
    free[[6, 18]] = True
    assert np.flatnonzero(driven_to(free, 12, (5, 5))).tolist() == [2, 6, 10, 14, 18, 22]


def test_halves_are_made_only_where_they_are_asked_for():
    plan, ordered, (along, across) = planned(1)
    areas = np.full(along.size * across.size, (10 * FT) ** 2)
    assert zones(plan, along, across, areas, Exit.NEAR_LEFT) == ordered


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1), SIZES, st.sampled_from(list(Exit)))
@example(2524, (8, 8), Exit.NEAR_MIDDLE)
def test_what_is_out_of_tolerance_comes_first_where_nothing_is_barred_by_it(seed, shape, leave_by):
    """The same zones in another order; one within tolerance comes sooner only to keep the way out open."""
    far = np.random.default_rng(seed).random(shape[0] * shape[1]) < 0.15
    _, usual, _ = planned(seed, shape, leave_by=leave_by)
    _, ordered, (along, across) = planned(seed, shape, leave_by=leave_by, first=far)
    assert sorted(zone.spots for zone in usual.zones) == sorted(zone.spots for zone in ordered.zones)
    end, side = leave_by.split()
    column = {"left": 0, "middle": (across.size - 1) // 2, "right": across.size - 1}[side]
    start = (0 if end == "near" else along.size - 1) * across.size + column
    left, free = list(ordered.zones), np.ones(along.size * across.size, bool)
    while left:
        now = left.pop(0)
        waiting = [zone for zone in left if far[list(zone.spots)].any()]
        if not far[list(now.spots)].any() and waiting:
            # Each that waits would have barred the way to something that was still to come.
            for zone in waiting:
                barred = free.copy()
                barred[list(zone.spots)] = False
                reached = driven_to(barred, start, shape)
                assert any(not reached[list(other.spots)].any() for other in (now, *left) if other is not zone)
        free[list(now.spots)] = False


def test_what_blocks_the_way_to_others_waits_though_its_rank_is_first() -> None:
    """One line of five spots, the exit at the left: once C is finished nobody gets to E."""
    places = np.column_stack((np.zeros(5), np.arange(5) * 5.0))
    groups = [np.array([2]), np.array([4])]
    rank = np.array([0, 0, 1, 0, 0])
    assert _in_order(groups, places, np.array([0.0, 0.0]), rank, (1, 5)) == [1, 0]
    # On two lines there is a way round.
    wide = np.column_stack((np.repeat([0.0, 5.0], 5), np.tile(np.arange(5) * 5.0, 2)))
    assert _in_order(groups, wide, np.array([0.0, 0.0]), np.tile(rank, 2), (2, 5)) == [0, 1]


@pytest.mark.parametrize(("exit_at", "order"), [(0.0, [2, 1, 0]), (20.0, [0, 1, 2])])
def test_from_far_to_near_as_seen_from_the_exit(exit_at: float, order: list[int]) -> None:
    """Two lines of five spots: there is a way round each, so the farthest from the exit comes first."""
    wide = np.column_stack((np.repeat([0.0, 5.0], 5), np.tile(np.arange(5) * 5.0, 2)))
    groups = [np.array([0]), np.array([2]), np.array([4])]
    assert _in_order(groups, wide, np.array([0.0, exit_at]), np.zeros(10, np.intp), (2, 5)) == order


def test_what_is_finished_already_bars_the_way_too() -> None:
    """Two lines, the exit at the left: with H (above C) finished, C would close the way to E; so E comes before C."""
    wide = np.column_stack((np.repeat([0.0, 5.0], 5), np.tile(np.arange(5) * 5.0, 2)))
    groups = [np.array([7]), np.array([2]), np.array([4])]
    rank = np.zeros(10, np.intp)
    rank[[7, 2]] = 2, 1
    assert _in_order(groups, wide, np.array([0.0, 0.0]), rank, (2, 5)) == [0, 2, 1]


def test_a_zone_that_bars_the_way_to_one_of_two_waits() -> None:
    """One line, the exit at the left: C would bar the way to E though not to B."""
    line = np.column_stack((np.zeros(5), np.arange(5) * 5.0))
    groups = [np.array([2]), np.array([4]), np.array([1])]
    assert _in_order(groups, line, np.array([0.0, 0.0]), np.array([0, 0, 1, 0, 0]), (1, 5)) == [1, 0, 2]


def test_where_each_blocks_another_the_farthest_comes_first() -> None:
    """The exit's own spots are finished first by rank; nothing can be driven to after any of them."""
    places = np.column_stack((np.zeros(3), np.arange(3) * 5.0))
    groups = [np.array([0, 1]), np.array([2]), np.array([1])]
    order = _in_order(groups, places, np.array([0.0, 0.0]), np.zeros(3, np.intp), (1, 3))
    assert order[0] == 1


def test_the_smallest_zone_is_joined_first_with_what_is_nearest() -> None:
    """0.1, 0.2 and 5 m3 at 0, 1 and 10 m; a bucket holds 0.25: the first two make one zone, which is enough."""
    amounts = {True: np.array([0.1, 0.2, 5.0]), False: np.zeros(3)}
    places = np.array([[0.0, 0.0], [1.0, 0.0], [10.0, 0.0]])
    found = _gather(amounts, places, np.zeros(3, np.intp), 12, 0.25)
    assert sorted((is_cut, sorted(spots.tolist())) for is_cut, spots in found) == [(True, [0, 1]), (True, [2])]
    just = _gather({True: np.array([0.25, 5.0]), False: np.zeros(2)}, places[:2], np.zeros(2, np.intp), 12, 0.25)
    assert len(just) == 2, "a bucket is worth the way"
    whole = _gather(amounts, places, np.zeros(3, np.intp), 12, 0.0)
    assert len(whole) == 3, "nobody asked for less"
    few = _gather(amounts, places, np.zeros(3, np.intp), 1, 0.0)
    assert sorted(few[0][1].tolist()) == [0, 1, 2]


def test_cut_and_fill_and_halves_are_never_joined() -> None:
    amounts = {True: np.array([0.1, 0.1, 0.0, 0.0]), False: np.array([0.0, 0.0, 0.1, 0.1])}
    places = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [1.0, 1.0]])
    found = _gather(amounts, places, np.array([0, 1, 0, 1]), 1, 1.0)
    assert sorted((is_cut, spots.tolist()) for is_cut, spots in found) == [
        (False, [2]),
        (False, [3]),
        (True, [0]),
        (True, [1]),
    ]
