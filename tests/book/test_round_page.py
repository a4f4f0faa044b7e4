"""What a round knows of each spot: what counts, what it was read from, how often, and by which tablets."""

from __future__ import annotations

import pytest

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import SHOT, Fate, RoundPage
from rodcall.book.model.entries import LeaveOut, NotPad, Readings, Shot
from rodcall.units import FOOT, INCH, MM, Unit
from tests.kit import START, a_book, a_job, again, older, put_right, say

MARK = a_job().step
"""The smallest mark that is read."""


def known(here: RoundPage, index: int = 0) -> tuple[object, ...]:
    """What is known of a spot."""
    return (
        *(int(each[index]) for each in (here.state, here.datum_nm, here.order, here.number, here.setup, here.times)),
        float(here.seconds[index]),
        *(bool(each[index]) for each in (here.kept, here.read_again, here.third_due, here.tablets_disagree)),
    )


NOTHING = (0, 0, 0, 0, -1, 0, 0.0, False, False, False, False)


def other(book: Book, tablet: str, height: int, *, over: bool = False) -> None:
    """A reading of A1 that another tablet wrote."""
    numbers = [entry.number for entry in book.entries if entry.tablet == tablet]
    said = {"reading_nm": height, "said": f"{height / MM:+.4f}mm"}
    number = max(numbers, default=0) + 1
    book.take(Shot(number=number, time=START, tablet=tablet, position="A1", over=over, **said))


def test_of_a_spot_that_nothing_counts_at_nothing_is_known():
    book = a_book(job=a_job(Unit.FT, readings=Readings.ROD))
    assert known(book.page.round) == NOTHING
    say(book, "setup ZERO 4.00", "A1 4.10", "A1 4.10")
    low, seconds = round(-0.1 * FOOT), START.timestamp() + 20
    assert known(book.page.round) == (SHOT, low, 2, 3, 0, 2, seconds, False, True, False, False)
    say(book, "strike A1", "strike A1")
    assert known(book.page.round) == NOTHING


def test_a_note_has_no_height_and_nothing_is_undone_by_it():
    book = a_book("A1 -1")
    change = book.note("wind")
    assert not change.undone
    assert (change.line.datum_nm, change.line.drift_nm, change.line.shots_before) == (0, 0, 0)
    assert (change.line.index, change.line.moved, book.page.joined) == (-1, (), 0)


