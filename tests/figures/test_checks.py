"""Check shots: their states, the shots they make suspect, when one is due, and what moved."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Check, Decision, Readings, Remedy, Shot
from rodcall.figures.checks.check_shots import Reason, Standard, State, disagreement, state
from rodcall.units import FOOT, INCH, MM, Unit
from rodcall.wording import proof as words_proof
from rodcall.wording.punch_list import reads
from tests.kit import START, a_book, a_job, figures, say

EIGHTH = INCH // 8


@pytest.mark.parametrize(
    ("drift", "expected"),
    [
        (0, State.GOOD),
        (EIGHTH, State.GOOD),
        (-EIGHTH, State.GOOD),
        (EIGHTH + 1, State.REPEAT),
        (2 * EIGHTH, State.REPEAT),
        (-2 * EIGHTH - 1, State.STOP),
    ],
)
def test_good_repeat_stop(drift, expected):
    """Common practice: good up to the allowed drift, repeat up to twice that, stop above."""
    assert state(drift, EIGHTH) is expected


@pytest.mark.parametrize(("unit", "allowed"), [(Unit.IN, EIGHTH), (Unit.FT, FOOT // 100), (Unit.MM, 3 * MM)])
def test_what_is_allowed_unless_somebody_says_otherwise(unit, allowed):
    """Common practice: 1/8 in, 0.01 ft, 3 mm."""
    assert figures(a_book(job=a_job(unit))).evidence.allowed_drift_nm == allowed
    assert figures(a_book("set drift 5mm", job=a_job(unit))).evidence.allowed_drift_nm == 5 * MM


def test_a_check_in_words():
    """Common practice: `BM1 reads 1/8 HIGH`."""
    book = a_book("reference BM1 high 1", "check BM1 +1-1/8", "check BM1 +3/4", "check BM1 +1", "check ZERO -1/2")
    summary = figures(book)
    told = [reads(summary, check.reference, check.drift_nm) for check in summary.trust.checks]
    assert told == ["BM1 reads 1/8 HIGH", "BM1 reads 1/4 LOW", "BM1 reads true", "ZERO reads 1/2 LOW"]
    assert [words_proof.check_words(summary, check) for check in summary.trust.checks] == [
        *("BM1 reads 1/8 HIGH, good", "BM1 reads 1/4 LOW, check again", "BM1 reads true, good"),
        "ZERO reads 1/2 LOW, BAD",
    ]


# -- suspect shots ------------------------------------------------------------------------------------------


def suspect(*lines: str) -> list[str]:
    summary = figures(a_book("reference BM1 high 1", *lines))
    return summary.names(summary.trust.suspect)


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (["A1 0", "B1 0"], []),
        (["A1 0", "check BM1 +1", "B1 0", "C1 0", "check BM1 +1-1/2", "A2 0"], ["B1", "C1"]),
        (["A1 0", "check BM1 +1-1/2"], ["A1"]),
        (["A1 0", "check BM1 +1-1/4"], []),
        (["A1 0", "check BM1 +1-1/4", "B1 0", "check BM1 +1-1/2"], ["A1", "B1"]),
        (["A1 0", "B1 0", "check BM1 +1-1/2", "A1 0"], ["B1"]),
        (["A1 0", "check BM1 +1-1/2", "check BM1 +1"], []),
        (["A1 0", "check BM1 +1-1/2", "check BM1 +1-1/2", "check BM1 +1"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "check BM1 +1-1/4", "check BM1 +1"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "check ZERO 0", "B1 0", "check BM1 +1"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "B1 0", "strike B1", "check BM1 +1"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "keep a truck stood on BM1"], []),
        (["A1 0", "check BM1 +1-1/2", "shift"], []),
        (["A1 0", "check BM1 +1-1/2", "check BM1 +1-1/2", "keep it is the reference"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "keep reason", "B1 0", "check BM1 +1-1/2"], ["A1", "B1"]),
        (["A1 0", "A1 out rut", "check BM1 +1-1/2"], []),
        (["A1 0", "check BM1 +1-1/2", "round working", "B1 0"], []),
    ],
)
def test_which_shots_are_suspect(lines, expected):
    """Every shot since the last good check up to the bad one; cleared by shooting again, or by a good check at once.

    The bad check was misread where the next one on the same reference is good and no shot lies between.
    """
    assert suspect(*lines) == expected


def test_a_struck_check_is_bad_all_the_same():
    """Striking it repairs no level; a struck one that was not bad says nothing."""
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +2")
    assert figures(book).trust.suspect == (0,)
    book.undo()
    assert figures(book).trust.suspect == (0,)
    say(book, "check BM1 +1")
    assert figures(book).trust.suspect == (), "as if it had stayed: misread"
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +1-1/4")
    book.undo()
    assert figures(book).trust.open_repeats == ()


def test_kept_suspects_are_accepted_not_cleared():
    book = a_book("reference BM1 high 1", "A1 0", "B1 0", "check BM1 +1-1/2", "keep a truck stood on BM1", "B1 0")
    trust = figures(book).trust
    assert (trust.suspect, np.flatnonzero(trust.accepted_mask).tolist()) == ((), [0])


EVENTS = st.lists(
    st.one_of(
        st.sampled_from([f"{column}{row} 0" for column in "ABC" for row in (1, 2, 3, 4)]),
        st.sampled_from(["check BM1 +1", "check BM1 +1-1/4", "check BM1 +1-1/2", "check BM1 -1", "keep why", "shift"]),
    ),
    max_size=25,
)


@given(EVENTS)
def test_suspects_are_those_of_the_plain_rule(events):
    """Computed apart: entry by entry, as one would walk through the book with a pencil."""
    book = a_book("reference BM1 high 1")
    open_shots: set[str] = set()  # since the last good check
    against: dict[int, set[str]] = {}  # what each bad check that was not decided about speaks against
    just_read = 0  # the bad check that is the last entry but for decisions
    for event in events:
        try:
            say(book, event)
        except ValueError:
            continue
        entry = book.entries[-1]
        if isinstance(entry, Shot):
            open_shots.add(entry.position)
            for each in against.values():
                each.discard(entry.position)
            just_read = 0
        elif isinstance(entry, Check):
            off = abs(book.page.checks[-1].drift_nm)
            if off <= EIGHTH:
                open_shots = set()
                against.pop(just_read, None)
            just_read = entry.number if off > 2 * EIGHTH else 0
            if just_read:
                against[just_read] = set(open_shots)
        elif isinstance(entry, Decision):
            against.pop(entry.about, None)
    summary = figures(book)
    assert set(summary.names(summary.trust.suspect)) == set().union(*against.values())


def test_a_check_is_decided_about_once_and_shots_move_once():
    """Two shifts about the same drift would move a shot twice."""
    book = a_book("reference BM1 high 1", "B1 0", "check BM1 +1-1/2", "shift", "C1 0", "check BM1 +1-1/2", "shift")
    assert figures(book).heights[1:3].tolist() == [-INCH // 2, -INCH // 2]
    with pytest.raises(PageError, match="already has a decision"):
        book.decide(Remedy.KEEP, book.page.checks[-1], "again")


# -- is one due ---------------------------------------------------------------------------------------------


def at(minutes: float) -> float:
    return (START + timedelta(minutes=minutes)).timestamp()


def test_due_after_so_many_shots_or_minutes():
    """Common practice: asked for after a set time or number of shots; an entry every ten seconds here."""
    book = a_book("set check-shots 3", "set check-minutes 30", "reference BM1 high 1", "A1 0", "B1 0")
    trust = figures(book).trust
    assert trust.due(at(1)) == ()
    assert trust.due(at(31)) == (Reason.MINUTES,)
    assert trust.due(at(1), leaving=True) == (Reason.LEAVING,)
    say(book, "C1 0")
    assert figures(book).trust.due(at(1)) == (Reason.SHOTS,)
    say(book, "check BM1 +1")
    trust = figures(book).trust
    assert trust.due(at(200), leaving=True) == (), "no shot since"
    assert trust.age(at(2)) == 60, "the check is the seventh entry"
    say(book, "round working", "A1 0", "B1 0", "C1 0")
    assert figures(book).evidence.shots_since_check == 3


def test_due_after_the_tripod_was_moved():
    book = a_book("reference BM1 high 1", "setup BM1 4.00", job=a_job(Unit.FT, readings=Readings.ROD))
    assert Reason.NEW_SETUP not in figures(book).trust.due(at(1)), "the first one"
    say(book, "setup BM1 4.50")
    assert figures(book).trust.due(at(1)) == (Reason.NEW_SETUP,)
    say(book, "check BM1 4.50")
    assert figures(book).trust.due(at(1)) == ()


def test_shots_of_a_setup_that_was_left_unchecked_are_told():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "setup BM1 4.00", "A1 5.00", "check BM1 4.00", "B1 5.00", job=job)
    say(book, "setup BM1 4.50", "C1 5.50", "check BM1 4.50")
    summary = figures(book)
    assert summary.names(np.flatnonzero(summary.trust.unchecked_mask)) == ["B1"]


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (["A1 0"], Standard.MISSING),
        (["A1 0", "check BM1 +1"], Standard.GOOD),
        (["A1 0", "check BM1 +1", "B1 0"], Standard.LATE),
        (["A1 0", "check BM1 +1-1/4"], Standard.REPEAT),
        (["A1 0", "check BM1 +1-1/4", "check BM1 +1-1/8"], Standard.GOOD),
        (["A1 0", "check BM1 +1-1/4", "check ZERO 0"], Standard.REPEAT),
        (["A1 0", "check BM1 +1-1/4", "keep worn rod foot", "check ZERO 0"], Standard.GOOD),
        (["A1 0", "check BM1 +3"], Standard.BAD),
        (["A1 0", "check BM1 +3", "keep dug up", "check ZERO 0"], Standard.GOOD),
    ],
)
def test_what_the_last_check_stands_for(lines, expected):
    assert figures(a_book("reference BM1 high 1", *lines)).trust.standard is expected


def test_a_later_rounds_check_does_not_stand_for_an_earlier_round():
    from rodcall.figures.summary import summarise

    book = a_book("reference BM1 high 1", "A1 0", "round working", "A1 0", "check BM1 +1")
    assert summarise(book.page, 1).trust.standard is Standard.MISSING
    assert summarise(book.page, 2).trust.standard is Standard.GOOD


# -- two references -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drifts", "before", "moved", "sure"),
    [
        ({"A": 0, "B": 0}, {"A": 0}, None, None),
        ({"A": 9, "B": 9}, {"A": 0}, None, None),
        ({"A": 0, "B": -30}, {"A": 0, "B": 0}, ("B",), True),
        ({"A": 0, "B": -30}, {"A": 0}, ("B",), False),
        ({"A": 30, "B": 1}, {"A": 0}, ("A",), True),
        ({"A": 30, "B": -10}, {"A": 0, "B": 0}, (), False),
        ({"A": 10, "B": 10, "C": -20}, {"A": 0}, ("C",), True),
        ({"A": 0, "B": -30, "C": -30}, {"A": 0}, ("A",), True),
        ({"A": 0, "B": 20, "C": -30}, {"A": 0}, (), False),
    ],
)
def test_which_reference_moved(drifts, before, moved, sure):
    """Worked by hand: a level takes all references along alike, what differs is a reference's own doing (3 allowed)."""
    found = disagreement(drifts, before, 3)
    assert (found.moved if found else None) == moved
    assert (found.sure if found else None) == sure


