"""A shot that does not fit its neighbours, and the mistake that may explain it.

Two stories are weighed for each reading: it is right, and lies where the shots around it lead one to expect; or a
mistake was made, and what was meant lies there. The odds between the two decide whether it is asked about, and
the mistakes' shares in them say which is named first (Bayes' rule; the shares of mistakes are our own estimate).
"""

from __future__ import annotations

from collections.abc import Collection
from math import log

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.outliers.expectation import Expectation, expect, nearest
from rodcall.figures.outliers.mistakes import Meant, Mistake, Way, meant
from rodcall.figures.target import metres
from rodcall.frozen import Frozen

FEWEST_SHOTS = 5
"""Below this many other shots only gross mistakes are seen (`plausible`)."""

_WRONG = 0.02
"""Share of readings that are wrong, before anything is known of them ..."""
ASK_FROM = 0.13
"""... and the chance of being wrong from which one is asked about: asking is cheap while the rod stands there."""
GROSS_M, GROSS_WEIGHT = 0.3, 30.0
"""A mistake of so many metres, a foot or more, counts so many times: dug, it costs that much more than an inch."""
_WORSE = log(10.0)
"""A reading that was kept is asked about again when the odds against it have grown tenfold."""
_UNEXPLAINED = 0.05
"""Share of wrong readings that no listed mistake explains, ruts and piles among them ..."""
_UNEXPLAINED_OVER_M = 0.6
"""... which lie anywhere in a range of so many metres."""
_LOG_UNEXPLAINED = log(_UNEXPLAINED / _UNEXPLAINED_OVER_M)
_WORTH_NAMING = 0.1
"""An explanation with less than this share in the odds is not named."""
_FAR_OUT = 6.0
"""A neighbour so many studentised residuals off the plane of the others is not listened to."""
_ENOUGH_FOR_PLANE = 8


class Explanation(Frozen):
    """A mistake, and what the reading would be without it."""

    mistake: Mistake
    height_nm: int
    reading_nm: int
    text: str
    """The corrected reading as it can be said again."""
    share: float
    """How much of the doubt it explains, 0 to 1."""


class Bust(Frozen):
    """A reading that does not fit, what was expected, and what would explain it."""

    index: int
    height_nm: int
    expected_nm: int
    deviation_nm: int
    """Standard deviation of what was expected."""
    score: float
    """Logarithm of the odds that it is wrong, gross mistakes counted by what they cost."""
    explanations: tuple[Explanation, ...]
    """Best first; none where no listed mistake makes it fit."""

    def is_worse_than(self, kept: float) -> bool:
        """Is it to be asked about again? Shots since then speak ten times louder against it.

        Args:
            kept: The score that it had when it was kept.
        """
        return self.score >= kept + _WORSE


def expected_at(
    heights: Ints, counts: Mask, index: int, along_m: Floats, across_m: Floats, read_m: float | None = None
) -> Expectation | None:
    """What the shots around a position lead one to expect there; None where too few are there.

    With what was read there, jumps of the ground are looked for only where smooth ground does not lead one to expect
    it (`expectation.expect`).
    """
    around_m, offsets = heard_around(heights, counts, index, along_m, across_m)
    return expect(around_m, offsets, read_m=read_m) if around_m.size >= FEWEST_SHOTS else None


def heard_around(heights: Ints, counts: Mask, index: int, along_m: Floats, across_m: Floats) -> tuple[Floats, Floats]:
    """Heights, metres, of the shots around a position that are listened to, and where they lie from it, in spacings."""
    around, offsets = nearest(counts, divmod(index, counts.shape[1]), along_m, across_m)
    around_m = metres(heights.flat[around])
    fits = listened_to(around_m, offsets)
    return around_m[fits], offsets[fits]


def expected_of(around_m: Floats, offsets: Floats, fits: Mask) -> Expectation | None:
    """The same of the nearest shots, their offsets, and which of them are listened to."""
    return expect(around_m[fits], offsets[fits]) if np.count_nonzero(fits) >= FEWEST_SHOTS else None


def listened_to(around_m: Floats, offsets: Floats) -> Mask:
    """Which neighbours are listened to: those not far off the plane of the others, where there are enough to tell."""
    if len(offsets) < _ENOUGH_FOR_PLANE:
        return np.ones(around_m.shape, np.bool_)
    fit: Mask = np.abs(studentised_residuals(around_m, *offsets.T)) < _FAR_OUT
    return fit


