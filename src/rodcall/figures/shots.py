"""What the shots of one round say by themselves, and how the ground lies between them.

Each figure is worked out when it is first asked for and kept, so that a key pays only for what it shows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT, UNSHOT
from rodcall.book.model.grid import Grid, Walking
from rodcall.book.model.job import Job
from rodcall.book.model.outline import Outline
from rodcall.book.model.terms import Terms
from rodcall.figures.checks.evidence import Evidence
from rodcall.figures.datum import Datum, datum_of
from rodcall.figures.ground import averages
from rodcall.figures.ground.averages import Floats, Ints, Mask, Tilt
from rodcall.figures.ground.cells import Cells
from rodcall.figures.target import Plane, metres
from rodcall.frozen import Frozen


class Spot(Frozen):
    """A value and the position where it stands."""

    index: int
    nm: int


class Shots(Frozen, eq=False):
    """One round of a page: its shots, and the ground between them.

    Heights are whole nanometres told from the zero in force, flat arrays by position index; areas
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

    # -- for the readers ------------------------------------------------------------------------------------

    def in_walking_order(self, mask: Mask) -> tuple[int, ...]:
        """The positions of a flat mask as the helper walks them."""
        if not mask.any():
            return ()
        path = self.walk.path
        return tuple(path[mask[path]].tolist())

    def names(self, indices: Iterable[int]) -> list[str]:
        """Names of positions."""
        return [self.grid.name(index) for index in indices]

    def height_at(self, index: int) -> int | None:
        """Height at a position, nanometres, or None where none counts."""
        return int(self.heights[index]) if self.state[index] == SHOT else None


def indices(mask: Mask) -> tuple[int, ...]:
    """The positions of a flat mask."""
    found: list[int] = np.flatnonzero(mask).tolist()
    return tuple(found)
