"""Strikes and strikes of strikes: what counts again, what the change says, and what two tablets struck alike."""

from __future__ import annotations

from datetime import timedelta

import pytest

from rodcall.book.book import Book
from rodcall.book.fold import page as fold
from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import SHOT, Change
from rodcall.book.model.entries import NotPad, Outline, Readings, Shot, Strike
from rodcall.units import INCH, Unit
from tests.kit import START, a_book, a_job, confirm, older, say


def strike(book: Book, number: int, of: str = "tablet-a", by: str = "tablet-a") -> Change:
    """A strike as any tablet may have written it."""
    line = {"time": START, "tablet": by, "strikes": number, "written_on": of}
    own = [entry.number for entry in book.entries if entry.tablet == by]
    return book.take(Strike(number=max(own, default=0) + 1, **line))


def shots(book: Book) -> dict[str, float]:
    """Heights in inches by name."""
    here = book.page.round
    return {
        book.job.grid.name(at): here.height_at(at) / INCH for at in range(book.job.grid.size) if here.state[at] == SHOT
    }


def test_an_entry_is_struck_once_by_a_tablet():
    book = a_book("A1 0", "B1 -1", "strike B1")
    with pytest.raises(PageError, match="entry 2 is already struck"):
        book._strike(book.page.lines["tablet-a", 2])
    with pytest.raises(PageError, match="strikes entry 9, which is not in the book"):
        strike(book, 9)
    assert len(book.entries) == 3


def test_a_strike_that_was_taken_back_is_not_struck_again():
    book = a_book("A1 0", "B1 -1", "strike B1")
    strike(book, 3)
    assert shots(book) == {"A1": 0, "B1": -1}
    with pytest.raises(PageError, match="entry 4 undid a strike; strike entry 2 instead"):
        strike(book, 4)
    assert shots(book) == {"A1": 0, "B1": -1}


def test_what_two_tablets_struck_counts_again_once_both_take_it_back():
    book = a_book("A1 0", "B1 -1")
    first = strike(book, 2)
    second = strike(book, 2, by="tablet-b")
    assert [(change.undone, change.before_nm, change.now_nm) for change in (first, second)] == [
        (True, -INCH, None),
        (True, None, None),
    ]
    assert strike(book, 3).undone, "the other still strikes it"
    assert shots(book) == {"A1": 0}
    assert not strike(book, 1, of="tablet-b", by="tablet-b").undone
    assert shots(book) == {"A1": 0, "B1": -1}


def test_what_hangs_on_a_round_is_counted_through_strikes():
    book = a_book("A1 0", "round working", "A1 -1", "B1 -1", "strike B1")
    strike(book, 5)
    with pytest.raises(PageError, match="2 shots hang on that round"):
        strike(book, 2)
    say(book, "strike B1", "strike A1")
    strike(book, 2)
    assert (book.page.round_index, shots(book)) == (0, {"A1": 0})


def test_the_change_of_what_has_no_place_says_whether_it_was_undone():
    book = a_book("note wind", "target -1")
    assert (strike(book, 1).undone, strike(book, 3).undone) == (True, False)
    assert [note.text for note in book.page.notes] == ["wind"]


def test_spots_taken_off_by_two_tablets_are_pad_once_neither_says_so():
    book = a_book("A1 0")
    for tablet in ("tablet-a", "tablet-b"):
        number = 2 if tablet == "tablet-a" else 1
        book.take(NotPad(number=number, time=START, tablet=tablet, position="B3"))
    at = book.page.position("B3")
    strike(book, 2)
    assert book.page.not_pad[at]
    strike(book, 1, of="tablet-b", by="tablet-b")
    assert not book.page.not_pad[at]


@pytest.mark.parametrize("kind", ["not pad", "outline"])
def test_a_line_of_the_edge_that_two_tablets_struck_bounds_again_with_the_last_strike_taken_back(kind):
    book = a_book()
    if kind == "not pad":
        older(book, NotPad, position="A4", to="C4")
    else:
        older(book, Outline, corners=("A1", "C1", "C3", "A3"))
    off = [9, 10, 11]
    strike(book, 1)
    strike(book, 1, by="tablet-b")
    assert not book.page.not_pad.any()
    strike(book, 2)
    assert not book.page.not_pad.any()
    strike(book, 1, of="tablet-b", by="tablet-b")
    assert book.page.not_pad.nonzero()[0].tolist() == off


