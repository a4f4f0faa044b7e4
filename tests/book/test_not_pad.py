"""Positions that are no part of the pad: written, undone and struck, in every round; what is refused, and how."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.entry_lines import DictationError
from rodcall.book.fold.page import Page, PageError
from rodcall.book.fold.round_page import SHOT
from rodcall.book.model.entries import NotPad, Strike
from rodcall.book.model.grid import corners_on_pad
from rodcall.book.storage.merge import join
from rodcall.book.storage.opening import JobFile, open_job
from tests.kit import a_book, a_job, say, ticking


def not_pad(book: Book) -> list[str]:
    """Names of the positions that are not pad."""
    return [book.job.grid.name(int(at)) for at in np.flatnonzero(book.page.not_pad)]


def replayed(book: Book) -> Page:
    """The page folded anew from the entries."""
    page = Page(book.job)
    for entry in book.entries:
        page.add(entry)
    return page


def test_it_is_written_with_its_reason_and_kept():
    book = a_book("B3 not pad stump stays", "c4 NOT PAD")
    assert not_pad(book) == ["B3", "C4"]
    assert [(entry.position, entry.to, entry.reason) for entry in book.entries] == [
        ("B3", None, "stump stays"),
        ("C4", None, ""),
    ]


@pytest.mark.parametrize("corners", ["B3:C4", "C4:B3", "B4:C3", "C3:B4", "c3:b4"])
def test_a_rectangle_is_given_by_either_pair_of_corners(corners):
    book = a_book(f"{corners} not pad corner")
    assert not_pad(book) == ["B3", "C3", "B4", "C4"]
    assert book.entries[0].reason == "corner"
    assert not_pad(a_book("B3:B3 not pad")) == ["B3"]
    assert a_book("B3:B3 not pad").entries[0].to is None


def test_undo_and_redo_take_a_rectangle_as_one_act():
    book = a_book("A1 0", "B3:C4 not pad")
    book.undo()
    assert not_pad(book) == []
    assert book.page.round.shots == 1
    book.redo()
    assert not_pad(book) == ["B3", "C3", "B4", "C4"]
    book.undo()
    book.undo()
    assert book.page.round.shots == 0


def test_strike_at_any_spot_of_it_makes_all_of_it_pad_again():
    book = a_book("B3:C4 not pad")
    say(book, "strike C3")
    assert not_pad(book) == []
    assert isinstance(book.entries[-1], Strike)
    with pytest.raises(DictationError, match="C3 has no entry in this round"):
        say(book, "strike C3")


def test_what_was_said_twice_is_struck_twice():
    book = a_book("B3 not pad", "A3:C3 not pad")
    say(book, "strike B3")
    assert not_pad(book) == ["B3"], "the first still says so"
    say(book, "strike B3")
    assert not_pad(book) == []


def test_the_last_thing_written_there_is_struck_first():
    """A spot that was shot, then said to be no pad: struck, its reading counts again."""
    book = a_book("B2 -1/2", "B2 not pad")
    say(book, "strike B2")
    assert not_pad(book) == []
    assert book.page.round.state[book.page.position("B2")] == SHOT
    say(book, "strike B2")
    assert book.page.round.shots == 0


@pytest.mark.parametrize("line", ["B3 -1/2", "B3 again -1/2", "B3 out rut"])
def test_nothing_is_written_there_and_how_to_make_it_pad_is_said(line):
    book = a_book("B3 -1", "A3:C3 not pad")
    with pytest.raises(DictationError, match="line 1: B3 is not pad; to make it pad again: strike B3"):
        say(book, line)
    assert len(book.entries) == 2
    say(book, "strike B3", line)


def test_readings_put_right_are_refused_before_the_first_is_written():
    book = a_book("A3 -1", "B3 -1", "B3 not pad")
    with pytest.raises(PageError, match="B3 is not pad"):
        book.put_all_right([("A3", "-2"), ("B3", "-2")], "all signs flipped")
    assert len(book.entries) == 3


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("D1 not pad", "D1 is off the grid"),
        ("A1:D1 not pad", "D1 is off the grid"),
        ("A1: not pad", "'' is not a position"),
        ("A1 not there", "'not there' is not understood; say B3 not pad stump"),
        ("A1:C4 not pad", "that leaves no pad: keep at least three spots of one square"),
        ("A2:C3 not pad", "that leaves no pad"),
    ],
)
def test_what_cannot_be_is_refused_in_a_line(line, why):
    book = a_book("A1 0")
    with pytest.raises(DictationError, match=why):
        say(book, line)
    assert not_pad(book) == []
    assert len(book.entries) == 1


def test_a_strike_taken_back_cannot_leave_nothing_of_the_pad():
    book = a_book("A1:C2 not pad", "strike A1", "A3:C4 not pad")
    with pytest.raises(PageError, match="that leaves no pad"):
        book._strike(book.page.lines["tablet-a", 2])
    assert not_pad(book) == ["A3", "B3", "C3", "A4", "B4", "C4"]
    assert len(book.entries) == 3
    book.undo()
    book._strike(book.page.lines["tablet-a", 2])
    assert not_pad(book) == ["A1", "B1", "C1", "A2", "B2", "C2"]


def test_it_holds_in_every_round_and_outlives_a_round_that_is_struck():
    book = a_book("A1 0", "round working", "B3 not pad")
    book._strike(book.page.lines["tablet-a", 2])
    assert (book.page.round_index, not_pad(book)) == (0, ["B3"])
    say(book, "round final")
    assert not_pad(book) == ["B3"]


def test_readings_in_any_round_are_kept_and_come_back():
    book = a_book("B3 -1", "round working", "B3 -2", "A1 0")
    assert (book.page.shots_in(0), book.page.shots_in(1)) == (1, 2)
    say(book, "B3 not pad")
    assert (book.page.shots_in(0), book.page.shots_in(1), book.page.positions) == (0, 1, 11)
    say(book, "strike B3")
    assert (book.page.shots_in(0), book.page.shots_in(1), book.page.positions) == (1, 2, 12)


# -- walking -----------------------------------------------------------------------------------------------


def test_the_walk_passes_it_by():
    page = a_book("B1:C1 not pad", "A1 0").page
    assert page.grid.name(page.standing) == "C2", "snake: A1, then the second line back"
    assert [page.grid.name(at) for at in page.to_come(0)][:2] == ["C2", "B2"]


def test_a_round_is_complete_without_it():
    """Also where such a spot was shot, or left out, before."""
    book = a_book("A1 not pad")
    for index in book.page.walk.path:
        if index:
            assert book.page.next_after(None) is not None
            book.shoot(book.job.grid.name(int(index)), "0")
    assert book.page.next_after(None) is None
    say(book, "strike C4", "B2 not pad", "A3 out rut", "A3 not pad")
    assert [book.page.grid.name(at) for at in book.page.to_come(None)] == ["C4"]
    assert book.page.next_after(0) == book.page.position("C4")
    say(book, "C4 not pad")
    assert book.page.next_after(None) is None
    say(book, "strike A1")
    assert book.page.next_after(None) == 0


def test_where_it_was_struck_the_crew_stands():
    book = a_book("A1 0", "C3 not pad", "B1 0")
    say(book, "strike C3")
    assert book.page.grid.name(book.page.standing) == "C3"


def test_the_zero_may_lie_there():
    book = a_book("A1 not pad", "B1 -1", "zero B1")
    assert book.page.position("B1") == book.page.zero_index
    say(book, "B1 not pad")
    assert book.page.position("B1") == book.page.zero_index


# -- files -------------------------------------------------------------------------------------------------


def test_a_file_keeps_it(tmp_path):
    path = tmp_path / "pad.json"
    book = a_book("A1 0", "B3:C4 not pad corner")
    JobFile(path, book).save()
    opened = open_job(path, "reader")
    assert opened.book.entries == book.entries
    assert not_pad(opened.book) == ["B3", "C3", "B4", "C4"]


def test_one_tablet_shoots_what_the_other_says_is_no_pad():
    """The reading stays in the joined book and counts nowhere, whichever came first."""
    one, other = (Book(a_job(), tablet, ticking()) for tablet in ("tablet-a", "tablet-b"))
    say(one, "B3 not pad", "A1 0", "C1 0")
    say(other, "C1 not pad", "A2 0", "B3 -1")
    files = [JobFile(Path(f"{book.tablet}.json"), book) for book in (one, other)]
    for pair in (files, files[::-1]):
        joined = join(*pair, Path("both.json")).book
        assert not_pad(joined) == ["C1", "B3"]
        assert joined.page.shots_in(0) == 2
        assert len(joined.entries) == 6


@given(st.lists(st.tuples(st.sampled_from(["deny", "shoot", "strike", "undo", "redo", "round"]), st.integers(0, 11),
                          st.integers(0, 11)), max_size=25))  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_any_day_folds_to_what_its_lines_say(steps):
    """Whatever was done and undone: the mask is the union of the lines that are not struck, and some pad is left."""
    book = a_book()
    grid = book.job.grid
    for step, one, other in steps:
        try:
            match step:
                case "deny":
                    book.not_pad(grid.name(one), grid.name(other))
                case "shoot":
                    book.shoot(grid.name(one), "-1")
                case "strike":
                    book.strike_last(grid.name(one))
                case "undo":
                    book.undo()
                case "redo":
                    book.redo()
                case "round":
                    say(book, "round working")
        except (PageError, DictationError):
            continue
    page = book.page
    expected = np.zeros(grid.shape, bool)
    for line in page.lines.values():
        if isinstance(line.entry, NotPad) and not line.struck:
            places = [
                divmod(grid.index(name), 3) for name in (line.entry.position, line.entry.to or line.entry.position)
            ]
            (low, high), (left, right) = (sorted(pair) for pair in zip(*places, strict=True))
            expected[low : high + 1, left : right + 1] = True
    assert page.not_pad.tolist() == expected.ravel().tolist()
    assert (corners_on_pad(~expected) >= 3).any()
    again = replayed(book)
    assert again.not_pad.tolist() == page.not_pad.tolist()
    assert again.standing == page.standing
    still_open = (page.round.state == 0) & ~page.not_pad
    assert (page.next_after(None) is None) == (not still_open.any())
    assert page.is_open(page.standing) or not still_open.any()
