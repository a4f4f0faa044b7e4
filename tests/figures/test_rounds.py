"""Rounds against each other: what moved, what was overdug, how far along, and offsets that have a name."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.figures.checks.rounds import constant_offset
from rodcall.units import INCH, MM, M, Unit
from tests.kit import a_book, a_job, figures, say


def rounds(*first_then: str):
    """A pad of 2 x 2 with 10 mm allowed above and below a target of 0."""
    job = a_job(Unit.MM, along=2, across=2, tolerance_high=10 * MM, tolerance_low=10 * MM)
    return a_book("target 0", *first_then, job=job)


def test_what_moved_since_the_last_round():
    book = rounds("A1 +30", "B1 +5", "A2 -20", "round working", "A1 +2", "B1 +5", "B2 0")
    change = figures(book).change
    assert change.by_nm.tolist() == [-28 * MM, 0, 0, 0], "only what was shot in both"
    names = figures(book).names
    assert names(np.flatnonzero(change.both)) == ["A1", "B1"]


@pytest.mark.parametrize(
    ("before", "now", "overdug"),
    [
        ("+30", "-11", True),
        ("0", "-11", True),
        ("-10", "-11", True),
        ("-11", "-12", False),
        ("+30", "-10", False),
        ("-30", "+30", False),
    ],
)
def test_overdug_is_what_was_not_low_and_is_now(before, now, overdug):
    """Common practice: was high or inside, now below the low limit; the limit itself is inside."""
    change = figures(rounds(f"A1 {before}", "round working", f"A1 {now}")).change
    assert change.overdug.tolist() == [overdug, False, False, False]


def test_the_first_round_has_none_before_it():
    assert figures(rounds("A1 0")).change is None


def test_progress_by_round_and_region():
    job = a_job(Unit.MM, along=4, across=4, length=9 * M, width=9 * M)
    book = a_book("target 0", "A1 +90", "B2 +90", "C2 out pile", job=job)
    say(book, *(f"set margin-{side} 2m" for side in ("near", "far", "left", "right")))
    say(book, "round working", *(f"{name} 0" for name in job.grid.names), "A1 +90")
    summary = figures(book)
    told = [(each.round, each.inside, each.outside, each.unshot) for each in summary.tallies()]
    assert told == [(1, 0, 2, 14), (2, 15, 1, 0)]
    footprint = summary.footprint.inside(job.grid)
    parts = [[(t.inside, t.outside, t.unshot) for t in summary.tallies(part)] for part in (footprint, ~footprint)]
    assert parts == [[(0, 1, 3), (4, 0, 0)], [(0, 1, 11), (11, 1, 0)]]


def test_a_struck_round_is_not_counted():
    book = rounds("A1 +30", "round working")
    book.undo()
    assert figures(book).change is None


# -- offsets ------------------------------------------------------------------------------------------------


def test_shots_on_the_stone_are_recognised():
    """Common practice: a constant offset equal to the stone's thickness is recognised and named."""
    job = a_job(Unit.IN, along=3, across=3)
    book = a_book("target -4", "set stone 4in", "round final", "set stage stone", job=job)
    say(book, *(f"{name} {said}" for name, said in zip(job.grid.names, ["0", "+1/8", "-1/8"] * 3, strict=True)))
    summary = figures(book)
    assert summary.offset.stone
    assert summary.offset.nm == 4 * INCH
    assert summary.stage == "stone"
    say(book, "set stage rough", "A1 0")
    assert figures(book).stage is None


@pytest.mark.parametrize(
    ("offset", "stone", "expected"),
    [(0, 100, None), (5, 100, None), (40, 100, (40, False)), (96, 100, (96, True)), (-100, 100, (-100, False))],
)
def test_an_offset_by_its_size(offset, stone, expected):
    found = constant_offset(np.full(9, offset), np.ones(9, bool), stone, within_nm=5)
    assert (found and (found.nm, found.stone)) == expected


def test_ground_that_varies_has_no_offset():
    assert constant_offset(np.arange(0, 90, 10), np.ones(9, bool), 40, within_nm=5) is None
    assert constant_offset(np.full(9, 40), np.arange(9) < 3, 40, within_nm=5) is None, "too few shots"


