"""Placing the rod and reading it: how far readings of one spot scatter. Nanometres."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.frozen import Frozen
from rodcall.i18n import Sentence, later
from rodcall.units import FOOT, INCH, MM, Unit

PLACING = {
    Unit.IN: INCH / 16,
    Unit.FT: FOOT * 0.005,
    Unit.MM: 1.5 * MM,
    Unit.CM: 1.5 * MM,
    Unit.M: 1.5 * MM,
}
"""One standard deviation of placing the rod, until enough spots were read again (common practice, no source)."""

ENOUGH_FREEDOM = 10
"""Readings beyond the first of their spot from which the scatter seen is used (our own: its standard deviation is then
good to about 1 / sqrt 20, 22 %; JCGM 100, E.4.3)."""

GROSS = 6.0
"""A spot whose readings lie farther apart than this many standard deviations holds a mistake (our own: two readings of
a normal scatter do so twice in 100,000)."""

_MAD = 1.4826
"""Standard deviation of a normal scatter over its median absolute deviation."""


class Repeatability(Frozen):
    """How far readings of one spot scatter, as one standard deviation."""

    placing_nm: float
    """Of placing the rod alone, without rounding to a mark."""
    scatter_nm: float | None
    """Pooled from the readings, rounding included; None without a spot that was read again."""
    freedom: int
    """Readings beyond the first of their spot, of those pooled."""
    spots: int
    """Spots pooled."""
    gross: int
    """Spots left out because their readings lie too far apart for scatter."""

    @property
    def measured(self) -> bool:
        """Whether the book's own readings say it; else it is the default of common practice."""
        return self.freedom >= ENOUGH_FREEDOM

    @property
    def source(self) -> Sentence:
        """Where the figure comes from."""
        if self.measured:
            return later(
                "{readings} readings of {spots} spots read again, pooled (JCGM 100, 4.2.4), less the mark's share",
                readings=self.freedom + self.spots,
                spots=self.spots,
            )
        return later("common practice, until {number} spots are read again", number=ENOUGH_FREEDOM)


def repeatability(spots: Sequence[Sequence[int]], step_nm: int, unit: Unit) -> Repeatability:
    """Pool the scatter of spots that were read more than once.

    Pooled variance = sum of squares about each spot's mean / sum of (n - 1): the mean square within groups of a one-way
    analysis of variance (JCGM 100, 4.2.4 and H.5, from memory), which is what ISO 17123 calls repeatability.

    Spots whose readings lie farther apart than six standard deviations are left out: those are mistakes, a foot
    for one, and no scatter. The standard deviation that this is measured by is robust: 1.4826 times the median
    absolute deviation of all readings, each times sqrt(n / (n - 1)) for its spot's size, and never less than the
    default with rounding (our own).

    What scatters holds the rounding to a mark already, which is counted as a part of its own: placing = sqrt(scatter^2
    - step^2 / 12), 0 where that is below 0. So both together are the scatter seen, and never less than rounding alone:
    readings that all fall on the same mark do not show that it was hit.

    Args:
        spots: Heights read at one spot from one set-up, two or more each.
        step_nm: Smallest mark that is read.
        unit: Of the job; it says which default serves until there is enough.
    """
    default, rounding = PLACING[unit], step_nm / 12**0.5
    if not spots:
        return Repeatability(default, None, 0, 0, 0)
    sizes = np.array([len(spot) for spot in spots])
    heights = np.array([height for spot in spots for height in spot], np.int64)
    of_spot, begins = np.repeat(np.arange(sizes.size), sizes), np.append(0, np.cumsum(sizes)[:-1])
    off = _from_mean(heights, of_spot, sizes, begins)
    alike = off * np.sqrt(sizes / (sizes - 1.0))[of_spot]
    robust = max(_MAD * float(np.median(np.abs(alike))), float(np.hypot(default, rounding)))
    apart = np.maximum.reduceat(heights, begins) - np.minimum.reduceat(heights, begins)
    sound: Mask = apart <= GROSS * robust
    freedom = int((sizes[sound] - 1).sum())
    gross = int(sizes.size - np.count_nonzero(sound))
    if not freedom:
        return Repeatability(default, None, 0, 0, gross)
    squares = float((off[sound[of_spot]] ** 2).sum())
    scatter = (squares / freedom) ** 0.5
    placing = max(scatter**2 - rounding**2, 0.0) ** 0.5 if freedom >= ENOUGH_FREEDOM else default
    return Repeatability(placing, scatter, freedom, int(np.count_nonzero(sound)), gross)


def _from_mean(heights: Ints, of_spot: Ints, sizes: Ints, begins: Ints) -> Floats:
    """Each height minus the mean of its spot; taken from the spot's first height, so that no digit is lost."""
    from_first = heights - heights[begins][of_spot]
    means = np.bincount(of_spot, weights=from_first, minlength=sizes.size) / sizes
    result: Floats = from_first - means[of_spot]
    return result
