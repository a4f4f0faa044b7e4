"""One spot read several times, and readings that stand although they do not fit."""

from __future__ import annotations

import statistics
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.entries import RoundKind
from rodcall.book.page import PageError
from rodcall.book.repeats import MEAN, MIDDLE, agree, counted_height
from rodcall.lengths import INCH, MM, Unit
from tests.kit import a_book, a_job, again, confirm, put_right, say

HEIGHTS = st.lists(st.integers(-(10**9), 10**9), min_size=3, max_size=9)


def height(book: Book, name: str = "A1") -> int | None:
    return book.page.round.height_at(book.job.grid.index(name))


@given(HEIGHTS)
def test_the_middle_one_is_the_median(heights):
    """statistics.median of the standard library, COMPUTED there."""
    assert counted_height(heights, MIDDLE) == round(statistics.median(map(Fraction, heights)))


@given(HEIGHTS)
def test_the_mean_is_the_mean(heights):
    """statistics.mean of the standard library, COMPUTED there."""
    assert counted_height(heights, MEAN) == round(statistics.mean(map(Fraction, heights)))


@given(HEIGHTS, st.randoms(use_true_random=False), st.sampled_from([MIDDLE, MEAN]))
def test_the_order_of_three_or_more_does_not_matter(heights, chance, way):
    shuffled = heights.copy()
    chance.shuffle(shuffled)
    assert counted_height(shuffled, way) == counted_height(heights, way)


@given(HEIGHTS, st.sampled_from([MIDDLE, MEAN]))
def test_low_and_high_are_treated_alike(heights, way):
    assert counted_height([-each for each in heights], way) == -counted_height(heights, way)


def test_two_that_agree_keep_the_first_and_a_third_decides_between_two_that_do_not():
    book = a_book("A1 -1", "A1 again -7/8")
    assert height(book) == -INCH
    say(book, "A1 -1", "A1 again -13")
    assert height(book) == -INCH
    say(book, "A1 again -12-7/8")
    assert height(book) == -INCH * 103 // 8
    assert len(book.page.round.readings_at(0)) == 3
    assert len(book.entries) == 5, "all stay in the book"


def test_one_that_is_struck_decides_nothing():
    book = a_book("A1 -1", "A1 again -13", "A1 again -12-7/8")
    book.undo()
    assert height(book) == -INCH
    book.redo()
    assert height(book) == -INCH * 103 // 8
    book.undo()
    book.undo()
    assert [line.entry.said for line in book.page.round.readings_at(0)] == ["-1"]


def test_a_new_reading_without_again_stands_alone():
    book = a_book("A1 -1", "A1 again -13", "A1 again -12", "A1 -3")
    assert height(book) == -3 * INCH


def test_again_where_nothing_counts_is_a_reading_like_any_other():
    book = a_book("B1 again -1", "A1 out rut", "A1 again -2")
    assert (height(book, "B1"), height(book)) == (-INCH, -2 * INCH)


def test_the_job_may_want_the_mean():
    book = a_book("set repeats mean", "A1 +10", "A1 again +20", "A1 again +60", job=a_job(Unit.MM))
    assert height(book) == 30 * MM
    say(book, "set repeats middle")
    assert height(book) == 30 * MM, "what was written before counts as it did"
    say(book, "A1 again +22")
    assert height(book) == 21 * MM


def test_agreement_is_within_a_step():
    assert agree([0, MM], MM)
    assert not agree([0, MM + 1], MM)
    assert agree([0, 50 * MM, MM], MM)
    assert not agree([0], MM)


# -- kept although it does not fit ---------------------------------------------------------------------------


def test_a_kept_reading_is_known_as_such_while_it_counts() -> None:
    book = a_book("A1 0", "B1 +12")
    kept = book.page.round.kept
    for act, is_kept in (
        (lambda: book.confirm(book.page.round.readings_at(1)[-1]), True),
        (book.undo, False),
        (book.redo, True),
        (lambda: book.shoot_again("B1", "+12"), True),
        (lambda: book.shoot("B1", "0"), False),
        (book.undo, True),
        (lambda: book.leave_out("B1"), False),
        (book.undo, True),
        (lambda: book.begin_round(RoundKind.FINAL), True),
    ):
        act()
        assert kept.tolist()[:3] == [False, is_kept, False]
    assert not book.page.round.kept.any(), "another round, other readings"
    book.undo()
    assert book.page.round.last == 1, "keeping a reading moves nobody"


def test_a_reading_is_confirmed_until_that_is_undone():
    book = a_book("A1 -1")
    (shot,) = book.page.round.readings_at(0)
    book.confirm(shot, odds=3.5)
    assert shot.confirmed_by is not None
    assert shot.confirmed_by.entry.odds == 3.5
    book.undo()
    assert shot.confirmed_by is None
    book.redo()
    assert shot.confirmed_by is not None
    assert height(book) == -INCH


def test_only_a_shot_that_counts_can_be_confirmed():
    book = a_book("A1 -1", "note windy")
    shot = book.page.round.readings_at(0)[0]
    book.strike_last("A1")
    with pytest.raises(PageError, match="no shot that counts"):
        book.confirm(shot)
    with pytest.raises(PageError, match="no shot that counts"):
        book.confirm(next(line for line in book.page.lines.values() if line.entry.kind == "note"))


def test_what_was_meant_stands_beside_what_was_said():
    book = a_book("A1 +13")
    change = book.put_right("A1", "+1", "one foot")
    assert [(entry.said, entry.puts_right) for entry in book.entries] == [("+13", ""), ("+1", "one foot")]
    assert (change.before_nm, change.now_nm) == (13 * INCH, INCH)
