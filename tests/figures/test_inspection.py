"""Each item of the punch list to the letter: where, on what, by which entry, what was found and what is allowed."""

from __future__ import annotations

from datetime import timedelta

import pytest

from rodcall.book.book import Book
from rodcall.book.entry_lines import dictate
from rodcall.book.model.entries import Readings
from rodcall.book.model.job import Job
from rodcall.figures.punch_list import Item, Kind
from rodcall.units import FOOT, INCH, Unit
from tests.cli.punch_kit import (
    AGREED,
    CHECK,
    HONEST,
    ROD_AGREED,
    ROD_CHECK,
    ROD_SHOTS,
    SHOTS,
    WITHOUT_B2,
)
from tests.kit import START, a_book, a_job, figures

WALK = (0, 1, 2, 5, 4, 3, 6, 7, 8, 11, 10, 9)
EIGHTH = INCH // 8


def rod() -> Job:
    return a_job(Unit.FT, readings=Readings.ROD)


def listed(*lines: str, job: Job | None = None) -> list[Item]:
    """The punch list of a book; entries are numbered from 1, a line each."""
    return list(figures(a_book(*lines, job=job)).punch_list.items)


CARRIED = (*ROD_AGREED[:3], "reference BM2 high 3.00", "setup BM1 4.00", "turn T1 5.00", "setup T1 5.00", *ROD_SHOTS)
"""18 lines; the closure allowed over two set-ups on a pad of 60 x 40 ft is 0.01 ft, a mark."""


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (HONEST, []),
        ((*AGREED, *WITHOUT_B2, CHECK), [Item(Kind.NOT_SHOT, (4,), opened_by=3)]),
        ((*AGREED, *WITHOUT_B2, "B2 out rut", CHECK), [Item(Kind.LEFT_OUT, (4,), opened_by=15)]),
        ((*AGREED, *WITHOUT_B2, "B2 +1", CHECK), [Item(Kind.DOES_NOT_FIT, (4,), opened_by=15, value=INCH)]),
        (
            (*AGREED, *WITHOUT_B2[:-1], "B2 +1-1/8", "C4 -1-1/4", CHECK),
            [
                Item(Kind.OUT, (11, 4), opened_by=15),
                Item(Kind.DOES_NOT_FIT, (4,), opened_by=14, value=INCH * 9 / 8),
                Item(Kind.DOES_NOT_FIT, (11,), opened_by=15, value=-INCH * 5 / 4),
            ],
        ),
        (
            (*AGREED, *SHOTS, "check BM1 +4-3/8"),
            [
                Item(Kind.BAD_CHECK, (), ("BM1",), 16, 3 * EIGHTH, EIGHTH),
                Item(Kind.SUSPECT, WALK, ("BM1",), 16, 3 * EIGHTH, EIGHTH),
            ],
        ),
        (
            (*AGREED, *SHOTS, "check BM1 +4-3/8", "keep a truck"),
            [Item(Kind.SUSPECT_ACCEPTED, WALK, opened_by=16), Item(Kind.NO_CHECK, opened_by=15)],
        ),
        (
            (*AGREED, *SHOTS, "check BM1 +4-1/4"),
            [Item(Kind.CHECK_AGAIN, (), ("BM1",), 16, 2 * EIGHTH, EIGHTH)],
        ),
        ((*AGREED, *SHOTS), [Item(Kind.NO_CHECK, opened_by=15)]),
        (
            (*SHOTS, "reference BM1 high 4"),
            [Item(Kind.NO_CHECK, opened_by=12), Item(Kind.TARGET_SUGGESTED), Item(Kind.NO_FINAL_ROUND)],
        ),
        ((*HONEST, "target -1/8"), [Item(Kind.TARGET_CHANGED, opened_by=17)]),
        ((*HONEST, "zero B2"), [Item(Kind.ZERO_MOVED, opened_by=17)]),
        ((*HONEST, "reference BM1 high 5"), [Item(Kind.REFERENCE_CHANGED, (), ("BM1",), 17)]),
        ((*HONEST, "target -1/8", "target 0"), []),
    ],
)
def test_what_is_open_on_a_pad_of_heights(lines, expected):
    assert listed(*lines) == expected


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ((*ROD_AGREED, *ROD_SHOTS, ROD_CHECK), []),
        (ROD_AGREED[:3], [Item(Kind.NO_BACKSIGHT), Item(Kind.NOT_SHOT, WALK, opened_by=3)]),
        (
            (*ROD_AGREED, *ROD_SHOTS[:6], "setup BM1 4.00", *ROD_SHOTS[6:], ROD_CHECK),
            [Item(Kind.SETUP_NOT_CLOSED, WALK[:6], ("BM1",))],
        ),
        ((*CARRIED, "check BM2 3.01"), []),
        (
            (*CARRIED, "check T1 5.00"),
            [Item(Kind.LEVELS_NOT_CLOSED, WALK, ("T1",), None, None, FOOT // 100)],
        ),
        (
            (*CARRIED, "set closure 0.10ft because far", "set agreed-by the owner", "check BM2 3.06"),
            [
                Item(Kind.BAD_CHECK, (), ("BM2",), 22, -FOOT * 6 // 100, FOOT // 100),
                Item(Kind.SUSPECT, WALK, ("BM2",), 22, -FOOT * 6 // 100, FOOT // 100),
            ],
        ),
        (
            (*CARRIED, "check BM2 3.06"),
            [
                Item(Kind.BAD_CHECK, (), ("BM2",), 20, -FOOT * 6 // 100, FOOT // 100),
                Item(Kind.SUSPECT, WALK, ("BM2",), 20, -FOOT * 6 // 100, FOOT // 100),
                Item(Kind.LEVELS_NOT_CLOSED, WALK, ("T1",), 20, -FOOT * 6 // 100, FOOT // 100),
            ],
        ),
    ],
)
def test_what_is_open_on_a_pad_read_with_a_rod(lines, expected):
    assert [item for item in listed(*lines, job=rod()) if item.kind is not Kind.PLUS_MINUS] == expected


@pytest.mark.parametrize(
    ("said", "name", "now", "before"),
    [
        ("tolerance-high 2in", "tolerance-high", 2 * INCH, INCH),
        ("tolerance-low 1-1/8in", "tolerance-low", INCH * 9 // 8, INCH),
        ("drift 1/4in", "drift", INCH // 4, EIGHTH),
        ("closure 1ft", "closure", FOOT, EIGHTH),
        ("check-hours 25", "check-hours", 25, 24),
    ],
)
def test_a_widened_limit_is_open_until_somebody_agreed_to_it_afterwards(said, name, now, before):
    widened = [Item(Kind.LIMIT_WIDENED, (), (name,), 17, now, before)]
    assert listed(*HONEST, f"set {said} because rain") == widened
    assert listed(*HONEST, f"set {said} because rain", "set agreed-by the owner") == []
    agreed_before = listed(*HONEST, "set agreed-by the owner", f"set {said} because rain")
    assert [(item.kind, item.opened_by) for item in agreed_before] == [(Kind.LIMIT_WIDENED, 18)]
    assert listed(f"set {said} because rain", *HONEST) == [], "agreed before the first shot"
    assert listed(f"set {said} because rain", *HONEST, f"set {said} because rain") == [], "no wider than it was"


@pytest.mark.parametrize(
    ("feet", "lines", "widest", "allowed"),
    # Four lines on so many feet: 50 ft apart at 150.
    [
        (150, (), None, None),
        (151, (), 151, 150),
        (400, ("set spacing 140ft",), 400, 150),
        (400, ("set spacing 140ft", "set agreed-by the owner"), None, None),
        (400, ("set agreed-by the owner", "set spacing 140ft"), 400, 150),
        (400, ("set spacing 130ft", "set agreed-by the owner"), 400, 390),
        (60, ("set spacing 19.9ft",), 60, 59.7),
        (60, ("set spacing 20ft",), None, None),
    ],
)
def test_spots_too_far_apart(feet, lines, widest, allowed):
    """Over 50 ft only by agreement (common practice); less than that may be asked for by anybody."""
    job = a_job(length=feet * FOOT, width=40 * FOOT)
    found = [item for item in listed(*HONEST, *lines, job=job) if item.kind is Kind.SPOTS_TOO_FAR]
    told = [(item.value, item.limit) for item in found]
    assert told == ([] if widest is None else [(widest * FOOT // 3, pytest.approx(allowed * FOOT / 3))])


@pytest.mark.parametrize(
    ("hours", "back", "apart"),
    [(24, timedelta(), None), (24, timedelta(seconds=1), 24 + 1 / 3600), (0, timedelta(minutes=-30), -0.5)],
)
def test_a_check_so_many_hours_after_the_shot_proves_it_and_a_second_later_not(hours, back, apart):
    """The last shot at 0, the check so much later: 24 hours are allowed, a clock set back is none."""
    now = [START]

    def write(book: Book, *lines: str) -> None:
        dictate(book, lines, lambda: None)

    book = Book(a_job(), "tablet-a", lambda: now[0])
    write(book, *AGREED, *SHOTS)
    now[0] = START + timedelta(hours=hours) + back
    write(book, CHECK)
    found = [item for item in figures(book).punch_list.items if item.kind is Kind.TIMES_APART]
    if apart is None:
        assert found == []
    else:
        by = 16 if apart < 0 else None
        assert found == [Item(Kind.TIMES_APART, WALK, (), by, pytest.approx(abs(apart)), 24)]
