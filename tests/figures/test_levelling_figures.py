"""Level notes with their page check and closure, and the tests of the instrument."""

from __future__ import annotations

import math
from datetime import UTC, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.model.entries import LaserCheck, LaserTest, Readings
from rodcall.figures.checks.levelling import allowed_closure, closing_checks, is_carried, laser_result
from rodcall.units import FOOT, INCH, MM, M, Unit, parse_length, write
from tests.kit import a_book, a_job, figures, say


def levelled(unit: Unit, known: str, pairs: list[tuple[str, str]], closes: str, readings: Readings = Readings.ROD):
    """A book of level notes from BM A over turning points, closed by a check on BM B (or on BM A again)."""
    job = a_job(unit, readings=readings)
    book = a_book(f"reference A high {known}", f"reference B high {closes}", job=job)
    *carried, (last_backsight, last_foresight) = pairs
    for number, (backsight, foresight) in enumerate(carried, 1):
        say(book, f"setup {_at(number)} {backsight}", f"turn {_at(number + 1)} {foresight}")
    say(book, f"setup {_at(len(pairs))} {last_backsight}", f"check {'A' if closes == known else 'B'} {last_foresight}")
    return figures(book)


def _at(setup: int) -> str:
    return "A" if setup == 1 else f"TP{setup - 1}"


def test_four_setups_in_feet():
    """A university levelling exercise of four set-ups (SEEN), and its misclosure on BM B."""
    summary = levelled(
        Unit.FT, "100.00", [("3.10", "9.82"), ("6.44", "6.96"), ("8.76", "3.27"), ("7.12", "10.42")], "94.91"
    )
    (run,) = summary.level_runs
    table = [
        [None if nm is None else write(nm, Unit.FT, sign=False) for nm in line]
        for line in ((s.backsight_nm, s.instrument_nm, s.foresight_nm, s.height_nm) for s in run.stations)
    ]
    assert table == [
        ["3.10", "103.10", None, "100.00"],
        ["6.44", "99.72", "9.82", "93.28"],
        ["8.76", "101.52", "6.96", "92.76"],
        ["7.12", "105.37", "3.27", "98.25"],
        [None, None, "10.42", "94.95"],
    ]
    assert (run.backsights_nm, run.foresights_nm) == (parse_length("25.42ft"), parse_length("30.47ft"))
    assert run.page_check
    assert run.change_nm == -parse_length("5.05ft")
    assert run.closure is not None
    assert run.closure.misclosure_nm == parse_length("0.04ft"), "computed minus fixed: FM 5-233, app. B"


def test_eight_setups_in_metres_back_to_the_start():
    """NPTEL course 105107122 Surveying, module 4, Ex13-1 (SEEN; the page misprints one fall and one elevation)."""
    sights = "1.205,1.860 0.125,1.915 0.395,2.615 0.880,1.760 1.960,0.920 2.595,0.915 2.255,0.515 2.305,1.170"
    pairs = [(b, f) for b, f in (pair.split(",") for pair in sights.split())]
    (run,) = levelled(Unit.M, "150.485", pairs, "150.485").level_runs
    heights = [write(station.height_nm, Unit.M, sign=False) for station in run.stations[1:]]
    assert heights == ["149.830", "148.040", "145.820", "144.940", "145.980", "147.660", "149.400", "150.535"]
    assert (run.backsights_nm, run.foresights_nm) == (11_720 * MM, 11_670 * MM)
    assert run.page_check
    assert run.closure is not None
    assert (run.closure.reference, run.closure.misclosure_nm) == ("A", 50 * MM)


