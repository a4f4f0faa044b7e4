"""The first shots of a pad: gross mistakes are caught with the second reading, and sound ones let be."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers import search
from rodcall.figures.outliers.judging import judge
from rodcall.figures.outliers.mistakes import Mistake, Way
from rodcall.units import FOOT, INCH, Unit
from tests.kit import a_book, a_job, figures, say
from tests.plausible_cases import FIRST, KINDS, MADE, tried, ways

EVEN = np.arange(4) * 3.0, np.arange(3) * 3.0
INCHES = ways()["inches"]


@pytest.mark.parametrize(
    ("name", "kind"),
    [*((name, "natural") for name in ("feet", "feet by rod", "millimetres")), *(("inches", kind) for kind in KINDS)],
)
def test_gross_mistakes_are_caught_at_once_and_sound_readings_let_be(name, kind):
    """At least 95 in 100 of those that move a reading by 6 in or more; at most 5 in 1000 sound ones questioned.

    100 pads of a kind: the caught share has a standard error of 2.2 points at 95 %, so that 92 % are held here; the
    benchmark holds the bar on 2,000.
    """
    counted = tried(ways()[name], kind, pads=100, seed=4242)
    few = range(1, 5)
    assert sum(sum(counted[known].sound) for known in few) <= 0.005 * 100 * len(few)
    for mistake in MADE[name]:
        for known in (FIRST, *few):
            assert counted[known].caught(mistake) >= 0.92, (mistake, known)


def two(first: str, second: str, way: Way = INCHES, zero: int | None = None):
    """What is found of two readings, at A1 and B1, as they are typed."""
    heights, counts = np.zeros((4, 3), np.int64), np.zeros((4, 3), np.bool_)
    for index, said in enumerate((first, second)):
        heights.flat[index] = way.height(way.readings.parse(said, way.unit))
        counts.flat[index] = True
    found = [
        judge(heights, counts, index, *EVEN, way, said, last=1, zero=zero) for index, said in enumerate((first, second))
    ]
    return [None if bust is None else (bust.explanations[0].mistake, bust.explanations[0].text) for bust in found]


def test_a_slash_that_was_not_typed_is_seen_with_the_second_reading():
    assert two("-1/4", "-38") == [None, (Mistake.LOST_SLASH, "-3/8")]
    assert two("-138", "-1-1/4") == [(Mistake.LOST_SLASH, "-1-3/8"), None], "the first one lost it"


def test_of_two_readings_a_foot_apart_the_last_is_asked_about_unless_the_zero_tells():
    assert two("-1/4", "+11-3/4") == [None, (Mistake.FOOT, "-1/4")]
    assert two("+11-3/4", "-1/4") == [None, (Mistake.FOOT, "+11-3/4")], "either may be wrong"
    assert two("+11-3/4", "-1/4", zero=4) == [(Mistake.FOOT, "-1/4"), None], "heights are told from a spot on the pad"
    rod = Way(Unit.FT, FOOT // 100, Readings.ROD, 9 * FOOT)
    assert two("4.28", "5.28", rod, zero=4) == [None, (Mistake.FOOT, "4.28")], "a rod is read from anywhere"


def test_three_tell_which_of_them_is_wrong():
    heights, counts = np.zeros((4, 3), np.int64), np.zeros((4, 3), np.bool_)
    heights.flat[:3] = [FOOT + INCH // 8, INCH // 4, 0]
    counts.flat[:3] = True
    (found,) = search.busts(heights, counts, *EVEN, lambda index: INCHES, last=2)
    assert (found.index, found.explanations[0].mistake) == (0, Mistake.FOOT)


def test_a_decimal_point_is_missed():
    feet = ways()["feet"]
    assert two("-0.12", "-9", feet) == [None, (Mistake.LOST_POINT, "-0.09")]
    assert two("-0.20", "-2.30", feet) == [None, (Mistake.TEN_TIMES, "-0.23")]


def test_a_jump_that_no_mistake_explains_is_asked_about_all_the_same():
    heights, counts = np.zeros((4, 3), np.int64), np.zeros((4, 3), np.bool_)
    heights.flat[1] = 7 * FOOT
    counts.flat[:2] = True
    bust = judge(heights, counts, 1, *EVEN, INCHES)
    assert bust is not None
    assert bust.explanations == ()


def test_one_reading_has_nothing_beside_it():
    assert judge(np.full((4, 3), FOOT), np.zeros((4, 3), np.bool_), 4, *EVEN, INCHES) is None


@settings(max_examples=30)
@given(st.integers(-16, 16), st.integers(0, 11), st.integers(0, 11), st.integers(-40 * 96, 40 * 96))
def test_readings_within_two_inches_of_each_other_are_let_be_wherever_the_zero_is(apart, one, other, level):
    heights, counts = np.full((4, 3), level * INCH // 8, np.int64), np.zeros((4, 3), np.bool_)
    heights.flat[other] += apart * INCH // 8
    counts.flat[[one, other]] = True
    assert search.busts(heights, counts, *EVEN, lambda index: INCHES, last=one, zero=5) == ()


def test_a_book_tells_of_the_first_reading_when_the_second_comes():
    book = a_book("A1 -38", "B1 -1/4", job=a_job(along=4, across=3))
    summary = figures(book)
    assert [(bust.index, bust.explanations[0].mistake) for bust in summary.busts] == [(0, Mistake.LOST_SLASH)]
    assert summary.judged(1, "-1/4") is None
    assert summary.judged(0, "-38").explanations[0].text == "-3/8"
    say(book, "A1 -3/8")
    assert figures(book).busts == ()
