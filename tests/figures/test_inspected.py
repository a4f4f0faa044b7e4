"""The punch list where two of a kind meet: two bad checks, two references, two tablets, two times."""

from __future__ import annotations

from datetime import timedelta

import pytest

from rodcall.book.book import Book
from rodcall.book.model.entries import Readings
from rodcall.figures.punch_list import Item, Kind
from rodcall.units import FOOT, INCH, Unit
from tests.cli.punch_kit import AGREED, CHECK, HONEST, ROD_AGREED, ROD_CHECK, ROD_SHOTS, SHOTS, WITHOUT_B2
from tests.kit import START, a_book, a_job, figures, say

EIGHTH = INCH // 8
WALK = (0, 1, 2, 5, 4, 3, 6, 7, 8, 11, 10, 9)


def found(book: Book, kind: Kind) -> list[Item]:
    return list(figures(book).punch_list.of(kind))


def in_feet(*lines: str) -> Book:
    return a_book(*lines, job=a_job(Unit.FT, readings=Readings.ROD))


def on(now: list, *lines: str) -> Book:
    """A book by a clock that stands until it is set."""
    book = Book(a_job(), "tablet-a", lambda: now[0])
    say(book, *lines)
    return book


# -- readings and checks --------------------------------------------------------------------------------------


def test_what_is_taken_out_of_the_pad_before_the_final_round_is_nobodys_matter():
    """Only a final round is held against the target."""
    lines = ("reference BM1 high 4", "target 0", *WITHOUT_B2, "B2 +1-1/8", CHECK, "B2 not pad stump")
    assert found(a_book(*lines), Kind.TAKEN_OUT) == []


@pytest.mark.parametrize("first", [True, False])
def test_who_agreed_afterwards_counts_whether_or_not_somebody_had_before(first):
    before = ("set agreed-by the owner",) if first else ()
    book = a_book(*AGREED, *WITHOUT_B2, "B2 +1-1/8", CHECK, *before, "B2 not pad stump", "set agreed-by the owner")
    assert found(book, Kind.TAKEN_OUT) == []


def test_a_shot_that_two_bad_checks_speak_against_is_listed_once_with_the_later():
    book = a_book(*AGREED, *SHOTS[:6], "check BM1 +4-3/8", *SHOTS[6:], "check BM1 +4-1/2")
    assert found(book, Kind.SUSPECT) == [Item(Kind.SUSPECT, WALK, ("BM1",), 17, 4 * EIGHTH, EIGHTH)]


def test_a_set_up_that_was_not_closed_is_named_by_its_own_reference():
    book = in_feet(
        *ROD_AGREED, *ROD_SHOTS[:6], "reference BM2 high 3.00", "setup BM2 3.00", *ROD_SHOTS[6:], "check BM2 3.00"
    )
    assert found(book, Kind.SETUP_NOT_CLOSED) == [Item(Kind.SETUP_NOT_CLOSED, WALK[:6], ("BM1",))]


def test_a_turning_point_of_the_same_set_up_excuses_no_check_on_the_pad():
    """BM1 beside the pad can be checked; T1 hangs on the set-up itself and could prove nothing."""
    book = in_feet(*ROD_AGREED, *ROD_SHOTS, "turn T1 5.00", "check ZERO 6.00")
    (item,) = found(book, Kind.CHECKED_ON_PAD)
    assert (item.spots, item.names) == (WALK, ("ZERO",))
    assert found(in_feet(*ROD_AGREED, *ROD_SHOTS, "turn T1 5.00", "check ZERO 6.00", ROD_CHECK), item.kind) == []


# -- times ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("seconds", "open_"), [(0, False), (1, True)])
def test_a_check_beside_the_pad_makes_up_for_one_on_it_within_24_hours(seconds, open_):
    now = [START]
    book = on(now, *AGREED, *SHOTS, "check ZERO 0")
    now[0] = START + timedelta(hours=24, seconds=seconds)
    say(book, CHECK)
    assert bool(found(book, Kind.CHECKED_ON_PAD)) is open_


def test_a_clock_that_ran_back_is_told_though_the_hours_look_right_again():
    """Set back half an hour after the sixth shot, the check an hour later: nothing but the jump itself shows it."""
    now = [START]
    book = on(now, *AGREED, *SHOTS[:6])
    now[0] = START - timedelta(minutes=30)
    say(book, *SHOTS[6:])
    now[0] = START + timedelta(minutes=30)
    say(book, CHECK)
    (item,) = found(book, Kind.TIMES_APART)
    shot = {book.job.grid.index(line.split()[0]) for line in SHOTS[:6]}
    assert (set(item.spots), item.opened_by, item.value) == (shot, 10, 0.5)


