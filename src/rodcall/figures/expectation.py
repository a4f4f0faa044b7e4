"""What the shots around a position lead one to expect there: a distribution, not only a number.

The ground is taken for a Gaussian process: a plane, a smooth surface and fine roughness. Nobody knows a pad's
statistics beforehand, so every member of a bank of them says what it expects, and the nearest shots say how much
each member is believed (marginal likelihood; the height's scale is integrated out, which makes each answer a
Student t). Method: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, ch. 2 and 5 (MEMORY);
the bank and its priors are our own.
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

_REACHES = (0.7, 1.5, 2.5, 4.0, 7.0, 14.0)
"""Distances, in spacings of the grid, over which the smooth part forgets."""
_ROUGH = (0.003, 0.03, 0.15, 0.5)
"""Share of fine roughness in the variance."""
_SLOPES = (0.03, 0.3)
"""Standard deviation of the plane's slopes, in standard deviations of the ground per spacing."""
_MEMBERS = tuple(product(_REACHES, _ROUGH, _SLOPES))
_LEVEL = 3.0
"""Standard deviation of the plane's height about the middle of the shots, in those of the ground."""

_USUAL_M = 0.0254
"""Natural ground spreads by about an inch ..."""
_SHOTS_WORTH = 2.0
"""... and that knowledge is worth so many shots."""


@dataclass(frozen=True, eq=False)
class Expectation:
    """The distribution of a height: a mixture of Student t, one for each member of the bank; metres."""

    centres: Floats
    scales: Floats
    shares: Floats
    """How much each member is believed; they sum to 1."""
    freedom: float
    """Degrees of freedom of each."""

    @property
    def centre(self) -> float:
        """The height expected."""
        return float(self.shares @ self.centres)

    @property
    def deviation(self) -> float:
        """Standard deviation of the height."""
        inner = self.scales**2 * self.freedom / (self.freedom - 2)
        return float(np.sqrt(self.shares @ (inner + (self.centres - self.centre) ** 2)))

    def log_density(self, heights_m: Floats) -> Floats:
        """Natural logarithm of the density, per metre, at each height."""
        half = (self.freedom + 1) / 2
        constant = lgamma(half) - lgamma(self.freedom / 2) - log(self.freedom * pi) / 2
        off = (heights_m[:, None] - self.centres) / self.scales
        each = constant - np.log(self.scales) - half * np.log1p(off * off / self.freedom)
        with np.errstate(divide="ignore"):
            total: Floats = np.logaddexp.reduce(each + np.log(self.shares), axis=1)
        return total


def expect(heights_m: Floats, offsets: Floats) -> Expectation:
    """What some shots lead one to expect at a position.

    Args:
        heights_m: Heights of the shots, metres.
        offsets: Where they lie from the position, in spacings of the grid, shape (shots, 2).
    """
    solved = _solve(np.round(offsets, 6).tobytes())
    middle = float(np.median(heights_m))
    off = heights_m - middle
    misfit = np.einsum("mij,i,j->m", solved.precision, off, off)
    freedom = _SHOTS_WORTH + off.size
    squares = _SHOTS_WORTH * _USUAL_M**2 + misfit
    belief = -0.5 * (solved.log_determinant + freedom * np.log(squares))
    shares = np.exp(belief - belief.max())
    return Expectation(
        middle + solved.weights @ off,
        np.sqrt(squares / freedom * solved.variance),
        shares / shares.sum(),
        freedom,
    )


@dataclass(frozen=True, eq=False)
class _Solved:
    """All that a pattern of shots decides before their heights are known, for each member of the bank."""

    precision: Floats
    log_determinant: Floats
    weights: Floats
    variance: Floats


@lru_cache(maxsize=64)
def _solve(pattern: bytes) -> _Solved:
    """Most shots of a walk see the same pattern behind them, so it is solved once."""
    offsets = np.frombuffer(pattern).reshape(-1, 2)
    n = len(offsets)
    distance = np.hypot(*(offsets[:, None, :] - offsets[None, :, :]).transpose(2, 0, 1))
    reach, rough, slope = (np.array(values)[:, None] for values in zip(*_MEMBERS, strict=True))
    plane = _LEVEL**2 + slope[:, :, None] ** 2 * (offsets @ offsets.T)
    covariance = (1 - rough[:, :, None]) * np.exp(-0.5 * (distance / reach[:, :, None]) ** 2) + plane
    covariance[:, range(n), range(n)] += rough
    # At the position itself the plane has only its height: offsets are counted from there.
    towards = (1 - rough) * np.exp(-0.5 * ((offsets**2).sum(axis=1) / reach**2)) + _LEVEL**2
    factor = np.linalg.cholesky(covariance)
    precision = np.linalg.inv(covariance)
    weights = np.einsum("mij,mj->mi", precision, towards)
    return _Solved(
        precision,
        2 * np.log(np.diagonal(factor, axis1=1, axis2=2)).sum(axis=1),
        weights,
        1 + _LEVEL**2 - np.einsum("mi,mi->m", weights, towards),
    )


def nearest(counts: Mask, at: tuple[int, int], along_m: Floats, across_m: Floats) -> tuple[Ints, Floats]:
    """The shots nearest to a position, itself left out: their flat indices and offsets from it in spacings.

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
        rows, columns = np.nonzero(window)
        if rows.size > NEAREST or window.size == counts.size:
            break
        reach *= 2
    rows, columns = rows + top, columns + left
    spacing = np.sqrt(along_m[-1] / (along_m.size - 1) * across_m[-1] / (across_m.size - 1))
    offsets = np.column_stack([along_m[rows] - along_m[row], across_m[columns] - across_m[column]]) / spacing
    far = np.round((offsets**2).sum(axis=1), 6)
    order = np.argsort(far, kind="stable")
    order = order[far[order] > 0][:NEAREST]
    return rows[order] * counts.shape[1] + columns[order], offsets[order]
