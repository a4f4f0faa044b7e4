"""What the shots around a position lead one to expect there: a distribution, not only a number.

The ground is taken for a Gaussian process: a plane, a smooth surface and fine roughness. Nobody knows a pad's
statistics beforehand, so every member of a bank of them says what it expects, and the nearest shots say how far
each member is believed (marginal likelihood; the scale of the heights is integrated out, which makes every answer
a Student t). Method: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, ch. 2, 4 and 5
(MEMORY); the bank and its priors are our own.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import lgamma, log, pi

import numpy as np

from rodcall.figures.ground import Floats, Ints, Mask

NEAREST = 56
"""So many shots tell nearly all that can be told of a position, and cost the same on any page."""

_SMOOTH = tuple(product((1.2, 2.2, 4.0, 8.0), (0.005, 0.04)))
"""How far the smooth part reaches, in spacings of the grid, and the share of fine roughness in the variance."""
_ROUGH = (2.2, 0.3)
"""The same of ground that is mostly rough."""
_SLOPES = (0.03, 0.3)
"""Standard deviation of the plane's slopes, in standard deviations of the ground per spacing."""
_LEVEL = 3.0
"""Standard deviation of the plane's height about the middle of the shots, in those of the ground."""
_BANK = np.array([(*smooth, slope) for smooth in (*_SMOOTH, _ROUGH) for slope in _SLOPES]).T[..., None, None]
"""Reach, roughness and slope of each member."""

_ABOVE_ALL = 1e12
"""A corner so great that the border stays positive definite; it decides nothing else."""

_USUAL_M = 0.04
"""Natural ground spreads by an inch or two ..."""
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
    n, middle = heights_m.size, float(np.median(heights_m))
    # The position comes last among the places; with 0 for its unknown height, the row of heights ends in the
    # expected one, negative and in its own standard deviations.
    factor = _factor(np.vstack([offsets, np.zeros(2)]), np.append(heights_m - middle, 0.0))
    alone = factor[:, n, n]
    belief, squares = _belief(factor, n)
    # A share of nothing would have no logarithm.
    shares = np.maximum(np.exp(belief - belief.max()), 1e-300)
    freedom = _SHOTS_WORTH + n
    scales = alone * np.sqrt(squares / freedom)
    return Expectation(middle - factor[:, n + 1, n] * alone, scales, shares / shares.sum(), freedom)


def log_evidence(heights_m: Floats, offsets: Floats) -> float:
    """How well some heights go together, as the logarithm of their joint density up to a constant.

    Only differences between equally many heights mean anything. Arguments as for `expect`.
    """
    belief, _ = _belief(_factor(offsets, heights_m - float(np.median(heights_m))), heights_m.size)
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
    # Rounded, so that equal distances are taken in one order wherever on the grid they are.
    distances = np.round((offsets**2).sum(axis=1), 6)
    order = np.argsort(distances, kind="stable")
    order = order[distances[order] > 0][:NEAREST]
    return rows[order] * counts.shape[1] + columns[order], offsets[order]


def _belief(factor: Floats, n: int) -> tuple[Floats, Floats]:
    """Log marginal likelihood of each member by the first n heights, up to a constant; and their sum of squares.

    The squares are those of the heights made independent, with what is known of the scale beforehand.
    """
    squares = _SHOTS_WORTH * _USUAL_M**2 + (factor[:, -1, :n] ** 2).sum(axis=1)
    log_root = np.log(np.diagonal(factor, axis1=1, axis2=2)[:, :n]).sum(axis=1)
    return -log_root - (_SHOTS_WORTH + n) / 2 * np.log(squares), squares


def _factor(places: Floats, heights_m: Floats) -> Floats:
    """Cholesky factor of each member's covariance over some places, and below it the heights made independent.

    The heights border the covariance as one more row, so that one factorisation solves for them as well.
    """
    reach, rough, slope = _BANK
    n = len(places)
    squared = ((places[:, None, :] - places[None, :, :]) ** 2).sum(axis=2)
    bordered = np.empty((reach.size, n + 1, n + 1))
    bordered[:, :n, :n] = (1 - rough) * _smooth(squared, reach) + _LEVEL**2 + slope**2 * (places @ places.T)
    bordered[:, range(n), range(n)] += rough[:, :, 0]
    bordered[:, n, :n] = heights_m
    bordered[:, n, n] = _ABOVE_ALL
    return np.linalg.cholesky(bordered)


def _smooth(squared_distance: Floats, reach: Floats) -> Floats:
    """Correlation of the smooth part: rational quadratic with exponent 1, a mixture of smooth surfaces of all sizes."""
    return 1 / (1 + squared_distance / (2 * reach * reach))
