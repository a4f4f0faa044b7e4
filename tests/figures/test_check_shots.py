"""Check shots beyond the plain case: earlier rounds, set-ups left behind, a clock that ran back, what moved."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from rodcall.book.book import Book
from rodcall.book.model.entries import Readings
from rodcall.figures.checks import drift
from rodcall.figures.checks.check_shots import Standard, disagreement
from rodcall.figures.summary import summarise
from rodcall.units import FOOT, INCH, Unit
from tests.kit import START, a_book, a_job, figures, say

ROD = a_job(Unit.FT, readings=Readings.ROD)


def test_a_later_rounds_check_leaves_nothing_open_in_an_earlier_round():
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +1", "round working", "A1 0", "check BM1 +1-1/4")
    assert summarise(book.page, 1).trust.open_repeats == ()
    assert [check.order for check in summarise(book.page, 2).trust.open_repeats] == [5]
    assert summarise(book.page, 1).trust.standard is Standard.GOOD


def test_a_check_to_be_read_again_is_none_once_the_tripod_has_moved():
    """Good up to 0.01 ft, to be read again up to 0.02: nobody can read it again from where the level stood."""
    book = a_book("reference BM1 high 1", "setup BM1 4.00", "A1 5.00", "check BM1 4.02", job=ROD)
    assert len(figures(book).trust.open_repeats) == 1
    say(book, "setup BM1 4.50")
    assert figures(book).trust.open_repeats == ()


def test_the_age_is_that_of_the_last_check_or_set_up_whatever_the_clock_said_before():
    """A tablet's clock that was an hour ahead and was put right makes no check younger than it is."""
    minutes = iter([0, 60, 1, 2])
    book = Book(a_job(), "tablet-a", lambda: START + timedelta(minutes=next(minutes)))
    say(book, "reference BM1 high 1", "check BM1 +1", "check BM1 +1")
    assert figures(book).trust.age((START + timedelta(minutes=10)).timestamp()) == 9 * 60
    minutes = iter([0, 60, 1, 2])
    book = Book(ROD, "tablet-a", lambda: START + timedelta(minutes=next(minutes)))
    say(book, "reference BM1 high 1", "setup BM1 4.00", "setup BM1 4.20")
    assert figures(book).trust.age((START + timedelta(minutes=10)).timestamp()) == 9 * 60


def test_the_age_counts_from_the_younger_of_check_and_set_up_or_from_the_first_shot():
    """An entry every ten seconds, the first at 0."""
    now = (START + timedelta(seconds=100)).timestamp()
    assert figures(a_book()).trust.age(now) is None
    assert figures(a_book("note hello", "A1 0", "B1 0")).trust.age(now) == 90
    book = a_book("reference BM1 high 1", "setup BM1 4.00", "A1 5.00", job=ROD)
    assert figures(book).trust.age(now) == 90
    say(book, "check BM1 4.00")
    assert figures(book).trust.age(now) == 70
    say(book, "setup BM1 4.10")
    assert figures(book).trust.age(now) == 60


def test_a_check_is_due_at_its_minute_and_at_no_second_before():
    book = a_book("set check-minutes 30", "reference BM1 high 1", "A1 0")
    last = START + timedelta(seconds=20)
    for seconds, expected in ((1799, 0), (1800, 1)):
        assert len(figures(book).trust.due((last + timedelta(seconds=seconds)).timestamp())) == expected


def test_references_read_before_the_first_shot_are_one_story():
    """The first entries of a book belong together: BM1 is told apart from the zero by two checks and no shot."""
    book = a_book("reference BM1 high 1", "check ZERO 0", "check BM1 +4")
    found = figures(book).trust.disagreement
    assert (found.drifts, found.moved, found.sure) == ((("ZERO", 0), ("BM1", 3 * INCH)), ("BM1",), False)


def test_a_good_check_before_the_first_shot_stands():
    assert figures(a_book("reference BM1 high 1", "check BM1 +1")).trust.standard is Standard.GOOD


def test_what_the_references_read_is_told_though_shots_followed():
    book = a_book("reference BM1 high 1", "A1 0", "check ZERO 0", "check BM1 +4", "B1 0")
    assert figures(book).trust.disagreement.moved == ("BM1",)


def test_another_set_ups_reading_makes_no_reference_surely_moved():
    """BM2 read true from the first set-up; from the second it may have been off from the start, by the backsight."""
    book = a_book("reference BM1 high 1", "reference BM2 high 2", "setup BM1 4.00", "check BM2 3.00", job=ROD)
    say(book, "setup BM1 4.50", "A1 5.00", "check BM1 4.50", "check BM2 3.90")
    found = figures(book).trust.disagreement
    assert (found.moved, found.sure) == (("BM2",), False)


def test_references_read_by_two_set_ups_are_not_compared():
    book = a_book("reference BM1 high 1", "reference BM2 high 2", "setup BM1 4.00", "check BM2 3.40", job=ROD)
    say(book, "setup BM1 4.50", "check BM1 4.50")
    assert figures(book).trust.disagreement is None


def test_of_three_that_differ_all_round_none_is_named():
    assert disagreement({"A": 0, "B": 10, "C": 20}, {}, 3).moved == ()
    assert disagreement({"A": 0, "B": 2, "C": 4}, {}, 3).moved == (), "the middle one agrees with both"


# -- what is told of a movement -----------------------------------------------------------------------------