@given(
    st.sampled_from([Readings.ROD, Readings.DIRECT_ROD]),
    st.lists(st.tuples(st.integers(0, 4000), st.integers(0, 4000)), min_size=1, max_size=5),
    st.integers(-9000, 9000),
)
def test_the_page_check_holds_and_the_misclosure_is_what_the_sights_leave(readings, pairs, known):
    """Computed apart: exact sums of the sights in whole millimetres."""
    said = [(f"{b}mm", f"{f}mm") for b, f in pairs]
    if readings is Readings.DIRECT_ROD:
        said = [(f"+{b}", f"+{f}") for b, f in said]
    job = a_job(Unit.MM, readings=readings)
    book = a_book("reference A high 0", f"reference B {'high' if known >= 0 else 'low'} {abs(known)}mm", job=job)
    for number, (backsight, foresight) in enumerate(said[:-1], 1):
        say(book, f"setup {_at(number)} {backsight}", f"turn {_at(number + 1)} {foresight}")
    say(book, f"setup {_at(len(said))} {said[-1][0]}", f"check B {said[-1][1]}")
    (run,) = figures(book).level_runs
    change = readings.direction * sum(f - b for b, f in pairs)
    assert run.page_check
    assert run.change_nm == change * MM
    assert run.closure is not None
    assert run.closure.misclosure_nm == (change - known) * MM


def test_a_setup_on_a_known_reference_begins_a_new_run():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference A high 1", "setup A 4.00", "turn T1 5.00", "setup A 4.10", "turn T2 6.00", job=job)
    assert [[s.name for s in run.stations] for run in figures(book).level_runs] == [["A", "T1"], ["A", "T2"]]


def test_a_setup_from_which_nothing_was_read_forward_is_no_run():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference A high 1", "setup A 4.00", "A1 5.00", job=job)
    assert figures(book).level_runs == ()
    say(book, "turn T1 5.00", "setup T1 3.00")
    (run,) = figures(book).level_runs
    assert [station.name for station in run.stations] == ["A", "T1"]
    assert run.page_check


def test_allowed_closure():
    """12 mm sqrt(km), third order (FGCC 1984, MEMORY); 0.05 ft sqrt(mile) (a university's laboratory table, SEEN)."""
    assert allowed_closure(1000, feet=False) == 12 * MM
    assert allowed_closure(4000, feet=False) == 24 * MM
    assert allowed_closure(1609.344, feet=True) == pytest.approx(0.05 * FOOT)


def test_a_typed_closure_goes_before_the_rule():
    job = a_job(Unit.MM, readings=Readings.ROD, length=40 * M, width=30 * M)
    book = a_book("reference A high 0", "reference B high 5", "setup A 1000", "check B 990", job=job)
    (run,) = figures(book).level_runs
    assert figures(book).closure_allowed(run.setups) == pytest.approx(12 * MM * math.sqrt(0.050)), (
        "one diagonal of 50 m"
    )
    say(book, "set closure 2mm")
    assert figures(book).closure_allowed(run.setups) == 2 * MM
    assert run.closure is not None
    assert run.closure.misclosure_nm == 5 * MM, "told, not spread"


def laser(test: LaserTest, readings: list[str], distances: list[str]) -> LaserCheck:
    return LaserCheck(
        number=1,
        time=datetime(2026, 4, 18, tzinfo=UTC),
        tablet="t",
        test=test,
        readings_nm=tuple(parse_length(said) for said in readings),
        distances_nm=tuple(parse_length(said) for said in distances),
    )


def test_two_pegs():
    """NAVEDTRA 14070 fig. 6-3 (SEEN): pegs 40 m apart, then from 10 m beyond one; the line rises 0.001 m per m."""
    check = laser(LaserTest.TWO_PEGS, ["1.432m", "1.476m", "1.472m", "1.556m"], ["40m", "10m"])
    result = laser_result(check, 0.0005)
    assert result is not None
    assert result.slope == 0.001
    assert result.corrected_nm == (1462 * MM, 1506 * MM)
    assert not result.good
    assert laser_result(check, 0.001).good, "the specification itself is good"