@pytest.mark.parametrize("by", ["tablet-a", "tablet-b"])
def test_a_fact_that_was_struck_by_two_tablets_holds_again_with_the_last_strike_taken_back(by):
    other = "tablet-b" if by == "tablet-a" else "tablet-a"
    book = a_book("A1 0", "fact count 5x4")
    strike(book, 2)
    strike(book, 2, by="tablet-b")
    strikes = {"tablet-a": 3, "tablet-b": 1}
    strike(book, strikes[by], of=by, by=by)
    assert book.job.grid.size == 12
    strike(book, strikes[other], of=other, by=other)
    assert book.job.grid.size == 20


def test_a_zero_mended_after_a1_moved_is_the_spot_of_that_name():
    """A line at the near edge and two columns at the left were there when it was said; one line more comes after it."""
    book = a_book("A1 0", "fact add lines near 12ft", "fact add columns left 5ft 5ft", "fact zero D3")
    assert book.job.zero == "D3"
    say(book, "fact add lines near 8ft")
    assert (book.job.zero, book.page.zero_index) == ("D4", book.job.grid.index("D4"))
    assert shots(book) == {"C3": 0}
    book.undo()
    assert (book.job.zero, shots(book)) == ("D3", {"C2": 0})


def test_facts_are_laid_again_up_to_a_limit_and_then_refused(monkeypatch):
    """Each costs as many entries as there are: three, then four more."""
    monkeypatch.setattr(fold, "MOST_LAID_AGAIN", 7)
    book = a_book("A1 0", "B1 0", "C1 0", "fact count 5x3", "fact count 5x4")
    with pytest.raises(PageError, match="too many facts are mended"):
        book.mend("count", "6x4")
    assert book.job.grid.shape == (5, 4)
    say(book, "fact place yard")


def test_shots_set_aside_are_counted_among_those_written():
    """Struck, and off the grid that a fact made smaller: it was shot all the same, and comes back with its spot."""
    book = a_book("C1 0", "A1 0", "strike C1", "fact count 4x2", "B1 -1")
    assert book.page.shots_written == 3
    assert book.page.first_shot is book.page.lines["tablet-a", 1]
    with pytest.raises(PageError, match="entry 1 is off the grid as it is now"):
        strike(book, 3)
    book.strike_entry(4)
    strike(book, 3)
    assert shots(book) == {"A1": 0, "B1": -1, "C1": 0}


def test_what_was_kept_stays_kept_whatever_else_is_struck():
    book = a_book("setup ZERO 4.00", "C4 4.10", job=a_job(Unit.FT, readings=Readings.ROD))
    confirm(book, book.page.lines["tablet-a", 2])
    say(book, "check ZERO 4.00", "note wind")
    for number in (4, 5):
        book.strike_entry(number)
        assert book.page.round.kept.nonzero()[0].tolist() == [11]
    book.strike_entry(3)
    assert not book.page.round.kept.any()


def test_one_undo_takes_back_one_answer_also_where_part_of_it_lies_off_the_grid():
    """D4 was struck by hand, and lies off the pad since the fact that added its column was struck."""
    book = a_book("fact count 4x4", "note wind")
    book.put_all_right([("D4", "+1"), ("A1", "+2")], "all signs flipped")
    book.strike_entry(3)
    book.strike_entry(1)
    assert book.job.grid.across == 3
    assert len(book.undo()) == 1
    assert ([note.text for note in book.page.notes], shots(book)) == (["wind"], {})
    book.undo()
    assert book.page.notes == []


def test_the_number_of_a_shot_off_the_grid_is_not_used_again():
    """Written by another tablet, struck here, and off the pad since a fact was mended."""
    book = a_book("A1 0")
    shot = Shot(number=5, time=START + timedelta(hours=1), tablet="tablet-b", said="+1", position="C4", reading_nm=INCH)
    book.take(shot)
    strike(book, 5, of="tablet-b")
    say(book, "fact count 4x2")
    assert book.page.lines["tablet-b", 5].aside
    again = {"number": 5, "time": START, "tablet": "tablet-b", "said": "+2", "position": "B1", "reading_nm": 2 * INCH}
    with pytest.raises(PageError, match="entry 5 of tablet tablet-b comes after entry 5"):
        book.take(Shot(**again))
    book.take(Shot(**{**again, "number": 6}))
    assert [line.entry.number for line in book.page.clock_ran_back] == [6], "an hour before that shot"
