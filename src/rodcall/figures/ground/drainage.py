"""Which way the water runs, whether a slope that was asked for is reached, and where water stands."""

from __future__ import annotations

from collections.abc import Iterator
from heapq import heappop, heappush
from itertools import product
from math import hypot, inf, pi, sin

import numpy as np

from rodcall.book.model.terms import SURFACES
from rodcall.figures.ground.averages import Floats, Mask
from rodcall.frozen import Frozen
from rodcall.i18n import phrase

LEAST_SLOPE = dict(zip(SURFACES, (0.01, 0.01, 0.005), strict=True))
"""What each surface needs to drain, m per m: 1 % on asphalt and 0.5 % on concrete (US Army, Transportation Engineering
Agency of SDDC, parking tutorial on drainage); 1 % as well for "positive drainage" of a lot at all (US Army TI 804-11,
1998, 2-3 b (5)), which is taken for soil and stone."""
ROUNDING = 1e-9
"""What binary fractions may take off a slope that is just steep enough on paper, or add to what just lacks the goal."""
ASIDE = sin(pi / 8)
"""Water is said to run one of eight ways: the one that is nearest."""


class Run(Frozen):
    """The way water takes over a plane."""

    along: int
    """+1 away from the near edge, -1 towards it, 0 neither."""
    across: int
    """+1 to the right, -1 to the left, 0 neither."""

    @property
    def arrow(self) -> str:
        """In signs that every console has, far end up."""
        ahead = {1: "^", -1: "v", 0: ""}[self.along]
        aside = {1: ">", -1: "<", 0: ""}[self.across]
        return ahead + aside or "o"


def water(along: float, across: float, least: float) -> Run:
    """Where water runs on a plane with these slopes (m per m, rising away and to the right): down it, or nowhere.

    Args:
        along: Slope away.
        across: Slope to the right.
        least: What the surface needs to drain.
    """
    steepest = hypot(along, across)
    if is_flat(steepest, least):
        return Run(0, 0)
    return Run(*(0 if abs(rise) < ASIDE * steepest else -1 if rise > 0 else 1 for rise in (along, across)))


def is_flat(slope: float, least: float) -> bool:
    """Is that less than the surface needs to drain?"""
    return slope < least * (1 - ROUNDING)


def drains(
    asked: tuple[float, float],
    reached: tuple[float, float],
    spans_m: tuple[float, float],
    goal_m: float,
    least: float,
) -> tuple[bool, bool]:
    """Does water run the way that was asked, along and across, and is it steep enough for it?

    What both sides have together must be as steep as the surface needs; by as much as the crew's goal is over the pad
    it may be flatter, but never by more than half.

    Args:
        asked: Slopes of the target, along and across, m per m.
        reached: Slopes of the plane through the shots.
        spans_m: Length and width over which they hold.
        goal_m: The crew's own tolerance.
        least: What the surface needs to drain.
    """
    steepest = hypot(*(have for want, have in zip(asked, reached, strict=True) if want))
    span = max((span for want, span in zip(asked, spans_m, strict=True) if want), default=0.0)
    allowed = min(goal_m / span if span else inf, least / 2)
    steep = not is_flat(steepest + allowed, least)
    along, across = (steep and want * have > 0 for want, have in zip(asked, reached, strict=True))
    return along, across


class Shortfall(Frozen):
    """A slope that was asked for and is not reached."""

    side: str
    """`along` or `across`."""
    asked: float
    reached: float
    part: str = ""
    """The plane of a shaped target; empty where that is one plane."""


