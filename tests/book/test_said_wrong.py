"""What a crew may get wrong while it writes: each refused in one line that says what to type, with nothing written."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from rodcall.book.book import Book
from rodcall.book.entry_lines import DictationError
from rodcall.book.fold.page import PageError
from rodcall.book.model.datum import DatumError, parse_bearing, parse_coordinates, parse_elevation
from rodcall.book.model.entries import Check, Fact, Readings, Target, TermSet
from rodcall.book.model.grid import GridError, moved
from rodcall.book.model.restated import restated
from rodcall.book.model.terms import TermError, parse_term
from rodcall.units import FOOT, MM, LengthError, Unit
from tests.kit import a_book, a_job, say

ROD = {"readings": Readings.ROD}


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("reference ZERO +1", "ZERO is always height 0"),
        ("setup BM1 4.00", "this job takes heights, not rod readings: it has no set-ups"),
        ("note  ", "note"),
        ("strike B2", "B2 has no entry in this round"),
        ("strike entry 7", "there is no one entry 7 in this book"),
        ("strike entry seven", "incomplete; for example strike entry 12"),
        ("strike entry 1234567890", "incomplete; for example strike entry 12"),
        ("B3 not flat", "say B3 not pad stump"),
        ("target suggested", "no target to suggest before the first shot"),
        ("photo", "photo IMG_0012.jpg B3"),
        ("photo site.jpg B3", "a photo needs a saved job file"),
        ("crown B1 B4 2%", ""),
    ],
)
def test_a_line_that_cannot_be_written_writes_nothing(said, why):
    book = a_book("reference BM1 +1")
    with pytest.raises(DictationError) as refusal:
        say(book, said)
    assert why in str(refusal.value)
    assert str(refusal.value).count("\n") == 0
    assert len(book.entries) == 1


def test_a_strike_is_taken_back_by_undo_and_not_struck():
    book = a_book("A1 0", "strike A1")
    with pytest.raises(PageError, match="entry 2 is a strike; undo takes it back"):
        book.strike_entry(2)


def test_two_tablets_entries_of_one_number_are_not_guessed_between():
    book = a_book("A1 0")
    other = Book.of(book.began, book.entries, "tablet-b")
    other.clock = book.clock
    assert other.strike_entry(1).line is not None, "the only one of that number"
    third = a_book("A1 0")
    third.take(third.entries[0].model_copy(update={"tablet": "tablet-b"}))
    third = Book.of(third.began, third.entries, "tablet-c")
    with pytest.raises(PageError, match="there is no one entry 1 in this book"):
        third.strike_entry(1)


def test_no_certificate_twice_on_the_same_book():
    book = a_book("A1 0")
    book.issue("R-1", "0" * 64, "pass")
    with pytest.raises(PageError, match="no new entry since the last certificate"):
        book.issue("R-1", "0" * 64, "pass")
    say(book, "A2 0")
    assert book.issue("R-1", "1" * 64, "pass").line.entry.revision == 2


# -- where the drawing's heights and axes come from ---------------------------------------------------------


def test_an_elevation_names_its_reference():
    assert parse_elevation("zero -12.5ft") == ("ZERO", -25 * FOOT // 2)
    for said in ("BM1", "BM1 high", "1BM 812.40ft", "B?1 812.40ft", f"{'B' * 25} 1ft", "BM1 99999999ft"):
        with pytest.raises(DatumError, match=r"its elevation with the unit: BM1 812\.40ft"):
            parse_elevation(said)


def test_coordinates_are_north_then_east():
    assert parse_coordinates("5000.00ft, -20m") == (5000 * FOOT, -20_000 * MM)
    for said in ("5000.00ft", "1ft,2ft,3ft", "here,there"):
        with pytest.raises(DatumError, match="north, then east"):
            parse_coordinates(said)


def test_a_bearing_is_degrees_or_a_point_of_the_compass():
    assert [parse_bearing(said) for said in ("37,5°", "0", "359.99 deg", "NE")] == [37.5, 0.0, 359.99, 45.0]
    for said in ("360", "-10", "uphill", "1234"):
        with pytest.raises(DatumError, match="clockwise"):
            parse_bearing(said)


@pytest.mark.parametrize("said", ["A1", "A1:B2:C3", "inset far", "A1:??", "inset"])
def test_a_zone_is_two_corners_or_an_inset(said):
    with pytest.raises((TermError, LengthError)) as refusal:
        parse_term("zone", said)
    assert str(refusal.value).count("\n") == 0


# -- lines added at A1's side -------------------------------------------------------------------------------


def test_a_position_moves_with_the_lines_added_before_it():
    assert moved("B2", (3, 2)) == "D5"
    assert moved("Z1", (0, 1)) == "AA1"
    for name, by in (("B2", (-2, 0)), ("B2", (0, -2))):
        with pytest.raises(GridError, match="not there any more"):
            moved(name, by)
    with pytest.raises(GridError, match="is not a position"):
        moved("here", (0, 0))


def placed(kind, **fields):
    head = {"number": 1, "time": datetime(2026, 4, 18, tzinfo=UTC), "tablet": "a"}
    return kind.model_construct(**{**head, "before_a1": (0, 0), **fields})


def test_distances_of_older_entries_are_told_from_the_a1_of_now():
    """Lines 20 ft apart: one more at the near side puts what was 5 ft out of A1 25 ft out of the new one."""
    grid = a_job().grid
    term = placed(TermSet, name="zone", value="5ft,-1ft:B2", said="")
    assert restated(term, (1, 1), grid, {}).value == "25ft,19ft:C3"
    term = placed(TermSet, name="tripod", value="5.123mm,0ft", said="")
    assert restated(term, (1, 0), grid, {}).value == "6101.123mm,0ft"
    target = placed(Target, offset_nm=0, said="0", shape="ramp A2 5ft,5ft 6in", why="")
    assert restated(target, (1, 1), grid, {}).shape == "ramp B3 25ft,25ft 6in"


@pytest.mark.parametrize("origin", [(4, 0), (0, 3), (-1, 0)])
def test_distances_from_a_line_that_is_gone_are_refused(origin):
    grid = a_job().grid
    with pytest.raises(GridError, match="not there any more"):
        restated(placed(TermSet, name="tripod", value="5ft,5ft", said=""), origin, grid, {})
    with pytest.raises(GridError, match="not there any more"):
        restated(placed(TermSet, name="a1", value="1ft,1ft", said=""), origin, grid, {})


# -- what a file says beside what it means ------------------------------------------------------------------


def test_what_was_said_must_mean_what_is_stored():
    fact = placed(Fact, name="inset", value=2 * FOOT, said="2ft", why="")
    assert fact.check(Unit.FT, Readings.HEIGHT) is None
    fact = placed(Fact, name="inset", value=3 * FOOT, said="2ft", why="")
    assert fact.check(Unit.FT, Readings.HEIGHT) == "what was said, '2ft', means another inset than is stored"
    assert placed(Fact, name="inset", value=0, said="long", why="").check(Unit.FT, Readings.HEIGHT)
    check = placed(Check, reference="BM1", reading_nm=FOOT, said="1.00")
    assert check.check(Unit.FT, Readings.ROD) is None
    assert placed(Check, reference="BM1", reading_nm=FOOT, said="one").check(Unit.FT, Readings.ROD)
