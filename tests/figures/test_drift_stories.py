"""How well each story of a moved level fits, against a general least-squares solver."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.linalg import block_diag

from rodcall.figures.checks import drift
from rodcall.figures.checks.drift import Series, ShotSequence, _stories
from tests import tripods


def one_by_one(walk: ShotSequence, checks: Series, step_m: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Deviance, size and standard errors apart of each story: one general least-squares fit at a time, no shared axes.

    Restricted likelihood as in Patterson and Thompson (Biometrika 58, 1971, MEMORY): the plane costs the determinant of
    its own normal equations.
    """
    n = walk.seconds.size
    plane = np.column_stack([np.ones(n), walk.along, walk.across])
    hours, check_hours = ((each.seconds - checks.seconds[0]) / 3600 for each in (walk, checks))
    ahead = [np.where(checks.shots_before > after, 1.0, 0.0) for after in range(n + 1)]
    ahead[n][-1] = 1.0
    stories = [(np.zeros(n), np.zeros_like(check_hours)), (hours, check_hours)]
    stories += [(np.where(np.arange(n) >= after, 1.0, 0.0), ahead[after]) for after in range(n + 1)]
    far = np.hypot(walk.along[:, None] - walk.along, walk.across[:, None] - walk.across)
    gap = np.median(np.where(np.eye(n) > 0, np.inf, far).min(axis=0))
    told = np.full((3, len(stories)), np.inf)
    for reach, rough in ((reach, rough) for reach in drift.RANGES for rough in drift.ROUGHNESS):
        like = np.exp(-((far / (reach * gap)) ** 2) / 2) + rough * np.eye(n)
        least = step_m**2 / 12 / (1 + rough)
        normal = plane.T @ np.linalg.solve(like, plane)
        fixed = sum(np.linalg.slogdet(each)[1] for each in (like, normal)) - np.linalg.slogdet(plane.T @ plane)[1]

        def left_by(heights: np.ndarray, like: np.ndarray = like) -> float:
            return float(sm.GLS(heights, plane, sigma=like).fit().ssr)

        for i, (on_shots, on_checks) in enumerate(stories):
            variance, size = max(left_by(walk.heights) / (n - 3), least), 0.0
            for _ in range(drift.ROUNDS):
                if i:
                    sigma = block_diag(variance * like, step_m**2 / 6 * np.eye(on_checks.size))
                    design = np.column_stack(
                        [np.vstack([plane, np.zeros((on_checks.size, 3))]), [*on_shots, *on_checks]]
                    )
                    # A story that neither shots nor checks could tell of has no size.
                    if np.linalg.matrix_rank(design) == 4:
                        size = sm.GLS([*walk.heights, *checks.drift], design, sigma=sigma).fit().params[3]
                left = left_by(walk.heights - size * on_shots)
                variance = max(left / (n - 3), least)
            off = float(((checks.drift - size * on_checks) ** 2).sum()) * 6 / step_m**2
            deviance = (n - 3) * np.log(variance) + fixed + left / variance + off
            deviance += np.log(n + checks.drift.size) * (i > 0)
            if deviance < told[0, i]:
                told[:2, i] = deviance, size
                told[2, i] = 0.0
                free = left_by(on_shots)
                if free > 1e-9 and on_checks.any():
                    own = sm.GLS(walk.heights, np.column_stack([plane, on_shots]), sigma=like).fit().params[3]
                    seen = sm.OLS(checks.drift, on_checks).fit().params[0]
                    told[2, i] = abs(own - seen) / np.sqrt(variance / free + step_m**2 / 6 / (on_checks @ on_checks))
    return told[0], told[1], told[2]


@pytest.mark.parametrize("seed", range(6))
def test_the_stories_are_those_of_general_least_squares(seed, monkeypatch):
    """COMPUTED by statsmodels' GLS, a story at a time: how well each fits, how much the level moved in it, and how far
    shots and checks are apart about it."""
    if seed:  # All grounds of the table once; to be quick, else some.
        monkeypatch.setattr(drift, "RANGES", drift.RANGES[seed % 2 :: 2])
        monkeypatch.setattr(drift, "ROUGHNESS", drift.ROUGHNESS[seed % 3 :: 3])
    rng = np.random.default_rng(seed)
    step_m = tripods.STEP * 1e-9
    pad = tripods.pad(rng, tripods.KINDS[seed], 12)
    moved = [0, 2, -3, 2, 4, -2][seed] * tripods.STEP * (np.arange(12) >= [0, 5, 8, 3, 6, 2][seed])
    checked = [{12: 0}, {4: 0, 12: 2}, {12: -3}, {2: 0, 7: 2, 12: 3}, {12: 4}, {5: -2, 12: -2}][seed]
    walk, checks = tripods.shot(pad, moved, {after: marks * tripods.STEP for after, marks in checked.items()})
    stories = _stories(walk, checks, step_m)
    deviance, size, apart = one_by_one(walk, checks, step_m)
    assert stories.deviance == pytest.approx(deviance, rel=1e-7, abs=1e-6)
    assert stories.size == pytest.approx(size, rel=1e-5, abs=1e-9)
    # One before the first shot raises all of them: the shots alone tell nothing of it, and rounding decides.
    assert np.delete(stories.apart, 2) == pytest.approx(np.delete(apart, 2), rel=1e-4, abs=1e-4)
    later = _stories(replace(walk, seconds=walk.seconds + 7200), replace(checks, seconds=checks.seconds + 7200), step_m)
    assert later.deviance == pytest.approx(stories.deviance), "hours count from the backsight"


@pytest.mark.parametrize("marks", [0, 3])
def test_ground_is_never_smoother_than_rounding_leaves_it(marks, monkeypatch):
    """The same of shots on a plane to the last digit, with and without a bump: only rounding is left as roughness."""
    monkeypatch.setattr(drift, "RANGES", drift.RANGES[:2])
    step_m = tripods.STEP * 1e-9
    place = np.arange(12)
    along, across = 3.0 * (place // 4), 3.0 * (place % 4)
    heights = 0.01 * along - 0.02 * across + marks * step_m * (place >= 6)
    walk = ShotSequence(place, along, across, heights, 60.0 * (place + 1))
    checks = Series(np.array([0, 12]), np.array([0.0, 800.0]), np.array([0.0, marks * step_m]))
    stories = _stories(walk, checks, step_m)
    deviance, size, _ = one_by_one(walk, checks, step_m)
    assert stories.deviance == pytest.approx(deviance, rel=1e-7, abs=1e-6)
    assert stories.size == pytest.approx(size, rel=1e-5, abs=1e-9)
