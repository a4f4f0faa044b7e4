"""The pad's edge: what bounds it of several outlines, holes and lines of `not pad`, also after strikes."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.book.book import Book
from rodcall.book.entry_lines import DictationError
from rodcall.book.fold.page import PageError
from rodcall.book.model.job import Job
from rodcall.units import FOOT
from tests.kit import a_book, a_job, say

# The pad of these tests: 60 x 40 ft, spots A1 to C4, each 20 ft from the next.
WHOLE = "outline A1 C1 C4 A4"
NEAR, FAR = "outline A1 C1 C2 A2", "outline A3 C3 C4 A4"
AROUND_B2 = "hole 18ft,18ft 18ft,22ft 22ft,22ft 22ft,18ft"
AROUND_B3 = "hole 38ft,18ft 38ft,22ft 42ft,22ft 42ft,18ft"
ROWS = {row: [f"{column}{row}" for column in "ABC"] for row in (1, 2, 3, 4)}


def larger() -> Job:
    """80 x 60 ft, A1 to D5, likewise 20 ft apart."""
    return a_job(along=5, across=4, length=80 * FOOT, width=60 * FOOT)


def off(book: Book) -> list[str]:
    """Names of the positions that are no part of the pad."""
    return [book.job.grid.name(int(at)) for at in np.flatnonzero(book.page.not_pad)]


def strike(book: Book, number: int) -> None:
    """Strike any entry, a strike too."""
    book._strike(book.page.lines[book.tablet, number])


def taken_off_by(book: Book, name: str) -> int | None:
    """Number of the entry that took a position off the pad."""
    line = book.page.taken_off_at(book.page.position(name))
    return line.entry.number if line is not None else None


def test_of_several_edges_the_last_that_is_not_struck_bounds_the_pad():
    book = a_book(NEAR, WHOLE, FAR)
    assert off(book) == [*ROWS[1], *ROWS[2]]
    strike(book, 3)
    assert off(book) == []
    strike(book, 2)
    assert off(book) == [*ROWS[3], *ROWS[4]]
    strike(book, 1)
    assert off(book) == []
    assert book.page.outline is None


def test_an_edge_that_counts_again_stays_behind_those_written_after_it():
    book = a_book(NEAR, FAR)
    strike(book, 1)
    strike(book, 3)
    assert off(book) == [*ROWS[1], *ROWS[2]]
    strike(book, 2)
    assert off(book) == [*ROWS[3], *ROWS[4]]


def test_each_hole_counts_whichever_edge_is_around_it():
    book = a_book(AROUND_B2, "outline A1 D1 D4 A4", AROUND_B3, job=larger())
    assert off(book) == ["B2", "B3", "A5", "B5", "C5", "D5"]
    say(book, "outline A1 D1 D5 A5")
    assert off(book) == ["B2", "B3"]
    strike(book, 1)
    assert off(book) == ["B3"]
    strike(book, 5)
    assert off(book) == ["B2", "B3"]


def test_what_a_line_says_is_no_pad_stays_so_on_either_side_of_an_edge():
    book = a_book(NEAR, "A2 not pad", "A4 not pad")
    assert off(book) == ["A2", *ROWS[3], *ROWS[4]]
    say(book, "strike A2")
    assert off(book) == [*ROWS[3], *ROWS[4]]
    strike(book, 1)
    assert off(book) == ["A4"]
    assert np.flatnonzero(book.page.denied).tolist() == [book.page.position("A4")]


def test_three_spots_of_one_square_are_a_pad_and_two_are_none():
    book = a_book("C1:C4 not pad", "A3:B4 not pad", "B2 not pad")
    for left in ("A1", "B1", "A2"):
        with pytest.raises(DictationError, match="that leaves no pad"):
            say(book, f"{left} not pad")
    assert book.page.positions == 3


def test_an_edge_around_nothing_but_what_is_no_pad_is_refused():
    book = a_book("A3:C4 not pad")
    with pytest.raises(DictationError, match="that leaves no pad"):
        say(book, FAR)
    assert (off(book), book.page.outline, book.page.outlines) == ([*ROWS[3], *ROWS[4]], None, [])


def test_an_edge_is_not_struck_where_the_one_before_it_would_leave_no_pad():
    book = a_book(NEAR, FAR, "A1:C2 not pad")
    with pytest.raises(PageError, match="that leaves no pad"):
        strike(book, 2)
    assert [line.entry.number for line in book.page.outlines] == [1, 2]
    say(book, "strike A1")
    strike(book, 2)
    assert off(book) == [*ROWS[3], *ROWS[4]]


def test_an_edge_struck_counts_again_only_where_it_leaves_some_pad():
    book = a_book(NEAR)
    strike(book, 1)
    say(book, "A1:C2 not pad")
    with pytest.raises(PageError, match="that leaves no pad"):
        strike(book, 2)
    assert off(book) == [*ROWS[1], *ROWS[2]]
    assert book.page.outline is None


def test_the_line_that_took_a_spot_off_is_the_last_that_says_so():
    book = a_book(
        "outline A1 D1 D4 A4", "A5 not pad", AROUND_B2, "A2:C2 not pad", "B2 not pad", AROUND_B3, job=larger()
    )
    told = {name: taken_off_by(book, name) for name in ("A1", "A5", "B5", "A2", "B2", "B3", "D4")}
    assert told == {"A1": None, "A5": 2, "B5": 1, "A2": 4, "B2": 5, "B3": 6, "D4": None}
    strike(book, 5)
    assert taken_off_by(book, "B2") == 4
    strike(book, 4)
    assert (taken_off_by(book, "B2"), taken_off_by(book, "A2")) == (3, None)
    strike(book, 3)
    assert taken_off_by(book, "B2") is None
    strike(book, 2)
    assert taken_off_by(book, "A5") == 1


def test_an_edge_that_another_replaced_took_nothing_off():
    book = a_book(NEAR, FAR, "outline A1 B1 B4 A4")
    told = [taken_off_by(book, name) for name in ("A1", "A4", "C1", "C4")]
    assert told == [None, None, 3, 3]
    strike(book, 3)
    assert [taken_off_by(book, name) for name in ("A1", "A4", "C1", "C4")] == [2, None, 2, None]
