"""Least haul: which cut goes to which fill.

This is the transportation problem (Hitchcock 1941, Dantzig 1951), solved by the network simplex method on
whole numbers, so that the answer is the optimum itself and carries its own proof. What is left over goes to
the heap, and what is short comes from it: a place off the pad that takes dirt for nothing and gives it at a
price above every distance. Since every source reaches every sink, no dirt is then left at one while it lacks
at another, and which of them are left over or short is chosen for the least haul.

Method: the basis is a tree that hangs on the heap. Every source names the sink (or the heap) that is cheapest
for it at the present prices; each arc that still saves enters the tree, and an arc that its cycle empties
leaves it, so chosen that the tree stays strongly feasible: every tree arc without flow points to the root.
That rules out cycling whatever the ties, so the work ends (Cunningham 1976; Ahuja, Magnanti and Orlin,
Network Flows, 1993, chapter 11; MEMORY).

Cost: a sweep of prices is one pass of numpy over sources x sinks; a pivot costs its cycle and the branch that
is hung elsewhere. Seen on pads of 30 x 40: 1 to 11 pivots a position. No polynomial bound is claimed for this
rule.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from rodcall.figures.ground.averages import Ints
from rodcall.frozen import Frozen

ARCS_AT_ONCE = 1 << 17
"""Arcs priced in one step: few enough that a step takes about a millisecond, enough to keep numpy busy."""

Progress = Callable[[float], None]
"""Is told the share of sources that are settled, 0 to 1, never falling; what it raises ends the work."""


class Haul(Frozen, eq=False):
    """The least haul, and the prices that prove it.

    For every source i and sink j, with all numbers whole:

    - `sink_price[j] - source_price[i] <= distance[i, j]`, equal where dirt is hauled;
    - `source_price[i] >= 0`, zero where dirt is left over;
    - `sink_price[j] <= shortage_price`, equal where dirt is short.

    Any plan that keeps to supply and demand costs at least `demand @ sink_price - supply @ source_price`, and
    this one costs just that (weak duality and complementary slackness).
    """

    source: Ints
    """Index of the source of each flow, ascending."""
    sink: Ints
    """Index of the sink of each flow."""
    volume: Ints
    """What each flow carries, above 0."""
    total: int
    """Sum of volume x distance."""
    left_over: Ints
    """By source: what is not needed."""
    short: Ints
    """By sink: what is lacking."""
    source_price: Ints
    sink_price: Ints
    shortage_price: int


def least_haul(supply: Ints, demand: Ints, distance: Ints, progress: Progress | None = None) -> Haul:
    """Match sources with sinks at the least sum of volume x distance, exactly.

    As much is hauled as there is both dirt and room for; the two need not balance. Memory is about twice that
    of `distance`. Prices stay below (sources + sinks) x the greatest distance, which must fit 64 bits:
    nanometres do, on any pad.

    Args:
        supply: Whole volumes above 0, shape (m,).
        demand: Whole volumes above 0, in the same unit, shape (n,).
        distance: Whole distances, 0 or more, shape (m, n).
        progress: Called after every step of some milliseconds.

    Raises:
        ValueError: when shapes do not fit or a number is out of its range.
    """
    if distance.shape != (supply.size, demand.size):
        raise ValueError("distance needs one row a source and one column a sink")
    if (supply <= 0).any() or (demand <= 0).any() or (distance < 0).any():
        raise ValueError("volumes must lie above 0, and distances not below")
    shortage_price = int(distance.max(initial=0)) + 1
    # The heap is the last row and the first column, so that node numbers run sources, heap, sinks.
    cost = np.zeros((supply.size + 1, demand.size + 1), dtype=np.int64)
    cost[:-1, 1:] = distance
    cost[-1, 1:] = shortage_price
    tree = _Tree(supply, demand, shortage_price)
    _improve(tree, cost, progress or (lambda share: None))
    return tree.haul(distance)


def _improve(tree: _Tree, cost: Ints, progress: Progress) -> None:
    """Pivot until a whole sweep over the sources finds no arc that saves."""
    rows, columns = cost.shape
    height = max(1, ARCS_AT_ONCE // columns)
    settled, fewest = False, rows
    while not settled:
        saving = 0
        for first in range(0, rows, height):
            saving += _improve_from(tree, cost[first : first + height], first)
            progress(1 - fewest / rows)
        settled, fewest = saving == 0, min(fewest, saving)
    progress(1.0)


def _improve_from(tree: _Tree, cost: Ints, first: int) -> int:
    """Pivot on the best arc of each source in a block, greatest saving first; how many sources had one."""
    reduced = cost - tree.sink_price
    reduced += tree.source_price[first : first + len(cost), None]
    best, worth = reduced.argmin(axis=1), reduced.min(axis=1)
    saving = np.flatnonzero(worth < 0)
    for row in saving[worth[saving].argsort(kind="stable")].tolist():
        source, sink = first + row, tree.heap + int(best[row])
        # Earlier pivots have moved the prices since the block was priced.
        saved = int(cost[row, best[row]] + tree.price[source] - tree.price[sink])
        if saved < 0:
            tree.pivot(source, sink, saved)
    return int(saving.size)


class _Tree:
    """A spanning tree of arcs with their flows, and prices at which every arc of it costs nothing.

    Nodes are numbered sources, heap, sinks. An arc is kept at its lower end; it points upward when that is a
    source and downward when it is a sink, so its direction need not be stored.
    """

    def __init__(self, supply: Ints, demand: Ints, shortage_price: int) -> None:
        self.heap = heap = supply.size
        self.shortage_price = shortage_price
        size = heap + 1 + demand.size
        self.parent = [heap] * size
        self.children: list[set[int]] = [set() for _ in range(size)]
        """Of the heap only those that were hung there later; nobody asks for the others."""
        self.depth = [1] * size
        self.depth[heap] = 0
        self.flow: list[int] = [*supply.tolist(), 0, *demand.tolist()]
        self.price = np.zeros(size, dtype=np.int64)
        self.price[heap + 1 :] = shortage_price
        self.source_price, self.sink_price = self.price[: heap + 1], self.price[heap:]
        """Views; both hold the heap, whose price stays 0."""

    def pivot(self, source: int, sink: int, saved: int) -> None:
        """Send all that can go from source to sink round the cycle which that arc closes.

        Args:
            source: A source or the heap.
            sink: A sink or the heap.
            saved: Reduced cost of the arc, below 0.
        """
        flow = self.flow
        behind, ahead = self._to_apex(source, sink)
        # Sources and sinks alternate: every other arc of a side runs against the cycle, the first one too.
        load = min([flow[node] for node in behind[::2] + ahead[::2]])
        for side in (behind, ahead):
            for node in side[::2]:
                flow[node] -= load
            for node in side[1::2]:
                flow[node] += load
        # The last arc emptied, going round from the apex with the flow, leaves: Cunningham's rule.
        emptied = [place for place in range(0, len(ahead), 2) if not flow[ahead[place]]]
        if emptied:
            self._hang(ahead[: emptied[-1] + 1], source, load, saved)
        else:
            place = next(place for place in range(0, len(behind), 2) if not flow[behind[place]])
            self._hang(behind[: place + 1], sink, load, -saved)

    def _to_apex(self, source: int, sink: int) -> tuple[list[int], list[int]]:
        """The nodes upward from each end of an arc, below the node where both ways meet."""
        parent, depth = self.parent, self.depth
        behind, ahead = [], []
        while source != sink:
            if depth[source] >= depth[sink]:
                behind.append(source)
                source = parent[source]
            else:
                ahead.append(sink)
                sink = parent[sink]
        return behind, ahead

    def _hang(self, path: list[int], below: int, load: int, raised: int) -> None:
        """Cut the branch at the end of the path, hang it below another node by its start, and reprice it."""
        parent, children, depth, flow = self.parent, self.children, self.depth, self.flow
        for node in path:
            children[parent[node]].discard(node)
            children[below].add(node)
            parent[node] = below
            flow[node], load = load, flow[node]
            below = node
        depth[path[0]] = depth[parent[path[0]]] + 1
        branch = [path[0]]
        for node in branch:  # grows while it is read
            if children[node]:
                deeper = depth[node] + 1
                for child in children[node]:
                    depth[child] = deeper
                branch += children[node]
        self.price[branch] += raised

    def haul(self, distance: Ints) -> Haul:
        """What this tree carries and its prices, without the heap."""
        heap = self.heap
        flow, parent = np.array(self.flow, dtype=np.int64), np.array(self.parent, dtype=np.int64)
        node = np.flatnonzero((flow > 0) & (parent != heap))
        source, sink = np.minimum(node, parent[node]), np.maximum(node, parent[node]) - heap - 1
        order = np.lexsort((sink, source))
        source, sink, volume = source[order], sink[order], flow[node[order]]
        by_heap = np.where(parent == heap, flow, 0)
        return Haul(
            source=source,
            sink=sink,
            volume=volume,
            total=_dot(volume, distance[source, sink]),
            left_over=by_heap[:heap],
            short=by_heap[heap + 1 :],
            source_price=self.source_price[:-1],
            sink_price=self.sink_price[1:],
            shortage_price=self.shortage_price,
        )


def _dot(volumes: Ints, distances: Ints) -> int:
    """Sum of products beyond 64 bits."""
    return sum(volume * distance for volume, distance in zip(volumes.tolist(), distances.tolist(), strict=True))
