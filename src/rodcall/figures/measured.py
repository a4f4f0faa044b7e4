"""Figures of one round from its shots alone, and against the target.

Each figure is worked out when it is first asked for and kept, so that a key pays only for what it shows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT, UNSHOT
from rodcall.book.model.entries import RoundKind
from rodcall.book.model.grid import Grid, Walking
from rodcall.book.model.job import Job
from rodcall.book.model.outline import Outline
from rodcall.book.model.terms import Terms
from rodcall.figures.checks.evidence import Evidence
from rodcall.figures.datum import Datum, datum_of
from rodcall.figures.ground import averages
from rodcall.figures.ground.averages import Floats, Ints, Mask, Tilt
from rodcall.figures.ground.cells import Cells
from rodcall.figures.target import Plane, Tolerance, metres, rod_on_grade, suggested_target


@dataclass(frozen=True)
class Spot:
    """A value and the position where it stands."""

    index: int
    nm: int


@dataclass(frozen=True)
class Differences:
    """Heights minus target over all shots that count, nanometres."""

    highest: Spot
    lowest: Spot
    mean: Fraction
    rms: float
    """Root of the mean square, about the target."""


@dataclass(frozen=True, eq=False)
class Measured:
    """One round of a page: its shots, the ground between them, and the target that they are held against.

    Heights and deviations are whole nanometres told from the zero in force, flat arrays by position index; areas
    in m2. A property is None where there is nothing to say.
    """

    job: Job
    round: int
    """Counted from 1, the existing ground."""
    kind: str
    heights: Ints
    """Above the zero; 0 where not shot."""
    state: NDArray[np.uint8]
    """UNSHOT, SHOT, LEFT_OUT or NOT_PAD."""
    times: Ints
    """How many shots stand at each position; the last counts."""
    kept: Mask
    """Which of them were kept by older books though they do not fit those around them."""
    read_again: Mask
    """Which of them were read again after the first reading in this round."""
    walk: Walking
    """The walking order in force."""
    last: int | None
    """The position written last in this round."""
    zero: int
    outline: Outline | None
    """The pad's edge where it is no full rectangle."""
    denied: Mask
    """Positions that were said to be no part of the pad; those off the outline are besides."""
    chosen: Plane | None
    """The target that was chosen, told from the zero in force."""
    slopes: tuple[float, float]
    """Along and across, as agreed, where no target was chosen."""
    level: int | None
    """Height from which the rod is read, told from the zero in force; None where heights are said directly."""
    direction: int
    """+1 where a bigger reading is higher ground, -1 where it is lower."""
    references: Mapping[str, int]
    """Height of each reference above the zero in force, ZERO among them."""
    references_on_pad: Mapping[str, int]
    """Position of those that lie on the pad."""
    terms: Terms
    """Dirt, stone, machine and lay-out."""
    evidence: Evidence
    """How the shots were taken, and what was checked."""

    # -- the shots ------------------------------------------------------------------------------------------

    @property
    def grid(self) -> Grid:
        """Where the positions lie."""
        return self.job.grid

    @cached_property
    def datum(self) -> Datum:
        """How the pad lies in the drawing's system."""
        return datum_of(self.terms, self.references)

    @cached_property
    def counts(self) -> Mask:
        """Which positions count, flat."""
        mask: Mask = self.state == SHOT
        return mask

    @cached_property
    def counted(self) -> int:
        """How many positions count."""
        return int(np.count_nonzero(self.counts))

    @cached_property
    def missing(self) -> tuple[int, ...]:
        """Positions of the pad neither shot nor left out."""
        return indices(self.state == UNSHOT)

    @cached_property
    def left_out(self) -> tuple[int, ...]:
        """Positions left out."""
        return indices(self.state == LEFT_OUT)

    @cached_property
    def not_pad(self) -> tuple[int, ...]:
        """Positions that are no part of the pad: they count nowhere, and nothing is missing there."""
        return indices(~self.pad)

    @cached_property
    def pad(self) -> Mask:
        """Which positions are part of the pad, flat."""
        mask: Mask = self.state != NOT_PAD
        return mask

    @cached_property
    def positions(self) -> int:
        """How many positions are part of the pad."""
        return int(np.count_nonzero(self.pad))

    @cached_property
    def average(self) -> Fraction | None:
        """Plain mean of the heights that count, exact, in nanometres: what the crew can check on paper."""
        return averages.average(self.heights, self.counts)

    @cached_property
    def spread(self) -> float | None:
        """Sample standard deviation, nanometres."""
        return averages.spread(self.heights, self.counts)

    @cached_property
    def highest(self) -> Spot | None:
        """The highest position that counts."""
        found = averages.extremes(self.heights, self.counts)
        return Spot(found[0], int(self.heights[found[0]])) if found else None

    @cached_property
    def lowest(self) -> Spot | None:
        """The lowest position that counts."""
        found = averages.extremes(self.heights, self.counts)
        return Spot(found[1], int(self.heights[found[1]])) if found else None

    # -- the ground between them ----------------------------------------------------------------------------

    @cached_property
    def along_m(self) -> Floats:
        """Distance of each line from A1, metres."""
        return metres(self.grid.along_nm)

    @cached_property
    def across_m(self) -> Floats:
        """Distance of each column from A1, metres."""
        return metres(self.grid.across_nm)

    @cached_property
    def tilt(self) -> Tilt | None:
        """Least-squares plane through the shots, metres."""
        return averages.tilt(
            metres(self.heights.reshape(self.grid.shape)),
            self.counts.reshape(self.grid.shape),
            self.along_m,
            self.across_m,
        )

    @cached_property
    def tilt_at_zero(self) -> float | None:
        """Height of the fitted plane at the zero, metres."""
        row, column = divmod(self.zero, self.grid.across)
        return float(self.tilt.at(self.along_m[row], self.across_m[column])) if self.tilt else None

    @cached_property
    def surface_m(self) -> Floats | None:
        """Heights in metres, (along, across), all of them known or estimated; None before the first shot.

        Where this round has no shot, the round before stands in, since only what was dug since then differs; where no
        round has one, an estimate from those around it.
        """
        known = self.known.reshape(self.grid.shape)
        heights = metres(self.known_heights.reshape(self.grid.shape))
        # Without a round before these are this round's shots, and their plane is worked out already.
        fitted = averages.tilt(heights, known, self.along_m, self.across_m) if self.from_before.any() else self.tilt
        return averages.filled(heights, known, fitted, self.along_m, self.across_m) if fitted is not None else None

    @cached_property
    def from_before(self) -> Mask:
        """Positions not shot in this round that have a height of the round before, flat; left-out ones among them."""
        mask: Mask = self.pad & ~self.counts & self.evidence.before.shot
        return mask

    @cached_property
    def known(self) -> Mask:
        """Positions that have a height of this round or of the round before, flat."""
        mask: Mask = self.counts | self.from_before
        return mask

    @cached_property
    def known_heights(self) -> Ints:
        """That height, flat; 0 where neither has one."""
        heights: Ints = np.where(self.from_before, self.evidence.before.heights, self.heights)
        return heights

    @cached_property
    def cells(self) -> Cells | None:
        """What is pad between the positions; None where all of the grid is."""
        if self.positions == self.grid.size and self.outline is None:
            return None
        pad = ~self.denied.reshape(self.grid.shape)
        return Cells(self.along_m, self.across_m, self.job.inset * 1e-9, pad, self.outline)

    @cached_property
    def area_weights(self) -> Floats:
        """The area in m2 that each position stands for, (along, across)."""
        if self.cells is not None:
            return self.cells.weights
        return averages.area_weights(self.along_m, self.across_m, self.job.inset * 1e-9)

    @cached_property
    def area_average(self) -> float | None:
        """Mean height over the pad's area, nanometres, of the surface: the round before or estimates fill its gaps."""
        if self.surface_m is None:
            return None
        return float((self.area_weights * self.surface_m).sum() / self.area_weights.sum()) * 1e9

    @cached_property
    def averages_differ(self) -> bool:
        """True when the average by area is a rounding step or more off the plain one."""
        if self.average is None or self.area_average is None:
            return False
        return abs(self.area_average - float(self.average)) >= self.job.round_to

    # -- the target -----------------------------------------------------------------------------------------

    @cached_property
    def suggested(self) -> int | None:
        """The suggested target at the zero, nanometres, for the slopes in force."""
        mean = self.average_above_slope
        return self._suggest(mean) if mean is not None else None

    @cached_property
    def average_above_slope(self) -> Fraction | None:
        """Plain mean of height minus what the slopes in force ask for, exact, in nanometres; the height at the zero."""
        if self.rises.is_level:
            return self.average
        return averages.average(self.heights - self._rise(self.rises), self.counts)

    @property
    def rises(self) -> Plane:
        """The slopes and the shape in force, at any height: the target's, else those agreed."""
        return self.chosen if self.chosen is not None else Plane(0, *self.slopes)

    @cached_property
    def area_average_above_slope(self) -> float | None:
        """The same by area, nanometres."""
        if self.area_average is None:
            return None
        along, across = slopes_of(self.rises)
        if self.cells is not None and self.rises.shape is None:
            # Where a part is missing, the strip outside does not even out on both sides of the middle.
            away, right = self.cells.centre
            row, column = divmod(self.zero, self.grid.across)
            rise_m = along * (away - self.along_m[row]) + across * (right - self.across_m[column])
            return self.area_average - float(rise_m) * 1e9
        rise = self._rise(self.rises).reshape(self.grid.shape)
        return self.area_average - float((self.area_weights * rise).sum() / self.area_weights.sum())

    def chart_range(self, marks: tuple[int, ...]) -> tuple[int, int]:
        """Heights of the target at the zero worth drawing: from the lowest ground to the highest, and all marks."""
        told = (self.known_heights - self._rise(self.target or self.rises))[self.known]
        low, high = min(int(told.min()), *marks), max(int(told.max()), *marks)
        spare = max((high - low) // 10, self.job.round_to)
        return low - spare, high + spare

    def out_at(self, offsets: Sequence[int]) -> list[int]:
        """How many spots would be out of tolerance with the target at each of these heights at the zero."""
        above = (self.heights - self._rise(self.target or self.rises))[self.counts]
        out: Ints = self.tolerance.outside(above[:, None] - np.array(offsets, np.int64)).sum(axis=0)
        return [int(each) for each in out]

    @cached_property
    def suggested_before_dig(self) -> int | None:
        """What is suggested for the ground as it was first shot: digging must not move a target nobody chose."""
        for ground_before in self.evidence.earlier:
            counts = ground_before.state == SHOT
            if counts.any():
                mean = averages.average(ground_before.heights - self._rise(Plane(0, *self.slopes)), counts)
                return self._suggest(mean) if mean is not None else None
        return self.suggested

    @cached_property
    def target(self) -> Plane | None:
        """The chosen target, else the one suggested before the dig with the slopes agreed, else None."""
        if self.chosen is not None or self.suggested_before_dig is None:
            return self.chosen
        return Plane(self.suggested_before_dig, *self.slopes)

    @cached_property
    def target_heights(self) -> Ints | None:
        """Height of the target at each position, nanometres."""
        if self.target is None:
            return None
        if self.target.is_level:
            return np.full(self.grid.size, self.target.offset_nm, np.int64)
        return self.target.offset_nm + self._rise(self.target)

    @cached_property
    def deviations(self) -> Ints | None:
        """Height minus target at each position, nanometres; above 0 is HIGH. Means nothing where not shot."""
        return self.heights - self.target_heights if self.target_heights is not None else None

    @cached_property
    def tolerance(self) -> Tolerance:
        """The customer's, as it is in force."""
        high, low = self.job.tolerance_high, self.job.tolerance_low
        return Tolerance(self.terms.limit("tolerance-high", high), self.terms.limit("tolerance-low", low))

    @cached_property
    def outside_mask(self) -> Mask:
        """Which positions count and lie out of tolerance, flat."""
        if self.deviations is None:
            return np.zeros(self.grid.size, np.bool_)
        return self.tolerance.outside(self.deviations) & self.counts

    @property
    def has_verdict(self) -> bool:
        """Can a spot be out here? Existing ground is not, while its target is only suggested."""
        return self.chosen is not None or self.kind != RoundKind.EXISTING

    @cached_property
    def out_mask(self) -> Mask:
        """Positions that the punch list has as out of tolerance, flat."""
        return self.outside_mask if self.has_verdict else np.zeros(self.grid.size, np.bool_)

    @cached_property
    def outside(self) -> tuple[int, ...]:
        """Positions out of tolerance."""
        return indices(self.outside_mask)

    @cached_property
    def within_tolerance(self) -> int:
        """How many positions count and lie inside the tolerance; 0 without a target."""
        return self.counted - int(np.count_nonzero(self.outside_mask)) if self.deviations is not None else 0

    @cached_property
    def within_goal(self) -> int:
        """How many positions count and lie inside the crew's own goal; 0 without a target."""
        if self.deviations is None:
            return 0
        goal = Tolerance(self.job.goal, self.job.goal)
        return int(np.count_nonzero(self.counts & ~goal.outside(self.deviations)))

    @cached_property
    def worst(self) -> Spot | None:
        """The position that exceeds its limit most, or comes nearest to it, with its deviation."""
        if self.deviations is None or not self.counted:
            return None
        excess = np.where(self.counts, self.tolerance.excess(self.deviations), np.iinfo(np.int64).min)
        index = int(excess.argmax())
        return Spot(index, int(self.deviations[index]))

    @cached_property
    def worst_first(self) -> tuple[int, ...]:
        """Positions out of tolerance, the one that exceeds its limit most first."""
        if self.deviations is None:
            return ()
        outside = np.flatnonzero(self.outside_mask)
        excess = self.tolerance.excess(self.deviations)[outside]
        return tuple(outside[np.argsort(-excess, kind="stable")].tolist())

    @cached_property
    def differences(self) -> Differences | None:
        """How the shots stand to the target, all together; None without a target or a shot."""
        if self.deviations is None or not self.counted:
            return None
        found = averages.extremes(self.deviations, self.counts)
        mean = averages.average(self.deviations, self.counts)
        assert found is not None
        assert mean is not None
        told = self.deviations[self.counts].astype(np.float64)
        high, low = (Spot(index, int(self.deviations[index])) for index in found)
        return Differences(high, low, mean, float(np.sqrt((told * told).mean())))

    @cached_property
    def rod(self) -> int | None:
        """What the rod reads on grade at the zero, nanometres; None where heights are said directly."""
        if self.level is None or self.target is None:
            return None
        return rod_on_grade(self.target.offset_nm, self.level, self.direction)

    def rod_at(self, index: int) -> int | None:
        """What the rod reads at a position when the ground there is on target, nanometres; None as for `rod`."""
        if self.level is None or self.target_heights is None:
            return None
        return rod_on_grade(int(self.target_heights[index]), self.level, self.direction)

    def in_walking_order(self, mask: Mask) -> tuple[int, ...]:
        """The positions of a flat mask as the helper walks them."""
        path = self.walk.path
        return tuple(path[mask[path]].tolist())

    # -- for the readers ------------------------------------------------------------------------------------

    def names(self, indices: Iterable[int]) -> list[str]:
        """Names of positions."""
        return [self.grid.name(index) for index in indices]

    def height_at(self, index: int) -> int | None:
        """Height at a position, nanometres, or None where none counts."""
        return int(self.heights[index]) if self.state[index] == SHOT else None

    def deviation_at(self, index: int) -> int | None:
        """Height minus target at a position, nanometres, or None where either is missing."""
        if self.deviations is None or self.state[index] != SHOT:
            return None
        return int(self.deviations[index])

    def before_at(self, index: int) -> tuple[int, int | None] | None:
        """Height of the round before at a position that this one has not shot, and the same minus the target.

        Nanometres; None where there is none, and in place of the second without a target.
        """
        if not self.from_before[index]:
            return None
        height = int(self.known_heights[index])
        return height, height - int(self.target_heights[index]) if self.target_heights is not None else None

    def _suggest(self, mean: Fraction) -> int:
        return suggested_target(mean, self.job.round_to, self.job.least_drop, self.job.step)

    def _rise(self, plane: Plane) -> Ints:
        zero = divmod(self.zero, self.grid.across)
        return plane.rise(self.grid.along_nm, self.grid.across_nm, zero).ravel()


def slopes_of(plane: Plane) -> tuple[float, float]:
    """Along and across."""
    return plane.along, plane.across


def indices(mask: Mask) -> tuple[int, ...]:
    """The positions of a flat mask."""
    found: list[int] = np.flatnonzero(mask).tolist()
    return tuple(found)
