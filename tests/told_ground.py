"""Detectors that are told all of a pad but where things lie on it: what is possible at all on each kind of ground.

Told are the kind of ground and what was drawn for it (`Ground.drawn`): how high its steps are and how many, how wide
the ridge is and how deep its ruts, how rough it is. Where edges, crest and ruts lie, and what the ground does between,
is learned from the shots, by Bayes' rule; no detector that is told no more can do better on average where mistakes have
the shares that the program gives them. What is said of the ground is a mixture of normal distributions: a Student t of
so many degrees of freedom is one. Rounding to the mark counts as normal.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import factorial
from typing import Final

import numpy as np
from scipy.special import j0
from scipy.stats import chi2

from rodcall.figures.outliers.expectation import Expectation
from rodcall.units import INCH
from tests.detectors import Case
from tests.simulated_ground import KERNELS, places

INCH_M: Final = INCH * 1e-9
NORMAL: Final = 1e7
_TURNS: Final = 1500
"""Directions of edges that are thought of; the slope along them tells two that lie a hundredth apart."""
_CRESTS: Final = 2000
"""Places of a crest that are thought of."""
_DRAWS: Final = 150
_BURNT: Final = 30
"""So many draws, the first of which are not yet of the posterior."""
_TAIL: Final = np.array([0, 1e-4, 1e-3, 0.005, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1])
"""The scale of one reading's noise is cut where so much of it is wider: stones are rare, and decide."""


def expected(case: Case, step_nm: int) -> Expectation:
    """What the detector of its pad's kind expects at a reading."""
    return _BY_KIND[case.ground.kind](case, step_nm)


def _inches(case: Case) -> np.ndarray:
    return case.ground.heights.ravel() / INCH


def _spacings(case: Case) -> np.ndarray:
    """All places of the pad, in spacings across, (places, 2)."""
    pad = case.ground
    return places(pad.along_m, pad.across_m) / pad.across_m[1]


def _noise(case: Case, step_nm: int) -> float:
    """Standard deviation of what each reading has for itself, inches."""
    return float(np.hypot(case.ground.drawn["rough"], step_nm / INCH / np.sqrt(12)))


def _mixture(means: np.ndarray, deviations: np.ndarray | float, log_weights: np.ndarray) -> Expectation:
    """Of normal distributions, in inches; what weighs nothing is left out."""
    weights = np.exp(log_weights - log_weights.max())
    keep = weights > 1e-9
    wide = np.broadcast_to(deviations, means.shape)[keep]
    return Expectation(means[keep] * INCH_M, wide * INCH_M, weights[keep] / weights[keep].sum(), NORMAL)


# -- edges -----------------------------------------------------------------------------------------------------


@lru_cache(maxsize=4)
def _orders(key: bytes, count: int) -> tuple[np.ndarray, np.ndarray]:
    """How far each place lies by each direction, (turns, places), and the places in that order."""
    at = np.frombuffer(key).reshape(count, 2)
    turned = (np.arange(_TURNS) + 0.5) * np.pi / _TURNS
    far = np.outer(np.cos(turned), at[:, 0]) + np.outer(np.sin(turned), at[:, 1])
    return far, np.argsort(far, axis=1)


def _edges(case: Case, step_nm: int) -> Expectation:
    """Steps of one height: in each direction the places are passed in order, and each gap may hold edges.

    Forward and backward over the number of edges passed (a hidden Markov chain: Rabiner 1989, MEMORY); an edge lies in
    each gap of the middle six tenths with the same chance, several independent of each other.
    """
    at, heights, drawn = _spacings(case), _inches(case), case.ground.drawn
    far, order = _orders(at.tobytes(), len(at))
    n, edges, noise = len(at), int(drawn["edges"]), _noise(case, step_nm)
    lift, tilt = drawn["lift"] * drawn["spread"], 0.1 * drawn["spread"]
    known = np.zeros(n, np.bool_)
    known[case.known] = True
    passed = np.arange(edges + 1)
    off = (heights - tilt * far)[:, :, None] - lift * passed
    seen = np.where(known[None, :, None], -0.5 * (off / noise) ** 2, 0.0)
    seen = np.take_along_axis(seen, order[:, :, None], axis=1).transpose(1, 0, 2)
    gaps = np.arange(n - 1) / (n - 1)
    chance = np.clip(np.minimum(gaps + 1 / (n - 1), 0.8) - np.maximum(gaps, 0.2), 0, None) / 0.6
    # From so many edges passed to so many, by gap.
    step = np.array(
        [[[p ** (to - of) / factorial(to - of) if to >= of else 0.0 for to in passed] for of in passed] for p in chance]
    )
    most = seen.max(axis=2)
    likely, total = np.exp(seen - most[:, :, None]), most.sum(axis=0)
    forward, backward = np.zeros((n, _TURNS, edges + 1)), np.zeros((n, _TURNS, edges + 1))
    log_forward, log_backward = np.zeros((n, _TURNS)), np.zeros((n, _TURNS))
    forward[0, :, 0], backward[-1, :, -1] = likely[0, :, 0], 1.0
    for here in range(1, n):
        forward[here] = (forward[here - 1] @ step[here - 1]) * likely[here]
        scale = np.maximum(forward[here].sum(axis=1), 1e-290)
        forward[here] /= scale[:, None]
        log_forward[here] = log_forward[here - 1] + np.log(scale)
    for here in range(n - 2, -1, -1):
        backward[here] = (backward[here + 1] * likely[here + 1]) @ step[here].T
        scale = np.maximum(backward[here].sum(axis=1), 1e-290)
        backward[here] /= scale[:, None]
        log_backward[here] = log_backward[here + 1] + np.log(scale)
    place = np.argmax(order == case.index, axis=1), np.arange(_TURNS)
    both = np.log(np.maximum(forward[place] * backward[place], 1e-290))
    weights = both + (log_forward[place] + log_backward[place] + total)[:, None]
    means = tilt * far[:, [case.index]] + lift * passed
    return _mixture(means.ravel(), noise, weights.ravel())