def weigh(
    expected: Expectation,
    index: int,
    height: int,
    way: Way,
    said: str,
    least: float,
    some: Collection[Mistake] = frozenset(Mistake),
    gross_weight: float = GROSS_WEIGHT,
) -> Bust | None:
    """Hold a reading against what was expected there; None where the log odds that it is wrong are below `least`.

    Other arguments as for `judging.judge`; `height` in nanometres, `some`: the mistakes that are thought of,
    `gross_weight`: how many times one of a foot or more counts.
    """
    at = np.array([height * 1e-9])
    right = float(expected.log_density(at)[0])
    # Most readings need no further look.
    if float(_at_most(expected, at, right, gross_weight)[0]) < least:
        return None
    reading = way.reading(height)
    others = tuple(other for other in meant(said, reading, way) if other.mistake in some)
    shares = np.array([other.share for other in others])
    corrected = metres(np.array([way.height(other.reading_nm) for other in others]))
    weights = np.where(np.abs(corrected - at) >= GROSS_M, gross_weight, 1.0)
    fit = np.log(weights * shares * ((1 - _UNEXPLAINED) / (shares.sum() or 1.0))) + expected.log_density(corrected)
    wrong = float(np.logaddexp.reduce(np.append(fit, _LOG_UNEXPLAINED)))
    score = log_odds(_WRONG) + wrong - right
    if score < least:
        return None
    centre, deviation = round(float(expected.centre) * 1e9), round(float(expected.deviation) * 1e9)
    return Bust(index, height, centre, deviation, score, _explanations(others, np.exp(fit - wrong), way))


def at_most(expected: Expectation, heights_m: Floats) -> Floats:
    """Log odds that no reading at these heights, metres, of several positions, can go above.

    No mistake does better than the peak, and no gross one better than what is likeliest so far away.
    """
    at = heights_m[..., None]
    return _at_most(expected, at, expected.log_density(at), GROSS_WEIGHT)[..., 0]


def _at_most(expected: Expectation, at_m: Floats, right: Floats | float, gross_weight: float) -> Floats:
    """The same, by the log density of the readings as they are; the last axis has the heights at each position."""
    far = log(gross_weight) + expected.log_density(at_m, GROSS_M)
    wrong = np.logaddexp(np.logaddexp(expected.log_peak[..., None], _LOG_UNEXPLAINED), far)
    return np.asarray(log_odds(_WRONG) + wrong - right)


def _explanations(others: tuple[Meant, ...], explained: Floats, way: Way) -> tuple[Explanation, ...]:
    best_first = [at for at in np.argsort(-explained, kind="stable").tolist() if explained[at] >= _WORTH_NAMING]
    return tuple(
        Explanation(other.mistake, way.height(other.reading_nm), other.reading_nm, way.text(other.reading_nm), share)
        for other, share in ((others[at], float(explained[at])) for at in best_first)
    )


def studentised_residuals(heights_m: Floats, along_m: Floats, across_m: Floats) -> Floats:
    """How far each shot lies off the least-squares plane of all others, in its own standard errors.

    Externally studentised residuals (Cook and Weisberg, Residuals and Influence in Regression, 1982, ch. 2, MEMORY):
    the shot itself has no say in the plane nor in the error. 0 where a shot alone decides the plane; infinite where
    the others lie on a plane exactly and it does not.

    Args:
        heights_m: Heights of the shots; several rows of them are taken each for itself, (rows, shots).
        along_m: Where they lie, as `across_m`: any unit.
        across_m: Across the pad.
    """
    h = heights_m - heights_m.mean(axis=-1, keepdims=True)
    places = np.column_stack([np.ones_like(along_m), along_m - along_m.mean(), across_m - across_m.mean()])
    basis, sizes, _ = np.linalg.svd(places, full_matrices=False)
    basis = basis[:, sizes > 1e-9 * sizes[0]]
    left = h - (h @ basis) @ basis.T
    free = 1 - (basis**2).sum(axis=1)
    alone = free < 1e-9
    off = np.where(alone, 0.0, left / np.sqrt(np.where(alone, 1.0, free)))
    spare = along_m.size - basis.shape[1] - 1
    squares = np.maximum(((left**2).sum(axis=-1, keepdims=True) - off**2) / spare, 0.0)
    # What is left of heights that lie on a plane is rounding.
    off[np.abs(off) <= 1e-12 * np.abs(heights_m).max(axis=-1, initial=0.0, keepdims=True)] = 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(off == 0, 0.0, off / np.sqrt(squares))


def log_odds(chance: float) -> float:
    """Logarithm of the odds of a chance above 0 and below 1."""
    return log(chance / (1 - chance))
