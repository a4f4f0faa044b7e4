"""Where water runs on the target and on the ground as found: slopes reached, what is too flat, and standing water."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property

import numpy as np

from rodcall.figures.as_built import SlopeReached
from rodcall.figures.earthwork.facets import Facet, MachinePlane, drain_of, facets, machine_planes
from rodcall.figures.ground import averages
from rodcall.figures.ground.averages import Floats
from rodcall.figures.ground.drainage import (
    LEAST_SLOPE,
    Basin,
    Run,
    Shortfall,
    basins,
    drains,
    is_flat,
    shortfalls,
    water,
)
from rodcall.figures.measured import slopes_of
from rodcall.figures.target import metres
from rodcall.figures.trusted import Trusted
from rodcall.frozen import Frozen
from rodcall.i18n import phrase

SIDES = phrase("along"), phrase("across")
LEAST_DEPTH_M = 1e-6
"""Of water that a design holds: what is less comes of rounding to whole nanometres."""


class _Asked(Frozen):
    """Slopes that one plane of the target asks for, and those of the plane through the shots on it."""

    part: str
    asked: tuple[float, float]
    reached: tuple[float, float]
    spans_m: tuple[float, float]


class Drained(Trusted, eq=False):
    """One round of a page, and the water on it."""

    @cached_property
    def water(self) -> Run | None:
        """Which way water runs on the target where it slopes, else on the ground as shot; None where it is shaped."""
        if self.target is not None and self.target.shape is not None:
            return None
        if self.target is not None and (self.target.along or self.target.across):
            return water(self.target.along, self.target.across, self.least_slope)
        return water(self.tilt.along, self.tilt.across, self.least_slope) if self.tilt is not None else None

    @property
    def least_slope(self) -> float:
        """What the surface needs to drain, m per m."""
        return LEAST_SLOPE[self.terms.word("surface")]

    @cached_property
    def facets(self) -> tuple[Facet, ...]:
        """The planes of a shaped target; none of a plane, or of a height a position."""
        return facets(self.target, self.grid, self.pad) if self.target is not None and self.target.shape else ()

    @cached_property
    def machine_planes(self) -> tuple[MachinePlane, ...]:
        """What the machine takes for each plane of a shaped target."""
        if self.target_heights is None:
            return ()
        return machine_planes(self.facets, self.target_heights, self.grid, self.zero)

    @cached_property
    def flat_target(self) -> float | None:
        """The slope that the target asks for, where it slopes but is too flat to drain; else None."""
        if self.target is None or self.target.shape is not None:
            return None
        slope = float(np.hypot(*slopes_of(self.target)))
        return slope if slope and is_flat(slope, self.least_slope) else None

    @cached_property
    def flat_facets(self) -> tuple[Facet, ...]:
        """The planes of a shaped target that are there to shed water and are too flat for it."""
        return tuple(each for each in self.facets if each.sheds and is_flat(each.slope, self.least_slope))

    @cached_property
    def design_basins(self) -> tuple[Basin, ...]:
        """Where a shaped target would hold water itself; the drain of a dish is a way out."""
        if self.target is None or self.target.shape is None or self.target_heights is None:
            return ()
        design = metres(self.target_heights).reshape(self.grid.shape)
        return tuple(each for each in self._basins(design, whole=True) if each.depth_m > LEAST_DEPTH_M)

    @cached_property
    def shortfalls(self) -> tuple[Shortfall, ...]:
        """Slopes that the target asks for and the shots do not reach, each of its planes by itself."""
        goal = self.job.goal * 1e-9
        return tuple(
            replace(short, part=each.part)
            for each in self._asked
            for short in shortfalls(each.asked, each.reached, each.spans_m, goal)
        )

    @cached_property
    def slopes_reached(self) -> tuple[SlopeReached, ...]:
        """Each slope that was asked, with the one that the shots have and whether water runs there."""
        short = {(each.part, each.side) for each in self.shortfalls}
        found = []
        for each in self._asked:
            running = drains(each.asked, each.reached, each.spans_m, self.job.goal * 1e-9, self.least_slope)
            for side, want, have, runs in zip(SIDES, each.asked, each.reached, running, strict=True):
                if want:
                    found.append(SlopeReached(side, want, have, (each.part, side) in short, runs, each.part))
        return tuple(found)

    @cached_property
    def standing_water(self) -> tuple[Basin, ...]:
        """Where a slope or a shape was asked: hollows of the ground as shot from which water has no way down."""
        shaped = self.target is not None and self.target.shape is not None
        if self.surface_m is None or not (shaped or self.slopes_reached):
            return ()
        return self._basins(self.surface_m, whole=False)

    def _basins(self, heights_m: Floats, *, whole: bool) -> tuple[Basin, ...]:
        counts = self.pad if whole else self.counts
        drain = drain_of(self.target, self.grid) if self.target is not None else None
        shape = self.grid.shape
        outlets = drain.reshape(shape) if drain is not None else None
        return basins(heights_m, counts.reshape(shape), self.pad.reshape(shape), outlets)

    @cached_property
    def _asked(self) -> tuple[_Asked, ...]:
        return tuple(self._asked_and_reached())

    def _asked_and_reached(self) -> Iterator[_Asked]:
        if self.target is None or self.tilt is None:
            return
        if self.target.shape is None:
            spans = float(self.along_m[-1]), float(self.across_m[-1])
            yield _Asked("", slopes_of(self.target), (self.tilt.along, self.tilt.across), spans)
            return
        shape = self.grid.shape
        heights, counts = metres(self.heights.reshape(shape)), self.counts.reshape(shape)
        for facet in self.facets:
            shot = counts & facet.spots
            rows, columns = np.flatnonzero(shot.any(axis=1)), np.flatnonzero(shot.any(axis=0))
            # A plane needs shots on two lines and two columns; a crease alone tells of no slope beside it.
            if rows.size < 2 or columns.size < 2:
                continue
            fitted = averages.tilt(heights, shot, self.along_m, self.across_m)
            assert fitted is not None
            spans = float(np.ptp(self.along_m[rows])), float(np.ptp(self.across_m[columns]))
            yield _Asked(facet.name, (facet.along, facet.across), (fitted.along, fitted.across), spans)
