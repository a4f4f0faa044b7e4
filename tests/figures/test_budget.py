"""The plus/minus of odd books: averages under a laser that is off, checks on the zero and on turning points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import norm

from rodcall.book.model.entries import Readings
from rodcall.figures.checks.evidence import NO_SETUP
from rodcall.figures.uncertainty.budget import half_width
from rodcall.units import MM, M, Unit
from tests.kit import a_book, a_job, figures, say

READING = 1 / 12 + 1.5**2
"""Variance of one reading, mm2: a mark of 1 mm, placing by common practice."""
STILL = ("reference BM high 0", "set drift 0.000001mm because it stands on concrete")


def rod(**known):
    """3 x 3 spots, 20 and 15 m apart, read with a rod to 1 mm."""
    job = {"along": 3, "across": 3, "length": 40 * M, "width": 30 * M, "readings": Readings.ROD}
    return a_job(Unit.MM, **{**job, **known})


def test_the_lasers_error_does_not_average_out():
    """20 mm per 50 m as a bound: 0, 15 and 30 m from A1 are 0, 6, 12 mm, 6 mm in the mean, over sqrt 3."""
    shots = ("setup BM 1000", "A1 1000", "B1 1000", "C1 1000")
    told = [
        figures(a_book(*STILL, "set tripod A1", f"set laser-spec {bound}mm/50m", *shots, job=rod())).uncertainty
        for bound in (0, 20)
    ]
    without, with_ = ((each.average_nm / MM / 2) ** 2 for each in told)
    assert with_ - without == pytest.approx((6 / math.sqrt(3)) ** 2)
    assert without == pytest.approx(READING / 3 + READING, rel=1e-6), "the mean of three, and the backsight"


def test_half_widths_of_own_and_shared_parts_make_up_the_whole():
    told = figures(a_book(*STILL, "setup BM 1000", "A1 1000", job=rod())).uncertainty
    assert np.hypot(told.own_nm, told.shared_nm) == pytest.approx(told.nm)
    assert told.nm == pytest.approx(half_width(told.parts))
    assert told.own_nm[0] / MM == pytest.approx(2 * math.sqrt(READING))
    drifting = figures(a_book("reference BM high 0", "setup BM 1000", "A1 1000", job=rod())).uncertainty
    assert drifting.own_nm[0] == told.own_nm[0], "drift is shared"
    assert drifting.nm[0] > told.nm[0]


def test_before_the_first_shot_nothing_is_known():
    told = figures(a_book(*STILL, "setup BM 1000", job=rod())).uncertainty
    assert (told.known, told.average_nm) == (None, None)


def test_a_check_on_the_zero_by_the_set_up_that_the_zero_was_read_from():
    """Zero and check hang on one backsight: it cancels, and what the check shows is the zero's own reading.

    A shot from there hangs on the zero's reading alone; a check on the zero reads it again: 1 against 1, half is left.
    """
    book = a_book(*STILL, "setup BM 1000", "A1 1000", "B1 1000", "zero A1", job=rod())
    assert figures(book).uncertainty.known.square[1] / MM**2 == pytest.approx(READING, rel=1e-6)
    say(book, "check ZERO 1000")
    assert figures(book).uncertainty.known.square[1] / MM**2 == pytest.approx(READING / 2, rel=1e-6)


def test_a_check_on_a_turning_point_of_the_same_set_up_hangs_on_its_reading_alone():
    """Backsight and zero are in both and cancel: nothing of what the shot hangs on is confirmed."""
    book = a_book(*STILL, "setup BM 1000", "turn TP 1100", "B1 900", "check TP 1100", job=rod())
    told = figures(book).uncertainty
    check = figures(book).trust.checks[0]
    assert set(told._check_of(check)) == {("turning point", 3)}
    assert told.known.square[1] / MM**2 == pytest.approx(READING, rel=1e-6)


def test_the_reading_of_a_turning_point_that_counts_is_the_last_before_the_check():
    book = a_book(*STILL, "setup BM 1000", "turn TP 1100", "check TP 1100", "turn TP 1102", "check TP 1102", job=rod())
    say(book, "B1 900")
    told, checks = figures(book).uncertainty, figures(book).trust.checks
    assert [set(told._check_of(check)) for check in checks] == [{("turning point", 3)}, {("turning point", 5)}]


def test_a_check_on_a_known_reference_by_another_set_up_hangs_on_its_backsight():
    book = a_book(*STILL, "reference B2 high 0", "setup BM 1000", "turn TP 1100", "setup TP 900", "B1 900", job=rod())
    say(book, "check B2 800", "check TP 900")
    told = figures(book).uncertainty
    known, turned = (set(told._check_of(check)) for check in figures(book).trust.checks)
    assert known == {("backsight", 3), ("turning point", 4), ("backsight", 5)}
    assert turned == {("backsight", 5)}


def test_heights_said_directly_hang_on_the_mark_at_the_zero():
    told = figures(a_book("A1 0", "check ZERO 0", job=a_job(Unit.MM))).uncertainty
    assert told.hangs_on == {NO_SETUP: {("zero", NO_SETUP): 1}}
    assert told._check_of(told.trust.checks[0]) == {("zero", NO_SETUP): 1}


def test_what_a_shot_shares_with_the_zero_cancels_and_the_zeros_own_readings_go_in_with_the_other_sign():
    """Height above the zero = (backsight - reading) - (the zero's backsight - the zero's reading)."""
    book = a_book(*STILL, "setup BM 1000", "A1 1000", "zero A1", "setup BM 1010", "B1 1010", job=rod())
    signs = {order: dict(of) for order, of in figures(book).uncertainty.hangs_on.items()}
    assert signs[5] == {("backsight", 5): 1, ("backsight", 2): -1, ("zero", 4): -1}


def test_set_ups_on_a_known_reference_tell_nothing_of_each_other():
    """Each has its own backsight and its own drift: the checks of one change nothing of what the other's shots have."""
    one = ("setup BM 1000", "A1 1000", "B1 1000", "check BM 1002")
    other = ("setup BM 1100", "A2 1100", "B2 1100", "C2 1100", "check BM 1101")
    alone, after, both = (
        figures(a_book("reference BM high 0", *lines, job=rod())).uncertainty.known.square
        for lines in (one, other, (*one, *other))
    )
    assert both[:2] == pytest.approx(alone[:2], rel=1e-12)
    assert both[3:6] == pytest.approx(after[3:6], rel=1e-12)


