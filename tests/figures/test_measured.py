"""A round held against its target: averages above a slope and a shape, the chart's range, what the rod reads."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from rodcall.book.model.entries import Readings
from rodcall.figures.measured import slopes_of
from rodcall.figures.summary import summarise
from rodcall.figures.target import Plane
from rodcall.units import FOOT, INCH, Unit
from tests.kit import a_book, a_job, figures, say

HUNDREDTH = FOOT // 100


def feet(along: int = 3, across: int = 3, **more):
    """Lines and columns 20 ft apart, read to 0.01 ft."""
    size = {"length": (along - 1) * 20 * FOOT, "width": (across - 1) * 20 * FOOT}
    return a_job(Unit.FT, along, across, step=HUNDREDTH, **{**size, **more})


def shot(book, *rows: str) -> None:
    """Shots line by line, as said."""
    names = iter(range(book.job.grid.size))
    say(book, *(f"{book.job.grid.name(next(names))} {said}" for row in rows for said in row.split()))


def test_the_average_above_a_slope_by_hand():
    """1 % away over 20 ft: the lines ask for 0, 0.2, 0.4 ft; what lies above is 0.1, 0.1, 0.4 ft, mean 0.2 ft."""
    book = a_book(job=feet(slope_along=0.01))
    shot(book, "+0.1 +0.1 +0.1", "+0.3 +0.3 +0.3", "+0.8 +0.8 +0.8")
    summary = figures(book)
    assert summary.average_above_slope == Fraction(FOOT, 5)
    # By area the near and the far line count half: (0.1 / 2 + 0.1 + 0.4 / 2) / 2.
    assert summary.area_average_above_slope == pytest.approx(0.175 * FOOT)
    assert slopes_of(summary.rises) == (0.01, 0.0)


def test_the_average_by_area_above_a_crown_by_hand():
    """Column B stands 2 % of 20 ft above A and C: 0.4 ft over half of the area, 0.2 ft on average."""
    book = a_book("target 0", "design crown B1 B3 2%", job=feet())
    shot(book, "+0.1 +0.1 +0.1", "+0.1 +0.1 +0.1", "+0.1 +0.1 +0.1")
    summary = figures(book)
    assert summary.area_average_above_slope == pytest.approx(-0.1 * FOOT)
    assert summary.average_above_slope == Fraction(FOOT, 10) - Fraction(FOOT * 4, 30)


def test_without_a_shot_there_is_no_average():
    summary = figures(a_book(job=feet(slope_along=0.01)))
    assert (summary.average_above_slope, summary.area_average_above_slope, summary.suggested) == (None, None, None)


# -- the chart ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heights", "marks", "low", "high"),
    [
        # A tenth of the range more at either end, by hand.
        (("-10", "+30"), (0,), -14, 34),
        (("-10", "+30"), (45 * INCH,), -15.5, 50.5),
        (("-10", "+30"), (-21 * INCH, 0), -26.1, 35.1),
        (("+4", "+4"), (4 * INCH,), 3.5, 4.5),
    ],
)
def test_the_chart_runs_from_the_lowest_ground_to_the_highest_and_all_marks(heights, marks, low, high):
    """At least a rounding step, half an inch, beyond."""
    book = a_book(f"A1 {heights[0]}", f"B1 {heights[1]}")
    summary = figures(book)
    assert summary.job.round_to == INCH // 2
    assert summary.chart_range(marks) == (int(low * INCH), int(high * INCH))


def test_the_chart_of_a_slope_is_of_what_lies_above_it():
    """Ground on 1 % exactly, all of it: the chart is one mark wide, whatever the slope climbs."""
    book = a_book(job=feet(slope_along=0.01))
    shot(book, "+0.1 +0.1 +0.1", "+0.3 +0.3 +0.3", "+0.5 +0.5 +0.5")
    summary = figures(book)
    spare = summary.job.round_to
    assert summary.chart_range((FOOT // 10,)) == (FOOT // 10 - spare, FOOT // 10 + spare)
    say(book, "target 0")
    book.aim("0", "", 0.0, 0.0)
    assert figures(book).chart_range((FOOT // 10,)) == (FOOT // 10 - spare, FOOT // 2 + spare)


def test_how_many_spots_would_be_out_at_other_heights_of_a_sloping_target():
    book = a_book(job=feet(slope_along=0.01, tolerance_high=FOOT // 10, tolerance_low=FOOT // 20))
    shot(book, "0 0 0", "+0.2 +0.2 +0.2", "+0.4 +0.5 +0.4")
    summary = figures(book)
    offsets = [0, -10 * HUNDREDTH, -11 * HUNDREDTH, 5 * HUNDREDTH, 6 * HUNDREDTH]
    assert summary.out_at(offsets) == [0, 1, 9, 0, 8], "0.1 high and 0.05 low are inside themselves"


def test_the_target_that_nobody_chose_is_that_of_the_ground_before_the_dig():
    """1 % away: the first round lies 0.3 ft above it, the second 0.1 ft; dug ground moves no target."""
    book = a_book(job=feet(slope_along=0.01))
    shot(book, "+0.3 +0.3 +0.3", "+0.5 +0.5 +0.5", "+0.7 +0.7 +0.7")
    first = figures(book).suggested
    say(book, "round working")
    shot(book, "+0.1 +0.1 +0.1", "+0.3 +0.3 +0.3", "+0.5 +0.5 +0.5")
    summary = figures(book)
    assert summary.suggested_before_dig == first != summary.suggested
    assert summary.target == Plane(first, 0.01, 0.0)
    assert summary.target_heights.tolist() == [first + rise * FOOT // 5 for rise in (0, 0, 0, 1, 1, 1, 2, 2, 2)]
    assert summarise(book.page, 1).suggested_before_dig == first


def test_ground_that_was_shot_in_part_before_the_dig_has_its_suggestion():
    """+0.32 ft on average: 0.30. Dug to 0 it stays."""
    book = a_book("A1 +0.30", "B1 +0.34", "round working", "A1 0", "B1 0", job=feet())
    assert figures(book).suggested_before_dig == 30 * HUNDREDTH


def test_another_zone_is_seen_by_what_was_said_of_it():
    book = a_book(job=feet())
    before = figures(book).zone_said
    say(book, "set zone A1:B2")
    placed = figures(book).zone_said
    say(book, "set zone-high 0.02ft")
    assert len({before, placed, figures(book).zone_said}) == 3
    assert "A1:B2" in placed


def test_before_a_target_nothing_is_out():
    summary = figures(a_book())
    assert summary.outside_mask.tolist() == [False] * 12
    assert (summary.worst_first, summary.worst, summary.outside, summary.differences) == ((), None, (), None)
    assert (summary.within_tolerance, summary.within_goal) == (0, 0)
    assert summary.deviation_at(0) is None


# -- the rod ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("readings", "level", "at_zero", "far"),
    # The instrument at 5.00 ft sees grade 0.10 ft below the zero at 5.10; 40 ft away, 0.4 ft higher, at 4.70. A rod
    # that counts up with the ground reads 4.00 on a reference of +1.00, so that its 0 lies at -3.00.
    [("rod", 500, 510, 470), ("direct-rod", -300, 290, 330)],
)
def test_what_the_rod_reads_on_grade(readings, level, at_zero, far):
    book = a_book(job=feet(slope_along=0.01, readings=Readings(readings)))
    say(book, "reference BM1 +1.00", "setup BM1 4.00", "target -0.10")
    summary = figures(book)
    assert summary.level == level * HUNDREDTH
    assert summary.rod == summary.rod_at(0) == at_zero * HUNDREDTH
    assert summary.rod_at(8) == far * HUNDREDTH


def test_without_a_level_or_a_target_there_is_no_rod():
    assert figures(a_book("target 0")).rod_at(0) is None
    book = a_book("reference BM1 +1.00", "setup BM1 4.00", job=feet(readings=Readings.ROD))
    assert (figures(book).rod, figures(book).rod_at(0)) == (None, None)


# -- the round before ---------------------------------------------------------------------------------------


def test_what_the_round_before_left_at_a_spot():
    book = a_book("A1 +2", "round working", "B1 +1")
    summary = figures(book)
    assert summary.before_at(0) == (2 * INCH, 2 * INCH - summary.target.offset_nm)
    assert (summary.before_at(1), summary.before_at(2)) == (None, None)
    assert (summary.height_at(0), summary.height_at(1)) == (None, INCH)
    assert (summary.deviation_at(0), summary.deviation_at(1)) == (None, INCH - summary.target.offset_nm)


def test_the_ground_before_is_as_the_latest_earlier_round_has_each_spot():
    """A1 in the first round alone, B1 in both, C1 in the second, A2 in none of them."""
    book = a_book("A1 +2", "B1 +3", "round working", "B1 +1", "C1 -1", "round final", "A1 0", "A2 +5")
    evidence = figures(book).evidence
    assert evidence.before.heights.tolist() == [2 * INCH, INCH, -INCH] + [0] * 9
    assert np.flatnonzero(evidence.before.shot).tolist() == [0, 1, 2]
    assert (evidence.of_before, evidence.touched) == (3, 1)


# -- all spots together -------------------------------------------------------------------------------------


def test_differences_by_hand():
    """+3, -1 and +1 in about a target of 0: mean 1, mean square (9 + 1 + 1) / 3."""
    book = a_book("target 0", "A1 +3", "B1 -1", "C1 +1")
    found = figures(book).differences
    assert (found.highest.index, found.highest.nm) == (0, 3 * INCH)
    assert (found.lowest.index, found.lowest.nm) == (1, -INCH)
    assert found.mean == INCH
    assert found.rms == pytest.approx(INCH * (11 / 3) ** 0.5)


def test_the_worst_exceeds_its_own_limit_most():
    """High by 1-1/2 in of 1 allowed, low by 1-1/4 in of 1/2 allowed: the low one comes first."""
    job = a_job(tolerance_high=INCH, tolerance_low=INCH // 2)
    book = a_book("target 0", "A1 +1-1/2", "B1 -1-1/4", "C1 -1/2", "A2 +1", job=job)
    summary = figures(book)
    assert summary.worst_first == (1, 0)
    assert (summary.worst.index, summary.worst.nm) == (1, -INCH * 5 // 4)
    assert summary.within_tolerance == 2
    assert summary.within_goal == np.count_nonzero(np.abs(summary.deviations[summary.counts]) <= summary.job.goal) == 1


# -- the averages, and the pad's edge -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("everywhere", "middle", "differ"),
    # 3 x 3 spots: by area the middle counts 1/4, plainly 1/9; they are 5/36 of its height apart. A rounding step is
    # 0.05 ft: 36/5 of it are 0.36 ft.
    [("0", "+0.35", False), ("0", "+0.36", True), ("0", "-0.36", True), ("+1.00", "+1.00", False)],
)
def test_the_averages_differ_by_a_rounding_step_or_more(everywhere, middle, differ):
    book = a_book(job=feet())
    shot(book, *[f"{everywhere} {everywhere} {everywhere}"] * 3)
    say(book, f"B2 {middle}")
    assert figures(book).job.round_to == 5 * HUNDREDTH
    assert figures(book).averages_differ is differ


def test_before_the_first_shot_no_averages_differ():
    assert figures(a_book()).averages_differ is False
    assert figures(a_book("A1 +1", "round working")).averages_differ is False, "nor before the first of a round"


def test_an_outline_counts_though_every_spot_lies_on_it():
    """70 x 50 ft with the near left corner cut off through A1, 5 ft in from both edges: 10 ft x 10 ft / 2 less."""
    job = a_job(Unit.FT, 4, 3, length=70 * FOOT, width=50 * FOOT, inset=5 * FOOT)
    book = a_book(*(f"{column}{row} 0" for row in range(1, 5) for column in "ABC"), job=job)
    whole = figures(book)
    assert whole.cells is None
    assert whole.area_m2 / 0.3048**2 == pytest.approx(3500)
    say(book, "outline -5ft,5ft -5ft,45ft 65ft,45ft 65ft,-5ft 5ft,-5ft")
    cut = figures(book)
    assert cut.pad.all()
    assert cut.area_m2 / 0.3048**2 == pytest.approx(3450)


def test_ground_that_lies_evenly_above_a_slope_is_so_by_area_wherever_the_pad_ends():
    """0.10 ft above 1 % away and 2 % to the right through the zero at B2; C3 is no pad, so that the middle is not."""
    book = a_book("zero B2", job=feet(slope_along=0.01, slope_across=0.02, inset=2 * FOOT))
    summary = figures(book)
    for row in range(3):
        for column in range(3):
            if (row, column) != (2, 2):
                away, right = (
                    summary.along_m[row] - summary.along_m[1],
                    summary.across_m[column] - summary.across_m[1],
                )
                said = 0.1 + (0.01 * away + 0.02 * right) / 0.3048
                say(book, f"{'ABC'[column]}{row + 1} {said:+.4f}")
    say(book, "C3 not pad tank")
    summary = figures(book)
    assert summary.cells is not None
    assert summary.area_average_above_slope == pytest.approx(FOOT // 10, abs=FOOT * 1e-3)
    assert float(summary.average_above_slope) == pytest.approx(FOOT // 10, abs=FOOT * 1e-3)


def test_a_target_without_a_shot_has_no_worst_and_no_spot_is_out():
    summary = figures(a_book("target 0"))
    assert (summary.differences, summary.worst, summary.worst_first) == (None, None, ())
    assert figures(a_book()).out_at([0, INCH]) == [0, 0]


def test_in_a_zone_the_crews_own_limits_are_never_wider_than_the_zones():
    """The crew works to 1/2 in; the zone allows 1/4 in high and 1 in low."""
    book = a_book("set zone A1:B2", "set zone-high 1/4in because of the slab", "set zone-low 1in because of it", "A1 0")
    summary = figures(book)
    assert summary.job.goal == INCH // 2
    inside = [0, 1, 3, 4]
    deviations = [INCH // 4 + 1, INCH // 2, INCH // 2 + 1, -INCH // 2, -INCH // 2 - 1]
    told = [np.flatnonzero(summary.crew_limits.outside(np.full(12, nm))).tolist() for nm in deviations]
    everywhere = list(range(12))
    assert told == [inside, inside, everywhere, [], everywhere]
