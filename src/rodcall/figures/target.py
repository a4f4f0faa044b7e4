"""The target: the suggested one, the deviation at each position, and the rod reading to hit. All exact."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from rodcall.figures.earthwork.design import Shape
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.frozen import Frozen


class Plane(Frozen):
    """A target: a height at the zero in whole nanometres, how it rises from there in m per m, and its shape besides."""

    offset_nm: int
    along: float = 0.0
    across: float = 0.0
    shape: Shape | None = None
    """What it is besides a plane; None for a plane."""

    @property
    def is_level(self) -> bool:
        """Is it one height everywhere?"""
        return not (self.along or self.across or self.shape is not None)

    def rises_as(self, other: Plane) -> bool:
        """Is it the same but for its height?"""
        return (self.along, self.across, self.shape) == (other.along, other.across, other.shape)

    def rise(self, along_nm: Ints, across_nm: Ints, zero: tuple[int, int]) -> Ints:
        """How far it stands above its height at the zero, at each position; arguments and result as `slope_rise`."""
        if self.shape is None:
            return slope_rise(along_nm, across_nm, zero, self.along, self.across)
        row, column = zero
        height = self.shape.at(metres(along_nm)[:, None], metres(across_nm))
        plane = self.along * (along_nm - along_nm[row])[:, None] + self.across * (across_nm - across_nm[column])
        rounded: Ints = np.rint(plane + (height - height[row, column]) * 1e9).astype(np.int64)
        return rounded


class Tolerance(Frozen):
    """How far the ground may stand above and below the target, in nanometres; a limit itself is inside.

    That is the absolute method of ASTM E29: any excess fails, nothing is rounded first.
    """

    high_nm: int
    low_nm: int


class Limits(Frozen, eq=False):
    """The tolerance at each position, which a zone may have of its own; flat, nanometres."""

    high_nm: Ints
    low_nm: Ints

    def outside(self, deviations: Ints) -> Mask:
        """Which deviations lie beyond a limit; one a position, or with more axes behind."""
        high, low = self._beside(deviations)
        beyond: Mask = (deviations > high) | (deviations < -low)
        return beyond

    def excess(self, deviations: Ints) -> Ints:
        """How far each deviation lies beyond its nearer limit; below 0 it lies inside by so much."""
        high, low = self._beside(deviations)
        excess: Ints = np.maximum(deviations - high, -low - deviations)
        return excess

    def at(self, where: Mask | Ints) -> Limits:
        """Those of some positions."""
        return Limits(self.high_nm[where], self.low_nm[where])

    def _beside(self, deviations: Ints) -> tuple[Ints, Ints]:
        behind = (1,) * (deviations.ndim - 1)
        return self.high_nm.reshape(-1, *behind), self.low_nm.reshape(-1, *behind)


def slope_rise(along_nm: Ints, across_nm: Ints, zero: tuple[int, int], along: float, across: float) -> Ints:
    """How far a sloped plane stands above its height at the zero, at each position.

    Args:
        along_nm: Distance of each line from A1.
        across_nm: Distance of each column from A1.
        zero: Row and column of the zero.
        along: Rise in m per m going away.
        across: Rise in m per m going right.

    Returns:
        Whole nanometres (half to even), shape (along, across).
    """
    row, column = zero
    rise = along * (along_nm - along_nm[row])[:, None] + across * (across_nm - across_nm[column])[None, :]
    rounded: Ints = np.rint(rise).astype(np.int64)
    return rounded


def suggested_target(mean_above_slope: Fraction, round_to: int, least_drop: int, step: int) -> int:
    """A little below the average, on a mark that one can set on a rod.

    Lower, because it is easy to shave and hard to feather a thin fill: an average of 3/8 in low becomes 1/2 in low.
    Little, because all of it must be dug off the whole pad: where the highest multiple of the rounding step that lies
    at least the least drop below the average lies more than half a rounding step below that, half the step is tried,
    then a quarter, where these are marks of the rod, at last the reading step. An average of 1/2 in low becomes 3/4 in
    low, not 1 in. Common practice, no source; the finer marks are our own.

    Args:
        mean_above_slope: Mean of height minus what the slope asks for at the position, nanometres.
        round_to: Rounding step, nanometres.
        least_drop: Nanometres.
        step: Reading step, nanometres: whatever else is suggested is a multiple of it.
    """
    highest = mean_above_slope - least_drop
    target = highest // round_to * round_to
    for mark in _finer_marks(round_to, step):
        if 2 * (highest - target) <= round_to:
            break
        target = highest // mark * mark
    return target


def _finer_marks(round_to: int, step: int) -> list[int]:
    """Half and a quarter of the rounding step where the rod has them, and its own step, coarsest first."""
    parts = [round_to // parts for parts in (2, 4) if round_to % (parts * step) == 0]
    return [*parts, step] if step < round_to else parts


def rod_on_grade(target_nm: int, level_nm: int, direction: int) -> int:
    """What the rod reads at the zero when the ground there is on grade, nanometres.

    Plain rod (direction -1): backsight + reference height - target. Direct-reading rod (+1): the other way round.

    Args:
        target_nm: Height of the target at the zero.
        level_nm: Height from which readings are told: reference height + backsight for a plain rod, reference
            height - backsight for a direct-reading one.
        direction: +1 where a bigger reading is higher ground.
    """
    return direction * (target_nm - level_nm)


def metres(nm: Ints) -> Floats:
    """Nanometres as metres, where geometry begins."""
    return np.asarray(nm, np.float64) * 1e-9
