"""Did the tripod settle, or was it bumped, and after which shot?

The checks say how much the level moved; the shots themselves say when. A step raises every later shot at once, so that
the ground seems to jump along the seam between earlier and later shots; settling raises them little by little.

The ground is taken as a plane, plus a smooth random surface with a Gaussian covariance, plus independent roughness
(kriging with a nugget). Its range and share of roughness are picked from a small table by restricted likelihood, and
its size is estimated. On top of it the movement is a ramp in time, or a step after any of the shots, fitted by
generalized least squares to shots and checks together. The stories are compared by the Schwarz criterion (BIC), the
step's averaged over all places where it may lie, each as likely as another.

How well that does hangs on the ground. A bump of 3/8 in after shot 40 of 80 is found within two shots 100 times in 100
where natural ground swings by about 0.3 in, 98 times at 0.6 in, 80 times at 1 in; where it is not told with certainty
`Movement.sure` is False.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from rodcall.figures.ground import Floats, Ints

FEWEST = 8
"""With fewer shots nothing can be told."""
MOST = 160
"""Shots looked at, the last ones: the work grows with their cube."""
RANGES = (1.0, 2.0, 4.0, 8.0)
"""Of the smooth surface, in gaps between shots."""
ROUGHNESS = (1e-3, 1e-2, 1e-1, 1.0, 10.0)
"""Variance of the roughness over that of the smooth surface."""
SURE = 0.9
"""Share of likelihood at which a story is told without a doubt."""
ROUNDS = 3
"""Times that the size of the ground and that of the movement are estimated in turn; it settles in two."""


class Motion(StrEnum):
    """How a level moved."""

    NONE = "none"
    DRIFT = "drift"
    """Steadily: the tripod settles."""
    STEP = "step"
    """At once: the tripod was bumped."""


@dataclass(frozen=True)
class Movement:
    """What became of a level between its backsight and the last check."""

    motion: Motion
    sure: bool
    """False where the shots leave it open; the likelier is told, and settling where it is within the drift allowed."""
    nm: float
    """How much higher everything reads at the end."""
    nm_per_hour: float
    """Of a drift."""
    after: int | None = None
    """Of a step: the position shot last before it, by index; None where it came before the first shot."""
    shots_before: int = 0
    """How many of the shots looked at came before it."""
    between: tuple[int, int] = (0, 0)
    """The fewest and the most that may have, nineteen times in twenty."""

    @property
    def moved(self) -> bool:
        """True where the level moved at all."""
        return self.motion is not Motion.NONE

    @property
    def steady(self) -> bool:
        """True for a drift, False for a step."""
        return self.motion is Motion.DRIFT


@dataclass(frozen=True, eq=False)
class Walk:
    """Shots in the order they were taken; lengths in metres, times in seconds."""

    index: Ints
    along: Floats
    across: Floats
    heights: Floats
    seconds: Floats

    def after(self, skipped: int) -> Walk:
        """The same without so many of the first."""
        here = slice(skipped, None)
        return Walk(self.index[here], self.along[here], self.across[here], self.heights[here], self.seconds[here])


@dataclass(frozen=True, eq=False)
class Series:
    """The backsight and the checks after it: the shots before each, when, and what it read too high (m)."""

    shots_before: Ints
    seconds: Floats
    drift: Floats


def movement(walk: Walk, checks: Series, step_m: float, allowed_m: float) -> Movement | None:
    """Tell steady drift from a step.

    Args:
        walk: Shots by one setup, up to the last check.
        checks: Begins with the backsight, drift 0.
        step_m: Smallest mark that is read.
        allowed_m: Drift allowed.

    Returns:
        None with too few shots to tell.
    """
    skipped = max(walk.seconds.size - MOST, 0)
    shots = walk.after(skipped)
    n = shots.seconds.size
    if n < FEWEST:
        return None
    stories = _stories(shots, Series(checks.shots_before - skipped, checks.seconds, checks.drift), step_m)
    none, ramp, steps = stories.deviance[0], stories.deviance[1], stories.deviance[2:]
    weights = np.exp(-(steps - steps.min()) / 2)
    step = float(steps.min() - 2 * np.log(weights.mean()))
    if none <= min(ramp, step):
        return Movement(Motion.NONE, True, 0.0, 0.0)
    per_hour = float(stories.size[1]) * 1e9
    best = int(steps.argmin())
    step_nm = float(stories.size[2 + best]) * 1e9
    share = 1 / (1 + float(np.exp(np.clip((step - ramp) / 2, -50.0, 50.0))))
    sure = max(share, 1 - share) >= SURE
    is_step = share > 0.5 and (sure or abs(step_nm) > allowed_m * 1e9)
    if not is_step:
        hours = float(checks.seconds[-1] - checks.seconds[0]) / 3600
        return Movement(Motion.DRIFT, sure, per_hour * hours, per_hour)
    total = weights.cumsum() / weights.sum()
    between = int(np.searchsorted(total, 0.025)), int(np.searchsorted(total, 0.975))
    after = int(shots.index[best - 1]) if best else None
    return Movement(
        Motion.STEP, sure, step_nm, 0.0, after, best + skipped, (between[0] + skipped, between[1] + skipped)
    )


@dataclass(frozen=True, eq=False)
class _Stories:
    """No movement, a ramp, and a step after 0, 1, 2, ... shots: minus twice the log likelihood, penalized, and size."""

    deviance: Floats
    size: Floats
    """Metres an hour for the ramp, metres for a step."""


def _stories(walk: Walk, checks: Series, step_m: float) -> _Stories:
    n = walk.seconds.size
    began = checks.seconds[0]
    after = np.arange(n)
    # A column a story: what one unit of it adds to each shot, and to each check.
    on_shots = np.column_stack([np.zeros(n), (walk.seconds - began) / 3600, after[:, None] >= after])
    on_checks = np.column_stack(
        [np.zeros_like(checks.drift), (checks.seconds - began) / 3600, checks.shots_before[:, None] > after]
    )
    # A drift is the difference of two readings, each rounded to the step.
    weight = 6 / step_m**2
    check_square, check_cross = weight * (on_checks**2).sum(0), weight * (on_checks.T @ checks.drift)
    check_rest = weight * float(checks.drift @ checks.drift)
    penalty = np.log(n + checks.drift.size) * np.minimum(np.arange(n + 2), 1)
    best, size = np.full(n + 2, np.inf), np.zeros(n + 2)
    plane = np.column_stack([np.ones(n), walk.along - walk.along.mean(), walk.across - walk.across.mean()])
    # The plane may be anything, so only what is orthogonal to it tells (restricted likelihood).
    free = np.linalg.qr(plane, mode="complete")[0][:, 3:].T
    told, moved = free @ walk.heights, free @ on_shots
    distance = np.hypot(walk.along[:, None] - walk.along, walk.across[:, None] - walk.across)
    gap = float(np.median(np.partition(distance, 1, axis=1)[:, 1]))
    for reach in RANGES:
        smooth, axes = np.linalg.eigh(free @ np.exp(-((distance / (reach * gap)) ** 2) / 2) @ free.T)
        heights, stories = axes.T @ told, axes.T @ moved
        for rough in ROUGHNESS:
            trust = 1 / (np.maximum(smooth, 0.0) + rough)
            square, cross = trust @ stories**2, (trust * heights) @ stories
            rest = float(trust @ heights**2)
            # Rounding alone makes the ground this rough.
            variance = np.full(n + 2, max(rest / (n - 3), least := step_m**2 / 12 / (1 + rough)))
            for _ in range(ROUNDS):
                known = square / variance + check_square
                fitted = np.divide(cross / variance + check_cross, known, out=np.zeros_like(known), where=known > 0.0)
                left = rest - 2 * fitted * cross + fitted**2 * square
                variance = np.maximum(left / (n - 3), least)
            deviance = (n - 3) * np.log(variance) - np.log(trust).sum() + left / variance + penalty
            deviance += check_rest - 2 * fitted * check_cross + fitted**2 * check_square
            better = deviance < best
            best[better], size[better] = deviance[better], fitted[better]
    return _Stories(best, size)
