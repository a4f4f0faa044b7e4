"""The order of work: which cut goes to which fill.

Lanes run away from the near edge, as wide as the machine reaches. The far end of a lane is worked first, and
the lane farthest from the exit before the others, so that the machine works its way out over ground not yet
dug. A lane is worked from stands, pieces of it about as long as they are wide; what one stand gives to
another is one move.

Arrays over the grid have shape (along, across): row 0 is the near line, column 0 the left one. A position is
its flat index, row by row. All volumes are bank measure, dirt as it lies, unless said otherwise.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from enum import StrEnum
from math import ceil, frexp, inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rodcall.figures.earthwork.haul import Progress, least_haul
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.frozen import Frozen

GRAINS = 50
"""Volumes are whole numbers of grains to the solver, so that nothing is lost in sums: the pad's dirt has between 2^49
and 2^50 of them, so that rounding to a grain is lost beside what binary fractions round, on any pad. A grain is itself
a power of two of a m3: volumes that are short in binary stay exact."""
LEAST_DIRT = -40
"""Below 2^-40 m3, a thousandth of a mm3, nobody digs: grains grow no finer."""
NM = 1e-9
"""One nanometre in m."""
MOST_SINGLY = 3600
"""Positions that are matched one by one, within some seconds; on a bigger pad blocks of them are."""
ROUNDING = 1e-9
"""What binary fractions may add to a quotient that is whole on paper."""


class Exit(StrEnum):
    """Where the machine leaves the pad."""

    NEAR_LEFT = "near left"
    NEAR_MIDDLE = "near middle"
    NEAR_RIGHT = "near right"
    FAR_LEFT = "far left"
    FAR_MIDDLE = "far middle"
    FAR_RIGHT = "far right"


class Machine(Frozen):
    """What the crew digs with.

    Raises:
        ValueError: when a size is not above 0, or has no end.
    """

    lane_width_m: float
    """How wide a lane it works without moving over."""
    bucket_m3: float
    """What a bucket holds, heaped and loose."""

    def __post_init__(self) -> None:
        if not (0 < self.lane_width_m < inf and 0 < self.bucket_m3 < inf):
            raise ValueError("the lane and the bucket need a finite size above 0")


class Move(Frozen):
    """Cut from one stand of the machine into fill of one stand."""

    take: tuple[int, ...]
    """Positions dug, ascending."""
    put: tuple[int, ...]
    """Positions filled, ascending."""
    bank_grains: int
    haul_grains_nm: int
    """Sum of volume x distance, exact."""
    buckets: int
    """Bucketfuls, the last one perhaps not full."""
    grain_m3: float

    @property
    def bank_m3(self) -> float:
        """Volume dug, m3."""
        return self.bank_grains * self.grain_m3

    @property
    def distance_m(self) -> float:
        """Mean distance between the positions' centres, weighted by volume, m."""
        return self.haul_grains_nm / self.bank_grains * NM

    def works_at(self, spots: Mask) -> tuple[int, ...]:
        """Which of these spots it digs or fills, ascending; a flat mask."""
        return tuple(at for at in sorted({*self.take, *self.put}) if spots[at])


class Load(NamedTuple):
    """What one position gives to another."""

    source: int
    sink: int
    bank_m3: float


class DigPlan(Frozen, eq=False):
    """The moves of least total haul, in order of work.

    What is moved, spread in place, left over and left alone is the cut; what is moved, spread in place, short and left
    alone is what the fill needs. So spare = `over_m3` x (1 - shrink).
    """

    lanes: tuple[tuple[int, ...], ...]
    """Positions of each lane; lanes and positions in order of work."""
    moves: tuple[Move, ...]
    loads: tuple[Load, ...]
    """The same spot by spot, by source and sink."""
    total_haul: float
    """Sum of volume x distance over all moves, m3 x m."""
    in_place_m3: float
    """What positions that have both cut and fill spread within themselves; in no move."""
    left_over_m3: Floats
    """By position, (along, across): cut that no fill needs."""
    short_m3: Floats
    """By position, (along, across): cut of the same dirt that would still be needed to fill it."""
    left_alone: tuple[int, ...]
    """Positions that are near enough to the target: nothing is moved there."""
    left_cut_m3: float
    """What would be cut at these."""
    left_fill_m3: float
    """The cut that filling these would take."""

    @property
    def moved_m3(self) -> float:
        """Of all moves together."""
        return sum(move.bank_m3 for move in self.moves)

    @property
    def cut_m3(self) -> float:
        """The surface's cut: what is dug, and what is left alone."""
        return self.moved_m3 + self.in_place_m3 + float(self.left_over_m3.sum()) + self.left_cut_m3

    @property
    def needed_m3(self) -> float:
        """Cut that all of the fill needs."""
        return self.moved_m3 + self.in_place_m3 + float(self.short_m3.sum()) + self.left_fill_m3

    @property
    def over_m3(self) -> float:
        """Left over (above 0) or short (below 0) of all cut, left alone or not: the target's own spare, bank."""
        return float(self.left_over_m3.sum() - self.short_m3.sum()) + self.left_cut_m3 - self.left_fill_m3


