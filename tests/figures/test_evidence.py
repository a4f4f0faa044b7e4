"""What a proof rests on, as plain values: told from the zero in force, and of two tablets."""

from __future__ import annotations

from rodcall.book.book import Book
from rodcall.book.model.entries import Readings
from rodcall.units import FOOT, INCH, Unit
from tests.kit import a_book, a_job, figures, say, ticking


def test_set_ups_turning_points_and_spots_taken_out_are_told_from_the_zero_in_force():
    """By hand: BM 1 ft up, instrument at 5.00; T1 read 4.50 is at 0.50, A1 read 4.75 at 0.25 and becomes the zero."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM high 1.00", "setup BM 4.00", "turn T1 4.50", "A1 4.75", "B1 4.65", job=job)
    say(book, "B1 not pad tank")
    quarter = FOOT // 4
    for zero in (0, quarter):
        evidence = figures(book).evidence
        (setup,), (point,), (gone,) = evidence.setups, evidence.turning_points, evidence.taken_out
        assert (setup.level_nm, setup.known_nm) == (5 * FOOT - zero, FOOT - zero)
        assert (point.height_nm, point.reading_nm) == (2 * quarter - zero, 18 * quarter)
        assert (gone.height_nm, gone.index) == (35 * FOOT // 100 - zero, 1)
        say(book, "zero A1")


def test_a_spot_that_is_not_shot_has_height_0():
    assert figures(a_book("A1 +1")).evidence.here.heights.tolist() == [INCH, *[0] * 11]


def test_a_spot_that_two_tablets_read_otherwise_is_so_until_it_is_read_since_they_were_joined():
    """B1 read 0 and +1 in ignorance of each other; A1 and C1 by one of them alone."""
    book, other = a_book("B1 0", "A1 0"), Book(a_job(), "tablet-b", ticking())
    say(other, "B1 +1", "C1 0")
    for entry in other.entries:
        book.take(entry)
    assert not figures(book).evidence.tablets_disagree.any(), "one book, nothing joined"
    book.page.joined = len(book.entries)
    assert figures(book).evidence.tablets_disagree.nonzero()[0].tolist() == [1]
    third = Book(a_job(), "tablet-c", ticking())
    say(third, "B1 -1")
    for entry in third.entries:
        book.take(entry)
    assert book.page.round.tablets_disagree[1], "what came since stands otherwise too"
    assert not figures(book).evidence.tablets_disagree.any(), "but it is read since"


def test_what_a_decision_left_behind_counts_once_it_counts_again():
    """B1 was struck when the others were shifted; its strike is taken back later, as by another tablet."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    lines = ("reference BM high 1.00", "setup BM 4.00", "B1 5.00", "C1 5.00", "strike B1", "check BM 4.10", "shift")
    book = a_book(*lines, job=job)
    (check,) = figures(book).evidence.checks
    assert (check.shots_before, check.left_behind) == (2, ())
    book._strike(book.page.lines["tablet-a", 5])
    (check,) = figures(book).evidence.checks
    assert check.left_behind == (2,)


def test_the_existing_ground_was_begun_by_no_entry():
    """Before the first line, which has order 0; any other round by the line that opened it."""
    first = figures(a_book("A1 0")).evidence
    assert (first.opened, first.opened_by) == (-1, None)
    final = figures(a_book("A1 0", "round final")).evidence
    assert (final.opened, final.opened_by) == (1, 2)