def test_a_turning_point_whose_height_was_given_anew_is_a_known_reference():
    """Read from BM it was at -100 mm; told to be at -90 it hangs on no reading."""
    lines = ("setup BM 1000", "turn TP 1100")
    turned = a_book(*STILL, *lines, "setup TP 900", "A1 900", job=rod())
    assert set(figures(turned).uncertainty.hangs_on[4]) == {("backsight", 2), ("turning point", 3), ("backsight", 4)}
    given = a_book(*STILL, *lines, "reference TP low 90", "setup TP 900", "A1 900", job=rod())
    assert set(figures(given).uncertainty.hangs_on[5]) == {("backsight", 5)}


@pytest.mark.parametrize(("chance", "too_close"), [(0.099, False), (0.101, True)])
def test_more_than_one_shot_in_ten_expected_out_is_too_close(chance, too_close):
    """One on target, the limit above so many standard deviations away that it is out with that chance (scipy)."""
    width = figures(a_book("target 0", "A1 0", job=a_job(Unit.MM))).uncertainty.nm[0]
    high = round(norm.isf(chance) * width / 2)
    summary = figures(a_book("target 0", "A1 0", job=a_job(Unit.MM, tolerance_high=high, tolerance_low=M)))
    assert summary.expected_out == pytest.approx(chance, rel=1e-5)
    assert summary.too_close is too_close


@pytest.mark.parametrize(("turns", "number"), [(0, None), (1, 3), (2, 5)])
def test_the_source_tells_how_many_readings_a_height_depends_on(turns, number):
    lines = [*STILL, "setup BM 1000"]
    for turn in range(turns):
        lines += [f"turn T{turn} 1000", f"setup T{turn} 1000"]
    parts = figures(a_book(*lines, "A1 1000", job=rod())).uncertainty.parts
    (source,) = [str(part.source) for part in parts if part.name == "reading the backsight or zero"]
    assert ("times the root of" in source) is (number is not None)
    if number is not None:
        assert f"root of {number}, the readings" in source


def test_the_farthest_corner_is_named_where_nobody_said_where_the_level_stands():
    sources = []
    for tripod in ((), ("set tripod A1",)):
        parts = figures(a_book(*STILL, *tripod, "setup BM 1000", "A1 1000", job=rod())).uncertainty.parts
        sources += [str(part.source) for part in parts if part.name == "laser"]
    assert ["farthest corner" in source for source in sources] == [True, False]


def test_two_readings_count_as_two():
    """The zero's set-up was struck: what is left is the backsight of the newer one and the zero's own reading."""
    book = a_book("reference BM high 0", "setup BM 1000", "B1 1010", "zero B1", job=rod())
    setup = book.page.setup
    say(book, "setup BM 1200", "C1 1190", "strike B1")
    book._strike(setup)
    told = figures(book).uncertainty
    assert told.readings_before[2] == 2
    (source,) = [str(part.source) for part in told.parts if part.name == "placing the rod there"]
    assert "times the root of 2, the readings" in source


