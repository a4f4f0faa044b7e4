"""A gross mistake counts by what it costs: more easily asked about, and never passed over by the quick look."""

from __future__ import annotations

from math import log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from rodcall.figures.outliers import outlier
from rodcall.figures.outliers.expectation import Expectation
from rodcall.figures.outliers.mistakes import Mistake, meant
from rodcall.units import FOOT, INCH
from tests.detectors import FEET, INCHES, MILLIMETRES

INCH_M = INCH * 1e-9
WAYS = st.sampled_from((INCHES, FEET, MILLIMETRES))


def ground(centres_m: list[float], deviation_m: float) -> Expectation:
    """Each centre as likely as another; so many degrees of freedom make it normal."""
    few = len(centres_m)
    return Expectation(np.array(centres_m), np.full(few, deviation_m), np.full(few, 1 / few), 1e7)


def score(expected: Expectation, height: int, gross: float) -> float:
    bust = outlier.weigh(expected, 0, height, INCHES, "", -np.inf, gross_weight=gross)
    assert bust is not None
    return bust.score


def test_a_foot_is_worth_its_weight_in_the_odds_and_an_inch_is_not():
    # Bayes' rule by hand: where one mistake alone explains the reading, its weight goes straight into the odds, but for
    # the hundredth that nothing listed explains.
    expected = ground([0.0], 0.003)
    foot, inch = (score(expected, off, 9.0) - score(expected, off, 1.0) for off in (FOOT, INCH))
    assert foot == pytest.approx(log(9.0), abs=0.01)
    assert inch == pytest.approx(0.0, abs=1e-4)


def test_the_odds_are_those_of_bayes_rule_with_each_mistake_by_its_cost():
    # Written out with the normal density of another library (scipy), mistake by mistake.
    expected, height = ground([0.0, 11 * INCH_M], 0.04), 12 * INCH
    others = meant("", INCHES.reading(height), INCHES)
    shares = sum(each.share for each in others)

    def density(at_nm: int) -> float:
        return sum(stats.norm.pdf(at_nm * 1e-9, centre, 0.04) / 2 for centre in expected.centres)

    wrong = 0.05 / 0.6
    for each in others:
        true = INCHES.height(each.reading_nm)
        cost = outlier.GROSS_WEIGHT if abs(true - height) >= FOOT else 1
        wrong += 0.95 * each.share / shares * cost * density(true)
    odds = 0.02 / 0.98 * wrong / density(height)
    # Degrees of freedom without number are normal but for what the gamma function rounds.
    assert score(expected, height, outlier.GROSS_WEIGHT) == pytest.approx(log(odds), abs=1e-6)


def test_beyond_an_edge_a_foot_is_asked_about_and_four_inches_are_not():
    # What the weight is for: ground that may lie anywhere by some inches hides a foot (tests/benchmarks/grounds.py).
    expected = ground([0.0, 4 * INCH_M, 8 * INCH_M], 0.05)
    least = outlier.log_odds(outlier.ASK_FROM)
    asked = {off: outlier.weigh(expected, 0, off * INCH, INCHES, "", least) for off in (4, 16)}
    assert asked[4] is None
    found = asked[16]
    assert found is not None
    assert found.explanations[0].mistake is Mistake.FOOT
    assert outlier.weigh(expected, 0, 16 * INCH, INCHES, "", found.score - 1, gross_weight=1.0) is None


@given(
    WAYS,
    st.lists(st.floats(-0.5, 0.5), min_size=1, max_size=3),
    st.floats(0.002, 0.3),
    st.integers(-600, 600),
    st.floats(2.5, 40),
)
def test_the_quick_look_passes_nothing_over(way, centres_m, deviation_m, millimetres, freedom):
    few = len(centres_m)
    expected = Expectation(np.array(centres_m), np.full(few, deviation_m), np.full(few, 1 / few), freedom)
    height = round(millimetres * 1e6 / way.step_nm) * way.step_nm
    bust = outlier.weigh(expected, 0, height, way, "", -np.inf)
    most = outlier.at_most(
        Expectation(expected.centres[None], expected.scales[None], expected.shares[None], freedom),
        np.array([height * 1e-9]),
    )
    assert bust is not None
    assert bust.score <= most[0] + 1e-9


@given(st.floats(-0.5, 0.5), st.floats(0.05, 0.5), st.floats(-1, 1), st.floats(0, 1))
def test_no_height_so_far_away_is_likelier_than_it_is_said(height_m, apart_m, centre_m, further_m):
    expected = ground([centre_m, -centre_m / 2], 0.07)
    most = expected.log_density(np.array([height_m]), apart_m)[0]
    for side in (-1, 1):
        there = height_m + side * (apart_m + further_m)
        assert expected.log_density(np.array([there]))[0] <= most + 1e-9
