"""One more entry on a page: what it is told from, what hangs on it, and what is refused with nothing changed."""

from __future__ import annotations

from datetime import timedelta

import pytest

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import Line
from rodcall.book.model.entries import (
    Check,
    Confirm,
    Decision,
    Fact,
    LaserTest,
    Photo,
    Readings,
    Remedy,
    Round,
    RoundKind,
    Setup,
    Shot,
    Target,
)
from rodcall.units import FOOT, INCH, MM, Unit
from tests.kit import START, a_book, a_job, confirm, figures, older, say


def last(book: Book) -> Line:
    """The line written last."""
    return next(reversed(book.page.lines.values()))


def refused(book: Book, why: str, kind: type, **fields: object) -> None:
    """An entry as a file may hold it is refused, and the book is as it was."""
    before = list(book.entries), list(book.page.lines)
    with pytest.raises(PageError, match=why):
        older(book, kind, **fields)
    assert (list(book.entries), list(book.page.lines)) == before


# -- from which zero --------------------------------------------------------------------------------------------


def test_a_check_over_a_reference_reads_true_whichever_spot_is_the_zero():
    """By hand: BM1 lies 1 in above A1, so 1-1/2 in above B1, which lies 1/2 in under A1."""
    book = a_book("reference BM1 high 1", "A1 0", "B1 -1/2", "check BM1 +1", "zero B1", "check BM1 +1-1/2")
    say(book, "check BM1 +1-3/4", "check ZERO +1/8")
    assert [check.drift_nm for check in book.page.checks] == [0, 0, INCH // 4, INCH // 8]


def test_the_machine_is_held_against_heights_from_the_zero_in_force():
    """By hand, as above; C1 lies 2 in under A1, so 1-1/2 in under B1."""
    book = a_book("reference BM1 high 1", "A1 0", "B1 -1/2", "C1 -2", "zero B1")
    say(book, "machine BM1 +1-1/2", "machine C1 -1-1/2", "machine C1 -1", "machine zero +1/4")
    assert [test.drift_nm for test in book.page.tests] == [0, 0, INCH // 2, INCH // 4]


def test_a_reference_written_after_the_zero_moved_is_told_from_the_new_one():
    book = a_book("A1 0", "B1 -1/2", "zero B1", "reference BM2 high 1")
    assert book.page.references == {"ZERO": 0, "BM2": INCH}
    say(book, "zero A1")
    assert book.page.references == {"ZERO": 0, "BM2": INCH // 2}


def test_a_target_is_told_from_the_zero_in_force_and_stays_where_it_is():
    book = a_book("A1 0", "B1 -1/2", "zero B1", "target +1")
    assert figures(book).target.offset_nm == INCH
    say(book, "zero A1")
    assert figures(book).target.offset_nm == INCH // 2


def test_what_changed_is_told_from_the_zero_in_force():
    book = a_book("A1 0", "B1 -1/2", "zero B1", "C1 +2")
    (undone,) = book.undo()
    assert (undone.before_nm, undone.now_nm, undone.undone) == (2 * INCH, None, True)
    change = book.shoot("C2", "+1")
    assert (change.before_nm, change.now_nm, change.undone) == (None, INCH, False)


def test_a_zero_needs_a_height_of_the_round_in_force():
    book = a_book("A1 0", "B2 -1", "round working")
    with pytest.raises(PageError, match="shoot B2 first"):
        book.move_zero("B2")
    assert book.page.zero_index == 0
    say(book, "B2 -1", "zero B2")
    assert book.page.zero_index == book.page.position("B2")


# -- what hangs on what -------------------------------------------------------------------------------------------


def test_a_setup_can_be_struck_once_its_last_shot_is():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("setup ZERO 4.00", "A1 4.10", "B1 4.20", job=job)
    with pytest.raises(PageError, match="2 shots hang on that set-up; strike them first"):
        book.strike_entry(1)
    say(book, "strike A1")
    with pytest.raises(PageError, match="1 shot hangs on that set-up; strike it first"):
        book.strike_entry(1)
    say(book, "strike B1")
    book.strike_entry(1)
    assert book.page.setup is None


def test_a_zero_hangs_on_the_shots_after_it_and_not_on_those_before():
    book = a_book("A1 0", "B1 -1/2", "zero B1", "C1 +1", "strike C1", "C2 +1")
    with pytest.raises(PageError, match="1 shot hangs on that zero"):
        book.strike_entry(3)
    say(book, "strike C2")
    book.strike_entry(3)
    assert book.page.zero_index == 0


def test_a_reading_counts_with_the_one_before_up_to_twice_what_a_check_may_be_off():
    """1/8 in is allowed: 1/4 in is asked again, and only what is more makes the reading before it suspect."""
    for said, together in (("+1-1/4", True), ("+3/4", True), ("+1-5/16", False), ("+11/16", False)):
        book = a_book("reference BM1 high 1", "A1 0", f"check BM1 {said}")
        assert book.page.counts_with(0) is together, said
    book = a_book("reference BM1 high 1", "check BM1 +2", "A1 0")
    assert book.page.counts_with(0), "the check was before it"
    assert not book.page.counts_with(1), "nothing is there"


def test_a_reading_counts_with_the_one_before_whichever_zero_that_was_told_from():
    book = a_book("A1 0", "B1 -1/2", "zero B1", "C1 +1")
    assert book.page.counts_with(0)
    assert book.page.counts_with(2)


def test_a_zero_hangs_on_the_set_up_of_the_reading_that_it_stands_on():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("setup ZERO 4.00", "A1 4.10", "setup ZERO 4.50", "B1 4.60", "B1 4.60", "zero A1", job=job)
    setups = book.page.setups
    assert book.page.zero_line.base is setups[0]
    say(book, "zero B1")
    assert book.page.zero_line.base is setups[1]
    untouched = a_book("zero B2")
    assert untouched.page.zero_line.base is None


def test_a_reading_from_another_setup_replaces():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("setup ZERO 4.00", "A1 4.10", job=job)
    assert book.page.counts_with(0)
    say(book, "setup ZERO 4.00")
    assert not book.page.counts_with(0)
    say(book, "A1 4.30")
    assert book.page.round.height_at(0) == round(-0.3 * FOOT)
    assert len(book.page.round.readings_at(0)) == 1


def test_the_ground_under_the_rod_is_that_of_the_term_when_it_was_shot():
    book = a_book("A1 0", "set stage stone", "B1 0", "set stage stripped", "C1 0", "strike entry 4", "A2 0")
    at = book.page.position
    stage = book.page.round.stage
    assert [stage[at(name)] for name in ("A1", "B1", "C1", "A2")] == ["stripped", "stone", "stripped", "stone"]


# -- where --------------------------------------------------------------------------------------------------------


def test_a_fact_stands_where_the_crew_stands_on_the_grid_as_it_is_then():
    book = a_book("A1 0", "B1 0", "C1 0")
    assert book.job.grid.name(book.page.standing) == "C2"
    change = book.mend("count", "4x5")
    assert book.job.grid.name(change.line.index) == book.job.grid.name(book.page.standing) == "D1"


@pytest.mark.parametrize(("at", "index"), [("", -1), ("BM1", -1), ("ZERO", -1), ("A1", 0), ("b3", 7)])
def test_a_photo_is_of_a_position_or_of_none(at, index):
    book = a_book("reference BM1 high 1")
    older(book, Photo, file="pad.jpg", sha256="0" * 64, at=at)
    assert [line.index for line in book.page.photos] == [index]


def test_a_photo_of_what_is_not_there_is_refused():
    refused(a_book(), "BM1", Photo, file="pad.jpg", sha256="0" * 64, at="BM1")


def test_a_round_begins_at_the_end_nearer_to_the_crew():
    """Snake over 4 lines of 3: A1 is walked first, A4 last; C2 is the fourth, A2 the sixth, A3 the seventh."""
    ends = {}
    for name in ("A1", "C2", "A2", "A3", "A4"):
        book = a_book(f"{name} 0", "round working")
        ends[name] = book.job.grid.name(book.page.standing)
    assert ends == {"A1": "A1", "C2": "A1", "A2": "A1", "A3": "A4", "A4": "A4"}


def test_a_round_after_one_of_which_nothing_was_shot_begins_where_that_did():
    book = a_book("A4 0", "round working", "round final")
    assert book.job.grid.name(book.page.standing) == "A4"
    assert a_book("A1 0", "round working", "round final").page.standing == 0


def test_what_is_no_pad_is_where_the_crew_stands_too():
    """Snake: after B2 of the second line comes A2, after A1 comes B1."""
    book = a_book("A1 0", "B2 not pad")
    assert book.job.grid.name(book.page.standing) == "A2"


def test_an_outline_and_a_reference_on_the_pad_have_their_place():
    book = a_book("A1 0", "B1 0", "outline A1 C1 C3 A3")
    assert last(book).index == book.page.standing == book.page.position("C1")
    book.refer("hub", "low 1", position="B2")
    assert last(book).index == book.page.position("B2")
    assert book.page.references_on_pad == {"hub": book.page.position("B2")}
    say(book, "reference BM1 high 1")
    assert last(book).index == -1


def test_a_fact_has_its_place_on_the_grid_that_later_facts_made():
    book = a_book("A1 0", "B1 0", "C1 0", "fact count 4x4", "D1 0", "fact count 4x5")
    assert book.job.grid.name(book.page.lines["tablet-a", 4].index) == "D1"


# -- what is refused ----------------------------------------------------------------------------------------------


def test_heights_of_a_design_are_one_a_position_and_have_no_shape_besides():
    heights = (0,) * 12
    for wrong in ({"heights_nm": heights[1:]}, {"heights_nm": heights, "shape": "crown B1 B4 2%"}):
        refused(a_book(), "needs one height a position: 12", Target, said="0", offset_nm=0, **wrong)
    book = a_book()
    older(book, Target, "0", offset_nm=0, heights_nm=heights)
    assert book.page.target is last(book)


def test_two_names_of_one_point_are_no_line():
    """A2 lies 20 ft out from A1."""
    refused(a_book(), "two different points", Target, said="0", offset_nm=0, shape="crown A2 20ft,0ft 2%")


def test_a_job_of_heights_has_no_setups():
    fields = {"reference": "ZERO", "backsight_nm": INCH, "readings": Readings.HEIGHT}
    refused(a_book(), "only a rod job has set-ups", Setup, said="+1", **fields)


def test_a_rod_is_read_only_once_a_setup_is_written():
    book = a_book(job=a_job(Unit.FT, readings=Readings.ROD))
    refused(book, "no set-up yet", Shot, said="4.00", position="A1", reading_nm=4 * FOOT)
    refused(book, "no set-up yet", Check, said="4.00", reference="ZERO", reading_nm=4 * FOOT)


def test_a_reference_that_nobody_wrote_cannot_be_checked():
    refused(a_book("A1 0"), "no reference is called BM1", Check, said="+1", reference="BM1", reading_nm=INCH)
    book = a_book("A1 0")
    with pytest.raises(PageError, match="B1 is not shot in this round"):
        book.test_machine("b1", "+1")


def test_existing_ground_is_the_first_round_only():
    refused(a_book("A1 0"), "existing is the first round only", Round, round=RoundKind.EXISTING)


def test_only_a_shot_that_counts_is_confirmed():
    book = a_book("A1 0", "note wind", "B1 0", "strike B1")
    for number in (2, 3, 9):
        refused(book, "is not a shot, is struck", Confirm, confirms=number, written_on="tablet-a")
    confirm(book, book.page.lines["tablet-a", 1])
    assert book.page.round.kept.nonzero()[0].tolist() == [0]


def test_only_a_check_that_counts_is_decided_about_and_once():
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +2")
    why = {"decision": Remedy.KEEP, "reason": "wind", "written_on": "tablet-a"}
    for number in (2, 9):
        refused(book, "is not a check shot, or is struck", Decision, about=number, **why)
    older(book, Decision, about=3, **why)
    refused(book, "already has a decision", Decision, about=3, **why)
    book.undo()
    book.strike_entry(3)
    refused(book, "is not a check shot, or is struck", Decision, about=3, **why)


def test_a_book_has_200_rounds_after_the_first_and_200_facts():
    """As many as books have that are written already: fewer would refuse one of them."""
    book = a_book()
    for _ in range(200):
        book.begin_round(RoundKind.WORKING)
        book.mend("place", "yard")
    refused(book, "too many rounds: the limit is 200", Round, round=RoundKind.WORKING)
    refused(book, "too many mended facts: the limit is 200", Fact, said="yard", name="place", value="yard")


def test_a_clock_may_be_put_right_by_two_minutes():
    for back, told in ((119, []), (120, []), (121, [2]), (179, [2])):
        times = iter((START, START - timedelta(seconds=back), START - timedelta(seconds=back - 1)))
        book = a_book()
        book.clock = lambda times=times: next(times)
        say(book, "A1 0", "B1 0", "C1 0")
        assert [line.entry.number for line in book.page.clock_ran_back] == told, back


def test_numbers_begin_at_one_and_none_is_used_twice():
    book = a_book("A1 0")
    with pytest.raises(PageError, match="entry 1 of tablet tablet-a comes after entry 1"):
        book.take(book.entries[0])
    assert book.page.round.times[0] == 1


def test_old_readings_of_a_spot_keep_the_way_that_counted_when_they_were_written():
    book = a_book("set repeats mean", "A1 +10", job=a_job(Unit.MM))
    older(book, Shot, "+30", position="A1", reading_nm=30 * MM, again=True)
    assert figures(book).heights[0] == 20 * MM


def test_tests_of_the_instrument_and_certificates_are_kept_in_the_order_written():
    book = a_book("A1 0", "machine A1 0")
    book.test_laser(LaserTest.QUARTER_TURN, ["4", "4", "4", "4"], ["100ft"])
    assert [line.entry.number for line in book.page.tests] == [2, 3]
    book.issue("R-1", "0" * 64, "pass")
    say(book, "note windy")
    book.issue("R-1", "1" * 64, "pass")
    assert [(line.entry.number, line.entry.revision) for line in book.page.issues] == [(4, 1), (6, 2)]
    assert [note.text for note in book.page.notes] == ["windy"]
    book.undo()
    assert len(book.page.issues) == 2, "what left the tablet is not taken back: the note is"
    assert book.page.notes == []