@given(st.integers(-500, 500), st.lists(st.integers(-5, 5), min_size=10, max_size=30))
def test_an_offset_is_found_whatever_it_is(offset, noise):
    found = constant_offset(np.array(noise) + offset, np.ones(len(noise), bool), 0, within_nm=10)
    assert (found is None) == (abs(int(np.median(np.array(noise) + offset))) <= 10)


# -- limits themselves --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("now", "overdug"), [("-30", False), ("-31", True), ("-11", False)])
def test_overdug_is_told_from_the_target_in_force(now, overdug):
    """With a target of -20 and 10 mm allowed the low limit is -30."""
    job = a_job(Unit.MM, along=2, across=2, tolerance_high=10 * MM, tolerance_low=10 * MM)
    book = a_book("target -20", "A1 -25", "round working", f"A1 {now}", job=job)
    assert figures(book).change.overdug.tolist() == [overdug, False, False, False]


def test_overdug_before_is_not_overdug_again_whatever_the_target():
    """-25 over a target of +20, 10 mm allowed, was 35 mm too low before."""
    job = a_job(Unit.MM, along=2, across=2, tolerance_high=10 * MM, tolerance_low=10 * MM)
    book = a_book("target +20", "A1 -25", "B1 +10", "round working", "A1 -31", "B1 +9", job=job)
    assert figures(book).change.overdug.tolist() == [False, True, False, False]


def test_the_third_round_is_held_against_the_second():
    change = figures(rounds("A1 +30", "round working", "A1 +10", "round working", "A1 +5")).change
    assert (change.before.number, change.now.number) == (2, 3)
    assert change.by_nm[0] == -5 * MM


def test_what_changed_by_one_step_stayed():
    """The step is 1 mm: a reading may be that far off by itself."""
    change = figures(rounds("A1 0", "B1 0", "A2 0", "B2 0", "round working", "A1 -1", "B1 -2", "A2 +1", "B2 +2")).change
    assert change.step_nm == MM
    assert change.lowered.tolist() == [False, True, False, False]
    assert change.raised.tolist() == [False, False, False, True]


def test_an_offset_of_exactly_what_is_about_the_same_is_none():
    """Within 5 of 0 is on target; 6 is off by 6."""
    four = np.ones(4, bool)
    assert constant_offset(np.full(4, 5), four, 0, within_nm=5) is None
    assert constant_offset(np.full(4, -5), four, 0, within_nm=5) is None
    assert constant_offset(np.full(4, 6), four, 0, within_nm=5).nm == 6
    assert constant_offset(np.full(4, -6), four, 0, within_nm=5).nm == -6


def test_four_shots_tell_an_offset_three_do_not():
    assert constant_offset(np.full(9, 40), np.arange(9) < 4, 0, within_nm=5).nm == 40
    assert constant_offset(np.full(9, 40), np.arange(9) < 3, 0, within_nm=5) is None


def test_one_shot_in_ten_may_stray_two_may_not():
    """Straying is more than 5 from the middle; exactly 5 is not."""
    ten = np.ones(10, bool)
    assert constant_offset(np.array([40] * 9 + [46]), ten, 0, within_nm=5).nm == 40
    assert constant_offset(np.array([40] * 8 + [46, 34]), ten, 0, within_nm=5) is None
    assert constant_offset(np.array([40] * 8 + [45, 35]), ten, 0, within_nm=5).nm == 40


@pytest.mark.parametrize(("stone", "named"), [(45, True), (46, False), (35, True), (34, False), (0, False)])
def test_an_offset_is_the_stones_up_to_about_the_same(stone, named):
    assert constant_offset(np.full(4, 40), np.ones(4, bool), stone, within_nm=5).stone is named


def test_an_offset_of_almost_nothing_is_no_stone_where_none_is_laid():
    assert not constant_offset(np.full(4, 3), np.ones(4, bool), 0, within_nm=2).stone
    assert not constant_offset(np.full(4, 4), np.ones(4, bool), 0, within_nm=3).stone


def test_one_shot_in_nine_is_more_than_a_tenth():
    assert constant_offset(np.array([40] * 8 + [46]), np.ones(9, bool), 0, within_nm=5) is None


def test_any_stone_at_all_can_be_the_offset():
    """6 off, 5 is about the same, so a layer of 1 would explain it; without one nothing does."""
    assert constant_offset(np.full(4, 6), np.ones(4, bool), 1, within_nm=5).stone
    assert not constant_offset(np.full(4, 6), np.ones(4, bool), 0, within_nm=5).stone