@pytest.fixture
def told(monkeypatch):
    """What the story of a set-up's checks and shots is told by."""
    seen = []

    def movement(*arguments):
        seen.append(arguments)

    monkeypatch.setattr(drift, "movement", movement)
    return seen


def exactly(*metres: float):
    """To well below a nanometre, in which lengths are whole."""
    return pytest.approx(metres, rel=0, abs=1e-12)


def test_what_a_movement_is_judged_by(told):
    """Shots of the set-up between backsight and last check, in the order shot, and the checks of its own reference.

    By hand: A1 lies at 0 | 0, C2 20 ft away and 40 ft across, B1 20 ft across; an entry every 10 s; BM1 reads 0.02 ft
    less at its last check, so that the line of sight stands 0.02 ft lower and the reference reads 0.02 ft HIGH.
    """
    job = a_job(Unit.FT, readings=Readings.ROD, step=FOOT // 1000)
    book = a_book("reference BM1 0", "reference BM2 +1.00", "setup BM1 4.00", "check BM1 4.00", job=job)
    say(book, "setup BM1 4.10", "C2 5.10", "check BM1 4.10", "check BM2 3.05", "A1 4.10", "B1 3.10", "check BM1 4.08")
    say(book, "A4 4.10")
    assert figures(book).trust.movement is None
    ((walk, checks, mark_m, allowed_m),) = told
    assert walk.index.tolist() == [5, 0, 1]
    foot = 0.3048
    assert walk.along == pytest.approx([20 * foot, 0, 0])
    assert walk.across == pytest.approx([40 * foot, 0, 20 * foot])
    assert walk.heights == pytest.approx([-1.0 * foot, 0.0, 1.0 * foot])
    assert (walk.seconds - START.timestamp()).tolist() == [50, 80, 90]
    assert checks.shots_before.tolist() == [0, 1, 3]
    assert (checks.seconds - START.timestamp()).tolist() == [40, 60, 100]
    assert checks.drift == exactly(0.0, 0.0, 0.02 * foot)
    assert mark_m == pytest.approx(0.001 * foot)
    assert allowed_m == pytest.approx(0.01 * foot)


def test_a_decided_check_begins_the_story_anew(told):
    """What was decided about is known; its drift is the level from then on."""
    book = a_book("reference BM1 0", "A1 0", "check BM1 +1", "keep it was bumped", "B1 0", "C1 0", "check BM1 +1-1/2")
    assert figures(book).trust.movement is None
    ((walk, checks, _, _),) = told
    assert walk.index.tolist() == [1, 2]
    assert checks.shots_before.tolist() == [0, 2]
    assert checks.drift == exactly(0.0, 0.0127)


def test_heights_said_directly_hang_on_no_backsight(told):
    """The story begins with the first shot, at its time; the reference is the one last read."""
    book = a_book("A1 0", "B1 0", "reference BM1 0", "reference BM2 0", "check BM2 0", "C1 0", "check BM1 +1/2")
    assert figures(book).trust.movement is None
    ((walk, checks, _, _),) = told
    assert walk.index.tolist() == [0, 1, 2]
    assert checks.shots_before.tolist() == [0, 3]
    assert (checks.seconds - START.timestamp()).tolist() == [0, 60]
    assert checks.drift == exactly(0.0, 0.0127)


def test_the_reference_of_the_set_up_is_followed_else_the_one_read_last(told):
    book = a_book("reference BM1 0", "reference BM2 0", "setup BM1 4.00", "A1 4.00", "check BM2 3.97", job=ROD)
    assert figures(book).trust.movement is None
    say(book, "check BM1 3.98", "check BM2 3.90")
    assert figures(book).trust.movement is None
    by_two, by_one = (checks for _, checks, _, _ in told)
    assert by_two.drift == exactly(0.0, 0.03 * 0.3048)
    assert by_one.drift == exactly(0.0, 0.02 * 0.3048)


def test_without_a_shot_the_last_check_gives_the_time(told):
    assert figures(a_book("reference BM1 0", "check BM1 +1/2")).trust.movement is None
    ((walk, checks, _, _),) = told
    assert walk.index.size == 0
    assert (checks.seconds - START.timestamp()).tolist() == [10, 10]


def test_nobody_keeps_a_reference_known_by_a_level_that_was_found_off():
    """TP1's height was read after the bad check by the same set-up: it agrees with whatever that level does."""
    book = a_book("reference BM1 0", "setup BM1 4.00", "A1 4.00", "check BM1 4.30", "turn TP1 3.00", job=ROD)
    trust = figures(book).trust
    setup = trust.newest_setup
    assert not trust.independent("TP1", setup)
    assert trust.independent("BM1", setup)
    say(book, "reference BM3 +1")
    trust = figures(book).trust
    assert not trust.independent("BM3", setup), "first written after the bad check"
    assert trust.independent("BM3", setup + 100), "another set-up had no bad check"


@pytest.mark.parametrize("kind", ["suspect", "accepted"])
def test_masks_are_of_what_counts(kind):
    book = a_book("reference BM1 high 1", "A1 0", "B1 0", "B1 out rut", "check BM1 +1-1/2")
    if kind == "accepted":
        say(book, "keep a truck stood on it")
    trust = figures(book).trust
    masks = {"suspect": trust.suspect_mask, "accepted": trust.accepted_mask}
    assert [name for name, mask in masks.items() if np.flatnonzero(mask).tolist() == [0]] == [kind]
    assert not any(mask.any() for name, mask in masks.items() if name != kind)
