"""The order of work in zones: no dirt is lost by gathering, few zones, and a way out at every step."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.figures.earthwork.dig import Exit, Machine, plan_dig
from rodcall.figures.earthwork.zones import MOST_ZONES, driven_to, zones
from tests.benchmarks.zone_haul import hauls
from tests.figures.dug_pads import planned

SIZES = st.tuples(st.integers(2, 14), st.integers(2, 10))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), SIZES, st.sampled_from(list(Exit)), st.booleans(), st.floats(0.05, 0.95))
def test_zones_hold_all_dirt_of_the_plan_and_no_more(seed, shape, leave_by, halves, share):
    plan, ordered, _ = planned(seed, shape, share=share, leave_by=leave_by, halves=halves)
    cut = sum(zone.bank_m3 for zone in ordered.zones if zone.is_cut)
    fill = sum(zone.bank_m3 for zone in ordered.zones if not zone.is_cut)
    scale = plan.cut_m3 + plan.needed_m3
    assert cut == pytest.approx(plan.moved_m3 + plan.left_over_m3.sum(), abs=1e-9 * scale)
    assert fill == pytest.approx(plan.moved_m3 + plan.short_m3.sum(), abs=1e-9 * scale)
    for zone in ordered.zones:
        assert sum(to.bank_m3 for to in zone.gives) == pytest.approx(zone.bank_m3, abs=1e-9 * scale)
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
    assert 2 <= len(ordered.zones) <= MOST_ZONES
    assert plan.total_haul > 0


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