def order_of_work(
    along_m: Floats, across_m: Floats, lane_width_m: float, leave_by: Exit
) -> tuple[tuple[int, ...], ...]:
    """Lanes in the order in which they are worked, each with its positions in order.

    Lanes hold as many whole columns as their width allows, at least one, and are as equal as can be. What
    lies farthest from the exit comes first: among lanes (of equals the left one), among the lines of a lane,
    and within a line.

    Args:
        along_m: Distance of each line from the near one, evenly spaced, metres.
        across_m: Distance of each column from the left one, evenly spaced, metres.
        lane_width_m: Width that the machine works without moving over, above 0.
        leave_by: Where the machine leaves the pad.
    """
    end, side = leave_by.split()
    lines = range(along_m.size)[:: -1 if end == "near" else 1]
    last = across_m.size - 1
    away = np.abs(np.arange(across_m.size) - {"left": 0, "middle": last / 2, "right": last}[side])
    lanes = sorted(_strips(across_m, lane_width_m), key=lambda lane: -away[lane].mean())
    columns = [sorted(lane.tolist(), key=lambda column: -away[column]) for lane in lanes]
    return tuple(tuple(line * across_m.size + column for line in lines for column in lane) for lane in columns)


def plan_dig(
    cut_m3: Floats,
    fill_m3: Floats,
    along_m: Floats,
    across_m: Floats,
    machine: Machine,
    *,
    shrink: float,
    swell: float,
    leave_by: Exit = Exit.NEAR_LEFT,
    keep_out: Mask | None = None,
    leave: Mask | None = None,
    progress: Progress | None = None,
) -> DigPlan:
    """Find the moves of least total haul and put them in order of work.

    Distances are straight lines between the positions' centres. A position with both cut and fill serves
    itself first: no plan is better, since no way round is shorter than the straight one. A move comes when
    the first of its two stands is worked, so that what lies behind is neither dug nor filled again.

    Args:
        cut_m3: Bank volume to dig at each position, (along, across), m3.
        fill_m3: Volume to fill at each position, compacted, (along, across), m3.
        along_m: Distance of each line from the near one, evenly spaced, metres.
        across_m: Distance of each column from the left one, evenly spaced, metres.
        machine: Lane width and bucket.
        shrink: Fraction of the cut that is lost when compacted: fill = cut x (1 - shrink); below 0 for rock, which
            swells.
        swell: Fraction by which the cut grows when loosened.
        leave_by: Where the machine leaves the pad.
        keep_out: Positions that neither give nor take (left out, a corner of the footprint); not read there.
        leave: Positions near enough to the target, where nothing is moved; their volumes are told apart.
        progress: Called some ten times a second or oftener with the share that is done; may raise to cancel.

    Raises:
        ValueError: when shapes do not fit, a volume is below 0 or no number, or a fraction out of its range.
    """
    if not (-1 < shrink < 1 and 0 <= swell < inf):
        raise ValueError("shrink runs from above -1 to below 1, swell from 0")
    shape = along_m.size, across_m.size
    gives, takes = (_counted(volume, shape, keep_out) for volume in (cut_m3, fill_m3))
    takes = takes / (1 - shrink)
    alone = np.zeros(gives.size, np.bool_) if leave is None else leave.ravel()
    left_cut_m3, left_fill_m3 = float(gives[alone].sum()), float(takes[alone].sum())
    gives, takes = np.where(alone, 0.0, gives), np.where(alone, 0.0, takes)
    grain_m3: float = 2.0 ** (max(frexp(max(float(gives.sum()), float(takes.sum())))[1], LEAST_DIRT) - GRAINS)
    cut, wanted = (_whole_grains(volume, grain_m3) for volume in (gives, takes))
    in_place = np.minimum(cut, wanted)
    hauled = _hauled(cut - in_place, wanted - in_place, along_m, across_m, progress)
    lanes = order_of_work(along_m, across_m, machine.lane_width_m, leave_by)
    stands = _stands(lanes, along_m, machine.lane_width_m)
    return DigPlan(
        lanes=lanes,
        moves=_moves(hauled.loads, stands, machine.bucket_m3 / (1 + swell), grain_m3),
        loads=tuple(Load(load.source, load.sink, load.grains * grain_m3) for load in hauled.loads),
        total_haul=sum(load.grains * load.nm for load in hauled.loads) * (grain_m3 * NM),
        in_place_m3=int(in_place.sum()) * grain_m3,
        left_over_m3=np.asarray(hauled.left_over.reshape(shape), np.float64) * grain_m3,
        left_alone=tuple(np.flatnonzero(alone).tolist()),
        left_cut_m3=left_cut_m3,
        left_fill_m3=left_fill_m3,
        short_m3=np.asarray(hauled.short.reshape(shape), np.float64) * grain_m3,
    )