@pytest.mark.parametrize(
    ("unit", "allowed"),
    [(Unit.IN, INCH // 8), (Unit.FT, FOOT // 100), (Unit.MM, 3 * MM), (Unit.CM, 3 * MM), (Unit.M, 3 * MM)],
)
def test_what_a_check_may_be_off_unless_somebody_said_otherwise(unit, allowed):
    """Common practice: 1/8 in, 0.01 ft, 3 mm."""
    assert a_book(job=a_job(unit)).page.allowed_drift_nm == allowed


def test_once_all_is_shot_the_crew_stands_where_it_shot_last():
    names = [f"{column}{row}" for row in (1, 2, 3, 4) for column in "ABC"]
    for at in ("A1", "B1", "C4"):
        book = a_book(*(f"{name} 0" for name in names if name != at), f"{at} 0")
        assert book.job.grid.name(book.page.standing) == at


def test_a_rectangle_with_a_corner_off_the_grid_is_refused():
    book = a_book("A1 0")
    with pytest.raises(PageError, match="D9 is off the grid"):
        older(book, NotPad, position="A2", to="D9")
    assert not book.page.not_pad.any()


# -- read more than once ------------------------------------------------------------------------------------------


def test_only_spots_that_were_read_more_than_once_are_told_with_all_their_readings():
    book = a_book("A1 0", "B1 out rut", "B1 -1", "C1 -1", "C1 -2", "C2 0", "strike C2", "C2 -1")
    told = {book.job.grid.name(at): each for at, each in book.page.round.read_more.items()}
    assert {name: [(each.said, each.fate) for each in readings] for name, readings in told.items()} == {
        "C1": [("-1", Fate.COUNTS), ("-2", Fate.COUNTS)],
        "C2": [("0", Fate.STRUCK), ("-1", Fate.COUNTS)],
    }
    assert {each.setup for readings in told.values() for each in readings} == {-1}


def test_each_reading_tells_from_which_set_up_it_was_read():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("note wind", "setup ZERO 4.00", "A1 4.10", "setup ZERO 4.00", "A1 4.20", job=job)
    (readings,) = book.page.round.read_more.values()
    assert [(each.setup, each.fate) for each in readings] == [(1, Fate.REPLACED), (3, Fate.COUNTS)]


def test_what_repeatability_is_worked_out_from():
    book = a_book("A1 0", "B1 0", "B1 0")
    assert book.page.round.repeated == {1: ((0, 0),)}
    say(book, "strike B1")
    assert book.page.round.repeated == {}


def test_readings_from_two_set_ups_repeat_nothing_also_where_they_count_together():
    """As older books have it."""
    book = a_book("setup ZERO 4.00", "A1 4.10", "setup ZERO 4.00", job=a_job(Unit.FT, readings=Readings.ROD))
    again(book, "A1", "4.10")
    assert len(book.page.round.readings_at(0)) == 2
    assert book.page.round.repeated == {0: ()}
    book = a_book("A1 0", "zero A1")
    again(book, "A1", "0")
    assert book.page.round.repeated == {0: ()}, "told from two zeros"


def test_what_was_put_right_was_not_read():
    book = a_book("A1 -1")
    put_right(book, "A1", "+1", "sign flipped")
    again(book, "A1", "+1")
    assert len(book.page.round.readings_at(0)) == 2
    assert book.page.round.repeated == {0: ()}


def test_a_spot_is_read_again_also_where_its_first_reading_is_struck():
    book = a_book("A1 0")
    assert not book.page.round.read_again[0]
    say(book, "A1 0")
    assert book.page.round.read_again[0]
    book.strike_entry(1)
    assert book.page.round.read_again[0]
    assert len(book.page.round.readings_at(0)) == 1


@pytest.mark.parametrize(
    ("more", "due"), [(["0"], False), (["-1"], True), (["-1", "-2"], False), (["-1", "-1"], False)]
)
def test_a_third_is_due_of_two_that_disagree_also_in_older_books(more, due):
    book = a_book("A1 0")
    for said in more:
        again(book, "A1", said)
    assert bool(book.page.round.third_due[0]) is due


def test_a_reading_after_the_spot_was_left_out_stands_alone():
    book = a_book("A1 -1", "A1 out rut")
    again(book, "A1", "-2")
    assert book.page.round.height_at(0) == -2 * INCH
    assert len(book.page.round.readings_at(0)) == 1


# -- two tablets --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "second", "disagree"),
    [
        (0, 0, False),
        (INCH, INCH, False),
        (0, MARK, False),
        (0, -MARK, False),
        (0, MARK + 1, True),
        (0, -MARK - 1, True),
    ],
)
def test_two_tablets_disagree_where_they_are_more_than_a_mark_apart(first, second, disagree):
    book = a_book()
    for tablet, height in (("tablet-b", first), ("tablet-c", second)):
        older(book, Shot, f"{height / MM:+.6f}mm", position="A1", reading_nm=height, tablet=tablet)
    assert bool(book.page.round.tablets_disagree[0]) is disagree
    assert not book.page.round.tablets_disagree[1:].any()
    book.strike_entry(2)
    assert not book.page.round.tablets_disagree[0]


def test_of_three_tablets_one_that_found_it_elsewhere_is_enough():
    book = a_book()
    for tablet, height in (("tablet-b", INCH), ("tablet-c", 0), ("tablet-d", 0)):
        older(book, Shot, f"{height / MM:+.4f}mm", position="A1", reading_nm=height, tablet=tablet)
    assert book.page.round.tablets_disagree[0]


def test_no_other_tablet_disagrees_with_readings_that_count_together_or_with_its_own():
    book = a_book("A1 0")
    other(book, "tablet-b", INCH, over=True)
    assert not book.page.round.tablets_disagree[0], "it knew of the first reading"
    book = a_book("A1 0")
    older(book, Shot, "+1", position="A1", reading_nm=INCH)
    assert not book.page.round.tablets_disagree[0], "one tablet's own"


def test_tablets_that_disagreed_agree_once_one_reads_over_the_others_reading():
    book = a_book()
    other(book, "tablet-b", 2 * INCH)
    older(book, Shot, "0", position="A1", reading_nm=0)
    assert book.page.round.tablets_disagree[0]
    other(book, "tablet-b", 0, over=True)
    assert len(book.page.round.readings_at(0)) == 2
    assert not book.page.round.tablets_disagree[0]


def test_a_spot_left_out_by_another_tablet_was_not_read_by_it():
    book = a_book()
    book.take(LeaveOut(number=1, time=START, tablet="tablet-b", position="A1"))
    say(book, "A1 +1")
    assert not book.page.round.tablets_disagree[0]
