"""Doubt of a shot, spots nearer to the limit than it, and the guarded reading of a limit."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from rodcall.book.entries import Readings
from rodcall.figures.uncertainty import half_width, tripod_at
from rodcall.lengths import FOOT, INCH, MM, M, Unit
from tests.kit import a_book, a_job, figures, say


def test_half_width_by_hand():
    """JCGM 100: steps of 1/8 in, 1/16 in per 100 ft at 50 ft, 1/8 in of drift, each a bound: 2 sqrt(sum / 3)."""
    doubt = half_width(INCH / 8, np.array([INCH / 32]), np.array([INCH / 8]))
    by_hand = 2 * math.sqrt(((1 / 16) ** 2 + (1 / 32) ** 2 + (1 / 8) ** 2) / 3)
    assert doubt[0] / INCH == pytest.approx(by_hand)
    assert by_hand == pytest.approx(0.1654, abs=5e-5)


def test_reading_alone_is_the_step_over_the_square_root_of_twelve():
    """trade.md: step / sqrt 12 is one standard deviation."""
    assert half_width(12, np.zeros(1), np.zeros(1))[0] == pytest.approx(2 * 12 / math.sqrt(12))


@given(st.floats(0.1, 10), st.floats(0.01, 10), st.floats(0.01, 10))
def test_half_width_is_that_of_the_uncertainties_package(step, beam, drift):
    """CHECK_VALUES 8: `uncertainties` propagates the three through height = level - (reading + beam + drift)."""
    reading, off, moved = (
        ufloat(value, bound / math.sqrt(3)) for value, bound in ((1.3, step / 2), (0.0, beam), (0.0, drift))
    )
    height = 4.0 - (reading + off + moved)
    ours = half_width(step, np.array([beam]), np.array([drift]))[0]
    assert ours == pytest.approx(2 * height.std_dev, rel=1e-9)


# -- distance from the level --------------------------------------------------------------------------------


def job_of_40_by_30(**known):
    return a_job(Unit.MM, along=3, across=3, length=40 * M, width=30 * M, **known)


@pytest.mark.parametrize(
    ("said", "place"),
    [("C2", (20 * M, 30 * M)), ("30ft,-10ft", (30 * FOOT, -10 * FOOT)), ("-2m, 5m", (-2 * M, 5 * M)), ("Z9", None)],
)
def test_where_the_tripod_stands(said, place):
    assert tripod_at(said, job_of_40_by_30().grid) == place


def test_distances_from_a_known_tripod():
    """3-4-5: at the near left corner the far right one is 50 m away."""
    summary = figures(a_book("set tripod A1", "C3 0", job=job_of_40_by_30()))
    assert summary.uncertainty.tripod_known
    assert summary.uncertainty.distance_nm[[0, 2, 6, 8]].tolist() == [0, 30 * M, 40 * M, 50 * M]


def test_an_unknown_tripod_stands_as_far_off_as_the_pad_allows():
    summary = figures(a_book("A1 0", job=job_of_40_by_30()))
    assert not summary.uncertainty.tripod_known
    assert summary.uncertainty.distance_nm[0] == 50 * M
    assert summary.uncertainty.distance_nm[4] == 25 * M


def test_each_shot_goes_by_where_the_tripod_stood_then():
    """Shots before the first word go by the first."""
    book = a_book("A1 0", "set tripod A1", "C3 0", "set tripod C3", "A3 0", job=job_of_40_by_30())
    assert figures(book).uncertainty.distance_nm[[0, 8, 6]].tolist() == [0, 50 * M, 30 * M]


# -- drift --------------------------------------------------------------------------------------------------


def test_drift_is_what_the_checks_around_a_shot_show_else_what_is_allowed():
    job = a_job(Unit.MM, along=3, across=3, readings=Readings.ROD)
    book = a_book("reference B high 0", "setup B 1000", "A1 1000", "check B 998", "B1 1000", "check B 1000", job=job)
    say(book, "C1 1000", "setup B 1100", "A2 1100")
    drift = figures(book).uncertainty.drift_nm
    assert drift[:4].tolist() == [2 * MM, 2 * MM, 3 * MM, 3 * MM], "3 mm is allowed after the last check of a setup"


def test_a_check_that_was_decided_about_shows_nothing():
    job = a_job(Unit.MM, along=3, across=3, readings=Readings.ROD)
    book = a_book("reference B high 0", "setup B 1000", "A1 1000", "check B 900", job=job)
    assert figures(book).uncertainty.drift_nm[0] == 100 * MM
    say(book, "keep B was dug up")
    assert figures(book).uncertainty.drift_nm[0] == 3 * MM


# -- what it does at the limit ------------------------------------------------------------------------------


def test_marginal_and_guarded_after_jcgm_106():
    """JCGM 106 (CHECK_VALUES 5.4, MEMORY): in when |d| + U <= limit, out when |d| - U > limit, else neither.

    Millimetres, laser at the spot (no beam), 3 mm of drift: U = 2 sqrt((0.5^2 + 3^2) / 3) = 3.512 mm; limit 10 mm.
    """
    job = a_job(Unit.MM, along=3, across=3, tolerance_high=10 * MM, tolerance_low=10 * MM, goal=5 * MM)
    book = a_book("set laser-spec 0mm/30m", job=job)
    heights = {"A1": 6, "B1": -7, "C1": 10, "A2": 11, "B2": -13, "C2": 14, "A3": -14}
    say(book, "target 0", *(f"{name} {mm:+d}" for name, mm in heights.items()))
    summary = figures(book)
    assert summary.uncertainty.nm[0] / MM == pytest.approx(3.512, abs=5e-4)
    assert summary.names(summary.marginal) == ["B1", "C1", "A2", "B2"]
    told = {key: summary.names(np.flatnonzero(mask)) for key, mask in vars(summary.guarded).items()}
    assert told == {"proven_in": ["A1"], "proven_out": ["C2", "A3"], "neither": ["B1", "C1", "A2", "B2"]}
    assert summary.names(summary.outside) == ["A2", "B2", "C2", "A3"], "beside it the absolute method of ASTM E29"


@given(st.lists(st.integers(-30, 30), min_size=9, max_size=9), st.integers(0, 15), st.integers(0, 15))
def test_every_shot_is_proven_in_or_out_or_neither_and_marginal_are_neither(deviations, high, low):
    job = a_job(Unit.MM, along=3, across=3, tolerance_high=high * MM, tolerance_low=low * MM, goal=0)
    book = a_book("target 0", *(f"{job.grid.name(at)} {mm:+d}" for at, mm in enumerate(deviations)), job=job)
    summary = figures(book)
    guarded = summary.guarded
    total = guarded.proven_in.astype(int) + guarded.proven_out + guarded.neither
    assert (total == 1).all()
    assert not (guarded.proven_in & summary.outside_mask).any()
    assert not (guarded.proven_out & ~summary.outside_mask).any()
    assert set(summary.marginal) <= set(np.flatnonzero(guarded.neither))


@pytest.mark.parametrize(
    ("limit", "found", "absolute_passes"),
    [("4", "4 1/4", False), ("4.0", "4 1/4", False), ("4", "4", True)],
)
def test_the_absolute_method_rounds_nothing(limit, found, absolute_passes):
    """CHECK_VALUES 6.3, SEEN: Iowa DOT IM 202 passes 4 1/4 against 4 in by rounding and fails it against 4.0; the
    absolute method of ASTM E29, which is ours and is stated, fails it against both."""
    nm = round(float(limit) * INCH)
    job = a_job(Unit.IN, tolerance_high=nm, tolerance_low=nm, goal=nm)
    summary = figures(a_book("target 0", f"A1 +{found}", job=job))
    assert (summary.outside == ()) is absolute_passes