@pytest.mark.parametrize("dug_up", ["BM1", "BM2"])
def test_two_references_one_dug_up(dug_up):
    """The right one is named, be it the one that the setup hangs on or the other."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "reference BM2 high 2", "setup BM1 4.00", "check BM2 3.00", "A1 5", job=job)
    assert figures(book).trust.disagreement is None
    readings = {"BM1": "4.00", "BM2": "3.00"} | {dug_up: "4.35"}
    say(book, *(f"check {name} {reading}" for name, reading in readings.items()))
    summary = figures(book)
    assert summary.trust.disagreement.moved == (dug_up,)
    assert summary.trust.disagreement.sure
    assert f"{dug_up} moved" in words_proof.disagreement_words(summary, summary.trust.disagreement)


def test_a_bumped_tripod_is_no_disagreement():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "reference BM2 high 2", "setup BM1 4.00", "A1 5", job=job)
    say(book, "check BM1 3.90", "check BM2 2.90")
    assert figures(book).trust.disagreement is None
    assert figures(book).trust.standard is Standard.BAD


def test_checks_with_shots_between_them_are_not_compared():
    """The level may have moved meanwhile."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "reference BM2 high 2", "setup BM1 4.00", "check BM1 4.00", "A1 5", job=job)
    say(book, "check BM2 2.50")
    assert figures(book).trust.disagreement is None


