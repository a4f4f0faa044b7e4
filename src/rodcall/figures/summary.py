"""All that follows from one page, in one frozen object: the only thing that screens, sheets and shell read.

Each figure is worked out when it is first asked for and kept, so that a key pays only for what it shows.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from rodcall.book.entries import Readings, Target
from rodcall.book.page import Page
from rodcall.book.round_page import LEFT_OUT, SHOT, UNSHOT
from rodcall.figures import earthwork
from rodcall.figures.as_built import AsBuilt, Finding, SlopeReached, check_trouble, judge, ponds
from rodcall.figures.checks import Trust
from rodcall.figures.dirt import Dirt, soil_of
from rodcall.figures.drainage import Run, Shortfall, shortfalls, water
from rodcall.figures.earthwork import Grade, Surface
from rodcall.figures.evidence import evidence
from rodcall.figures.ground import Ints, Mask
from rodcall.figures.layout import Footprint, Part, part
from rodcall.figures.machine import Undermined, undermined
from rodcall.figures.measured import Measured, Spot, indices, slopes_of
from rodcall.figures.target import Plane, Tolerance, metres, slope_rise
from rodcall.language import phrase, say
from rodcall.lengths import Unit

# What the first screen does not show is imported when it is asked for: a crew that was interrupted waits for that.
if TYPE_CHECKING:
    from rodcall.figures.busts import Bust
    from rodcall.figures.dig import DigPlan
    from rodcall.figures.doubt import Doubt, Guarded
    from rodcall.figures.haul import Progress
    from rodcall.figures.levelling import LaserResult, LevelRun
    from rodcall.figures.line_mistakes import BadLine
    from rodcall.figures.mistakes import Way
    from rodcall.figures.rounds import Change, Offset, Tally

__all__ = ["THE_ZERO", "Spot", "Summary", "summarise"]

THE_ZERO = phrase("the zero")
"""What the zero is called among the points on the pad; no reference can have a blank in its name."""


@dataclass(frozen=True, eq=False)
class Summary(Measured):
    """One round of a page, and everything computed from it."""

    # -- readings that do not fit ---------------------------------------------------------------------------

    def search_busts(self) -> Iterator[tuple[Bust, ...] | None]:
        """The same as `busts`, in steps of some milliseconds: None after each, and at last what was found."""
        from rodcall.figures.bust_search import search
        from rodcall.figures.plausible import FEWEST

        if self.counted < FEWEST:
            return iter(())
        shape = self.grid.shape
        heights, counts = self.heights.reshape(shape), self.counts.reshape(shape)
        return search(heights, counts, self.along_m, self.across_m, self.way_at, self._last_shot, self.zero)

    @cached_property
    def busts(self) -> tuple[Bust, ...] | None:
        """Readings that do not fit their neighbours, from the second shot on; None before.

        Long work on a big pad: some 2 s for 10,000 shots.
        """
        last = deque(self.search_busts(), maxlen=1)
        return last.pop() if last else None

    def judged(self, index: int, said: str = "") -> Bust | None:
        """What speaks against the reading at a position; None where it fits, or there is no other.

        Args:
            index: The position; it is shot.
            said: The reading as it was typed.
        """
        from rodcall.figures.busts import judge

        shape = self.grid.shape
        heights, counts = self.heights.reshape(shape), self.counts.reshape(shape)
        last, zero = self._last_shot, self.zero
        return judge(
            heights, counts, index, self.along_m, self.across_m, self.way_at(index), said, last=last, zero=zero
        )

    @property
    def _last_shot(self) -> int:
        """The position shot last."""
        return int(np.where(self.counts, self.evidence.order, -1).argmax())

    def line_mistakes(self, row: int) -> tuple[BadLine, ...]:
        """What may have gone wrong with a line of positions as a whole, best explanation first."""
        from rodcall.figures.line_mistakes import line_mistakes

        shape = self.grid.shape
        heights, counts = self.heights.reshape(shape), self.counts.reshape(shape)
        way = self.way_at(row * self.grid.across)
        return line_mistakes(heights, counts, row, self.along_m, self.across_m, way)

    def way_at(self, index: int) -> Way:
        """How the reading that counts at a position was taken."""
        from rodcall.figures.mistakes import Way

        order = int(self.evidence.setup[index])
        setup = next((setup for setup in self.evidence.setups if setup.order == order), None)
        if setup is None:
            return Way(self.job.heights, self.job.step)
        readings = Readings.ROD if setup.direction == Readings.ROD.direction else Readings.DIRECT_ROD
        return Way(self.job.heights, self.job.step, readings, setup.level_nm)

    # -- dirt and stone -------------------------------------------------------------------------------------

    @cached_property
    def dirt(self) -> Dirt | None:
        """What the target in force costs; None before the first shot."""
        return self.dirt_at(self.target) if self.target is not None else None

    def dirt_at(self, plane: Plane) -> Dirt | None:
        """What another target would cost; None before the first shot."""
        if self.surface_m is None:
            return None
        row, column = divmod(self.zero, self.grid.across)
        return Dirt(
            Surface(self.surface_m, self.along_m, self.across_m, self.job.inset * 1e-9),
            Grade(plane.offset_nm * 1e-9, plane.along, plane.across, self.along_m[row], self.across_m[column]),
            soil_of(self.terms, self.job.shrink),
            self.terms,
        )

    def with_target(self, plane: Plane) -> Summary:
        """The same page with another target, to see what it would cost; what hangs on the ground alone is kept."""
        other = replace(self, chosen=plane)
        other.__dict__.update({name: self.__dict__[name] for name in _OF_THE_GROUND if name in self.__dict__})
        if self.target is not None and self.dirt is not None and slopes_of(self.target) == slopes_of(plane):
            other.__dict__["dirt"] = self.dirt.at(plane.offset_nm * 1e-9)
        return other

    @property
    def area_m2(self) -> float:
        """Area of the pad."""
        return self.job.length * self.job.width * 1e-18

    @cached_property
    def covered(self) -> float:
        """Share of the pad, 0 to 1, that rests on real shots."""
        return earthwork.covered(self.area_weights, self.counts.reshape(self.grid.shape))

    @cached_property
    def estimated(self) -> Ints | None:
        """Heights with an estimate where none was shot, nearest nanometre, flat; None before the first shot."""
        if self.surface_m is None:
            return None
        estimates = np.rint(self.surface_m.ravel() * 1e9).astype(np.int64)
        return np.where(self.counts, self.heights, estimates)

    # -- what hangs on the target ---------------------------------------------------------------------------

    @cached_property
    def water(self) -> Run | None:
        """Which way water runs on the target where it slopes, else on the ground as shot."""
        if self.target is not None and (self.target.along or self.target.across):
            return water(self.target.along, self.target.across)
        return water(self.tilt.along, self.tilt.across) if self.tilt is not None else None

    @cached_property
    def shortfalls(self) -> tuple[Shortfall, ...]:
        """Slopes that the target asks for and the shots do not reach."""
        if self.target is None or self.tilt is None:
            return ()
        asked, reached = (self.target.along, self.target.across), (self.tilt.along, self.tilt.across)
        spans = float(self.along_m[-1]), float(self.across_m[-1])
        return shortfalls(asked, reached, spans, self.job.goal * 1e-9)

    @cached_property
    def undermined(self) -> tuple[Undermined, ...]:
        """The zero and the references on the pad that the target in force digs away or buries."""
        if self.target_heights is None or self.estimated is None:
            return ()
        points = {THE_ZERO: self.zero, **self.references_on_pad}
        by_index = {at: int(self.estimated[at] - self.target_heights[at]) for at in points.values()}
        return undermined(points, by_index, self.job.goal)

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
        return part(inside, self.counts, self.outside_mask), part(~inside, self.counts, self.outside_mask)

    @cached_property
    def keep_out(self) -> Mask:
        """Positions that neither give nor take dirt: those left out, and the footprint's corners with their stakes."""
        mask: Mask = self.state == LEFT_OUT
        if self.footprint is not None:
            mask[list(self.footprint.corners(self.grid))] = True
        return mask

    def dig(self, progress: Progress | None = None) -> DigPlan | None:
        """The moves of least haul in order of work; long work on a big pad. None before the first shot."""
        # Only this page wants it, and the first screen should not wait for it.
        from rodcall.figures.dig import Exit, Machine, plan_dig

        if self.estimated is None or self.target_heights is None or self.dirt is None:
            return None
        deviation = metres(self.estimated - self.target_heights).reshape(self.grid.shape)
        volumes = deviation * self.area_weights
        return plan_dig(
            np.maximum(volumes, 0.0),
            np.maximum(-volumes, 0.0),
            self.along_m,
            self.across_m,
            Machine(self.terms.length("lane") * 1e-9, self.terms.number("bucket")),
            shrink=self.dirt.soil.shrink,
            swell=self.dirt.soil.loose - 1.0,
            leave_by=Exit(self.terms.word("exit").replace("-", " ")),
            keep_out=self.keep_out.reshape(self.grid.shape),
            progress=progress,
        )

    # -- can it be trusted, is it proven ----------------------------------------------------------------------

    @cached_property
    def trust(self) -> Trust:
        """What the check shots say, and which shots are suspect."""
        along, across = np.meshgrid(self.along_m, self.across_m, indexing="ij")
        return Trust(self.evidence, self.counts, self.terms, along.ravel(), across.ravel(), self.job.step)

    @cached_property
    def doubt(self) -> Doubt:
        """How far each shot may be off."""
        from rodcall.figures.doubt import Doubt

        return Doubt(self.trust, self.grid, self.terms.number("laser-spec"))

    @cached_property
    def marginal(self) -> tuple[int, ...]:
        """Positions nearer to their limit than their doubt, inside or out."""
        return indices(self.marginal_mask)

    @cached_property
    def marginal_mask(self) -> Mask:
        """The same, flat."""
        if self.deviations is None:
            return np.zeros(self.grid.size, np.bool_)
        return self.doubt.marginal_mask(self.tolerance.excess(self.deviations))

    @cached_property
    def guarded(self) -> Guarded | None:
        """The limits read with doubt in mind; None without a target."""
        return self.doubt.guarded(self.tolerance.excess(self.deviations)) if self.deviations is not None else None

    @property
    def finding(self) -> Finding:
        """Is the pad proven by the customer's tolerance, and if not, why not."""
        return self.as_built.pad

    @cached_property
    def as_built(self) -> AsBuilt:
        """The verdict in all its parts."""
        goal = Tolerance(self.job.goal, self.job.goal)
        footprint = self.footprint.inside(self.grid) if self.footprint is not None else None
        short = {each.side for each in self.shortfalls}
        asked, tilt = self.target, self.tilt
        slopes = (
            ((phrase("along"), asked.along, tilt.along), (phrase("across"), asked.across, tilt.across))
            if asked is not None and tilt is not None
            else ()
        )
        reached = tuple(SlopeReached(side, want, have, side in short) for side, want, have in slopes if want)
        return AsBuilt(
            pad=self._judged(self.outside_mask),
            pad_goal=self._judged(self._beyond(goal), goal=True),
            footprint=None if footprint is None else self._judged(self.outside_mask, footprint),
            footprint_goal=None if footprint is None else self._judged(self._beyond(goal), footprint, goal=True),
            slopes=reached,
            ponds=ponds(self.surface_m, self.counts.reshape(self.grid.shape))
            if reached and self.surface_m is not None
            else (),
        )

    def _judged(self, outside: Mask, part: Mask | None = None, goal: bool = False) -> Finding:
        def count(mask: Mask) -> int:
            return int(np.count_nonzero(mask if part is None else mask & part))

        return judge(
            missing=count(self.state == UNSHOT),
            left_out=count(self.state == LEFT_OUT),
            outside=count(outside),
            suspect=count(self.trust.suspect_mask),
            check_trouble=check_trouble(self.trust, self.job.heights),
            goal=goal,
        )

    def _beyond(self, tolerance: Tolerance) -> Mask:
        if self.deviations is None:
            return np.zeros(self.grid.size, np.bool_)
        return tolerance.outside(self.deviations) & self.counts

    # -- the rounds, the levels, the instrument --------------------------------------------------------------

    @cached_property
    def change(self) -> Change | None:
        """What became of the ground since the round before; None in the first, or without a target."""
        from rodcall.figures.rounds import Change

        if not self.evidence.earlier or self.target_heights is None:
            return None
        before, now = self.evidence.earlier[-1], self.evidence.here
        return Change(before, now, self.target_heights, self.tolerance, self.job.step)

    def tallies(self, part: Mask | None = None) -> tuple[Tally, ...]:
        """How many positions were in, out and unshot in each round up to this one, by the target in force.

        Args:
            part: Flat mask of the footprint or the apron; None for the whole pad.
        """
        from rodcall.figures.rounds import tally

        if self.target_heights is None:
            return ()
        rounds = (*self.evidence.earlier, self.evidence.here)
        return tuple(tally(each, self.target_heights, self.tolerance, part) for each in rounds)

    @cached_property
    def offset(self) -> Offset | None:
        """An offset from the target that nearly all shots share, the stone's thickness for one."""
        from rodcall.figures.rounds import constant_offset

        if self.deviations is None:
            return None
        return constant_offset(self.deviations, self.counts, self.terms.length("stone"), self.job.goal)

    @cached_property
    def stage(self) -> str | None:
        """What the rod stood on at every shot of the round; None where it differs."""
        from rodcall.figures.rounds import common_stage

        return common_stage(self.evidence.here.stage, self.counts)

    @cached_property
    def level_runs(self) -> tuple[LevelRun, ...]:
        """The level notes, a run of setups each."""
        from rodcall.figures.levelling import level_runs

        return level_runs(self.evidence)

    def allowed_closure(self, run: LevelRun) -> float:
        """What a run may miss a known reference by, nanometres: the term, else the published rule.

        Its length is not in the book: each setup is taken for one diagonal of the pad, which allows rather too little.
        """
        from rodcall.figures.levelling import allowed_closure

        length_m = run.setups * float(np.hypot(self.job.length, self.job.width)) * 1e-9
        feet = self.job.heights in (Unit.IN, Unit.FT)
        return self.terms.length("closure") or allowed_closure(length_m, feet=feet)

    @cached_property
    def laser_results(self) -> tuple[LaserResult, ...]:
        """The tests of the instrument, oldest first."""
        from rodcall.figures.levelling import laser_result

        specification = self.terms.number("laser-spec")
        results = (laser_result(check, specification) for check in self.evidence.laser_checks)
        return tuple(result for result in results if result is not None)


