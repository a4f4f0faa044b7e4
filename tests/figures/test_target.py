"""The suggested target, tolerances, and what to set the rod to."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.model.entries import Readings
from rodcall.figures.punch_list import Kind, Verdict
from rodcall.figures.target import Plane, slope_rise, suggested_target
from rodcall.sheets.exports.table import target_facts
from rodcall.units import FOOT, INCH, MM, M, Unit, parse_height, parse_reading, write
from rodcall.wording import read_back, words
from tests.kit import a_book, a_job, figures, say


def test_the_rule_of_thumb():
    """Common practice: an average of 3/8 in low becomes a target of 1/2 in low."""
    shots = ["0", "-1/2", "-3/4", "-1/4", "-3/8", "-1/2", "-1/8", "-5/8", "-3/8", "-1/2", "-1/4", "-1/4"]
    job = a_job()
    book = a_book(*(f"{job.grid.name(at)} {said}" for at, said in enumerate(shots)), job=job)
    assert figures(book).average == Fraction(-3, 8) * INCH
    assert figures(book).suggested == -INCH // 2


@pytest.mark.parametrize(
    ("unit", "average", "target"),
    [
        (Unit.IN, "0", "-1/4"),
        (Unit.IN, "-3/8", "-1/2"),
        (Unit.IN, "-1/4", "-1/2"),
        (Unit.IN, "-1/8", "-1/2"),
        (Unit.IN, "-1/2", "-3/4"),
        (Unit.IN, "+1/8", "0"),
        (Unit.IN, "+5/8", "+1/2"),
        (Unit.FT, "-0.03", "-0.05"),
        (Unit.FT, "-0.04", "-0.05"),
        (Unit.FT, "-0.05", "-0.06"),
        (Unit.FT, "-0.11", "-0.12"),
        (Unit.FT, "-0.07", "-0.10"),
        (Unit.MM, "-7", "-10"),
        (Unit.MM, "-8", "-15"),
        (Unit.MM, "-12", "-20"),
        (Unit.MM, "-11", "-15"),
        (Unit.MM, "+3", "0"),
    ],
)
def test_the_least_drop_and_the_rounding_step(unit, average, target):
    """By hand: highest multiple of the rounding step at least the least drop below the average."""
    book = a_book(f"A1 {average}", job=a_job(unit))
    assert figures(book).suggested == parse_height(target, unit)


def candidates(average: Fraction, round_to: int, drop: int, step: int) -> Iterator[int]:
    """The rule word by word: heights in turn, one step of search at a time, no division."""
    marks = [Fraction(round_to), Fraction(round_to, 2), Fraction(round_to, 4)]
    marks = [mark for mark in marks if mark == round_to or (mark / step).denominator == 1]
    for mark in [*marks, Fraction(step)]:
        height = Fraction(0)
        while height > average - drop:
            height -= mark
        while height + mark <= average - drop:
            height += mark
        yield height


STEPS = st.integers(1, 9)
PARTS = st.integers(1, 12)
"""Rounding steps are so many reading steps."""
AVERAGES = st.fractions(-90, 90, max_denominator=60)


@given(AVERAGES, STEPS, PARTS, st.integers(0, 30))
def test_the_suggestion_is_the_highest_mark_that_will_do(average, step, parts, drop):
    round_to = parts * step
    tried = list(candidates(average, round_to, drop, step))
    near_enough = (height for height in tried if average - height <= drop + Fraction(round_to, 2))
    assert suggested_target(average, round_to, drop, step) == next(near_enough, tried[-1])


@given(AVERAGES, STEPS, PARTS, st.integers(0, 30))
def test_the_suggestion_is_a_little_below_the_average_and_never_far(average, step, parts, drop):
    round_to = parts * step
    target = suggested_target(average, round_to, drop, step)
    assert target % step == 0, "the rod has it"
    assert target <= average - drop
    assert average - target < drop + round_to
    if parts > 1:
        assert average - target <= drop + Fraction(round_to, 2)


@given(AVERAGES, STEPS, PARTS, st.integers(0, 30), st.integers(-20, 20))
def test_ground_higher_by_rounding_steps_is_dug_to_a_target_higher_by_as_many(average, step, parts, drop, by):
    round_to = parts * step
    here, there = (suggested_target(each, round_to, drop, step) for each in (average, average + by * round_to))
    assert there - here == by * round_to


@given(AVERAGES, STEPS, PARTS, st.integers(0, 30), st.integers(2, 1000))
def test_no_unit_is_preferred(average, step, parts, drop, finer):
    """The same heights in a unit that is so many times smaller: the same target."""
    target = suggested_target(average, parts * step, drop, step)
    assert suggested_target(average * finer, parts * step * finer, drop * finer, step * finer) == target * finer


def test_what_the_drop_costs_is_said_beside_it():
    """60 x 40 ft level at -1/2 in: 1/4 in lower is 2400 ft2 x 1/48 ft / 27 = 1.85 yd3 of cut."""
    book = a_book(*(f"{column}{row} -1/2" for row in range(1, 5) for column in "ABC"))
    assert words.drop_words(figures(book)) == "1/4 below the average, 1.9 yd3 more cut"
    assert dict(target_facts(figures(book)))["suggested target"] == "-3/4, 1/4 below the average, 1.9 yd3 more cut"


@given(st.lists(st.integers(-100, 100), min_size=12, max_size=12), st.integers(-50, 50))
def test_shifting_the_ground_by_steps_shifts_the_suggestion(heights, steps):
    job = a_job(Unit.MM)
    plain = a_book(*(f"{job.grid.name(at)} {mm:+d}" for at, mm in enumerate(heights)), job=job)
    moved = a_book(*(f"{job.grid.name(at)} {mm + 10 * steps:+d}" for at, mm in enumerate(heights)), job=job)
    assert figures(moved).suggested - figures(plain).suggested == 10 * steps * MM


def test_a_slope_is_taken_off_before_the_mean():
    """On ground that has the slope asked for, the suggestion is that of level ground at 0."""
    job = a_job(Unit.MM, along=3, across=3, length=20 * M, width=20 * M, slope_along=0.01)
    book = a_book(job=job)
    for row, mm in enumerate((0, 100, 200), 1):
        say(book, *(f"{column}{row} {mm:+d}" for column in "ABC"))
    summary = figures(book)
    assert summary.suggested == -5 * MM
    assert set(summary.deviations.tolist()) == {5 * MM}


UNITS = st.sampled_from(list(Unit))


@given(UNITS, st.integers(-60, 60), st.integers(0, 12), st.integers(0, 12))
def test_equal_to_the_limit_is_inside_in_every_unit(unit, offset_steps, high_steps, low_steps):
    """ASTM E29, absolute method: any excess fails, the limit itself does not."""
    step = unit.default_step
    job = a_job(unit, tolerance_high=high_steps * step, tolerance_low=low_steps * step, goal=0)
    book = a_book(job=job)
    book.aim_at(offset_steps * step, "test")
    for name, nm in {
        "A1": offset_steps * step + high_steps * step,
        "B1": offset_steps * step - low_steps * step,
        "C1": offset_steps * step + high_steps * step + 1,
        "A2": offset_steps * step - low_steps * step - 1,
    }.items():
        book.shoot(name, write(nm, unit))
    summary = figures(book)
    assert summary.names(summary.outside) == ["C1", "A2"]
    assert summary.within_tolerance == 2


def test_tenths_that_binary_fractions_get_wrong():
    """In binary 0.17 - 0.12 exceeds 0.05; a spot at 0.17 ft over a target at 0.12 ft, 0.05 ft allowed, is inside."""
    assert 0.17 - 0.12 > 0.05
    job = a_job(Unit.FT, tolerance_high=FOOT // 20, tolerance_low=FOOT // 20)
    book = a_book("A1 +0.17", "target +0.12", job=job)
    assert figures(book).outside == ()


def test_one_sided_and_two_sided_tolerance():
    """City of Edmonton, lot grading guidelines (SEEN); topsoil 0 to 10 cm LOW, finished +-10 cm of 682.25."""
    sides = {"topsoil": (0, 100 * MM), "finished": (100 * MM, 100 * MM)}
    passed = {}
    for stage, (high, low) in sides.items():
        job = a_job(Unit.M, tolerance_high=high, tolerance_low=low)
        book = a_book("reference BM1 high 682.25", "A1 -0.05", "B1 +0.05", "target 0", job=job)
        passed[stage] = {name for name in ("A1", "B1") if book.job.grid.index(name) not in figures(book).outside}
    assert passed == {"topsoil": {"A1"}, "finished": {"A1", "B1"}}


def test_worst_weighs_unequal_limits():
    job = a_job(tolerance_high=INCH // 4, tolerance_low=INCH)
    book = a_book("A1 +1/2", "B1 -1", "target 0", job=job)
    worst = figures(book).worst
    assert job.grid.name(worst.index) == "A1"


@pytest.mark.parametrize(
    ("readings", "target", "on_grade"),
    [
        (Readings.ROD, "-0.50", "5.12"),
        (Readings.ROD, "+0.25", "4.37"),
        (Readings.DIRECT_ROD, "-0.50", "2.88"),
        (Readings.DIRECT_ROD, "+0.25", "3.63"),
    ],
)
def test_rod_on_grade(readings, target, on_grade):
    """Height of instrument less the target, worked by hand for a backsight of 4.00 on BM1, 0.62 above the zero."""
    job = a_job(Unit.FT, readings=readings)
    book = a_book("reference BM1 high 0.62", "setup BM1 4.00", f"target {target}", job=job)
    assert figures(book).rod == parse_reading(on_grade, Unit.FT)
    book.shoot("A1", on_grade)
    assert figures(book).deviations[0] == 0, "that reading at the zero is on target"


def test_a_lower_target_slides_the_receiver_up():
    book = a_book("target -1/2")
    assert words.slide(figures(book)) == 'UP 1/2"'
    say(book, "target +1-1/4")
    assert words.slide(figures(book)) == 'DOWN 1-1/4"'


def test_read_back_says_position_height_and_work():
    """screen.md: after Enter the screen says what it took."""
    book = a_book("B3 -1-3/8", "target -1/2")
    summary = figures(book)
    assert read_back.at_spot(summary, book.job.grid.index("B3")).text == "B3  LOW 1-3/8  fill 7/8"


def test_without_a_check_nothing_is_proven():
    job = a_job(along=2, across=2)
    book = a_book("A1 0", "B1 0", "A2 0", "B2 0", "target 0", job=job)
    assert figures(book).verdict is Verdict.NOT_PROVEN
    assert figures(book).punch_list.of(Kind.NO_CHECK)
    say(book, "A1 -2")
    assert figures(book).verdict is Verdict.FAIL


def test_deviations_of_unshot_positions_are_not_told():
    book = a_book("A1 0", "target -1/2")
    summary = figures(book)
    assert summary.deviation_at(0) == INCH // 2
    assert summary.deviation_at(1) is None
    assert summary.height_at(1) is None
    assert np.count_nonzero(summary.outside_mask) == 0


def test_the_target_rises_from_the_zero_along_and_across():
    """By hand: 20 x 20 m, nine shots, 1 % away and -2 % to the right, zero on B2 and a target of -50 mm there."""
    job = a_job(Unit.MM, along=3, across=3, length=20 * M, width=20 * M)
    book = a_book("zero B2", "A1 0", job=job)
    book.aim("-50", slope_along=0.01, slope_across=-0.02)
    heights = figures(book).target_heights.reshape(3, 3) // MM
    assert heights.tolist() == [[50, -150, -350], [150, -50, -250], [250, 50, -150]]


def test_slope_rise_is_whole_nanometres_from_the_zero():
    lines, columns = np.array([0, 10, 20]), np.array([0, 5])
    assert slope_rise(lines, columns, (1, 1), 0.5, 1.0).tolist() == [[-10, -5], [-5, 0], [0, 5]]


def test_a_plane_is_level_where_it_neither_rises_nor_has_a_shape():
    assert Plane(7).is_level
    assert not Plane(0, along=0.01).is_level
    assert not Plane(0, across=0.01).is_level
    assert not Plane(0, shape=Bowl()).is_level


def test_two_targets_rise_alike_whatever_their_height():
    assert Plane(1, 0.01, -0.02).rises_as(Plane(9, 0.01, -0.02))
    assert not Plane(1, 0.01, -0.02).rises_as(Plane(1, 0.01, 0.02))
    assert not Plane(1, 0.01, -0.02).rises_as(Plane(1, -0.01, -0.02))
    assert not Plane(1).rises_as(Plane(1, shape=Bowl()))


class Bowl:
    """A shape for tests: as high in metres as the product of both distances."""

    creases = ()

    def at(self, along, across):
        return along * across


def test_a_shape_is_added_to_the_slopes_and_is_nothing_at_the_zero():
    """By hand, lines at 0 and 2 m, columns at 0 and 3 m, zero at the far right: 6 m there is taken off everywhere."""
    lines, columns = np.array([0, 2 * M]), np.array([0, 3 * M])
    rise = Plane(0, 0.5, 0.1, Bowl()).rise(lines, columns, (1, 1))
    assert (rise / M).tolist() == [[-1 - 0.3 - 6, -1 - 6], [-0.3 - 6, 0]]
    assert (
        Plane(0, 0.5, 0.1).rise(lines, columns, (1, 1)).tolist()
        == slope_rise(lines, columns, (1, 1), 0.5, 0.1).tolist()
    )
