"""Whether the heights of one round can be trusted: checks, plus/minus, the rounds before, levels and instrument."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from rodcall.figures.checks.check_shots import Trust
from rodcall.figures.ground.averages import Mask
from rodcall.figures.measured import Measured
from rodcall.figures.shots import Spot, indices
from rodcall.units import Unit

# What the first screen does not show is imported when it is asked for: a crew that was interrupted waits for that.
if TYPE_CHECKING:
    from rodcall.figures.checks.levelling import LaserResult, LevelRun
    from rodcall.figures.checks.rounds import Offset, RoundChange, Tally
    from rodcall.figures.uncertainty.budget import Guarded, Uncertainty


class Trusted(Measured, eq=False):
    """One round of a page, held against its check shots, its plus/minus and the rounds before.

    Lengths are nanometres; a property is None where there is nothing to say.
    """

    # -- can it be trusted, is it proven ----------------------------------------------------------------------

    @cached_property
    def trust(self) -> Trust:
        """What the check shots say, and which shots are suspect."""
        along, across = np.meshgrid(self.along_m, self.across_m, indexing="ij")
        return Trust(self.evidence, self.counts, self.terms, along.ravel(), across.ravel(), self.job.step)

    @cached_property
    def uncertainty(self) -> Uncertainty:
        """Plus/minus of each shot, and what it is made of."""
        from rodcall.figures.uncertainty.budget import Uncertainty

        return Uncertainty(self.trust, self.grid, self.terms.number("laser-spec"), self.job.heights)

    @cached_property
    def largest_uncertainty(self) -> Spot | None:
        """The position with the largest plus/minus of those that count, nearest nanometre; None before the first."""
        if not self.counted:
            return None
        index = int(np.where(self.counts, self.uncertainty.nm, -1.0).argmax())
        return Spot(index, round(float(self.uncertainty.nm[index])))

    @cached_property
    def coarse_at(self) -> int | None:
        """The position whose plus/minus is half of its nearer limit or more, the worst of several; None for none.

        The nearer limit is the smaller of the two; where one is 0, half of the other (our own).
        """
        from rodcall.figures.uncertainty.budget import nearer_limit

        if not self.counted:
            return None
        share = np.where(self.counts, 2 * self.uncertainty.nm / np.maximum(nearer_limit(self.limits), 1.0), 0.0)
        worst = int(share.argmax())
        return worst if share[worst] >= 1.0 else None

    @cached_property
    def expected_out(self) -> float | None:
        """How many shots read inside are to be expected out of tolerance; None without a target or a shot."""
        if self.deviations is None or not self.counted:
            return None
        return float(self.uncertainty.risk(self.deviations, self.limits).sum())

    @property
    def too_close(self) -> bool:
        """Are more shots to be expected out although read inside than a proof can bear: more than one in ten?"""
        from rodcall.figures.uncertainty.budget import TOO_CLOSE

        return self.expected_out is not None and self.expected_out > TOO_CLOSE * self.counted

    @cached_property
    def marginal(self) -> tuple[int, ...]:
        """Positions too close to call: nearer to their limit than their plus/minus, inside or out."""
        return indices(self.marginal_mask)

    @cached_property
    def marginal_mask(self) -> Mask:
        """The same, flat."""
        if self.deviations is None:
            return np.zeros(self.grid.size, np.bool_)
        return self.uncertainty.marginal_mask(self.limits.excess(self.deviations))

    @cached_property
    def guarded(self) -> Guarded | None:
        """The limits read allowing for uncertainty; None without a target."""
        return self.uncertainty.guarded(self.limits.excess(self.deviations)) if self.deviations is not None else None

    # -- the rounds, the levels, the instrument --------------------------------------------------------------

    @cached_property
    def change(self) -> RoundChange | None:
        """What became of the ground since the round before; None in the first, or without a target."""
        from rodcall.figures.checks.rounds import RoundChange

        if not self.evidence.earlier or self.target_heights is None:
            return None
        before, now = self.evidence.earlier[-1], self.evidence.here
        return RoundChange(before, now, self.target_heights, self.limits, self.job.step)

    def tallies(self, part: Mask | None = None) -> tuple[Tally, ...]:
        """How many positions were in, out and unshot in each round up to this one, by the target in force.

        Args:
            part: Flat mask of the footprint or the apron; None for the whole pad.
        """
        from rodcall.figures.checks.rounds import tally

        if self.target_heights is None:
            return ()
        rounds = (*self.evidence.earlier, self.evidence.here)
        return tuple(tally(each, self.target_heights, self.limits, part) for each in rounds)

    @cached_property
    def offset(self) -> Offset | None:
        """An offset from the target that nearly all shots share, the stone's thickness for one."""
        from rodcall.figures.checks.rounds import constant_offset

        if self.deviations is None:
            return None
        return constant_offset(self.deviations, self.counts, self.terms.length("stone"), self.job.goal)

    @cached_property
    def stage(self) -> str | None:
        """What the rod stood on at every shot of the round; None where it differs."""
        from rodcall.figures.checks.rounds import common_stage

        return common_stage(self.evidence.here.stage, self.counts)

    @cached_property
    def level_runs(self) -> tuple[LevelRun, ...]:
        """The level notes, a run of setups each."""
        from rodcall.figures.checks.levelling import level_runs

        return level_runs(self.evidence)

    def closure_allowed(self, setups: int) -> float:
        """What a line of levels of so many set-ups may miss a known reference by, nanometres: the term, else a rule."""
        return self.terms.length("closure") or self.published_closure(setups)

    def published_closure(self, setups: int) -> float:
        """The published rule for so many set-ups, nanometres, but never less than the rod's mark.

        The line's length is not in the book: each set-up is taken for one diagonal of the pad, which allows rather
        too little.
        """
        from rodcall.figures.checks.levelling import allowed_closure

        length_m = setups * float(np.hypot(self.job.length, self.job.width)) * 1e-9
        return max(allowed_closure(length_m, feet=self.job.heights in (Unit.IN, Unit.FT)), float(self.job.step))

    @cached_property
    def laser_results(self) -> tuple[LaserResult, ...]:
        """The tests of the instrument, oldest first."""
        from rodcall.figures.checks.levelling import laser_result

        specification = self.terms.number("laser-spec")
        results = (laser_result(check, specification) for check in self.evidence.laser_checks)
        return tuple(result for result in results if result is not None)
