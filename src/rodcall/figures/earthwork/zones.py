"""The order of work as one drives by it: a few areas of cut and of fill, where the dirt of each goes, far end first.

Which dirt goes where is the plan of least haul over the single spots (`dig`); zones only gather its spots, so that no
haul is lost by them. Spots are gathered by Ward's method (J. Am. Stat. Assoc. 58, 1963, 236-244): those two groups of
one kind are joined that add least to the sum of volume x squared distance from the middle, until few are left. So zones
are compact, and the more dirt there is, the finer. Zones are worked from far to near as seen from the exit, in an order
in which finished ground never lies between the machine and its way out.

Arrays over the grid are flat, a position by its index. Volumes are m3 bank measure: dirt as it lies.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rodcall.figures.earthwork.dig import DigPlan, Exit
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.frozen import Frozen

MOST_ZONES = 12
"""More than that nobody keeps in the head."""
MOST_GROUPS = 400
"""Where joining begins with the spots themselves; on a bigger pad with blocks of them."""


class Passing(NamedTuple):
    """Dirt that one zone gives to another."""

    zone: int | None
    """Index of the other zone; None for off the pad: a pile, or a truck."""
    bank_m3: float


class Zone(Frozen):
    """An area that is cut, or one that is filled."""

    is_cut: bool
    spots: tuple[int, ...]
    """Positions, ascending."""
    bank_m3: float
    """What is cut, or the cut that its fill takes."""
    depth_m: float
    """Mean depth of cut or fill over its area."""
    gives: tuple[Passing, ...]
    """Where its dirt goes, or where it comes from; the most first."""


class ZonePlan(Frozen):
    """All zones in order of work; empty where nothing is to be moved."""

    zones: tuple[Zone, ...]

    @property
    def moved_m3(self) -> float:
        """From zone to zone."""
        return sum(to.bank_m3 for zone in self.zones if zone.is_cut for to in zone.gives if to.zone is not None)


def zones(
    plan: DigPlan,
    along_m: Floats,
    across_m: Floats,
    areas_m2: Floats,
    leave_by: Exit,
    *,
    in_halves: bool = False,
    first: Mask | None = None,
    least_m3: float = 0.0,
    most: int = MOST_ZONES,
) -> ZonePlan:
    """Gather a plan of least haul into zones, in order of work.

    Args:
        plan: Which dirt goes where.
        along_m: Distance of each line from the near one, metres.
        across_m: Distance of each column from the left one, metres.
        areas_m2: Area that each position stands for, flat.
        leave_by: Where the machine leaves the pad.
        in_halves: The half of the pad farther from the exit is finished before the other.
        first: Positions whose zones come before the others, as those out of tolerance; flat.
        least_m3: What a zone is worth driving to for: smaller ones are joined with others of their kind. A bucket.
        most: Zones, four at least.
    """
    places = _places(along_m, across_m)
    exit_at = _exit_place(along_m, across_m, leave_by)
    half = _half(places, across_m, leave_by) if in_halves else np.zeros(len(places), np.intp)
    flows = _flows(plan)
    amounts = {sign: np.zeros(len(places)) for sign in (True, False)}
    for flow in flows:
        for spot, is_cut in ((flow.source, True), (flow.sink, False)):
            if spot is not None:
                amounts[is_cut][spot] += flow.bank_m3
    groups = _gather(amounts, places, half, most, least_m3)
    rank = half if first is None else 2 * half + first
    order = _in_order([spots for _, spots in groups], places, exit_at, rank, (along_m.size, across_m.size))
    groups = [groups[at] for at in order]
    zone_of = {(is_cut, spot): number for number, (is_cut, spots) in enumerate(groups) for spot in spots.tolist()}
    passed: list[defaultdict[int | None, float]] = [defaultdict(float) for _ in groups]
    for flow in flows:
        source = None if flow.source is None else zone_of[True, flow.source]
        sink = None if flow.sink is None else zone_of[False, flow.sink]
        if source is not None:
            passed[source][sink] += flow.bank_m3
        if sink is not None:
            passed[sink][source] += flow.bank_m3
    return ZonePlan(
        tuple(
            Zone(
                is_cut,
                tuple(sorted(spots.tolist())),
                float(amounts[is_cut][spots].sum()),
                float(amounts[is_cut][spots].sum() / areas_m2[spots].sum()),
                tuple(Passing(*each) for each in sorted(passed[at].items(), key=lambda pair: -pair[1])),
            )
            for at, (is_cut, spots) in enumerate(groups)
        ),
    )


class _Flow(NamedTuple):
    """What one spot gives to another; None for off the pad."""

    source: int | None
    sink: int | None
    bank_m3: float


def _flows(plan: DigPlan) -> list[_Flow]:
    """All dirt of a plan, spot by spot, with what is left over and what is short."""
    inside = [_Flow(load.source, load.sink, load.bank_m3) for load in plan.loads]
    over = (_Flow(at, None, volume) for at, volume in enumerate(plan.left_over_m3.ravel().tolist()) if volume)
    short = (_Flow(None, at, volume) for at, volume in enumerate(plan.short_m3.ravel().tolist()) if volume)
    return [*inside, *over, *short]


def _gather(
    amounts: dict[bool, Floats], places: Floats, half: NDArray[np.intp], most: int, least_m3: float
) -> list[tuple[bool, NDArray[np.intp]]]:
    """Spots by zone; cut and fill apart, and the halves apart."""
    members: list[tuple[bool, NDArray[np.intp]]] = []
    kinds: list[int] = []
    for is_cut, amount in amounts.items():
        for side in np.unique(half):
            spots = np.flatnonzero((amount > 0) & (half == side))
            for block in _blocks(spots, places):
                members.append((is_cut, block))
                kinds.append(2 * int(side) + is_cut)
    if not members:
        return []
    kind = np.array(kinds)
    weight = np.array([amounts[is_cut][spots].sum() for is_cut, spots in members])
    middle = np.array([np.average(places[spots], axis=0, weights=amounts[is_cut][spots]) for is_cut, spots in members])
    # What joining two groups adds to volume x squared distance; groups of two kinds are never joined.
    cost = _ward(weight, middle, kind)
    alive = np.ones(len(members), np.bool_)
    while True:
        if int(alive.sum()) > most:
            one, other = divmod(int(cost.argmin()), len(members))
        else:
            # The smallest that can be joined at all.
            small = alive & (weight < least_m3) & np.isfinite(cost).any(axis=1)
            if not small.any():
                break
            one = int(np.where(small, weight, np.inf).argmin())
            other = int(cost[one].argmin())
        if not np.isfinite(cost[one, other]):
            break
        members[one] = members[one][0], np.concatenate((members[one][1], members[other][1]))
        both = weight[one] + weight[other]
        middle[one] = (weight[one] * middle[one] + weight[other] * middle[other]) / both
        weight[one], alive[other] = both, False
        cost[other], cost[:, other] = np.inf, np.inf
        row = _ward_of(one, weight, middle, kind)
        row[~alive] = np.inf
        cost[one], cost[:, one] = row, row
    return [member for member, is_alive in zip(members, alive.tolist(), strict=True) if is_alive]


def _ward(weight: Floats, middle: Floats, kind: NDArray[np.intp]) -> Floats:
    return np.array([_ward_of(one, weight, middle, kind) for one in range(weight.size)])


def _ward_of(one: int, weight: Floats, middle: Floats, kind: NDArray[np.intp]) -> Floats:
    """What joining one group to each other adds; infinite where they may not be joined."""
    apart = ((middle - middle[one]) ** 2).sum(axis=1)
    cost: Floats = np.where(kind == kind[one], weight * weight[one] / (weight + weight[one]) * apart, np.inf)
    cost[one] = np.inf
    return cost


def _blocks(spots: NDArray[np.intp], places: Floats) -> list[NDArray[np.intp]]:
    """Single spots, or the spots of each square block where there are too many to begin with."""
    if spots.size <= MOST_GROUPS // 2:
        return [spots[at : at + 1] for at in range(spots.size)]
    low, span = places[spots].min(axis=0), np.ptp(places[spots], axis=0).max()
    side = span / (MOST_GROUPS // 4) ** 0.5
    numbers = np.floor((places[spots] - low) / side).astype(np.int64)
    _, block = np.unique(numbers, axis=0, return_inverse=True)
    return [spots[block.ravel() == at] for at in range(int(block.max()) + 1)]


def _in_order(
    groups: list[NDArray[np.intp]], places: Floats, exit_at: Floats, rank: NDArray[np.intp], shape: tuple[int, int]
) -> list[int]:
    """Groups by the highest rank of their spots, then from far to near; those to come can be driven to from the exit.

    Of those that block nothing the farthest comes next; where each would, the farthest of all.
    """
    away = np.array([np.hypot(*(places[spots] - exit_at).T).mean() for spots in groups])
    before = np.array([rank[spots].max() for spots in groups])
    left = sorted(range(len(groups)), key=lambda at: (-before[at], -away[at]))
    # Rounded, so that of two as near the first is taken on every machine.
    start = int(np.hypot(*(places - exit_at).T).round(6).argmin())
    finished = np.zeros(len(places), np.bool_)
    order = []
    while left:
        chosen = next((at for at in left if _all_reached(groups, left, at, finished, start, shape)), left[0])
        order.append(chosen)
        left.remove(chosen)
        finished[groups[chosen]] = True
    return order


def _all_reached(
    groups: list[NDArray[np.intp]], left: Iterable[int], done: int, finished: Mask, start: int, shape: tuple[int, int]
) -> bool:
    """Can each other group be driven to once this one is finished as well?"""
    free = ~finished
    free[groups[done]] = False
    to_come = [groups[at] for at in left if at != done]
    if not to_come:
        return True
    reached = driven_to(free, start, shape)
    return all(reached[spots].any() for spots in to_come)


def driven_to(free: Mask, start: int, shape: tuple[int, int]) -> Mask:
    """Positions that can be driven to over free ones, (positions,): from the exit's own, which is off the pad's edge.

    Args:
        free: Positions that may be driven over, flat.
        start: The position at the exit.
        shape: Of the grid, (along, across).
    """
    ground = free.reshape(shape)
    reached = np.zeros((shape[0] + 2, shape[1] + 2), np.bool_)
    row, column = divmod(start, shape[1])
    # The exit is a place beside the pad; the machine enters at the spots nearest to it.
    near = np.zeros_like(ground)
    near[max(row - 1, 0) : row + 2, max(column - 1, 0) : column + 2] = True
    reached[1:-1, 1:-1] = near & ground
    count = -1
    while count != (count := int(reached.sum())):
        wider = reached.copy()
        for away, right in ((0, 1), (1, 0), (1, 1), (1, -1)):
            wider |= np.roll(reached, (away, right), (0, 1)) | np.roll(reached, (-away, -right), (0, 1))
        reached[1:-1, 1:-1] = wider[1:-1, 1:-1] & ground
    return reached[1:-1, 1:-1].ravel()


def _places(along_m: Floats, across_m: Floats) -> Floats:
    """Metres along and across of each position, (positions, 2)."""
    along, across = np.meshgrid(along_m, across_m, indexing="ij")
    return np.column_stack((along.ravel(), across.ravel()))


def _exit_place(along_m: Floats, across_m: Floats, leave_by: Exit) -> Floats:
    end, side = leave_by.split()
    middle = (across_m[0] + across_m[-1]) / 2
    across = {"left": across_m[0], "middle": middle, "right": across_m[-1]}[side]
    return np.array([along_m[0] if end == "near" else along_m[-1], across])


def _half(places: Floats, across_m: Floats, leave_by: Exit) -> NDArray[np.intp]:
    """1 for positions of the half that is worked first: the one away from the exit's side, else the right one."""
    middle = (across_m[0] + across_m[-1]) / 2
    right = places[:, 1] > middle
    first = ~right if leave_by.endswith("right") else right
    return np.asarray(first, np.intp)


def spread_of(zone: Zone, shape: tuple[int, int]) -> Ints:
    """Lines and columns that a zone reaches over: first and last line, first and last column, (4,)."""
    rows, columns = np.divmod(np.array(zone.spots), shape[1])
    return np.array([rows.min(), rows.max(), columns.min(), columns.max()])
