"""A reading that smooth ground leads one to expect is not held against jumps; what is asked stays the same."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest

from rodcall.figures.outliers import judging, outlier
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