@pytest.mark.parametrize(("apart", "moved"), [(3, None), (4, ("B",))])
def test_references_apart_by_exactly_what_is_allowed_agree(apart, moved):
    """3 allowed: two that differ by 3 tell one story, by 4 two."""
    for sign in (1, -1):
        found = disagreement({"A": 0, "B": sign * apart}, {"A": 0, "B": 0}, 3)
        assert (found.moved if found else None) == moved


def test_one_that_reads_exactly_what_is_allowed_still_reads_true():
    found = disagreement({"A": 3, "B": 30}, {"A": 0, "B": 0}, 3)
    assert (found.moved, found.sure) == (("B",), True)
    assert disagreement({"A": 4, "B": 30}, {"A": 0, "B": 0}, 3).moved == ()


@pytest.mark.parametrize(("before", "sure"), [(27, False), (26, True)])
def test_what_read_so_before_by_exactly_what_is_allowed_did_not_surely_move(before, sure):
    assert disagreement({"A": 0, "B": 30}, {"A": 0, "B": before}, 3).sure is sure


def test_due_after_each_move_of_the_tripod():
    """A check on the second set-up says nothing of the third."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "setup BM1 4.00", "setup BM1 4.20", "check BM1 4.20", job=job)
    assert figures(book).trust.due(at(1)) == ()
    say(book, "setup BM1 4.50")
    assert figures(book).trust.due(at(1)) == (Reason.NEW_SETUP,)


def test_a_bad_check_before_the_first_shot_leaves_the_zero_a_reference():
    """ZERO is 0 without being written: nobody took its height from the level that was off."""
    book = a_book("check ZERO +2", "A1 0", "check ZERO 0")
    assert not figures(book).trust.unchecked_mask.any()


def test_only_bad_checks_that_follow_one_another_are_unresolved():
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +2", "check BM1 +1", "check BM1 +2")
    assert [check.order for check in figures(book).trust.unresolved] == [4]
    say(book, "check BM1 +2")
    assert [check.order for check in figures(book).trust.unresolved] == [5, 4]


def test_one_shot_since_the_last_check_is_enough_to_check_before_leaving():
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +1")
    assert figures(book).trust.due(at(1), leaving=True) == ()
    say(book, "B1 0")
    assert figures(book).trust.due(at(1), leaving=True) == (Reason.LEAVING,)