def summarise(page: Page, round_number: int | None = None) -> Summary:
    """Sum up a page as it stands.

    Args:
        page: What the book folded into.
        round_number: Which round, from 1 (the existing ground); the round in force when None.

    Raises:
        ValueError: when there is no such round; one line.
    """
    counted = page.rounds_counted
    if round_number is not None and not 1 <= round_number <= len(counted):
        raise ValueError(
            say("there is no round {number}; this job has {count}", number=round_number, count=len(counted))
        )
    number = round_number or len(counted)
    shots = page.rounds[counted[number - 1]]
    zero_level = page.zero_level_nm
    setup = page.setup
    return Summary(
        job=page.job,
        round=number,
        kind=str(shots.kind),
        heights=np.where(shots.state == SHOT, shots.datum_nm - zero_level, 0),
        state=shots.state.copy(),
        times=shots.times.copy(),
        kept=shots.kept.copy(),
        zero=page.zero_index,
        chosen=_chosen(page),
        slopes=(page.job.slope_along, page.job.slope_across),
        level=setup.datum_nm - zero_level if setup is not None else None,
        direction=page.readings.direction,
        references=page.references,
        references_on_pad=page.references_on_pad,
        terms=page.terms,
        evidence=evidence(page, number),
    )


def _chosen(page: Page) -> Plane | None:
    """The chosen target as it reads from the zero in force; the plane itself stays where it was chosen."""
    line = page.target
    if line is None or not isinstance(line.entry, Target):
        return None
    along, across = line.entry.slope_along, line.entry.slope_across
    rise = 0
    if line.index != page.zero_index and (along or across):
        grid = page.grid
        chosen_at = divmod(line.index, grid.across)
        rise = int(slope_rise(grid.along_nm, grid.across_nm, chosen_at, along, across).flat[page.zero_index])
    return Plane(line.datum_nm + rise - page.zero_level_nm, along, across)


_OF_THE_GROUND = (
    *("counts", "counted", "missing", "left_out", "average", "spread", "highest", "lowest", "along_m", "across_m"),
    *("tilt", "tilt_at_zero", "surface_m", "area_weights", "area_average", "averages_differ", "covered", "estimated"),
    *("trust", "doubt", "busts"),
)
"""What no target changes."""
