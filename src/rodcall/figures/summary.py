"""All that follows from one page, in one frozen object: the only thing that screens, sheets and shell read.

Each figure is worked out when it is first asked for and kept, so that a key pays only for what it shows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rodcall.book.entries import Target
from rodcall.book.grid import Grid
from rodcall.book.job import Job
from rodcall.book.page import LEFT_OUT, SHOT, UNSHOT, Page
from rodcall.book.terms import Terms
from rodcall.figures import as_built, earthwork, ground
from rodcall.figures.dirt import Dirt, soil_of
from rodcall.figures.drainage import Run, Shortfall, shortfalls, water
from rodcall.figures.earthwork import Grade, Surface
from rodcall.figures.ground import Floats, Ints, Mask, Tilt
from rodcall.figures.layout import Footprint, Part, part
from rodcall.figures.machine import Undermined, undermined
from rodcall.figures.target import Plane, Tolerance, metres, rod_on_grade, slope_rise, suggested_target

if TYPE_CHECKING:
    from rodcall.figures.dig import DigPlan
    from rodcall.figures.haul import Progress


@dataclass(frozen=True)
class Spot:
    """A value and the position where it stands."""

    index: int
    nm: int


@dataclass(frozen=True, eq=False)
class Summary:
    """One round of a page, and everything computed from it.

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
    """UNSHOT, SHOT or LEFT_OUT."""
    times: Ints
    """How many shots stand at each position; the last counts."""
    zero: int
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

    # -- the shots ------------------------------------------------------------------------------------------

    @property
    def grid(self) -> Grid:
        """Where the positions lie."""
        return self.job.grid

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
        """Positions neither shot nor left out."""
        return _indices(self.state == UNSHOT)

    @cached_property
    def left_out(self) -> tuple[int, ...]:
        """Positions left out."""
        return _indices(self.state == LEFT_OUT)

    @cached_property
    def average(self) -> Fraction | None:
        """Plain mean of the heights that count, exact, in nanometres: what the crew can check on paper."""
        return ground.average(self.heights, self.counts)

    @cached_property
    def spread(self) -> float | None:
        """Sample standard deviation, nanometres."""
        return ground.spread(self.heights, self.counts)

    @cached_property
    def highest(self) -> Spot | None:
        """The highest position that counts."""
        found = ground.extremes(self.heights, self.counts)
        return Spot(found[0], int(self.heights[found[0]])) if found else None

    @cached_property
    def lowest(self) -> Spot | None:
        """The lowest position that counts."""
        found = ground.extremes(self.heights, self.counts)
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
        return ground.tilt(
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
        """Heights in metres, (along, across), estimated where not shot; None before the first shot."""
        if self.tilt is None:
            return None
        heights = metres(self.heights.reshape(self.grid.shape))
        return ground.filled(heights, self.counts.reshape(self.grid.shape), self.tilt, self.along_m, self.across_m)

    @cached_property
    def area_weights(self) -> Floats:
        """The area in m2 that each position stands for, (along, across)."""
        return ground.area_weights(self.along_m, self.across_m, self.job.inset * 1e-9)

    @cached_property
    def area_average(self) -> float | None:
        """Mean height over the pad's area, nanometres; estimates stand in where nothing was shot."""
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
        return suggested_target(mean, self.job.round_to, self.job.least_drop) if mean is not None else None

    @cached_property
    def average_above_slope(self) -> Fraction | None:
        """Plain mean of height minus what the slopes in force ask for, exact, in nanometres; the height at the zero."""
        along, across = _slopes(self.chosen) if self.chosen else self.slopes
        if not (along or across):
            return self.average
        return ground.average(self.heights - self._rise(along, across), self.counts)

    @cached_property
    def area_average_above_slope(self) -> float | None:
        """The same by area, nanometres."""
        if self.area_average is None:
            return None
        along, across = _slopes(self.chosen) if self.chosen else self.slopes
        rise = self._rise(along, across).reshape(self.grid.shape)
        return self.area_average - float((self.area_weights * rise).sum() / self.area_weights.sum())

    def chart_range(self, marks: tuple[int, ...]) -> tuple[int, int]:
        """Heights of the target at the zero worth drawing: from the lowest ground to the highest, and all marks."""
        along, across = _slopes(self.target) if self.target else self.slopes
        told = (self.heights - self._rise(along, across))[self.counts]
        low, high = min(int(told.min()), *marks), max(int(told.max()), *marks)
        spare = max((high - low) // 10, self.job.round_to)
        return low - spare, high + spare

    @cached_property
    def target(self) -> Plane | None:
        """The chosen target, else the suggested one with the slopes agreed, else None."""
        if self.chosen is not None or self.suggested is None:
            return self.chosen
        return Plane(self.suggested, *self.slopes)

    @cached_property
    def target_heights(self) -> Ints | None:
        """Height of the target at each position, nanometres."""
        if self.target is None:
            return None
        if not (self.target.along or self.target.across):
            return np.full(self.grid.size, self.target.offset_nm, np.int64)
        return self.target.offset_nm + self._rise(self.target.along, self.target.across)

    @cached_property
    def deviations(self) -> Ints | None:
        """Height minus target at each position, nanometres; above 0 is HIGH. Means nothing where not shot."""
        return self.heights - self.target_heights if self.target_heights is not None else None

    @cached_property
    def tolerance(self) -> Tolerance:
        """What the customer wants."""
        return Tolerance(self.job.tolerance_high, self.job.tolerance_low)

    @cached_property
    def outside_mask(self) -> Mask:
        """Which positions count and lie out of tolerance, flat."""
        if self.deviations is None:
            return np.zeros(self.grid.size, np.bool_)
        return self.tolerance.outside(self.deviations) & self.counts

    @cached_property
    def outside(self) -> tuple[int, ...]:
        """Positions out of tolerance."""
        return _indices(self.outside_mask)

    @cached_property
    def within_tolerance(self) -> int:
        """How many positions count and lie inside the tolerance; 0 without a target."""
        return self.counted - len(self.outside) if self.deviations is not None else 0

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
    def rod(self) -> int | None:
        """What the rod reads on grade at the zero, nanometres; None where heights are said directly."""
        if self.level is None or self.target is None:
            return None
        return rod_on_grade(self.target.offset_nm, self.level, self.direction)

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
        if self.target is not None and self.dirt is not None and _slopes(self.target) == _slopes(plane):
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
        points = {"the zero": self.zero, **self.references_on_pad}
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

    # -- the verdict ----------------------------------------------------------------------------------------

    @cached_property
    def finding(self) -> as_built.Finding:
        """Is the pad proven, and if not, why not."""
        return as_built.judge(
            missing=len(self.missing),
            left_out=len(self.left_out),
            outside=len(self.outside),
            check_trouble="no check shot after the last shot",
        )

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

    def _rise(self, along: float, across: float) -> Ints:
        zero = divmod(self.zero, self.grid.across)
        return slope_rise(self.grid.along_nm, self.grid.across_nm, zero, along, across).ravel()


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
        raise ValueError(f"there is no round {round_number}; this job has {len(counted)}")
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
        zero=page.zero_index,
        chosen=_chosen(page),
        slopes=(page.job.slope_along, page.job.slope_across),
        level=setup.datum_nm - zero_level if setup is not None else None,
        direction=page.readings.direction,
        references=page.references,
        references_on_pad=page.references_on_pad,
        terms=page.terms,
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
)
"""What no target changes."""


def _slopes(plane: Plane) -> tuple[float, float]:
    return plane.along, plane.across


def _indices(mask: Mask) -> tuple[int, ...]:
    return tuple(int(index) for index in np.flatnonzero(mask))
