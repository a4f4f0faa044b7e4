"""One spot read several times, and readings that stand although they do not fit."""

from __future__ import annotations

import statistics
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import RoundKind, Shot
from rodcall.book.model.repeat_readings import MEAN, MIDDLE, agree, counted_height, settled
from rodcall.units import INCH, MM, Unit
from tests.kit import a_book, a_job, again, confirm, older, put_right, say

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
    book = a_book("A1 -1")
    again(book, "A1", "-7/8")
    assert height(book) == -INCH
    again(book, "A1", "-13")
    assert height(book) == -INCH
    book = a_book("A1 -1")
    again(book, "A1", "-13")
    assert height(book) == -INCH
    again(book, "A1", "-12-7/8")
    assert height(book) == -INCH * 103 // 8
    assert len(book.page.round.readings_at(0)) == 3
    assert len(book.entries) == 3, "all stay in the book"


def test_one_that_is_struck_decides_nothing():
    book = a_book("A1 -1")
    again(book, "A1", "-13")
    again(book, "A1", "-12-7/8")
    book.undo()
    assert height(book) == -INCH
    book.redo()
    assert height(book) == -INCH * 103 // 8
    book.undo()
    book.undo()
    assert [line.entry.said for line in book.page.round.readings_at(0)] == ["-1"]


def test_a_reading_without_again_stood_alone_in_older_books():
    book = a_book("A1 -1")
    again(book, "A1", "-13")
    again(book, "A1", "-12")
    older(book, Shot, "-3", position="A1", reading_nm=-3 * INCH)
    assert height(book) == -3 * INCH


def test_again_where_nothing_counts_is_a_reading_like_any_other():
    book = a_book("A1 out rut")
    again(book, "B1", "-1")
    again(book, "A1", "-2")
    assert (height(book, "B1"), height(book)) == (-INCH, -2 * INCH)
    assert (height(a_book("B1 again -1"), "B1"), height(a_book("A1 out", "A1 again -2"))) == (-INCH, -2 * INCH)


def test_the_job_may_want_the_mean_in_older_books():
    book = a_book("set repeats mean", "A1 +10", job=a_job(Unit.MM))
    again(book, "A1", "+20")
    again(book, "A1", "+60")
    assert height(book) == 30 * MM
    say(book, "set repeats middle")
    assert height(book) == 30 * MM, "what was written before counts as it did"
    again(book, "A1", "+22")
    assert height(book) == 21 * MM


# -- as books have it now: one after the other ---------------------------------------------------------------


def over(*readings: str, way: str = MIDDLE):
    """A1 read so often in one round, millimetres: what counts, and whether a third is due."""
    book = a_book(f"set repeats {way}", *(f"A1 {said}" for said in readings), job=a_job(Unit.MM))
    return height(book) / MM, bool(book.page.round.third_due[0])


@pytest.mark.parametrize(
    ("readings", "counts", "third_due"),
    [
        (["+10"], 10, False),
        (["+10", "+11"], 10, False),
        (["+10", "+12"], 12, True),
        (["+10", "+30", "+11"], 11, False),
        (["+10", "+30", "+31"], 30, False),
        (["+10", "+30", "+20"], 20, False),
        (["+10", "+30", "+30", "+10"], 10, True),
        (["+10", "+30", "+30", "+10", "+10"], 10, False),
        (["+10", "+30", "+30", "+30"], 30, False),
    ],
)
def test_two_that_agree_keep_the_first_and_after_two_that_do_not_the_middle_of_three_counts(
    readings, counts, third_due
):
    """By hand, a step of 1 mm. The last that disagrees counts for the time being: the ground may have been dug."""
    assert over(*readings) == (counts, third_due)


def test_the_job_may_want_the_mean():
    assert over("+10", "+30", "+32", way=MEAN) == (24, False)
    assert over("+10", "+30", way=MEAN) == (30, True)


@given(st.lists(st.integers(-9, 9), min_size=1, max_size=8), st.sampled_from([MIDDLE, MEAN]))
def test_what_counts_was_read_or_is_the_mean_and_only_a_lone_reading_leaves_a_third_due(readings, way):
    height, third_due = settled(readings, 1, way)
    assert settled([-each for each in readings], 1, way) == (-height, third_due)
    if third_due or way == MIDDLE:
        assert height in readings
    else:
        assert height == round(statistics.mean(map(Fraction, readings)))
    if third_due:
        assert height == readings[-1]
        assert len(readings) > 1
    if max(readings) - min(readings) <= 1:
        assert not third_due


def test_all_readings_of_a_spot_stay_and_undo_takes_back_one():
    book = a_book("A1 -1", "A1 -13", "A1 -12-7/8")
    assert height(book) == -INCH * 103 // 8
    assert [entry.over for entry in book.entries] == [False, True, True]
    book.undo()
    assert height(book) == -13 * INCH
    assert book.page.round.third_due[0]
    book.undo()
    assert height(book) == -INCH
    assert not book.page.round.third_due.any()


def test_a_reading_that_fits_strikes_the_one_that_did_not():
    """One act: one undo takes both back."""
    book = a_book("A1 0", "B1 +12")
    wrong = book.page.round.readings_at(1)[0]
    book.shoot("B1", "0", does_not_fit=lambda index: height(book, "B1") == 12 * INCH)
    assert (height(book, "B1"), wrong.struck, bool(book.page.round.third_due[1])) == (0, True, False)
    book.undo()
    assert (height(book, "B1"), wrong.struck) == (12 * INCH, False)


def test_a_reading_that_fits_no_better_leaves_both():
    book = a_book("A1 0", "B1 +12")
    book.shoot("B1", "+9", does_not_fit=lambda index: True)
    assert len(book.page.round.readings_at(1)) == 2
    assert book.page.round.third_due[1]


def test_after_a_bad_check_a_reading_replaces_the_suspect():
    book = a_book("reference BM1 high 4", "A1 0", "check BM1 +4-1/2", "A1 +1/2")
    assert height(book) == INCH // 2
    assert len(book.page.round.readings_at(0)) == 1


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
        (lambda: confirm(book, book.page.round.readings_at(1)[-1]), True),
        (book.undo, False),
        (book.redo, True),
        (lambda: again(book, "B1", "+12"), True),
        (lambda: older(book, Shot, "0", position="B1", reading_nm=0), False),
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
    confirm(book, shot, odds=3.5)
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
    with pytest.raises(PageError, match="is not a shot, is struck, or lies off the grid"):
        confirm(book, shot)
    with pytest.raises(PageError, match="is not a shot, is struck, or lies off the grid"):
        confirm(book, next(line for line in book.page.lines.values() if line.entry.kind == "note"))


def test_what_was_meant_stands_beside_what_was_said():
    book = a_book("A1 +13")
    change = put_right(book, "A1", "+1", "one foot")
    assert [(entry.said, entry.puts_right) for entry in book.entries] == [("+13", ""), ("+1", "one foot")]
    assert (change.before_nm, change.now_nm) == (13 * INCH, INCH)