class _Load(NamedTuple):
    """What one position gives to another."""

    source: int
    sink: int
    grains: int
    nm: int


class _Hauled(NamedTuple):
    """Which dirt goes where, spot by spot, in grains."""

    loads: list[_Load]
    left_over: Ints
    """By position, flat."""
    short: Ints


def _hauled(supply: Ints, demand: Ints, along_m: Floats, across_m: Floats, progress: Progress | None) -> _Hauled:
    """Match highs with lows at the least haul; on a big pad block by block, and within each in the order of its spots.

    A pad of ten thousand positions would take minutes spot by spot. Blocks are squares of neighbours, each of which
    serves itself first; what is said of them is exact in volume, and the haul is told spot to spot.
    """
    side = ceil((supply.size / MOST_SINGLY) ** 0.5)
    rows, columns = np.divmod(np.arange(supply.size), across_m.size)
    block = rows // side * -(-across_m.size // side) + columns // side
    left, lacks, loads = supply.copy(), demand.copy(), []
    number = int(block.max()) + 1
    givers: list[list[int]] = [[] for _ in range(number)]
    takers: list[list[int]] = [[] for _ in range(number)]
    for spots, amounts in ((givers, supply), (takers, demand)):
        for at in np.flatnonzero(amounts).tolist():
            spots[block[at]].append(at)

    def carry(grains: int, sources: list[int], sinks: list[int]) -> None:
        """Take this much from sources and put it into sinks, in their order."""
        while grains:
            source, sink = sources[0], sinks[0]
            now = min(grains, int(left[source]), int(lacks[sink]))
            loads.append((source, sink, now))
            left[source] -= now
            lacks[sink] -= now
            grains -= now
            if not left[source]:
                sources.pop(0)
            if not lacks[sink]:
                sinks.pop(0)

    for sources, sinks in zip(givers, takers, strict=True):
        carry(min(int(left[sources].sum()), int(lacks[sinks].sum())), sources, sinks)
    high, low = (np.array([at for at, spots in enumerate(each) if spots], np.intp) for each in (givers, takers))
    members = np.bincount(block, minlength=number)
    along, across = (np.bincount(block, at, number) / members for at in (along_m[rows], across_m[columns]))
    haul = least_haul(
        np.array([left[givers[at]].sum() for at in high], np.int64),
        np.array([lacks[takers[at]].sum() for at in low], np.int64),
        _distance_nm(along, across, high, low),
        progress,
    )
    for source, sink, volume in zip(haul.source.tolist(), haul.sink.tolist(), haul.volume.tolist(), strict=True):
        carry(volume, givers[high[source]], takers[low[sink]])
    ends = np.array([load[:2] for load in loads], np.intp).reshape(-1, 2).T
    away = np.hypot(*(at[ends[0]] - at[ends[1]] for at in (along_m[rows], across_m[columns])))
    distances = np.rint(away / NM).astype(np.int64).tolist()
    told = [_Load(*load, nm) for load, nm in zip(loads, distances, strict=True)]
    return _Hauled(sorted(told), left, lacks)