@given(st.integers(-3000, 3000), st.integers(-50, 50), st.integers(1, 60), st.integers(0, 60))
def test_two_pegs_recover_any_slope(ground, error, apart, away):
    """NAVEDTRA 14070 fig. 6-3: readings made up for a line that rises `error` um per m come back as that slope."""
    line = error * 1000  # nm per m
    middle = apart * line // 2
    near, far = 1_500 * MM, 1_500 * MM + ground * MM // 10
    readings = (near + middle, far + middle, near + away * line, far + (away + apart) * line)
    check = laser(LaserTest.TWO_PEGS, ["1m"] * 4, [f"{apart}m", f"{away}m"]).model_copy(
        update={"readings_nm": readings}
    )
    result = laser_result(check, 1e-3)
    assert result is not None
    assert result.slope == pytest.approx(error * 1e-6, abs=1e-15)
    assert result.corrected_nm == (near, far)


def test_quarter_turn():
    """Common practice: opposite readings differ by twice the axis error; 1/8 in apart at 100 ft
    is an error of 1/16 in per 100 ft, which 3.2 gives as 10.743 seconds of arc (COMPUTED)."""
    check = laser(LaserTest.QUARTER_TURN, ["4ft", "4ft 1/16in", "4ft 1/8in", "4ft 1/16in"], ["100ft"])
    result = laser_result(check, 1 / (16 * 1200))
    assert result is not None
    assert abs(result.slope) == float(Fraction(INCH // 16, 100 * FOOT))
    assert math.degrees(math.atan(abs(result.slope))) * 3600 == pytest.approx(10.743, abs=5e-4)
    assert result.good


@pytest.mark.parametrize(
    ("test", "readings", "distances"),
    [
        (LaserTest.QUARTER_TURN, ["1m"] * 3, ["20m"]),
        (LaserTest.QUARTER_TURN, ["1m"] * 4, ["0m"]),
        (LaserTest.TWO_PEGS, ["1m"] * 4, ["20m"]),
        (LaserTest.TWO_PEGS, ["1m"] * 4, ["0m", "10m"]),
        (LaserTest.TWO_PEGS, ["1m"] * 2, ["20m", "10m"]),
    ],
)
def test_an_unfinished_test_tells_nothing(test, readings, distances):
    assert laser_result(laser(test, readings, distances), 1e-4) is None


def test_machine_check_is_told_against_the_point_as_it_was_then():
    """Shown minus known: 0.02 ft over a reference, and over a position that was shot anew afterwards."""
    book = a_book(
        "reference BM1 high 0.50", "machine BM1 +0.52", "A1 -0.10", "machine A1 -0.13", "A1 -0.40", job=a_job(Unit.FT)
    )
    off = [(check.at, nm) for check, nm in figures(book).evidence.machine_checks]
    assert off == [("BM1", parse_length("0.02ft")), ("A1", -parse_length("0.03ft"))]


def test_a_quarter_turn_tells_the_worse_of_both_axes_with_its_sign():
    """By hand: 2 mm and 6 mm apart at 30 m are 1/30 and 3/30 mm per m; opposite readings differ by twice the error."""
    first = laser(LaserTest.QUARTER_TURN, ["1.006m", "1.000m", "1.000m", "1.002m"], ["30m"])
    second = laser(LaserTest.QUARTER_TURN, ["1.000m", "1.000m", "1.002m", "1.006m"], ["30m"])
    assert laser_result(first, 1e-4).slope == pytest.approx(1e-4, rel=1e-12)
    assert laser_result(second, 1e-4).slope == pytest.approx(-1e-4, rel=1e-12)


@pytest.mark.parametrize(
    ("mid", "beyond", "apart", "rise_mm", "far_reads"),
    [
        (("1.32m", "1.56m"), ("1.11m", "1.39m"), ("80m", "10m"), 40, 1345),
        (("0.860m", "1.283m"), ("1.219m", "1.612m"), ("50m", "5m"), -30, 1645),
    ],
)
def test_two_pegs_of_exercise_sheets(mid, beyond, apart, rise_mm, far_reads):
    """curioustab.com, question 66910, and unipeppa.com, problem 2.1 (SEEN): B should read
    1.345; -0.030 per 50 m, A should read 1.645."""
    result = laser_result(laser(LaserTest.TWO_PEGS, [*mid, *beyond], list(apart)), 1e-4)
    assert result.slope * int(apart[0][:-1]) == pytest.approx(rise_mm * 1e-3, rel=1e-12)
    assert result.corrected_nm[1] == far_reads * MM


def test_a_run_ends_on_what_was_read_last_from_its_last_setup():
    """A turning point, then a known reference, then another turning point: each in turn is the end."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference A high 1", "reference B high 2", "setup A 4.00", "turn T1 5.00", job=job)
    (run,) = figures(book).level_runs
    assert (run.stations[-1].name, run.closure) == ("T1", None)
    say(book, "check B 2.96")
    (run,) = figures(book).level_runs
    assert (run.stations[-1].name, run.closure.misclosure_nm) == ("B", parse_length("0.04ft"))
    say(book, "turn T2 6.00")
    (run,) = figures(book).level_runs
    assert (run.stations[-1].name, run.closure, run.change_nm) == ("T2", None, -2 * FOOT)
    say(book, "check A 4.00")
    (run,) = figures(book).level_runs
    assert run.stations[-1].name == "T2", "the run's own reference closes nothing"


def test_of_two_points_of_one_name_the_later_carries_on():
    """T1 is read twice from one setup, the second time higher by 0.10: the setup on it stands on the second."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference A high 1", "setup A 4.00", "turn T1 5.00", "turn T1 4.90", "setup T1 3.00", job=job)
    say(book, "turn T2 2.00")
    (run,) = figures(book).level_runs
    assert [station.foresight_nm for station in run.stations] == [None, parse_length("4.90ft"), 2 * FOOT]
    assert run.page_check


def in_feet(*lines: str):
    return figures(a_book("reference A high 2.00", *lines, job=a_job(Unit.FT, readings=Readings.ROD)))


CARRIED = ("setup A 4.00", "turn T1 5.00", "setup T1 6.00", "turn T2 5.50", "setup T2 4.00")
"""Instrument at 6.00, T1 at 1.00; at 7.00, T2 at 1.50; at 5.50."""


def test_a_run_counts_the_set_ups_it_was_carried_over():
    (run,) = in_feet(*CARRIED, "turn T3 5.00").level_runs
    assert (run.setups, len(run.stations)) == (3, 4)


def test_a_last_set_up_from_which_nothing_was_read_forward_leaves_the_run_before_it_whole():
    (run,) = in_feet(*CARRIED).level_runs
    assert (run.setups, [station.name for station in run.stations]) == (2, ["A", "T1", "T2"])


def test_a_turning_point_that_was_given_another_height_begins_anew():
    """T1 was read to be at 1.00; told to be at 1.10 it is known otherwise."""
    summary = in_feet("setup A 4.00", "turn T1 5.00", "reference T1 high 1.10", "setup T1 6.00", "turn T2 5.50")
    assert [[s.name for s in run.stations] for run in summary.level_runs] == [["A", "T1"], ["T1", "T2"]]
    assert not is_carried(summary.evidence, summary.evidence.setups[-1].order)


def test_a_known_reference_as_high_as_a_turning_point_is_none():
    summary = in_feet("reference B high 1.00", "setup A 4.00", "turn T1 5.00", "setup B 6.00", "turn T2 5.50")
    assert [[s.name for s in run.stations] for run in summary.level_runs] == [["A", "T1"], ["B", "T2"]]
    assert not is_carried(summary.evidence, summary.evidence.setups[-1].order)


def test_a_check_closes_all_set_ups_that_its_own_was_carried_on_from():
    evidence = in_feet("reference B high 3.00", *CARRIED, "check B 2.50", "check T1 4.50", "setup A 4.00").evidence
    closing = [[check.reference for check in closing_checks(evidence, setup.order)] for setup in evidence.setups]
    assert closing == [["B"], ["B"], ["B"], []]
    between = in_feet("reference B high 3.00", *CARRIED[:3], "check B 4.00", *CARRIED[3:]).evidence
    closing = [[check.reference for check in closing_checks(between, setup.order)] for setup in between.setups]
    assert closing == [["B"], ["B"], []]
