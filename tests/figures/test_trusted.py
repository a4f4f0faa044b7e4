"""Whether one round can be trusted: what is asked of plus/minus, levels and instrument, worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodcall.book.model.entries import LaserTest, Readings
from rodcall.figures.summary import summarise
from rodcall.units import FOOT, INCH, MM, M, Unit
from tests.kit import a_book, a_job, figures, say


def test_before_the_first_shot_or_a_target_nothing_is_told():
    empty = figures(a_book())
    assert (empty.largest_uncertainty, empty.coarse_at, empty.expected_out, empty.guarded, empty.offset) == (None,) * 5
    assert (empty.too_close, empty.marginal, empty.tallies(), empty.level_runs, empty.laser_results) == (
        False,
        (),
        (),
        (),
        (),
    )
    assert empty.marginal_mask.tolist() == [False] * 12
    assert (empty.change, empty.stage) == (None, None)
    assert figures(a_book("target 0")).expected_out is None


def test_where_the_checks_are_told_apart_each_spot_lies_at_its_own_place():
    """4 lines by 3 columns 20 ft apart: B3 lies 40 ft away and 20 ft across."""
    summary = figures(a_book("A1 0"))
    trust = summary.trust
    assert (trust.along_m[7], trust.across_m[7]) == pytest.approx((40 * 0.3048, 20 * 0.3048))
    assert trust.step_nm == summary.job.step


def test_the_largest_plus_minus_is_the_farthest_from_the_laser():
    book = a_book("set tripod A1", "set laser-spec 20mm/50m", "A1 0", "C4 0", "B2 0", job=a_job(Unit.MM))
    summary = figures(book)
    assert summary.largest_uncertainty.index == 11
    assert summary.largest_uncertainty.nm == round(float(summary.uncertainty.nm[11]))


@pytest.mark.parametrize(("high", "low"), [(0, 10), (10, 0), (10, 10)])
def test_coarse_is_half_of_the_nearer_limit(high, low):
    """Both plus/minus are set by hand: half of 10 mm is coarse, a micrometre less is not; the worst is named."""
    job = a_job(Unit.MM, tolerance_high=high * MM, tolerance_low=low * MM, goal=0)
    book = a_book("A1 0", "B1 0", "C1 0", job=job)
    limit = 5.0 if 0 in (high, low) else 10.0
    for share, expected in ((0.5, 1), (0.4999, None)):
        summary = figures(book)
        summary.uncertainty.__dict__["nm"] = np.array([0.1, share * limit, 0.2, *[99.0] * 9]) * MM
        assert summary.coarse_at == expected


@pytest.mark.parametrize(("setups", "length_m"), [(1, 50.0), (4, 200.0)])
def test_a_line_of_levels_may_miss_by_a_published_rule(setups, length_m):
    """A diagonal of 50 m (3-4-5) a set-up: 12 mm sqrt(km), third order (FGCC 1984, MEMORY); never below the mark."""
    job = a_job(Unit.MM, length=40 * M, width=30 * M, readings=Readings.ROD)
    summary = figures(a_book(job=job))
    assert summary.published_closure(setups) == pytest.approx(12 * MM * math.sqrt(length_m / 1000))
    assert summary.closure_allowed(setups) == summary.published_closure(setups)
    told = figures(a_book("set closure 3mm", job=job))
    assert told.closure_allowed(setups) == 3 * MM


def test_in_feet_the_rule_counts_miles_and_the_mark_is_the_least():
    """0.05 ft sqrt(mile): 40 x 30 ft is 50 ft a set-up, 0.0049 ft, less than a mark of 0.01 ft (course material)."""
    summary = figures(a_book(job=a_job(Unit.FT, length=40 * FOOT, width=30 * FOOT, step=FOOT // 100)))
    assert summary.published_closure(1) == FOOT // 100
    by_rule = 0.05 * math.sqrt(100 * 50 / 5280)
    assert summary.published_closure(100) == pytest.approx(by_rule * FOOT, rel=1e-5)
    inches = figures(a_book(job=a_job(Unit.IN, length=40 * FOOT, width=30 * FOOT, step=INCH // 8)))
    assert inches.published_closure(10_000) == pytest.approx(0.05 * math.sqrt(10_000 * 50 / 5280) * FOOT, rel=1e-5)


def test_a_stage_that_all_shots_share_and_the_offset_they_share():
    book = a_book("set stage stone", "set stone 4in", "target 0", *(f"{name} +4" for name in ("A1", "B1", "C1", "A2")))
    summary = figures(book)
    assert summary.stage == "stone"
    assert summary.offset is not None
    assert summary.offset.nm == 4 * INCH
    say(book, "set stage rough", "B2 0")
    assert figures(book).stage is None


def test_what_became_of_the_ground_since_the_round_before():
    book = a_book("target 0", "A1 +3", "B1 +1/2", "round working", "A1 +1/2", "B1 +1/2")
    assert summarise(book.page, 1).change is None
    change = figures(book).change
    assert change is not None
    assert [(each.round, each.inside, each.outside) for each in figures(book).tallies()] == [(1, 1, 1), (2, 2, 0)]
    part = np.zeros(12, np.bool_)
    part[0] = True
    assert [(each.inside, each.outside, each.unshot) for each in figures(book).tallies(part)] == [(0, 1, 0), (1, 0, 0)]


def test_an_honest_spot_is_expected_in_and_one_on_its_limit_half_out():
    job = a_job(Unit.MM, tolerance_high=10 * MM, tolerance_low=10 * MM, goal=10 * MM)
    inside = figures(a_book("target 0", "round final", "A1 0", job=job))
    on_it = figures(a_book("target 0", "round final", "A1 +10", job=job))
    assert inside.expected_out < 0.02
    assert on_it.expected_out == pytest.approx(0.5, abs=0.02)
    assert (inside.too_close, on_it.too_close) == (False, True)
    assert (inside.marginal, on_it.marginal) == ((), (0,))
    assert on_it.guarded.neither.tolist() == [True] + [False] * 11


def test_a_test_of_the_instrument_is_worked_out_where_nothing_is_missing():
    """NAVEDTRA 14070, fig. 6-3: 1.432 and 1.476 m from the middle, 1.472 and 1.556 from beyond: 40 mm on 40 m."""
    book = a_book(job=a_job(Unit.M, readings=Readings.ROD))
    book.test_laser(LaserTest.TWO_PEGS, ("1.432m", "1.476m", "1.472m", "1.556m"), ("40m", "10m"))
    (result,) = figures(book).laser_results
    assert result.slope == pytest.approx(0.001)
    assert not result.good