def _moves(loads: Iterable[_Load], stands: list[Ints], bucket_m3: float, grain_m3: float) -> tuple[Move, ...]:
    """Merge what goes from one stand to one stand, in order of work."""
    number = {position: n for n, stand in enumerate(stands) for position in stand.tolist()}
    merged: defaultdict[tuple[int, int], list[_Load]] = defaultdict(list)
    for load in loads:
        merged[number[load.source], number[load.sink]].append(load)
    in_order = sorted(merged, key=lambda ends: (sorted(ends), ends))
    return tuple(_move(merged[ends], bucket_m3, grain_m3) for ends in in_order)


def _move(loads: list[_Load], bucket_m3: float, grain_m3: float) -> Move:
    grains = sum(load.grains for load in loads)
    return Move(
        take=tuple(sorted({load.source for load in loads})),
        put=tuple(sorted({load.sink for load in loads})),
        bank_grains=grains,
        haul_grains_nm=sum(load.grains * load.nm for load in loads),
        buckets=max(ceil(grains * grain_m3 / bucket_m3 * (1 - ROUNDING)), 1),
        grain_m3=grain_m3,
    )


def _stands(lanes: tuple[tuple[int, ...], ...], along_m: Floats, length_m: float) -> list[Ints]:
    """The positions worked from each stand, in order of work."""
    pieces = _strips(along_m, length_m)
    return [np.reshape(lane, (along_m.size, -1))[piece].ravel() for lane in lanes for piece in pieces]


def _strips(at_m: Floats, width_m: float) -> list[NDArray[np.intp]]:
    """Neighbours in strips no wider than asked for (one at least); each takes the gap to the next."""
    gaps = np.diff(at_m)
    if gaps.size and float(np.ptp(gaps)) > ROUNDING * float(gaps.max()):
        return _uneven_strips(np.append(gaps, gaps[-1]), width_m)
    gap = (at_m[-1] - at_m[0]) / max(1, at_m.size - 1)
    most = max(1, int(width_m / gap * (1 + ROUNDING))) if gap else 1
    return np.array_split(np.arange(at_m.size), -(-at_m.size // most))


def _uneven_strips(taken_m: Floats, width_m: float) -> list[NDArray[np.intp]]:
    """The same of lines that lie unevenly, near ones first."""
    starts, width = [0], 0.0
    for at, gap in enumerate(taken_m):
        if width and width + gap > width_m * (1 + ROUNDING):
            starts.append(at)
            width = 0.0
        width += gap
    return np.split(np.arange(taken_m.size), starts[1:])


def _counted(volume_m3: Floats, shape: tuple[int, int], keep_out: Mask | None) -> Floats:
    """Volumes by flat position, 0 where kept out."""
    if volume_m3.shape != shape or (keep_out is not None and keep_out.shape != shape):
        raise ValueError(f"volumes and what is kept out need the grid's shape, {shape}")
    counted: Floats = (volume_m3 if keep_out is None else np.where(keep_out, 0.0, volume_m3)).ravel()
    if not (np.isfinite(counted) & (counted >= 0)).all():
        raise ValueError("volumes must be numbers, 0 or above")
    return counted


def _whole_grains(volume_m3: Floats, grain_m3: float) -> Ints:
    """Volumes in grains, the running total rounded, so that the sum is off by half a grain at most."""
    total = np.rint(volume_m3.cumsum() / grain_m3).astype(np.int64)
    return np.diff(total, prepend=0)


def _distance_nm(along_m: Floats, across_m: Floats, high: NDArray[np.intp], low: NDArray[np.intp]) -> Ints:
    """From every high to every low, for places by number."""
    away, aside = (np.subtract.outer(at[high], at[low]) for at in (along_m, across_m))
    return np.rint(np.hypot(away, aside) / NM).astype(np.int64)