def test_of_several_shots_the_longest_wait_for_the_check_is_told():
    now = [START]
    book = on(now, *AGREED, *SHOTS[:6])
    now[0] = START + timedelta(hours=3)
    say(book, *SHOTS[6:])
    now[0] = START + timedelta(hours=30)
    say(book, CHECK)
    (item,) = found(book, Kind.TIMES_APART)
    assert (item.spots, item.value, item.limit) == (WALK, 30.0, 24.0)


# -- what was agreed ------------------------------------------------------------------------------------------


def test_a_reference_that_is_new_since_the_final_round_is_none_that_changed():
    book = a_book(*HONEST, "reference BM2 high 1", "reference BM2 high 2")
    assert found(book, Kind.REFERENCE_CHANGED) == []


def test_a_reference_used_at_one_of_two_other_heights_was_used_meanwhile():
    other = ("reference BM1 high 5", "check BM1 +5", "reference BM1 high 4-1/2", "reference BM1 high 4")
    assert found(a_book(*HONEST, *other, CHECK), Kind.REFERENCE_CHANGED) == [
        Item(Kind.REFERENCE_CHANGED, (), ("BM1",), 20)
    ]


@pytest.mark.parametrize("setups", [1, 4])
def test_a_wider_closure_is_held_against_what_so_many_set_ups_may_miss(setups):
    """0.05 ft times the root of the miles: each set-up is one diagonal of 500 x 1200 ft, 1300 ft."""
    job = a_job(Unit.FT, readings=Readings.ROD, length=1200 * FOOT, width=500 * FOOT)
    more = ["setup BM1 4.00"] * (setups - 1)
    book = a_book(*ROD_AGREED, *more, *ROD_SHOTS, ROD_CHECK, "set closure 1ft because far", job=job)
    (item,) = found(book, Kind.LIMIT_WIDENED)
    assert item.names == ("closure",)
    assert item.limit == pytest.approx(0.05 * (setups * 1300 / 5280) ** 0.5 * FOOT, rel=1e-9)


# -- two tablets ----------------------------------------------------------------------------------------------


def by_two(*told: tuple[str, str], since: tuple[str, ...] = ()) -> list[Item]:
    """What is open of lines that these tablets wrote, once they were joined, and of lines written since."""
    book = a_book()
    for tablet, line in told:
        book.tablet = tablet
        say(book, line)
    book.page.joined = len(book.entries)
    say(book, *since)
    return found(book, Kind.TABLETS_DISAGREE)


def test_what_two_tablets_agreed_on_otherwise_is_told_by_the_last_of_it():
    """Each tablet numbers its own entries; the third told is the last."""
    told = (("a", "set drift 3/16in"), ("a", "set drift 1/8in"), ("b", "set drift 1/8in"), ("b", "set drift 1/4in"))
    assert by_two(*told) == [Item(Kind.TABLETS_DISAGREE, (), ("drift",), 4)]
    assert by_two(*told, since=("set drift 1/8in",)) == [], "the first entry after they were joined settles it"
    assert by_two(*told, since=("note wind", "set drift 1/8in")) == []


def test_two_tablets_that_said_the_same_at_last_agree():
    assert by_two(("a", "set drift 1/4in"), ("b", "set drift 3/16in"), ("a", "set drift 3/16in")) == []
    assert by_two(("a", "set drift 1/4in")) == []


def test_three_tablets_of_which_one_differs_disagree():
    told = tuple(zip("abc", ("set drift 1/4in", "set drift 1/4in", "set drift 3/16in"), strict=True))
    assert by_two(*told) == [Item(Kind.TABLETS_DISAGREE, (), ("drift",), 3)]


def test_who_agreed_may_be_somebody_else_on_each_tablet():
    assert by_two(("a", "set agreed-by the owner"), ("b", "set agreed-by the builder")) == []


# -- how far apart --------------------------------------------------------------------------------------------


def test_of_a_pad_inset_from_its_edges_the_edge_lies_as_far_as_twice_the_inset():
    """Spots 26 ft in from the edge stand for 26 ft to either side; 3 lines on the rest of 152 ft are 50 ft apart."""
    job = a_job(along=3, across=3, length=152 * FOOT, width=152 * FOOT, inset=26 * FOOT)
    (item,) = found(a_book("A1 0", job=job), Kind.SPOTS_TOO_FAR)
    assert (item.value, item.limit) == (52 * FOOT, 50 * FOOT)
