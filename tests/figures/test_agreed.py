"""What a proof is held against: which targets, zeros and references are told as changed, and which are the same."""

from __future__ import annotations

from rodcall.book.book import Book
from rodcall.figures.checks.agreed import agreed
from rodcall.figures.checks.evidence import length_agreed
from rodcall.units import INCH
from tests.kit import START, a_book, figures, say


def values(book: Book, what: str) -> list[object]:
    """All that was said of one thing, oldest first, as it is compared."""
    return [each.value for each in agreed(book.page) if each.what == what]


def test_a_level_target_is_the_same_from_whichever_spot_it_is_told():
    book = a_book("A1 0", "B1 0", "C1 +1", "target -1", "zero B1", "target -1", "zero C1", "target -2", "target -1")
    first, second, third, fourth = values(book, "target")
    assert first == second == third
    assert fourth != first


def test_a_sloping_target_is_another_one_from_another_spot():
    """The same height at A1 and at B1, and a fall across or along: the two planes lie apart."""
    for slopes in ({"slope_along": 0.01}, {"slope_across": 0.01}, {"shape": "crown B1 B4 2%"}):
        book = a_book("A1 0", "B1 0")
        book.aim("0", **slopes)
        book.aim("0")
        say(book, "zero B1")
        book.aim("0")
        first, second, third = values(book, "target")
        assert first == second != third


def test_a_zero_is_its_spot_and_its_level():
    book = a_book("A1 0", "B1 0", "zero B1", "zero A1", "zero B1", "B1 -1", "B1 -1", "B1 -1", "zero B1")
    first, second, third, fourth = values(book, "zero")
    assert first == third
    assert len({first, second, fourth}) == 3


def test_a_reference_is_told_once_it_was_written_a_second_time():
    book = a_book("reference BM1 high 1")
    assert values(book, "reference BM1") == []
    say(book, "reference BM1 high 2")
    assert len(values(book, "reference BM1")) == 2


def test_heights_that_were_agreed_are_told_from_the_zero_in_force():
    """By hand: B1 lies 1/2 in under A1, so what was said from A1 is 1/2 in more from B1; a limit has no zero."""
    book = a_book("reference BM1 high 1", "reference BM1 high 2", "A1 0", "B1 -1/2", "target -1")
    say(book, "set drift 1/4in", "zero B1", "fact size 70ft x 40ft", "set check-hours 3")
    evidence = figures(book).evidence
    told = [(each.what, length_agreed(evidence, each)) for each in evidence.agreed]
    assert told == [
        ("reference BM1", INCH * 3 // 2),
        ("reference BM1", INCH * 5 // 2),
        ("target", -INCH // 2),
        ("drift", INCH // 4),
        ("zero", None),
        ("fact size", None),
        ("check-hours", None),
    ]


def test_a_reference_first_written_after_a_bad_check_proves_nothing():
    """Its height may have come from the level that was off."""
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +2", "reference BM2 high 1", "check BM2 +1")
    assert figures(book).trust.unchecked_mask.tolist()[0]
    book = a_book("reference BM1 high 1", "reference BM2 high 1", "A1 0", "check BM1 +2", "check BM2 +1")
    assert not figures(book).trust.unchecked_mask.any()


def test_the_times_of_a_round_are_those_of_its_shots_that_count():
    book = a_book("A1 0", "note wind", "B1 0", "C1 out rut", "A2 0", "strike A2", "B2 0", "B2 not pad")
    assert [time - START.timestamp() for time in figures(book).evidence.here.times] == [0, 20]
