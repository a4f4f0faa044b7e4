"""Figures of one round against the target.

Each figure is worked out when it is first asked for and kept, so that a key pays only for what it shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property

import numpy as np

from rodcall.book.fold.round_page import SHOT
from rodcall.book.model.entries import RoundKind
from rodcall.book.model.terms import MARGINS
from rodcall.figures.ground import averages
from rodcall.figures.ground.averages import Ints, Mask
from rodcall.figures.layout import Footprint, Part, Zone, part, zone_of
from rodcall.figures.shots import Shots, Spot, indices
from rodcall.figures.target import Limits, Plane, Tolerance, rod_on_grade, suggested_target
from rodcall.frozen import Frozen


class Differences(Frozen):
    """Heights minus target over all shots that count, nanometres."""

    highest: Spot
    lowest: Spot
    mean: Fraction
    rms: float
    """Root of the mean square, about the target."""


class Measured(Shots, eq=False):
    """One round of a page, held against its target.

    Deviations are height minus target, whole nanometres, flat arrays by position index; above 0 is HIGH.
    """

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
        told = (self.known_heights - self._rise(self.rises))[self.known]
        low, high = min(int(told.min()), *marks), max(int(told.max()), *marks)
        spare = max((high - low) // 10, self.job.round_to)
        return low - spare, high + spare

    def out_at(self, offsets: Sequence[int]) -> list[int]:
        """How many spots would be out of tolerance with the target at each of these heights at the zero."""
        above = (self.heights - self._rise(self.rises))[self.counts]
        limits = self.limits.at(self.counts)
        out: Ints = limits.outside(above[:, None] - np.array(offsets, np.int64)).sum(axis=0)
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
    def zone(self) -> Zone | None:
        """The part of the pad with a tolerance of its own; None where none was set or nothing of the pad lies in it."""
        return zone_of(self.terms, self.grid, self.pad, self.outline, self.tolerance)

    @property
    def zone_said(self) -> tuple[object, ...]:
        """Where the zone is and what its tolerance is, as the terms have it: another one is seen by it."""
        return tuple(self.terms.said.get(name) for name in ("zone", "zone-high", "zone-low", *MARGINS))

    @cached_property
    def limits(self) -> Limits:
        """The tolerance at each position, flat."""
        high, low = (np.full(self.grid.size, nm, np.int64) for nm in (self.tolerance.high_nm, self.tolerance.low_nm))
        if self.zone is not None:
            high[self.zone.inside], low[self.zone.inside] = self.zone.tolerance.high_nm, self.zone.tolerance.low_nm
        return Limits(high, low)

    @cached_property
    def crew_limits(self) -> Limits:
        """The crew's own tolerance at each position: in a zone never wider than the zone's."""
        goal = self.job.goal
        high, low = (np.full(self.grid.size, goal, np.int64) for _ in range(2))
        if self.zone is not None:
            inside, allowed = self.zone.inside, self.zone.tolerance
            high[inside], low[inside] = min(goal, allowed.high_nm), min(goal, allowed.low_nm)
        return Limits(high, low)

    @cached_property
    def outside_mask(self) -> Mask:
        """Which positions count and lie out of tolerance, flat."""
        if self.deviations is None:
            return np.zeros(self.grid.size, np.bool_)
        return self.limits.outside(self.deviations) & self.counts

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
        return int(np.count_nonzero(self.counts & ~self.crew_limits.outside(self.deviations)))

    @cached_property
    def footprint(self) -> Footprint | None:
        """What stands on the pad, where its margins were set and it fits."""
        margins = self.terms.footprint
        footprint = Footprint(*margins) if margins is not None else None
        return footprint if footprint is not None and footprint.fits(self.grid) else None

    @cached_property
    def parts(self) -> tuple[Part, Part] | None:
        """The positions in the footprint and those on the apron around it; None without a footprint."""
        if self.footprint is None:
            return None
        inside = self.footprint.inside(self.grid)
        apron = part(~inside & self.pad, self.counts, self.outside_mask)
        return part(inside & self.pad, self.counts, self.outside_mask), apron

    @cached_property
    def zone_part(self) -> Part | None:
        """The positions of the zone with a tolerance of its own; None where there is none."""
        return part(self.zone.inside, self.counts, self.outside_mask) if self.zone is not None else None

    @cached_property
    def worst(self) -> Spot | None:
        """The position that exceeds its limit most, or comes nearest to it, with its deviation."""
        if self.deviations is None or not self.counted:
            return None
        excess = np.where(self.counts, self.limits.excess(self.deviations), averages.LOWEST)
        index = int(excess.argmax())
        return Spot(index, int(self.deviations[index]))

    @cached_property
    def worst_first(self) -> tuple[int, ...]:
        """Positions out of tolerance, the one that exceeds its limit most first."""
        if self.deviations is None:
            return ()
        outside = np.flatnonzero(self.outside_mask)
        excess = self.limits.excess(self.deviations)[outside]
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
