"""Drift of the level: steady settling or a bump, and after which shot.

The checks say how much the level moved; the shots themselves say when. A step raises every later shot at once, so that
the ground seems to jump along the seam between earlier and later shots; settling raises them little by little.

The ground is taken as a plane, plus a smooth random surface with a Gaussian covariance, plus independent roughness
(kriging with a nugget). Its range and share of roughness are picked from a small table by restricted likelihood, and
its size is estimated. On top of it the movement is a ramp in time, or a step after any of the shots, fitted by
generalized least squares to shots and checks together. The stories are compared by the Schwarz criterion (BIC), the
step's averaged over all places where it may lie, each as likely as another.

Ground has seams of its own, and a check may be a mark off while the tripod stands still. So nothing is said against
good checks unless no movement fits worse by `GOOD_CHECKS`: at most 1 in 100 still tripods get a remark (12, 80 and 160
shots on ground of eight kinds, one to four checks true or a mark off). Where the checks show a movement, a place is
named only if the shots speak for it by `SEAM`, against a movement that they did not see (a bump outside of the shots,
or a reference that moved), by as much as the checks say, and only with `BESIDE` shots on either side of it; else only
what the checks say is told.
Of movements that the shots did not see at most 2 in 100 get a likely place, and 1 in 200 a sure one.

An edge in the ground makes the seam of a bump when one straight line parts the earlier shots from the later ones, as
it does wherever lines are shot one after another; an edge of the size that the checks show cannot be told from a bump
then, whatever the figures say. So a bump is sure only where no straight line makes such a seam, and else likely.

How well that does hangs on the ground. A bump of 3/8 in after shot 40 of 80 is found within two shots 100 times in 100
where natural ground swings by about 0.3 in, 96 times at 0.6 in, 74 times at 1 in and 30 at 1.5 in; where it is not told
with certainty `Movement.sure` is False. All thresholds come from simulation (tests/benchmarks/drift.py).
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints
from rodcall.frozen import Frozen

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
BESIDE = 4
"""A step is named only with so many shots before it and after it."""
GOOD_CHECKS = 17.0
"""Deviance by which no movement must fit worse, against good checks."""
SEAM, SURE_SEAM = 8.0, 12.0
"""Deviance by which a movement that the shots did not see must fit worse than a step, to name it, and to be sure."""
SETTLING, SURE_SETTLING = 4.0, 12.0
"""The same for a drift, which has no place to be looked for."""
AGREE, SURELY_AGREE = 3.0, 2.0
"""Standard errors that a step by the shots may differ from the checks: a seam of the ground has another size."""
NEAR, LIKELY = 2, 0.7
"""Share of likelihood that must lie within so many shots of the place."""
DIRECTIONS = 360
"""So many straight lines are laid along every seam: a degree apart, a third of a line over 20 columns."""
ASTRAY = 0.1
"""A line makes a seam though so great a share of the shots lies on its wrong side: an edge is not quite straight."""
ROUNDS = 3
"""Times that the size of the ground and that of the movement are estimated in turn; it settles in two."""


class Motion(StrEnum):
    """How a level moved."""

    NONE = "none"
    DRIFT = "drift"
    """Steadily: the tripod settles."""
    STEP = "step"
    """At once: the tripod was bumped."""
    UNTOLD = "untold"
    """The checks show that it did, and the shots do not tell how."""


class Movement(Frozen):
    """What became of a level between its backsight and the last check."""

    motion: Motion
    sure: bool
    """False where the shots leave it open: the likelier is told, or no more than the checks show."""
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
    checked: tuple[int, int] | None = None
    """First and last position shot between the two checks that differ most, by index; None where none lies there."""

    @property
    def moved(self) -> bool:
        """True where the level moved at all."""
        return self.motion is not Motion.NONE

    @property
    def untold(self) -> bool:
        """True where only the checks tell that the level moved."""
        return self.motion is Motion.UNTOLD

    @property
    def steady(self) -> bool:
        """True for a drift, False for a step."""
        return self.motion is Motion.DRIFT


class ShotSequence(Frozen, eq=False):
    """Shots in the order they were taken; lengths in metres, times in seconds."""

    index: Ints
    along: Floats
    across: Floats
    heights: Floats
    seconds: Floats

    def after(self, skipped: int) -> ShotSequence:
        """The same without so many of the first."""
        here = slice(skipped, None)
        return ShotSequence(
            self.index[here], self.along[here], self.across[here], self.heights[here], self.seconds[here]
        )


class Series(Frozen, eq=False):
    """The backsight and the checks after it: the shots before each, when, and what it read too high (m)."""

    shots_before: Ints
    seconds: Floats
    drift: Floats


def movement(walk: ShotSequence, checks: Series, step_m: float, allowed_m: float) -> Movement | None:
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
    good = abs(float(checks.drift[-1])) <= allowed_m
    if good and none - min(ramp, step) < GOOD_CHECKS:
        return Movement(Motion.NONE, True, 0.0, 0.0)
    share = 1 / (1 + float(np.exp(np.clip((step - ramp) / 2, -50.0, 50.0))))
    unseen, best = min(steps[0], steps[n]), int(steps.argmin())
    weights /= weights.sum()
    near = float(weights[max(best - NEAR, 0) : best + NEAR + 1].sum())
    seam, apart = unseen - steps[best], float(stories.apart[2 + best])
    if share > 0.5 and BESIDE <= best <= n - BESIDE and seam >= SEAM and near >= LIKELY and apart <= AGREE:
        total = weights.cumsum()
        between = int(np.searchsorted(total, 0.025)), int(np.searchsorted(total, 0.975))
        return Movement(
            Motion.STEP,
            min(share, near) >= SURE
            and seam >= SURE_SEAM
            and apart <= SURELY_AGREE
            and not could_be_an_edge(shots.along, shots.across, best),
            float(stories.size[2 + best]) * 1e9,
            0.0,
            int(shots.index[best - 1]),
            best + skipped,
            (between[0] + skipped, between[1] + skipped),
            _between_checks(walk, checks),
        )
    if share < 0.5 and unseen - ramp >= SETTLING:
        per_hour = float(stories.size[1]) * 1e9
        hours = float(checks.seconds[-1] - checks.seconds[0]) / 3600
        checked = _between_checks(walk, checks)
        sure = bool(1 - share >= SURE and unseen - ramp >= SURE_SETTLING)
        return Movement(Motion.DRIFT, sure, per_hour * hours, per_hour, checked=checked)
    if good:
        return Movement(Motion.NONE, False, 0.0, 0.0)
    return Movement(Motion.UNTOLD, False, float(checks.drift[-1]) * 1e9, 0.0, checked=_between_checks(walk, checks))


def could_be_an_edge(along: Floats, across: Floats, before: int) -> bool:
    """Does a straight line part the first so many shots from the later ones, all but a few?

    Args:
        along: Where the shots lie, in the order they were taken; as `across`, any unit.
        across: Across the pad.
        before: How many of them are earlier; at least one, and not all.
    """
    turned = np.linspace(0, 2 * np.pi, DIRECTIONS, endpoint=False)
    far = np.cos(turned)[:, None] * (along - along.mean()) + np.sin(turned)[:, None] * (across - across.mean())
    later = np.argsort(far, axis=1, kind="stable") >= before
    # Up to each place along the line, later ones are astray, and behind it earlier ones.
    astray = later.cumsum(axis=1) + before - (~later).cumsum(axis=1)
    return bool(astray.min() <= ASTRAY * along.size)


def _between_checks(walk: ShotSequence, checks: Series) -> tuple[int, int] | None:
    """First and last shot between the two checks that differ most; None where none lies between them."""
    later = 1 + int(np.abs(np.diff(checks.drift)).argmax())
    first, end = int(checks.shots_before[later - 1]), int(checks.shots_before[later])
    return (int(walk.index[first]), int(walk.index[end - 1])) if first < end else None


class _Stories(Frozen, eq=False):
    """No movement, a ramp, a step after 0, 1, ... all shots: minus twice the log likelihood, penalized; and size."""

    deviance: Floats
    size: Floats
    """Metres an hour for the ramp, metres for a step."""
    apart: Floats
    """Standard errors between that by the shots alone and by the checks alone; 0 where only one of them tells."""


def _stories(walk: ShotSequence, checks: Series, step_m: float) -> _Stories:
    n = walk.seconds.size
    began = checks.seconds[0]
    after = np.arange(n + 1)
    # A column a story: what one unit of it adds to each shot, and to each check.
    on_shots = np.column_stack([np.zeros(n), (walk.seconds - began) / 3600, np.arange(n)[:, None] >= after])
    # One after the last shot raises the last check alone.
    later = checks.shots_before[:, None] > after
    later[-1, n] = True
    on_checks = np.column_stack([np.zeros_like(checks.drift), (checks.seconds - began) / 3600, later])
    # A drift is the difference of two readings, each rounded to the step.
    weight = 6 / step_m**2
    check_square, check_cross = weight * (on_checks**2).sum(0), weight * (on_checks.T @ checks.drift)
    check_rest = weight * float(checks.drift @ checks.drift)
    penalty = np.log(n + checks.drift.size) * np.minimum(np.arange(n + 3), 1)
    best, size, apart = np.full(n + 3, np.inf), np.zeros(n + 3), np.zeros(n + 3)
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
            variance = np.full(n + 3, max(rest / (n - 3), least := step_m**2 / 12 / (1 + rough)))
            for _ in range(ROUNDS):
                known = square / variance + check_square
                fitted = np.divide(cross / variance + check_cross, known, out=np.zeros_like(known), where=known > 0.0)
                left = rest - 2 * fitted * cross + fitted**2 * square
                variance = np.maximum(left / (n - 3), least)
            deviance = (n - 3) * np.log(variance) - np.log(trust).sum() + left / variance + penalty
            deviance += check_rest - 2 * fitted * check_cross + fitted**2 * check_square
            better = deviance < best
            both = better & (square > 0.0) & (check_square > 0.0)
            by_shots, by_checks = cross[both] / square[both], check_cross[both] / check_square[both]
            error = np.sqrt(variance[both] / square[both] + 1 / check_square[both])
            best[better], size[better], apart[both] = (
                deviance[better],
                fitted[better],
                np.abs(by_shots - by_checks) / error,
            )
    return _Stories(best, size, apart)
