"""Each item of the punch list to the letter: where, on what, by which entry, what was found and what is allowed."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from rodcall.book.book import Book
from rodcall.book.entry_lines import dictate
from rodcall.book.model.entries import Readings
from rodcall.book.model.job import Job
from rodcall.figures.inspection import punch_list
from rodcall.figures.outliers.line_mistakes import BadLine, LineMistake
from rodcall.figures.punch_list import Doubts, Item, Kind, PunchList, Verdict
from rodcall.units import FOOT, INCH, M, Unit
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
from tests.kit import START, a_book, a_job, figures, say

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


# -- the list itself ----------------------------------------------------------------------------------------

OUT, BARE, SUSPECT = Item(Kind.OUT, (3, 1), opened_by=7), Item(Kind.NO_CHECK), Item(Kind.SUSPECT, (2, 5, 1), ("BM1",))


def test_each_spot_counts_and_what_has_none_counts_once():
    assert [item.places for item in (OUT, BARE, SUSPECT)] == [2, 1, 3]
    assert PunchList((OUT, BARE, SUSPECT)).open == 6
    assert PunchList(()).open == 0


@pytest.mark.parametrize(
    ("items", "verdict"), [((), Verdict.PASS), ((BARE,), Verdict.NOT_PROVEN), ((BARE, OUT), Verdict.FAIL)]
)
def test_the_verdict_is_read_off_the_list(items, verdict):
    assert PunchList(items).verdict is verdict


def test_a_part_of_the_pad_has_its_own_spots_and_what_is_open_about_the_whole():
    part = np.zeros(6, bool)
    part[[1, 5]] = True
    kept = PunchList((OUT, BARE, SUSPECT)).within(part).items
    assert kept == (Item(Kind.OUT, (1,), opened_by=7), BARE, Item(Kind.SUSPECT, (5, 1), ("BM1",)))
    part[:] = False
    assert PunchList((OUT, BARE, SUSPECT)).within(part).items == (BARE,)


def test_by_another_tolerance_other_spots_are_out_and_all_else_stays():
    listed = PunchList((OUT, BARE, SUSPECT))
    assert listed.with_out([4, 0]).items == (Item(Kind.OUT, (4, 0)), BARE, SUSPECT)
    assert listed.with_out([]).items == (BARE, SUSPECT)
    assert listed.of(Kind.SUSPECT) == (SUSPECT,)


# -- what was changed after it was read ---------------------------------------------------------------------

OUT_AT_B2 = (*AGREED, *WITHOUT_B2, "B2 +1-1/8", CHECK)


@pytest.mark.parametrize(
    ("lines", "opened_by"),
    [
        ((*OUT_AT_B2, "B2 not pad stump"), 17),
        ((*OUT_AT_B2, "B2 not pad stump", "set agreed-by the owner"), None),
        ((*OUT_AT_B2, "set agreed-by the owner", "B2 not pad stump"), 18),
        ((*OUT_AT_B2, "B2 not pad", "set agreed-by the owner"), 17),
        ((*OUT_AT_B2, "B2 not pad stump", "set drift 1/8in because it is what was agreed"), 17),
        ((*AGREED, *WITHOUT_B2, "B2 +1", CHECK, "B2 not pad stump"), None),
    ],
)
def test_what_was_out_is_taken_out_of_the_pad_only_by_agreement(lines, opened_by):
    assert listed(*lines) == ([] if opened_by is None else [Item(Kind.TAKEN_OUT, (4,), opened_by=opened_by)])


@pytest.mark.parametrize(
    ("slope", "facts", "opened"),
    [
        (1e-5, ["fact size 61ft x 40ft"], {Kind.TARGET_CHANGED: 17}),
        (1e-5, ["fact size 61ft x 40ft", "fact size 60ft x 41ft"], {Kind.TARGET_CHANGED: 18}),
        (1e-5, ["fact zero B1", "fact size 61ft x 40ft"], {Kind.TARGET_CHANGED: 18, Kind.ZERO_MOVED: 17}),
        (1e-5, ["fact size 61ft x 40ft", "fact inset 1ft"], {Kind.TARGET_CHANGED: 18}),
        (1e-5, ["fact inset 1ft", "fact size 61ft x 40ft"], {Kind.TARGET_CHANGED: 18}),
        (1e-5, ["fact customer A. Nyone"], {}),
        (0.0, ["fact size 61ft x 40ft"], {}),
    ],
)
def test_a_target_that_slopes_moves_with_the_facts_that_it_runs_over(slope, facts, opened):
    book = a_book("reference BM1 high 4")
    book.aim("0", "", slope, 0.0)
    say(book, "round final", *SHOTS, CHECK, *facts)
    moved = {item.kind: item.opened_by for item in figures(book).punch_list.items}
    assert {kind: by for kind, by in moved.items() if kind in (Kind.TARGET_CHANGED, Kind.ZERO_MOVED)} == opened


@pytest.mark.parametrize(
    ("between", "changed"), [((), False), (("check BM1 +5",), True), (("reference BM2 high 4", "check BM2 +4"), False)]
)
def test_a_reference_put_back_is_as_it_was_unless_it_was_used_meanwhile(between, changed):
    lines = (*HONEST, "reference BM1 high 5", *between, "reference BM1 high 4", CHECK)
    found = [item for item in listed(*lines) if item.kind is Kind.REFERENCE_CHANGED]
    assert found == ([Item(Kind.REFERENCE_CHANGED, (), ("BM1",), 18 + len(between))] if changed else [])


# -- how well it is known -----------------------------------------------------------------------------------


def test_a_plus_minus_as_wide_as_the_limits_is_open_once_all_is_shot_and_checked():
    job = a_job(tolerance_high=EIGHTH, tolerance_low=EIGHTH, goal=EIGHTH)
    summary = figures(a_book(*HONEST, job=job))
    largest = int(np.argmax(summary.uncertainty.nm))
    width = float(summary.uncertainty.nm[largest])
    assert Item(Kind.PLUS_MINUS, (largest,), value=pytest.approx(width)) in summary.punch_list.items
    for lines in (HONEST[:-1], (*AGREED, *WITHOUT_B2, CHECK)):
        assert Kind.PLUS_MINUS not in {item.kind for item in listed(*lines, job=job)}


def test_a_pad_near_its_limits_everywhere_is_too_close_to_call():
    summary = figures(a_book(*AGREED, *(f"{shot.split()[0]} +1" for shot in SHOTS), CHECK))
    (item,) = summary.punch_list.items
    assert item == Item(Kind.TOO_CLOSE, summary.marginal, value=pytest.approx(6.0, abs=0.5)), "on it: half are out"
    assert set(item.spots) == set(range(12))


@pytest.mark.parametrize(("more", "open_"), [((), True), (("B2 0",), False), (("B3 0",), True)])
def test_a_line_that_does_not_fit_is_open_until_a_spot_of_it_is_read_again(more, open_):
    """Line 2 of three spots each: A2, B2, C2."""
    line = BadLine(1, LineMistake.MIRRORED, np.zeros(3, np.int64), np.ones(3, bool), 9.0)
    items = punch_list(figures(a_book(*HONEST, *more, CHECK)), Doubts(lines=(line,))).items
    assert items == ((Item(Kind.LINE_DOES_NOT_FIT, (3, 4, 5), ("2",)),) if open_ else ())


# -- odd cases of it ------------------------------------------------------------------------


@pytest.mark.parametrize("unit", [Unit.MM, Unit.CM, Unit.M])
@pytest.mark.parametrize(("metres", "too_far"), [(45, False), (45.3, True)])
def test_in_metric_spots_are_at_most_15_m_apart(unit, metres, too_far):
    """Common practice: a 15 m grid is the widest. Four lines on 45 m are 15 m apart."""
    job = a_job(unit, length=round(metres * M), width=10 * M)
    found = [item for item in figures(a_book("A1 0", job=job)).punch_list.items if item.kind is Kind.SPOTS_TOO_FAR]
    told = [(item.value, item.limit) for item in found]
    assert told == ([(round(metres * M) // 3, 15 * M)] if too_far else [])


@pytest.mark.parametrize("unit", [Unit.IN, Unit.FT])
@pytest.mark.parametrize(("feet", "too_far"), [(150, False), (151, True)])
def test_in_inches_and_feet_spots_are_at_most_50_ft_apart(unit, feet, too_far):
    """Common practice: a 50 ft grid is the widest. Four lines on 150 ft are 50 ft apart."""
    job = a_job(unit, length=feet * FOOT, width=40 * FOOT)
    found = [item for item in figures(a_book("A1 0", job=job)).punch_list.items if item.kind is Kind.SPOTS_TOO_FAR]
    assert [(item.value, item.limit) for item in found] == ([(feet * FOOT // 3, 50 * FOOT)] if too_far else [])


@pytest.mark.parametrize(("target", "open_"), [("target -1/8", True), ("target +1/8", False)])
def test_what_was_taken_out_is_held_against_the_target(target, open_):
    """Read 1 in high: out of a tolerance of 1 in about -1/8, inside about +1/8."""
    lines = ("reference BM1 high 4", target, "round final", *WITHOUT_B2, "B2 +1", CHECK, "B2 not pad stump")
    taken = [item for item in listed(*lines) if item.kind is Kind.TAKEN_OUT]
    assert taken == ([Item(Kind.TAKEN_OUT, (4,), opened_by=17)] if open_ else [])


def test_what_was_checked_on_the_pad_is_told_with_the_check_that_closed_the_last_spot():
    """BM1 lies beside the pad and was not checked; BM2 lies on it, and so does the zero."""
    book = a_book(*AGREED, *(shot for shot in SHOTS if not shot.startswith("A4")))
    book.refer("BM2", "+1", position="C3")
    say(book, "check BM2 +1", "A4 0", "check ZERO 0")
    (item,) = [item for item in figures(book).punch_list.items if item.kind is Kind.CHECKED_ON_PAD]
    last = figures(book).trust.checks[-1]
    assert item == Item(Kind.CHECKED_ON_PAD, WALK, ("ZERO",), last.number)


def test_a_clock_that_ran_back_is_told_of_the_shots_before_it_alone():
    """Half an hour back after the sixth shot: six shots have it between them and their check, six have not."""
    now = [START + timedelta(hours=1)]

    def tick():
        now[0] += timedelta(seconds=10)
        return now[0]

    book = Book(a_job(), "tablet-a", tick)
    say(book, *AGREED, *SHOTS[:6])
    now[0] -= timedelta(minutes=30)
    say(book, *SHOTS[6:], CHECK)
    (item,) = [item for item in figures(book).punch_list.items if item.kind is Kind.TIMES_APART]
    shot = {book.job.grid.index(line.split()[0]) for line in SHOTS[:6]}
    assert item.opened_by == 10
    assert set(item.spots) == shot


def test_a_zero_that_was_moved_and_put_back_is_as_it_was():
    assert listed(*HONEST, "zero B2", "zero A1") == []


def test_a_zone_that_was_moved_needs_who_agreed_afterwards():
    zones = ("set zone A1:B2", *HONEST)
    moved = (*zones, "set zone A1:B3 because the slab grew")
    (item,) = listed(*moved)
    assert item == Item(Kind.LIMIT_WIDENED, (), ("zone", "A1:B2", "A1:B3"), 18)
    assert listed(*moved, "set agreed-by the owner") == []
    (item,) = listed(*zones, "set agreed-by the owner", "set zone A1:B3 because the slab grew")
    assert item.opened_by == 19
    (item,) = listed(*moved, "set zone A1:C3 because it grew again")
    assert item == Item(Kind.LIMIT_WIDENED, (), ("zone", "A1:B3", "A1:C3"), 19)


def test_how_well_it_is_known_waits_for_a_check_of_every_shot():
    job = a_job(tolerance_high=EIGHTH, tolerance_low=EIGHTH, goal=EIGHTH)
    lines = (*AGREED, *SHOTS[:-1], CHECK, SHOTS[-1])
    kinds = {item.kind for item in listed(*lines, job=job)}
    assert Kind.PLUS_MINUS not in kinds
    assert Kind.PLUS_MINUS in {item.kind for item in listed(*lines, CHECK, job=job)}


def test_the_last_shot_is_told_though_it_is_the_first_entry():
    assert Item(Kind.NO_CHECK, opened_by=1) in listed("C4 0")


def test_a_check_beside_the_pad_in_time_proves_what_one_on_the_pad_closed():
    assert listed(*AGREED, *SHOTS, "check ZERO 0", CHECK) == []
    assert Kind.CHECKED_ON_PAD in {item.kind for item in listed(*AGREED, *SHOTS, "check ZERO 0")}


@pytest.mark.parametrize(("seconds", "apart"), [(120, False), (121, True)])
def test_a_clock_put_right_by_two_minutes_is_no_matter(seconds, apart):
    """The last shot at 0, the check two minutes earlier by the tablet's clock; one spot was shot after it."""
    now = [START]
    book = Book(a_job(), "tablet-a", lambda: now[0])
    say(book, *AGREED, *SHOTS[:-1])
    now[0] = START - timedelta(seconds=seconds)
    say(book, CHECK, SHOTS[-1])
    found = [item for item in figures(book).punch_list.items if item.kind is Kind.TIMES_APART]
    assert len(found) == apart
    if apart:
        assert set(found[0].spots) == set(WALK) - {book.job.grid.index(SHOTS[-1].split()[0])}


def test_who_agreed_to_the_second_zone_agreed_to_no_third():
    lines = ("set zone A1:B2", *HONEST, "set zone A1:B3 because the slab grew", "set agreed-by the owner")
    (item,) = listed(*lines, "set zone A1:C3 because it grew again")
    assert item.opened_by == 20
