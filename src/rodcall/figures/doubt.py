"""How far each shot may be off, and what that does to a verdict at the limit. Nanometres, floats from here on."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from rodcall.book.grid import Grid, GridError
from rodcall.figures.checks import Trust
from rodcall.figures.evidence import Evidence
from rodcall.figures.ground import Floats, Ints, Mask
from rodcall.lengths import parse_length

COVERAGE = 2.0
"""Standard deviations in the half-width: about 19 times in 20 (JCGM 100, 6.3.3)."""


def half_width(step_nm: float, beam_nm: Floats, drift_nm: Floats) -> Floats:
    """Doubt of shots: two standard deviations, the parts combined as root sum of squares (JCGM 100, 5.1.2).

    Each part is a bound with nothing more known inside it, so its standard deviation is the bound over sqrt 3 (JCGM
    100, 4.3.7): half a reading step, which makes step / sqrt 12; the specification times the distance; the drift.

    Args:
        step_nm: Smallest mark that is read.
        beam_nm: How far the beam may be off at each shot: specification times distance.
        drift_nm: How far the level may have moved before each shot.
    """
    result: Floats = COVERAGE * np.sqrt(((step_nm / 2) ** 2 + beam_nm**2 + drift_nm**2) / 3)
    return result


@dataclass(frozen=True, eq=False)
class Guarded:
    """The reading of a limit with doubt in mind, after JCGM 106: flat masks of shots that count."""

    proven_in: Mask
    """Inside even if off by the doubt."""
    proven_out: Mask
    """Outside even so."""
    neither: Mask


@dataclass(frozen=True, eq=False)
class Doubt:
    """Doubt of every shot of a round; means nothing where not shot."""

    trust: Trust
    grid: Grid
    specification: float
    """Of the level, metres per metre (term `laser-spec`)."""

    @cached_property
    def nm(self) -> Floats:
        """Half-width at two standard deviations, flat by position index."""
        return half_width(self.trust.step_nm, self.specification * self.distance_nm, self.drift_nm)

    @property
    def tripod_known(self) -> bool:
        """Whether somebody said where the level stands; if not, the farthest corner of the pad is taken."""
        return bool(self._tripods)

    @cached_property
    def distance_nm(self) -> Floats:
        """From the level to each position, by where it was said to stand when the shot was taken.

        Shots before the first such word go by the first.
        """
        along, across = (each.astype(np.float64).ravel() for each in np.meshgrid(*self._axes, indexing="ij"))
        if not self._tripods:
            away, aside = (np.maximum(at, at.max() - at) for at in (along, across))
            farthest: Floats = np.hypot(away, aside)
            return farthest
        said = np.array([order for order, _, _ in self._tripods])
        which = np.maximum(np.searchsorted(said, self._evidence.order, side="right") - 1, 0)
        stands = np.array([(away, aside) for _, away, aside in self._tripods], np.float64)[which]
        distance: Floats = np.hypot(along - stands[:, 0], across - stands[:, 1])
        return distance

    @cached_property
    def drift_nm(self) -> Floats:
        """How far the level may have moved before each shot.

        Between two checks (or the backsight and a check) no more than the greater of the two shows; after the last one
        as much as is allowed. A check that was decided about shows nothing.
        """
        result = np.full(self._evidence.order.size, float(self._evidence.allowed_drift_nm))
        for setup in np.unique(self._evidence.setup):
            checks = [check for check in self.trust.checks if check.setup == setup and not check.decided]
            if not checks:
                continue
            ends = np.array([check.order for check in checks])
            seen = np.abs(np.array([0, *(check.drift_nm for check in checks)], np.float64))
            greater = np.append(np.maximum(seen[:-1], seen[1:]), self._evidence.allowed_drift_nm)
            here = self._evidence.setup == setup
            result[here] = greater[np.searchsorted(ends, self._evidence.order[here])]
        return result

    def marginal_mask(self, excess_nm: Ints) -> Mask:
        """Shots nearer to their limit than their doubt, on either side; `excess_nm` as of `Tolerance.excess`."""
        mask: Mask = self.trust.counts & (np.abs(excess_nm) < self.nm)
        return mask

    def guarded(self, excess_nm: Ints) -> Guarded:
        """The guarded reading (JCGM 106 and ISO 14253-1, from memory), beside the absolute method of ASTM E29."""
        proven_in = self.trust.counts & (excess_nm + self.nm <= 0)
        proven_out = self.trust.counts & (excess_nm - self.nm > 0)
        return Guarded(proven_in, proven_out, self.trust.counts & ~proven_in & ~proven_out)

    @property
    def _evidence(self) -> Evidence:
        return self.trust.evidence

    @property
    def _axes(self) -> tuple[Ints, Ints]:
        return self.grid.along_nm, self.grid.across_nm

    @cached_property
    def _tripods(self) -> tuple[tuple[int, int, int], ...]:
        """Order of the word, distance away from A1 and to the right of it; words that fit no grid are passed over."""
        found = ((order, tripod_at(said, self.grid)) for order, said in self._evidence.tripods)
        return tuple((order, *place) for order, place in found if place is not None)


def tripod_at(said: str, grid: Grid) -> tuple[int, int] | None:
    """Distances from A1, away and to the right, of a position or of two signed lengths; None off the grid."""
    if "," in said:
        away, aside = (_signed(part.strip()) for part in said.split(","))
        return away, aside
    try:
        row, column = divmod(grid.index(said), grid.across)
    except GridError:
        return None
    return int(grid.along_nm[row]), int(grid.across_nm[column])


def _signed(said: str) -> int:
    length = parse_length(said.lstrip("+-"))
    return -length if said.startswith("-") else length
