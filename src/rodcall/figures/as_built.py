"""What the as-built check says besides the punch list: the verdict of each part, slopes reached, standing water."""

from __future__ import annotations

from rodcall.figures.ground.drainage import Basin
from rodcall.figures.punch_list import PunchList
from rodcall.frozen import Frozen


class SlopeReached(Frozen):
    """A slope that was asked for, and the one that the shots have."""

    side: str
    """`along` or `across`."""
    asked: float
    reached: float
    short: bool
    """Whether it falls short by more than the crew's goal over the pad."""
    drains: bool
    """Whether water runs the way that was asked, on a slope that is steep enough for the surface."""
    part: str = ""
    """The plane of a shaped target that it is of, a phrase; empty where that is one plane."""


class AsBuilt(Frozen):
    """The verdict in all its parts: by the customer's tolerance and the crew's, for the pad and the footprint."""

    pad: PunchList
    pad_goal: PunchList
    footprint: PunchList | None
    """None where there is none."""
    footprint_goal: PunchList | None
    zone: PunchList | None
    """Of the part with a tolerance of its own; None where there is none."""
    slopes: tuple[SlopeReached, ...]
    """Of those asked for."""
    basins: tuple[Basin, ...]
    """Where a slope or a shape was asked: hollows from which water has no way down."""

    @property
    def ponds(self) -> tuple[int, ...]:
        """The positions of all of them, ascending."""
        return tuple(sorted(spot for basin in self.basins for spot in basin.spots))

    @property
    def drains(self) -> bool | None:
        """Whether the pad drains where it should; None where no slope was asked."""
        if not self.slopes:
            return False if self.basins else None
        return all(slope.drains for slope in self.slopes) and not self.basins
