"""What the as-built check says besides the punch list: the verdict of each part, slopes reached, standing water."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodcall.figures.drainage import FLAT
from rodcall.figures.ground import Floats, Mask
from rodcall.figures.punch_list import PunchList


@dataclass(frozen=True)
class SlopeReached:
    """A slope that was asked for, and the one that the shots have."""

    side: str
    """`along` or `across`."""
    asked: float
    reached: float
    short: bool
    """Whether it falls short by more than the crew's goal over the pad."""

    @property
    def drains(self) -> bool:
        """Whether water runs the way that was asked: steeper than flat, and the same way."""
        return abs(self.reached) >= FLAT and self.reached * self.asked > 0


@dataclass(frozen=True)
class AsBuilt:
    """The verdict in all its parts: by the customer's tolerance and the crew's, for the pad and the footprint."""

    pad: PunchList
    pad_goal: PunchList
    footprint: PunchList | None
    """None where there is none."""
    footprint_goal: PunchList | None
    slopes: tuple[SlopeReached, ...]
    """Of those asked for."""
    ponds: tuple[int, ...]
    """Where a slope was asked: positions from which water has no way down."""

    @property
    def drains(self) -> bool | None:
        """Whether the pad drains where it should; None where no slope was asked."""
        return all(slope.drains for slope in self.slopes) and not self.ponds if self.slopes else None


def ponds(heights_m: Floats, counts: Mask, pad: Mask | None = None) -> tuple[int, ...]:
    """Positions inside the pad that lie below all of their eight neighbours: there water stands.

    A position beside one that is no part of the pad lies at the pad's edge, where water is taken to leave it.

    Args:
        heights_m: Heights, (along, across), all known or estimated.
        counts: Which were shot; an estimate is no pond.
        pad: Which are part of the pad; all when None.

    Returns:
        Flat indices.
    """
    rows, columns = heights_m.shape
    inner, open_beside = heights_m[1:-1, 1:-1], heights_m if pad is None else np.where(pad, heights_m, -np.inf)
    around = [
        open_beside[1 + down : rows - 1 + down, 1 + right : columns - 1 + right]
        for down in (-1, 0, 1)
        for right in (-1, 0, 1)
        if down or right
    ]
    low = np.zeros(heights_m.shape, np.bool_)
    if inner.size:
        low[1:-1, 1:-1] = inner < np.minimum.reduce(around)
    return tuple(int(index) for index in np.flatnonzero(low & counts))