def shortfalls(
    asked: tuple[float, float], reached: tuple[float, float], spans_m: tuple[float, float], goal_m: float
) -> tuple[Shortfall, ...]:
    """The slopes that fall short of what was asked by more than the crew's goal over the pad.

    Args:
        asked: Slopes of the target, along and across, m per m.
        reached: Slopes of the plane through the shots.
        spans_m: Length and width over which they hold.
        goal_m: The crew's own tolerance.
    """
    found = []
    for side, want, have, span in zip((phrase("along"), phrase("across")), asked, reached, spans_m, strict=True):
        if want == 0.0:
            continue
        lacking = abs(want) - have * (1 if want > 0 else -1)
        if lacking * span > goal_m * (1 + ROUNDING):
            found.append(Shortfall(side, want, have))
    return tuple(found)


class Basin(Frozen):
    """A hollow from which water has no way down until it is full."""

    spots: tuple[int, ...]
    """Positions under water when it is full, that were shot, ascending."""
    deepest: int
    """The position that lies deepest, the first of equals."""
    depth_m: float
    """How deep the water stands there."""
    spills_at: int
    """The position over which it runs off when it is full: the lip."""


def basins(heights_m: Floats, counts: Mask, pad: Mask | None = None, outlets: Mask | None = None) -> tuple[Basin, ...]:
    """Where water stands, by flooding the ground inwards from its edges: of equal neighbours too.

    Water leaves over the outermost positions and where there is no pad; it goes from a position to any of the eight
    around it. The lowest position that water can leave from is always flooded next, so that each is first reached over
    the lowest lip there is (priority-flood; Barnes, Lehman and Mulla, Computers & Geosciences 62, 2014, arXiv
    1511.04463, algorithm 1).

    Args:
        heights_m: Heights, (along, across), all known or estimated.
        counts: Which were shot; an estimate is no pond.
        pad: Which are part of the pad; all when None.
        outlets: Positions inside from which water leaves as well, as the drain of a dish.

    Returns:
        By their first position.
    """
    level, lip = _flooded(heights_m, np.ones(heights_m.shape, np.bool_) if pad is None else pad, outlets)
    depth = level - heights_m.ravel()
    under, shot = depth > 0.0, counts.ravel()
    found, seen = [], ~under
    for first in np.flatnonzero(under).tolist():
        if seen[first]:
            continue
        pool, seen[first] = [first], True
        for spot in pool:  # grows while it is read
            for beside in _around(spot, heights_m.shape):
                if not seen[beside]:
                    seen[beside] = True
                    pool.append(beside)
        spots = sorted(spot for spot in pool if shot[spot])
        if spots:
            deepest = max(spots, key=lambda spot: depth[spot])
            found.append(Basin(tuple(spots), deepest, float(depth[deepest]), lip[first]))
    return tuple(found)


def _flooded(heights_m: Floats, pad: Mask, outlets: Mask | None) -> tuple[Floats, list[int]]:
    """How high water stands at each position when all hollows are full, and the lip it runs off over; both flat."""
    shape = heights_m.shape
    outlet = ~pad if outlets is None else ~pad | outlets
    outlet[[0, -1]] = outlet[:, [0, -1]] = True
    height: list[float] = np.where(pad, heights_m, -inf).ravel().tolist()
    level, lip = height.copy(), list(range(len(height)))
    reached: list[bool] = outlet.ravel().tolist()
    shore = [(level[spot], spot) for spot in np.flatnonzero(outlet).tolist()]
    shore.sort()
    while shore:
        _, spot = heappop(shore)
        for beside in _around(spot, shape):
            if not reached[beside]:
                reached[beside] = True
                if height[beside] < level[spot]:
                    level[beside], lip[beside] = level[spot], lip[spot]
                heappush(shore, (level[beside], beside))
    return np.where(pad.ravel(), level, heights_m.ravel()), lip


def _around(spot: int, shape: tuple[int, ...]) -> Iterator[int]:
    """The positions around one, flat, itself among them."""
    row, column = divmod(spot, shape[1])
    rows = range(max(row - 1, 0), min(row + 2, shape[0]))
    return (r * shape[1] + c for r, c in product(rows, range(max(column - 1, 0), min(column + 2, shape[1]))))