def test_distances_from_a_tripod_at_the_far_right_corner():
    """Spots 20 m and 15 m apart: 0, 15 and 30 m along its own line, 40 m out, 3-4-5 across the pad."""
    book = a_book("set tripod C3", "A1 0", job=rod(readings=Readings.HEIGHT))
    distances = figures(book).uncertainty.distance_nm / M
    assert distances == pytest.approx([50, np.hypot(40, 15), 40, np.hypot(20, 30), 25, 20, 30, 15, 0])


def test_a_limit_that_the_plus_minus_just_reaches():
    """JCGM 106 and ISO 14253-1 (MEMORY): inside by just that is proven in, outside by just that is not proven."""
    told = figures(a_book(*(f"{column}1 0" for column in "ABC"), job=a_job(Unit.MM, 3, 3))).uncertainty
    told.__dict__["nm"] = np.full(9, 5.0)
    found = told.guarded(np.array([-5, 5, 6, 0, 0, 0, 0, 0, 0]))
    near = told.guarded(np.array([-4, 5, 6, 0, 0, 0, 0, 0, 0]))
    assert near.neither[:3].tolist() == [True, True, False]
    assert [np.flatnonzero(each).tolist() for each in (found.proven_in, found.neither, found.proven_out)] == [
        [0],
        [1],
        [2],
    ]
    assert told.marginal_mask(np.array([-5, 4, -4, 0, 0, 0, 0, 0, 0])).tolist() == [False, True, True] + [False] * 6


DRIFT = (3 / 2.5) ** 2
"""Variance of the drift up to the last check, mm2: 3 mm are allowed, 2.5 deviations."""


def from_both(t: float) -> float:
    """What the mark before and the check after leave open at a share t of the way: the product over the sum."""
    before, after = READING + t * DRIFT, READING + (1 - t) * DRIFT
    return before * after / (before + after)


@pytest.mark.parametrize(("shots", "shares"), [(1, [1 / 2]), (2, [1 / 4, 3 / 4]), (3, [1 / 6, 1 / 2, 5 / 6])])
@pytest.mark.parametrize("by_rod", [True, False])
def test_the_drift_is_shared_out_among_the_shots_alone(shots, shares, by_rod):
    """Spots that are not shot yet have no part in it, whether heights are said or read off a rod."""
    lines = ["reference BM high 0", "setup BM 1000"] if by_rod else []
    lines += [f"{column}2 {1000 if by_rod else 0}" for column in "ABC"[:shots]]
    lines += ["check BM 1000" if by_rod else "check ZERO 0"]
    told = figures(a_book(*lines, job=rod() if by_rod else a_job(Unit.MM, 3, 3))).uncertainty
    assert told.known.square[3 : 3 + shots] / MM**2 == pytest.approx([from_both(t) for t in shares])


@pytest.mark.parametrize(("reads", "moved"), [(1003, False), (997, False), (1003.1, True), (996.9, True)])
def test_a_check_off_by_just_what_is_allowed_shows_no_more_drift_than_that(reads, moved):
    """What it is off is added as a square, half of it midway; by more than 3 mm the level moved by it."""
    job = rod(step=MM // 10)
    told = figures(a_book("reference BM high 0", "setup BM 1000", "A1 1000", f"check BM {reads}", job=job)).uncertainty
    reading = 0.01 / 12 + 1.5**2
    off = 1000 - reads
    drift = off**2 if moved else DRIFT
    left = (reading + drift / 2) / 2
    assert told.known.square[0] / MM**2 == pytest.approx(left + (off / 2) ** 2)


def test_the_average_over_two_set_ups():
    """A shot from each: two backsights and two levels that may have moved, each for one half of it. No checks."""
    lines = ("reference BM high 0", "setup BM 1000", "A1 1000", "setup BM 1100", "B1 1100")
    told = figures(a_book(*lines, job=rod())).uncertainty
    assert told.known.of_average / MM**2 == pytest.approx((2 * READING + 2 * 3) / 4)
    assert told.average_nm / MM == pytest.approx(
        2 * math.sqrt(READING / 2 + (2 * READING + 6) / 4 + _laser(told) ** 2), rel=1e-6
    )


def _laser(told) -> float:
    """Mean of the laser's standard deviation over the shots, mm."""
    (laser,) = [part.standard_nm for part in told.parts if part.name == "laser"]
    return float(laser[told.trust.counts].mean()) / MM
