"""What a decision about suspect shots moves: which shots, by how much, and back again where the decision is struck."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Check, Decision, Readings, Remedy
from rodcall.figures.punch_list import Kind
from rodcall.units import FOOT, INCH, Unit
from tests.kit import a_book, a_job, figures, older, say

OFF = "check BM 4.10"
"""The rod reads 0.10 ft more than 4.00, so BM, and all that was read since, seems 0.10 ft too low."""
GOOD = "check BM 4.00"
SPOTS = ("A1", "B1", "C1", "A2", "B2")


def rod_book(*lines: str) -> Book:
    """BM 1.00 ft high, the rod reads 4.00 over it: 5.00 is height 0. A1 is the zero."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    return a_book("reference BM high 1.00", "setup BM 4.00", *lines, job=job)


def raised(book: Book) -> dict[str, float]:
    """Heights of the spots that are no longer at 0, in feet; all were read as 5.00."""
    heights = {name: book.page.round.height_at(book.page.position(name)) or 0 for name in SPOTS}
    return {name: nm / FOOT for name, nm in heights.items() if nm}


@pytest.mark.parametrize(
    ("lines", "moved"),
    [
        (["B1 5.00", "C1 5.00", OFF], "B1 C1"),
        (["B1 5.00", GOOD, "C1 5.00", OFF], "C1"),
        (["B1 5.00", "check BM 4.01", "C1 5.00", OFF], "C1"),
        (["B1 5.00", "check BM 3.99", "C1 5.00", OFF], "C1"),
        (["B1 5.00", "check BM 4.02", "C1 5.00", OFF], "B1 C1"),
        (["B1 5.00", GOOD, "C1 5.00", GOOD, "A2 5.00", OFF], "A2"),
        (["B1 5.00", OFF, "C1 5.00", OFF], "B1 C1"),
        (["B1 5.00", OFF, "keep wind", "C1 5.00", OFF], "C1"),
        (["B1 5.00", "C1 5.00", "strike B1", "A2 5.00", OFF], "C1 A2"),
        (["B1 5.00", OFF, "C1 5.00", GOOD, "A2 5.00"], ""),
        (["B1 5.00", "setup BM 4.00", "C1 5.00", OFF], "C1"),
        (["B1 5.00", "setup BM 4.00", GOOD, "strike entry 4", "C1 5.00", OFF], "B1 C1"),
        (["A1 5.00", "B1 5.00", OFF], "B1"),
    ],
)
def test_shots_of_the_level_since_the_last_check_that_was_good_or_decided(lines, moved):
    """0.01 ft is allowed. Never the zero, nor a shot of another set-up; that one's checks say nothing of this level."""
    book = rod_book(*lines)
    say(book, "shift")
    assert raised(book) == pytest.approx(dict.fromkeys(moved.split(), 0.10))
    book.undo()
    assert raised(book) == {}
    book.redo()
    assert raised(book) == pytest.approx(dict.fromkeys(moved.split(), 0.10))


def test_a_good_check_too_may_be_shifted_by_and_goes_back_to_the_one_before_it():
    book = rod_book("B1 5.00", GOOD, "C1 5.00", "check BM 4.01", "shift")
    assert raised(book) == pytest.approx({"C1": 0.01})


def test_a_shot_of_a_reference_on_the_pad_does_not_move():
    book = rod_book("B1 5.00", "C1 5.00")
    book.refer("hub", "low 0", position="C1")
    say(book, OFF, "shift")
    assert raised(book) == pytest.approx({"B1": 0.10})


def test_shots_before_the_first_check_move_also_where_they_come_first_in_the_book():
    """Without a set-up; BM1 as read is 1 in higher than it is."""
    book = a_book("C1 0", "B1 -1/2", "reference BM1 high 1", "check BM1 +2", "shift")
    heights = [book.page.round.height_at(book.page.position(name)) for name in ("C1", "B1")]
    assert heights == [-INCH, -INCH * 3 // 2]


def test_without_a_set_up_another_zero_is_no_other_level():
    """The zero stays, be it chosen since; what was called before and after it moves."""
    book = a_book("reference BM1 high 1", "C1 0", "B1 -1/2", "zero B1", "A2 +1", "check BM1 +2-1/2", "shift")
    heights = {name: book.page.round.height_at(book.page.position(name)) for name in ("C1", "B1", "A2")}
    assert heights == {"C1": -INCH, "B1": -INCH // 2, "A2": -INCH // 2}


@pytest.mark.parametrize(
    ("lines", "moved"),
    [
        (["A1 5.00", "B1 5.00", "setup BM 4.00", "C1 5.00", OFF], "A1 B1 C1"),
        (["B1 5.00", GOOD, "setup BM 4.00", "C1 5.00", OFF], "C1"),
        (["B1 5.00", "setup BM 4.00", GOOD, "strike entry 4", "C1 5.00", OFF], "C1"),
        (["B1 5.00", "strike B1", "C1 5.00", OFF], "C1"),
    ],
)
def test_a_decision_of_an_older_book_moves_every_shot_since_any_such_check(lines, moved):
    book = rod_book(*lines)
    check = book.page.checks[-1].entry
    assert isinstance(check, Check)
    older(book, Decision, decision=Remedy.SHIFT, about=check.number, written_on=check.tablet, reason="bumped")
    assert raised(book) == pytest.approx(dict.fromkeys(moved.split(), 0.10))


def test_a_shot_that_moved_keeps_its_readings_together():
    """Both of a spot read twice move, so that they agree as before."""
    book = rod_book("B1 5.00", "B1 5.00", OFF, "shift")
    assert [line.datum_nm / FOOT for line in book.page.round.readings_at(1)] == pytest.approx([0.10, 0.10])


def test_a_shot_struck_after_it_moved_comes_back_as_it_moved():
    book = rod_book("B1 5.00", "C1 5.00", OFF, "shift", "strike B1")
    assert raised(book) == pytest.approx({"C1": 0.10})
    book.redo()
    assert raised(book) == pytest.approx({"B1": 0.10, "C1": 0.10})


def test_a_shot_that_was_struck_when_it_was_decided_comes_back_as_it_was_read():
    """As when another tablet takes its strike back later: books that are written mean it so."""
    book = rod_book("B1 5.00", "C1 5.00", "strike B1", OFF, "shift")
    book._strike(book.page.lines["tablet-a", 5])
    assert raised(book) == pytest.approx({"C1": 0.10})
    assert book.page.round.times[1] == 1


def test_a_shot_that_comes_back_as_it_was_read_is_suspect_until_it_is_shot_again():
    """The others, which were shifted, are accepted."""
    book = rod_book("B1 5.00", "C1 5.00", "strike B1", OFF, "shift")
    assert figures(book).trust.suspect == ()
    book._strike(book.page.lines["tablet-a", 5])
    trust = figures(book).trust
    assert trust.suspect == (1,)
    assert np.flatnonzero(trust.accepted_mask).tolist() == [2]
    (item,) = (item for item in figures(book).punch_list.items if item.kind is Kind.SUSPECT)
    assert (item.spots, item.names) == ((1,), ("BM",))
    say(book, "B1 5.00")
    assert figures(book).trust.suspect == ()


def test_a_book_has_1000_decisions():
    """As many as books have that are written already: fewer would refuse one of them."""
    book = rod_book("B1 5.00")
    for _ in range(1000):
        say(book, OFF, "keep wind")
    say(book, OFF)
    with pytest.raises(PageError, match="too many decisions: the limit is 1000"):
        book.decide(Remedy.KEEP, book.page.checks[-1], "wind")
