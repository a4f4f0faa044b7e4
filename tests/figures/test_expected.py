"""A reading that smooth ground leads one to expect is not held against jumps; what is asked stays the same."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import t as student_t

from rodcall.figures.outliers import expectation, judging, outlier
from rodcall.figures.outliers.expectation import Expectation
from tests.benchmarks.grounds import ASK, some_cases
from tests.detectors import MADE, MILLIMETRES


@pytest.mark.parametrize("kind", ["natural", "trend", "rough", "heavy tails"])
def test_what_is_asked_is_the_same_as_with_all_jumps_weighed(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ground drawn by chance (common practice); sound readings and each kind of mistake."""
    looked, just = [], Expectation.is_just
    monkeypatch.setattr(Expectation, "is_just", lambda self, height: (looked.append(just(self, height)), looked[-1])[1])
    asked = 0
    for case in some_cases(kind, MILLIMETRES, 35, True, 40, [7]):
        pad, counts = case.ground, np.zeros(case.ground.heights.shape, np.bool_)
        counts.flat[case.known] = True
        made = [None, *(partial(make, case, MILLIMETRES) for make in MADE[MILLIMETRES].values())]
        for height in (case.height if make is None else make() for make in made):
            if height is None:
                continue
            heights = pad.heights.copy()
            heights.flat[case.index] = height
            ours = judging.judge(heights, counts, case.index, pad.along_m, pad.across_m, MILLIMETRES)
            whole = outlier.weigh(case.ours, case.index, height, MILLIMETRES, "", ASK)
            assert (ours is None) == (whole is None)
            assert ours is None or ours.score == pytest.approx(whole.score)  # type: ignore[union-attr]
            asked += ours is not None
    assert asked > 20
    assert 0.05 < np.mean(looked) < 0.95


def test_a_height_in_the_middle_of_what_is_expected_well_is_just_that() -> None:
    def at(deviation_m: float) -> Expectation:
        return Expectation(np.array([0.1]), np.array([deviation_m]), np.array([1.0]), 30.0)

    assert at(0.01).is_just(0.1)
    assert at(0.01).is_just(0.113), "1.3 standard deviations"
    assert not at(0.01).is_just(0.115), "1.5 standard deviations"
    assert at(0.019).is_just(0.1)
    assert not at(0.0205).is_just(0.1), "not known to 2 cm"


# -- a mixture of Student t ------------------------------------------------------------------------------------------


def mixture() -> Expectation:
    """Of two positions, three each."""
    shares = np.array([[0.2, 0.5, 0.3], [0.6, 0.15, 0.25]])
    return Expectation(
        np.array([[0.1, -0.2, 0.05], [1.0, 1.2, 0.7]]), np.array([[0.02, 0.1, 0.3], [0.04, 0.01, 0.2]]), shares, 7.0
    )


def test_a_mixture_is_what_scipy_has_of_each_part():
    """COMPUTED by scipy.stats.t: density, mean, variance, and the peaks as if all lay at one height."""
    told, at = mixture(), np.array([-3.0, -0.2, 0.06, 0.9, 1.2])
    densities = told.log_density(at)
    assert densities.shape == (2, 5)
    for row in range(2):
        parts = [student_t(7.0, c, s) for c, s in zip(told.centres[row], told.scales[row], strict=True)]
        share = told.shares[row]
        by_scipy = np.log(sum(w * part.pdf(at) for w, part in zip(share, parts, strict=True)))
        assert densities[row] == pytest.approx(by_scipy, rel=1e-9)
        assert told[row].log_density(at) == pytest.approx(by_scipy, rel=1e-9)
        mean = sum(w * part.mean() for w, part in zip(share, parts, strict=True))
        variance = sum(w * (part.var() + (part.mean() - mean) ** 2) for w, part in zip(share, parts, strict=True))
        peak = np.log(sum(w * part.pdf(part.mean()) for w, part in zip(share, parts, strict=True)))
        for one, of in ((told.centre[row], told[row].centre), (mean, told[row].centre)):
            assert one == pytest.approx(float(of), rel=1e-9)
        assert [told.deviation[row], float(told[row].deviation)] == pytest.approx([np.sqrt(variance)] * 2, rel=1e-9)
        assert [told.log_peak[row], float(told[row].log_peak)] == pytest.approx([peak] * 2, rel=1e-9)


def test_far_out_the_density_has_a_logarithm_where_it_has_no_number_itself():
    """Of a normal distribution, nearly: -z^2 / 2 at 100 standard deviations; MEMORY: exp(-5,000) is no float."""
    narrow = Expectation(np.zeros(1), np.ones(1), np.ones(1), 1e9)
    assert narrow.log_density(np.array([100.0]))[0] == pytest.approx(-5000 - np.log(2 * np.pi) / 2, rel=1e-4)


@given(st.floats(0.5, 3.0), st.floats(0.001, 0.04))
def test_what_is_expected_well_and_read_in_its_middle_is_just_that(off, deviation_m):
    """By scipy's t: so little below the greatest density, and a standard deviation of no more than that."""
    scale = deviation_m / np.sqrt(9 / 7)
    told = Expectation(np.array([0.3]), np.array([scale]), np.ones(1), 9.0)
    part = student_t(9.0, 0.3, scale)
    below = part.logpdf(0.3) - part.logpdf(0.3 + off * scale)
    assert told.is_just(0.3 + off * scale) is bool(below <= expectation._JUST and deviation_m <= expectation._WELL_M)