# -- a ridge and ruts ------------------------------------------------------------------------------------------


def _ridge(case: Case, step_nm: int) -> Expectation:
    """Every place of the crest and every pair of ruts, each as likely as another."""
    aside, heights, drawn = _spacings(case)[:, 1], _inches(case), case.ground.drawn
    columns, noise = case.ground.heights.shape[1], _noise(case, step_nm)
    crests = (np.arange(_CRESTS) + 0.5) / _CRESTS * aside.max()
    crest = 2 - np.abs(aside - crests[:, None]) / drawn["wide"]
    ruts = drawn["rut"] * np.array([np.isin(np.rint(aside), (left, left + 2)) for left in range(columns - 1)])
    made = (drawn["spread"] * (crest[:, None, :] - ruts[None])).reshape(-1, aside.size)
    squares = (((heights[case.known] - made[:, case.known]) / noise) ** 2).sum(axis=1)
    return _mixture(made[:, case.index], noise, -squares / 2)


# -- a covariance ----------------------------------------------------------------------------------------------


def _apart(at: np.ndarray) -> np.ndarray:
    return np.asarray(np.hypot(*(at[:, None] - at[None]).transpose(2, 0, 1)))


def _waves(case: Case, step_nm: int) -> Expectation:
    """Waves of known length that come from anywhere: of each the covariance is a Bessel function of the distance."""
    drawn, apart = case.ground.drawn, _apart(_spacings(case))
    lengths = [drawn[f"length {at}"] for at in range(4)]
    made = drawn["spread"] ** 2 / 8 * sum(j0(2 * np.pi * apart / length) for length in lengths)
    mean, square = _conditional(case, made, np.full(case.known.size, _noise(case, step_nm) ** 2), _inches(case))
    return _mixture(np.array([mean]), np.sqrt(square + _noise(case, step_nm) ** 2), np.zeros(1))


def _conditional(case: Case, made: np.ndarray, noise: np.ndarray, heights: np.ndarray) -> tuple[float, float]:
    """Mean and variance of the ground at the reading, its noise left out."""
    known = case.known
    across = np.linalg.solve(made[np.ix_(known, known)] + np.diag(noise), made[known, case.index])
    return float(across @ heights[known]), float(made[case.index, case.index] - across @ made[known, case.index])


def _even(case: Case, step_nm: int) -> Expectation:
    """Nothing but noise about the zero."""
    return _mixture(np.zeros(1), _noise(case, step_nm), np.zeros(1))


def _stones(case: Case, step_nm: int) -> Expectation:
    """Noise with Student's t of 3 on a smooth surface: its scale at each shot is drawn in turn with the surface.

    Gibbs sampling (Geweke 1993, MEMORY): given the scales all is normal, given the surface each scale is drawn alone.
    """
    at, heights, drawn = _spacings(case), _inches(case), case.ground.drawn
    smooth = KERNELS[0](_apart(at) / drawn["reach"]) + 1e-6 * np.eye(len(at))
    made = drawn["spread"] ** 2 * (0.03 * at @ at.T + smooth)
    known, rng = case.known, np.random.default_rng(case.index)
    reading, rough = (step_nm / INCH) ** 2 / 12, drawn["rough"] ** 2
    among, toward = made[np.ix_(known, known)], made[known, case.index]
    scales = np.full(known.size, 3 * rough)
    means, squares = [], []
    for draw in range(_DRAWS):
        factor = np.linalg.cholesky(among + np.diag(scales + reading))
        if draw >= _BURNT:
            told = np.linalg.solve(factor, np.column_stack([heights[known], toward]))
            means.append(told[:, 0] @ told[:, 1])
            squares.append(made[case.index, case.index] - told[:, 1] @ told[:, 1])
        # The surface as it may be (Matheron's rule): a draw of all, mended by what the shots say.
        surface = np.linalg.cholesky(among + 1e-9 * np.eye(known.size)) @ rng.normal(size=known.size)
        drawn_shots = surface + np.sqrt(scales + reading) * rng.normal(size=known.size)
        off = np.linalg.solve(factor.T, np.linalg.solve(factor, heights[known] - drawn_shots))
        left = heights[known] - surface - among @ off
        scales = (3 * rough + left**2) / rng.chisquare(4, known.size)
    middles = (_TAIL[:-1] + _TAIL[1:]) / 2
    wide = 3 * rough / chi2.ppf(middles, 3)
    centre = np.repeat(means, wide.size)
    deviation = np.sqrt(np.add.outer(np.maximum(squares, 0.0), wide + reading)).ravel()
    return _mixture(centre, deviation, np.tile(np.log(np.diff(_TAIL)), len(means)))


_BY_KIND: Final[dict[str, Callable[[Case, int], Expectation]]] = {
    "steps": _edges,
    "two levels": _edges,
    "ridge": _ridge,
    "waves": _waves,
    "rough": _even,
    "heavy tails": _stones,
}
KINDS: Final = tuple(_BY_KIND)
