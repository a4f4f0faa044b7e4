"""What the shots around a position lead one to expect there: a distribution, not only a number.

The ground is taken for a Gaussian process: a plane, a smooth surface and fine roughness. Nobody knows a pad's
statistics beforehand, so every member of a bank of them says what it expects, and the nearest shots say how far
each member is believed (marginal likelihood; the scale of the heights is integrated out, which makes every answer
a Student t). Method: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, ch. 2, 4 and 5
(MEMORY); the bank and its priors are our own.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from math import lgamma, log, pi

import numpy as np

from rodcall.figures.ground import Floats, Ints, Mask

NEAREST = 32
"""So many shots tell nearly all that can be told of a position, and cost the same on any page."""

_REACHES = (1.2, 2.0, 3.0, 5.0, 8.0)
"""Distances, in spacings of the grid, over which the smooth part forgets."""
_ROUGH = (0.005, 0.03, 0.2)
"""Share of fine roughness in the variance."""
_SLOPES = (0.03, 0.3)
"""Standard deviation of the plane's slopes, in standard deviations of the ground per spacing."""
_LEVEL = 3.0
"""Standard deviation of the plane's height about the middle of the shots, in those of the ground."""
_BANK = np.array(list(product(_REACHES, _ROUGH, _SLOPES))).T[:, :, None]

_USUAL_M = 0.0254
"""Natural ground spreads by about an inch ..."""
_SHOTS_WORTH = 2.0
"""... and to know that is worth so many shots."""


@dataclass(frozen=True, eq=False)
class Expectation:
    """The distribution of a height in metres: a mixture of Student t, one for each member of the bank."""

    centres: Floats
    scales: Floats
    shares: Floats
    """How far each member is believed; they sum to 1."""
    freedom: float
    """Degrees of freedom of each."""

    @property
    def centre(self) -> float:
        """The height expected."""
        return float(self.shares @ self.centres)

    @property
    def deviation(self) -> float:
        """Standard deviation of the height."""
        within = self.scales**2 * self.freedom / (self.freedom - 2)
        return float(np.sqrt(self.shares @ (within + (self.centres - self.centre) ** 2)))

    @property
    def log_peak(self) -> float:
        """No height has a greater log density than this."""
        return self._log_norm + log(float(self.shares @ (1 / self.scales)))

    def log_density(self, heights_m: Floats) -> Floats:
        """Natural logarithm of the density, per metre, at each height."""
        off = (heights_m[:, None] - self.centres) / self.scales
        # The logarithm of the bracket first: far out the density itself would underflow.
        each = np.log(self.shares / self.scales) - (self.freedom + 1) / 2 * np.log1p(off * off / self.freedom)
        total: Floats = self._log_norm + np.logaddexp.reduce(each, axis=1)
        return total

    @property
    def _log_norm(self) -> float:
        return lgamma((self.freedom + 1) / 2) - lgamma(self.freedom / 2) - log(self.freedom * pi) / 2


def expect(heights_m: Floats, offsets: Floats) -> Expectation:
    """What some shots lead one to expect at a position.

    Args:
        heights_m: Heights of the shots, metres.
        offsets: Where they lie from the position, in spacings of the grid, shape (shots, 2).
    """
    solved = _solved(offsets)
    middle = float(np.median(heights_m))
    off = heights_m - middle
    belief, squares = _belief(solved, off)
    # A share of nothing would have no logarithm.
    shares = np.maximum(np.exp(belief - belief.max()), 1e-300)
    freedom = _SHOTS_WORTH + off.size
    scales = np.sqrt(squares / freedom * solved.variance)
    return Expectation(middle + solved.weights @ off, scales, shares / shares.sum(), freedom)


def log_evidence(heights_m: Floats, offsets: Floats) -> float:
    """How well some heights go together, as the logarithm of their joint density up to a constant.

    Only differences between equally many heights mean anything. Arguments as for `expect`.
    """
    belief, _ = _belief(_solved(offsets), heights_m - float(np.median(heights_m)))
    return float(np.logaddexp.reduce(belief))


def nearest(counts: Mask, at: tuple[int, int], along_m: Floats, across_m: Floats) -> tuple[Ints, Floats]:
    """The shots nearest to a position, itself left out: flat indices, and offsets from it in spacings of the grid.

    Args:
        counts: Which shots count, (along, across).
        at: Row and column of the position.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
    """
    row, column = at
    reach = 3
    while True:
        top, left = max(row - reach, 0), max(column - reach, 0)
        window = counts[top : row + reach + 1, left : column + reach + 1]
        if np.count_nonzero(window) > NEAREST or window.size == counts.size:
            break
        reach *= 2
    rows, columns = np.nonzero(window)
    rows, columns = rows + top, columns + left
    offsets = np.column_stack([along_m[rows] - along_m[row], across_m[columns] - across_m[column]])
    offsets /= np.sqrt(along_m[-1] / (along_m.size - 1) * across_m[-1] / (across_m.size - 1))
    # Rounded, since equal distances must stay in one order wherever on the grid they are.
    distances = np.round((offsets**2).sum(axis=1), 6)
    order = np.argsort(distances, kind="stable")
    order = order[distances[order] > 0][:NEAREST]
    return rows[order] * counts.shape[1] + columns[order], offsets[order]


@dataclass(frozen=True, eq=False)
class _Solved:
    """All that a pattern of shots decides before their heights are known, for each member of the bank."""

    precision: Floats
    log_determinant: Floats
    weights: Floats
    variance: Floats


def _belief(solved: _Solved, off: Floats) -> tuple[Floats, Floats]:
    """Log marginal likelihood of each member up to a constant, and its sum of squares with the prior's in it."""
    squares = _SHOTS_WORTH * _USUAL_M**2 + (solved.precision @ off) @ off
    return -0.5 * (solved.log_determinant + (_SHOTS_WORTH + off.size) * np.log(squares)), squares


def _solved(offsets: Floats) -> _Solved:
    return _solve(np.round(offsets, 6).tobytes())


@lru_cache(maxsize=64)
def _solve(pattern: bytes) -> _Solved:
    """Solve for one pattern of offsets; most shots of a walk see the same one behind them."""
    offsets = np.frombuffer(pattern).reshape(-1, 2)
    reach, rough, slope = _BANK
    squared = ((offsets[:, None, :] - offsets[None, :, :]) ** 2).sum(axis=2)
    covariance = (1 - rough[:, :, None]) * _smooth(squared, reach[:, :, None])
    covariance += _LEVEL**2 + slope[:, :, None] ** 2 * (offsets @ offsets.T)
    covariance += rough[:, :, None] * np.eye(len(offsets))
    # At the position itself the plane has its height only: slopes are counted from there.
    towards = (1 - rough) * _smooth((offsets**2).sum(axis=1), reach) + _LEVEL**2
    diagonal = np.diagonal(np.linalg.cholesky(covariance), axis1=1, axis2=2)
    precision = np.linalg.inv(covariance)
    weights = (precision @ towards[:, :, None])[:, :, 0]
    variance = 1 + _LEVEL**2 - (weights * towards).sum(axis=1)
    return _Solved(precision, 2 * np.log(diagonal).sum(axis=1), weights, variance)


def _smooth(squared_distance: Floats, reach: Floats) -> Floats:
    """Correlation of the smooth part: rational quadratic with exponent 1, a mixture of smooth surfaces of all sizes."""
    return 1 / (1 + squared_distance / (2 * reach * reach))
