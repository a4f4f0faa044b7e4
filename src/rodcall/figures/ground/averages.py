"""How the ground lies: averages, spread, tilt, and estimates where nothing was shot.

Heights come as whole nanometres with a mask of those that count, both of shape (along, across); distances as
metres from A1. What is a plain mean stays exact; floats begin with areas and slopes.
"""

from __future__ import annotations

from fractions import Fraction
from sys import float_info

import numpy as np
from numpy.typing import NDArray

from rodcall.frozen import Frozen

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Indices = NDArray[np.intp]

LOWEST = -(2**63)
"""The least whole number of 64 bits: below any height."""
FEWEST_FOR_SPREAD = 2
NEIGHBOURS_WANTED = 3
"""An estimate leans on at least so many shots, where there are so many."""


def average(heights: Ints, counts: Mask) -> Fraction | None:
    """Plain mean of the heights that count, exact; None where none counts."""
    counted = int(np.count_nonzero(counts))
    return Fraction(int(heights[counts].sum()), counted) if counted else None


def spread(heights: Ints, counts: Mask) -> float | None:
    """Sample standard deviation (n - 1) in nanometres; None below two heights.

    Two passes about the mean, since one pass loses digits when heights are large beside their spread
    (NIST StRD, univariate sets).
    """
    told = heights[counts]
    if told.size < FEWEST_FOR_SPREAD:
        return None
    # Subtracting a whole number first is exact and leaves the float part small.
    near = told - told[0]
    return float(np.std(near.astype(np.float64), ddof=1))


def extremes(heights: Ints, counts: Mask) -> tuple[int, int] | None:
    """Flat indices of the highest and the lowest height that counts, the first of equals; None where none does."""
    if not counts.any():
        return None
    low, high = LOWEST, -LOWEST - 1
    return int(np.where(counts, heights, low).argmax()), int(np.where(counts, heights, high).argmin())


class Tilt(Frozen):
    """The plane that fits the shots best (least squares), and how well.

    Heights in metres; slopes in m per m, rising away from A1.
    """

    centre: float
    """Height of the plane at the centre of the shots: their mean."""
    centre_along: float
    centre_across: float
    along: float
    across: float
    rms: float
    """Root of the residual mean square: what the plane leaves over, over as many shots as are free of it (n - 3)."""

    def at(self, along: float | Floats, across: float | Floats) -> float | Floats:
        """Height of the plane at distances in metres from A1."""
        return self.centre + self.along * (along - self.centre_along) + self.across * (across - self.centre_across)


def tilt(heights_m: Floats, counts: Mask, along_m: Floats, across_m: Floats) -> Tilt | None:
    """Fit a plane by least squares about the centre of the shots.

    Where the shots lie on one line only, the fall across it cannot be known and is told as 0 (the solution of
    least norm). None where nothing counts.

    Args:
        heights_m: Heights in metres, (along, across); read only where `counts`.
        counts: Which of them count.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
    """
    n = int(np.count_nonzero(counts))
    if n == 0:
        return None
    h = np.where(counts, heights_m, 0.0)
    per_line, per_column = counts.sum(axis=1), counts.sum(axis=0)
    y0, x0, h0 = float(per_line @ along_m) / n, float(per_column @ across_m) / n, float(h.sum()) / n
    y, x = along_m - y0, across_m - x0
    h = np.where(counts, h - h0, 0.0)
    yy, xx = float(per_line @ (y * y)), float(per_column @ (x * x))
    yx = float(y @ (counts.astype(np.float64) @ x))
    moments = np.array([float(y @ h.sum(axis=1)), float(x @ h.sum(axis=0))])
    spread_of_places = np.array([[yy, yx], [yx, xx]])
    sizes, axes = np.linalg.eigh(spread_of_places)
    widest = float(np.abs(sizes).max())
    wide = np.abs(sizes) > 1e-12 * widest
    slopes = axes[:, wide] @ ((axes[:, wide].T @ moments) / sizes[wide])
    left = np.where(counts, h - slopes[0] * y[:, None] - slopes[1] * x[None, :], 0.0)
    free = n - 1 - int(np.count_nonzero(np.abs(sizes) > 2 * float_info.epsilon * widest))
    rms = float(np.sqrt((left * left).sum() / free)) if free > 0 else 0.0
    return Tilt(h0, y0, x0, float(slopes[0]), float(slopes[1]), rms)


def filled(heights_m: Floats, counts: Mask, fitted: Tilt, along_m: Floats, across_m: Floats) -> Floats:
    """Heights with an estimate wherever none counts.

    An estimate is the fitted plane plus the mean of what the plane leaves over at the shots around it: those in
    the smallest square window about the position (one position each way, then two, four, eight, ...) that holds
    at least three shots. So even ground is met exactly, a single gap follows its eight neighbours, and the whole
    costs the same however many are missing (window sums from a running total). The method is our own choice.

    Args:
        heights_m: Heights in metres, (along, across); read only where `counts`.
        counts: Which of them count; at least one does.
        fitted: The plane through them.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
    """
    if counts.all():
        return heights_m
    plane = fitted.at(along_m[:, None], across_m[None, :])
    left = np.where(counts, heights_m - plane, 0.0)
    wanted = min(NEIGHBOURS_WANTED, int(np.count_nonzero(counts)))
    sums, numbers = _running_total(left), _running_total(counts.astype(np.float64))
    result = np.where(counts, heights_m, plane)
    rows, columns = np.nonzero(~counts)
    reach = 1
    while rows.size:
        number = _window(numbers, reach, rows, columns)
        ready = number >= wanted - 0.5
        there = rows[ready], columns[ready]
        result[there] += _window(sums, reach, *there) / number[ready]
        rows, columns = rows[~ready], columns[~ready]
        reach *= 2
    return result


def area_weights(along_m: Floats, across_m: Floats, inset_m: float) -> Floats:
    """The area in m2 that each shot stands for, (along, across).

    Inside, a quarter of each square that meets there; so a corner counts a quarter, an edge a half. Beyond the
    outermost shots the ground is taken as level to the pad's edge, so these stand for the strip outside as well.
    The sum of area x height is the integral of the surface (unit-area or borrow-pit method, any surveying text).
    """
    return np.outer(_served(along_m, inset_m), _served(across_m, inset_m))


def out_to_the_edge(at: Floats, inset: float) -> Floats:
    """Distances of lines with the pad's two edges among them, where there is a strip outside of the outermost."""
    return np.concatenate(([at[0] - inset], at, [at[-1] + inset])) if inset else at


def middles(at: Floats) -> Floats:
    """Half way from each to the next."""
    half: Floats = (at[:-1] + at[1:]) / 2
    return half


def _served(at: Floats, inset: float) -> Floats:
    gaps = np.diff(at)
    served = np.zeros_like(at)
    served[:-1] += gaps / 2
    served[1:] += gaps / 2
    served[[0, -1]] += inset
    return served


def _running_total(values: Floats) -> Floats:
    rows, columns = values.shape
    total = np.zeros((rows + 1, columns + 1))
    total[1:, 1:] = values.cumsum(axis=0).cumsum(axis=1)
    return total


def _window(total: Floats, reach: int, row: Indices, column: Indices) -> Floats:
    """Sums over the square window of `reach` positions each way about some positions."""
    rows, columns = total.shape[0] - 1, total.shape[1] - 1
    near, far = np.maximum(row - reach, 0), np.minimum(row + reach + 1, rows)
    left, right = np.maximum(column - reach, 0), np.minimum(column + reach + 1, columns)
    sums: Floats = (total[far, right] - total[near, right]) - (total[far, left] - total[near, left])
    return sums
