"""All figures of one page in one frozen object, for screens, sheets and shell.

Each figure is worked out when it is first asked for and kept, so that a key pays only for what it shows.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from rodcall.book.fold.page import Page
from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT
from rodcall.book.model.entries import Readings, Target
from rodcall.figures.as_built import AsBuilt
from rodcall.figures.checks.evidence import evidence, state_of
from rodcall.figures.drained import Drained
from rodcall.figures.earthwork import volumes
from rodcall.figures.earthwork.design import shape_of
from rodcall.figures.earthwork.dirt import Dirt, soil_of
from rodcall.figures.earthwork.machine import Undermined, undermined
from rodcall.figures.earthwork.volumes import Earth, Grade, Surface
from rodcall.figures.ground import averages
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.inspection import punch_list
from rodcall.figures.punch_list import Doubts, PunchList, Verdict
from rodcall.figures.shots import Spot
from rodcall.figures.target import Plane, metres
from rodcall.i18n import phrase, say

# What the first screen does not show is imported when it is asked for: a crew that was interrupted waits for that.
if TYPE_CHECKING:
    from rodcall.figures.earthwork.dig import DigPlan, Exit
    from rodcall.figures.earthwork.haul import Progress
    from rodcall.figures.earthwork.zones import ZonePlan
    from rodcall.figures.outliers.judging import Awaited
    from rodcall.figures.outliers.line_mistakes import BadLine
    from rodcall.figures.outliers.mistakes import Way
    from rodcall.figures.outliers.outlier import Bust

__all__ = ["THE_ZERO", "Spot", "Summary", "summarise"]

THE_ZERO = phrase("the zero")
"""What the zero is called among the points on the pad; no reference can have a blank in its name."""


class Summary(Drained, eq=False):
    """One round of a page, and everything computed from it."""

    # -- readings that do not fit ---------------------------------------------------------------------------

    def search_busts(self) -> Iterator[tuple[Bust, ...] | None]:
        """The same as `busts`, in steps of some milliseconds: None after each, and at last what was found."""
        from rodcall.figures.outliers.first_shots import FEWEST
        from rodcall.figures.outliers.search import search

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

    def awaited(self, index: int) -> Awaited | None:
        """What is expected of the reading that is being typed for a position; None where few others are there."""
        from rodcall.figures.outliers.judging import awaited

        shape = self.grid.shape
        heights, counts = self.heights.reshape(shape), self.counts.reshape(shape)
        return awaited(heights, counts, index, self.along_m, self.across_m)

    def judged(
        self, index: int, said: str = "", aside: Sequence[int] = (), awaited: Awaited | None = None
    ) -> Bust | None:
        """What speaks against the reading at a position; None where it fits, or there is no other.

        Args:
            index: The position; it is shot.
            said: The reading as it was typed.
            aside: Positions whose readings are not listened to.
            awaited: What was expected while it was typed, if that is known.
        """
        from rodcall.figures.outliers.judging import judge

        shape = self.grid.shape
        heights, counts = self.heights.reshape(shape), self.counts.reshape(shape)
        if aside:
            counts = counts.copy()
            counts.flat[list(aside)] = False
        last, zero = self._last_shot, self.zero
        return judge(
            *(heights, counts, index, self.along_m, self.across_m, self.way_at(index), said),
            last=last,
            zero=zero,
            awaited=awaited,
        )

    @property
    def _last_shot(self) -> int:
        """The position shot last."""
        return int(np.where(self.counts, self.evidence.order, -1).argmax())

    @cached_property
    def doubts(self) -> Doubts:
        """All readings and lines that do not fit; long work on a big pad."""
        lines = [found[0] for row in self.complete_lines if (found := self.line_mistakes(row))]
        return Doubts(self.busts or (), lines)

    @property
    def complete_lines(self) -> list[int]:
        """Rows of the grid of which every position counts."""
        whole: list[int] = np.flatnonzero(self.counts.reshape(self.grid.shape).all(axis=1)).tolist()
        return whole

    @cached_property
    def punch_list(self) -> PunchList:
        """All that is open before the pad is proven; long work on a big pad, as `doubts`."""
        return punch_list(self, self.doubts)

    def punch_list_knowing(self, doubts: Doubts) -> PunchList:
        """The same by the doubts that are known so far: what a key can wait for."""
        return punch_list(self, doubts)

    def line_mistakes(self, row: int) -> tuple[BadLine, ...]:
        """What may have gone wrong with a line of positions as a whole, best explanation first."""
        from rodcall.figures.outliers.line_mistakes import line_mistakes

        shape = self.grid.shape
        heights, counts = self.heights.reshape(shape), self.counts.reshape(shape)
        way = self.way_at(row * self.grid.across)
        found = line_mistakes(heights, counts, row, self.along_m, self.across_m, way)
        pad = self.pad.reshape(shape)[row]
        # No mistake moved a reading to where no pad is.
        return tuple(each for each in found if not (each.counts & ~pad).any())

    def way_at(self, index: int) -> Way:
        """How the reading that counts at a position was taken."""
        from rodcall.figures.outliers.mistakes import Way

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
            self._surface(self.surface_m),
            Grade(
                plane.offset_nm * 1e-9, plane.along, plane.across, self.along_m[row], self.across_m[column], plane.shape
            ),
            soil_of(self.terms, self.job.shrink),
            self.terms,
        )

    def _surface(self, heights_m: Floats) -> Surface:
        pad = None if self.cells is None else self.cells.pad
        return Surface(heights_m, self.along_m, self.across_m, self.job.inset * 1e-9, pad, self.outline)

    def with_target(self, plane: Plane) -> Summary:
        """The same page with another target, to see what it would cost; what hangs on the ground alone is kept."""
        other = replace(self, chosen=plane)
        other.__dict__.update({name: self.__dict__[name] for name in _OF_THE_GROUND if name in self.__dict__})
        if self.target is not None and self.dirt is not None and self.target.rises_as(plane):
            other.__dict__["dirt"] = self.dirt.at(plane.offset_nm * 1e-9)
        return other

    @property
    def area_m2(self) -> float:
        """Area of the pad, without what is no part of it."""
        if self.cells is not None:
            return self.cells.area
        return self.job.length * self.job.width * 1e-18

    @cached_property
    def covered(self) -> float:
        """Share of the pad, 0 to 1, that rests on real shots."""
        return volumes.covered(self.area_weights, self.counts.reshape(self.grid.shape))

    @cached_property
    def estimated(self) -> Ints | None:
        """Heights of the surface, nearest nanometre, flat: those shot are exact; None before the first shot."""
        if self.surface_m is None:
            return None
        estimates = np.rint(self.surface_m.ravel() * 1e9).astype(np.int64)
        return np.where(self.counts, self.heights, estimates)

    # -- what hangs on the target ---------------------------------------------------------------------------

    @cached_property
    def undermined(self) -> tuple[Undermined, ...]:
        """The zero and the references on the pad that the target in force digs away or buries."""
        if self.target_heights is None or self.estimated is None:
            return ()
        points = {THE_ZERO: self.zero, **self.references_on_pad}
        points = {name: at for name, at in points.items() if self.pad[at]}
        by_index = {at: int(self.estimated[at] - self.target_heights[at]) for at in points.values()}
        return undermined(points, by_index, self.job.goal)

    @cached_property
    def keep_out(self) -> Mask:
        """Positions that neither give nor take dirt: left out, not pad, and the footprint's corners (stakes).

        Where all that is left are such corners, as on a pad of four spots, the dirt is moved there all the same.
        """
        mask: Mask = (self.state == LEFT_OUT) | (self.state == NOT_PAD)
        if self.footprint is not None:
            staked = mask.copy()
            staked[list(self.footprint.corners(self.grid))] = True
            mask = mask if staked.all() else staked
        return mask

    def dig(self, progress: Progress | None = None) -> DigPlan | None:
        """The moves of least haul in order of work; long work on a big pad. None before the first shot."""
        # Only this page wants it, and the first screen should not wait for it.
        from rodcall.figures.earthwork.dig import Machine, plan_dig

        if self.dirt is None:
            return None
        keep_out = self.keep_out.reshape(self.grid.shape)
        return plan_dig(
            *self.dirt.at_spots(keep_out),
            self.along_m,
            self.across_m,
            Machine(self.terms.length("lane") * 1e-9, self.terms.number("bucket")),
            shrink=self.dirt.soil.shrink,
            swell=self.dirt.soil.loose - 1.0,
            leave_by=self._leave_by,
            keep_out=keep_out,
            leave=self.near_enough.reshape(self.grid.shape),
            progress=progress,
        )

    @property
    def _leave_by(self) -> Exit:
        """Where the machine leaves the pad."""
        from rodcall.figures.earthwork.dig import Exit

        return Exit(self.terms.word("exit").replace("-", " "))

    @cached_property
    def near_enough(self) -> Mask:
        """Positions shot within the crew tolerance of the target, flat: nothing is dug or filled there."""
        if self.target_heights is None:
            return np.zeros(self.grid.size, np.bool_)
        return self.known & ~self.crew_limits.outside(self.known_heights - self.target_heights)

    def zones(self, plan: DigPlan) -> ZonePlan:
        """The order of work in a few areas of cut and of fill, from its single moves."""
        from rodcall.figures.earthwork.zones import zones

        return zones(
            plan,
            self.along_m,
            self.across_m,
            self.area_weights.ravel(),
            self._leave_by,
            in_halves=self.terms.word("dig-by") == "halves",
            first=self.out_mask if self.terms.word("dig-by") == "out-first" else None,
            least_m3=self.terms.number("bucket") / self.dirt.soil.loose if self.dirt is not None else 0.0,
        )

    @cached_property
    def moved_since_first(self) -> Earth | None:
        """Earth dug (`cut`) and filled (`fill`) from the existing ground to this round, m3; None in the first.

        The volumes between the two surfaces; what one of them lacks is estimated as it is for cut and fill.
        """
        if not self.evidence.earlier or self.surface_m is None:
            return None
        first = self.evidence.earlier[0]
        heights, known = metres(first.heights.reshape(self.grid.shape)), (first.state == SHOT).reshape(self.grid.shape)
        fitted = averages.tilt(heights, known, self.along_m, self.across_m)
        if fitted is None:
            return None
        before = averages.filled(heights, known, fitted, self.along_m, self.across_m)
        return self._surface(before - self.surface_m).over(Grade(0.0)).at(0.0)

    # -- is it proven ---------------------------------------------------------------------------------------

    @property
    def verdict(self) -> Verdict:
        """Is the pad proven by the customer's tolerance?"""
        return self.punch_list.verdict

    @cached_property
    def as_built(self) -> AsBuilt:
        """The verdict in all its parts."""
        footprint = self.footprint.inside(self.grid) if self.footprint is not None else None
        crew = self.punch_list.with_out(np.flatnonzero(self._beyond_goal).tolist())
        return AsBuilt(
            pad=self.punch_list,
            pad_goal=crew,
            footprint=None if footprint is None else self.punch_list.within(footprint),
            zone=None if self.zone is None else self.punch_list.within(self.zone.inside),
            footprint_goal=None if footprint is None else crew.within(footprint),
            slopes=self.slopes_reached,
            basins=self.standing_water,
        )

    @property
    def _beyond_goal(self) -> Mask:
        if self.deviations is None or self.chosen is None:
            return np.zeros(self.grid.size, np.bool_)
        return self.crew_limits.outside(self.deviations) & self.counts


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
    state = state_of(page, shots)
    return Summary(
        job=page.job,
        round=number,
        kind=str(shots.kind),
        heights=np.where(state == SHOT, shots.datum_nm - zero_level, 0),
        state=state,
        times=shots.times.copy(),
        kept=shots.kept.copy(),
        read_again=shots.read_again.copy(),
        walk=page.walk,
        last=shots.last,
        zero=page.zero_index,
        outline=page.outline,
        denied=page.denied,
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
    grid, entry = page.grid, line.entry
    plane = Plane(line.datum_nm - page.zero_level_nm, entry.slope_along, entry.slope_across, shape_of(entry, grid))
    if line.index == page.zero_index or plane.is_level:
        return plane
    rise = plane.rise(grid.along_nm, grid.across_nm, divmod(line.index, grid.across)).flat[page.zero_index]
    return replace(plane, offset_nm=plane.offset_nm + int(rise))


_OF_THE_GROUND = (
    *("counts", "counted", "missing", "left_out", "not_pad", "pad", "positions", "cells"),
    *("average", "spread", "highest", "lowest", "along_m", "across_m"),
    *("tilt", "tilt_at_zero", "surface_m", "area_weights", "area_average", "averages_differ", "covered", "estimated"),
    *("from_before", "known", "known_heights"),
    *("trust", "uncertainty", "busts", "doubts"),
)
"""What no target changes."""
