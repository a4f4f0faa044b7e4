"""The pad's edge where it is no full rectangle: a polygon of corner points, with holes. Metres from A1, areas m2."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

from rodcall.frozen import Frozen
from rodcall.i18n import say

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

Point = tuple[float, float]
"""Metres along (away from the near edge) and across (to the right), from A1."""
Ring = tuple[Point, ...]
"""Corners in order around; the first is not repeated."""

MOST_CORNERS = 200
"""Of an outline with its holes: more than anybody measures with a tape."""


class OutlineError(ValueError):
    """Corner points that bound no pad; the text is one line."""


class Outline(Frozen):
    """A polygon with holes.

    Args:
        edge: Corners around the pad.
        holes: Corners around each part inside that is no pad.

    Raises:
        OutlineError: when two edges cross or touch, a ring has no area, or a hole lies outside.
    """

    edge: Ring
    holes: tuple[Ring, ...] = ()

    def __post_init__(self) -> None:
        if sum(map(len, self.rings)) > MOST_CORNERS:
            raise OutlineError(say("an outline has at most {most} corners", most=MOST_CORNERS))
        if any(len(set(ring)) < 3 or not _shoelace(ring) for ring in self.rings):
            raise OutlineError(say("an outline needs three corners or more, not all in one line"))
        for one, other in combinations(list(self._edges()), 2):
            if _meet(one, other):
                raise OutlineError(say("two edges of the outline cross; give its corners in order around the pad"))
        for hole in self.holes:
            if not _inside(self.edge, np.array([hole[0]]))[0]:
                raise OutlineError(say("a hole must lie inside the outline"))
        if any(_inside(other, np.array([hole[0]]))[0] for hole in self.holes for other in self.holes if other != hole):
            raise OutlineError(say("one hole lies inside another"))

    @property
    def rings(self) -> tuple[Ring, ...]:
        """The edge, then each hole."""
        return self.edge, *self.holes

    @cached_property
    def area(self) -> float:
        """Of the pad, by the shoelace formula, holes taken out."""
        return abs(_shoelace(self.edge)) - sum(abs(_shoelace(hole)) for hole in self.holes)

    def contains(self, along: Floats, across: Floats) -> Mask:
        """Which points lie on the pad, its edge included; the arguments broadcast."""
        along, across = np.broadcast_arrays(along, across)
        points = np.stack((along.ravel(), across.ravel()), axis=1)
        inside = _inside(self.edge, points)
        for hole in self.holes:
            inside &= ~_inside(hole, points)
        for edge in self._edges():
            inside |= _on(edge, points)
        mask: Mask = inside.reshape(along.shape)
        return mask

    def from_edge(self, along: Floats, across: Floats) -> Floats:
        """How far points lie from the edge or a hole's, metres; below 0 off the pad. The arguments broadcast."""
        along, across = np.broadcast_arrays(along, across)
        off = np.full(along.shape, np.inf)
        for (y0, x0), (y1, x1) in self._edges():
            away, aside = y1 - y0, x1 - x0
            share = np.clip(((along - y0) * away + (across - x0) * aside) / (away**2 + aside**2), 0.0, 1.0)
            off = np.minimum(off, np.hypot(along - y0 - share * away, across - x0 - share * aside))
        signed: Floats = np.where(self.contains(along, across), off, -off)
        return signed

    def touched(self, node_along: Floats, node_across: Floats) -> Mask:
        """Which cells between these lines and columns the edge runs through, (lines - 1, columns - 1)."""
        near, far = node_along[:-1, None], node_along[1:, None]
        left, right = node_across[None, :-1], node_across[None, 1:]
        touched = np.zeros((node_along.size - 1, node_across.size - 1), np.bool_)
        for (y0, x0), (y1, x1) in self._edges():
            # Share of the edge between which it is within the cell's lines, then within its columns.
            enter, leave = np.zeros_like(touched, np.float64), np.ones_like(touched, np.float64)
            for start, step, low, high in ((y0, y1 - y0, near, far), (x0, x1 - x0, left, right)):
                if step:
                    bounds = np.sort(np.stack(((low - start) / step, (high - start) / step)), axis=0)
                    enter, leave = np.maximum(enter, bounds[0]), np.minimum(leave, bounds[1])
                else:
                    leave = np.where((low < start) & (start < high), leave, -1.0)
            touched |= enter < leave
        return touched

    @cached_property
    def parts(self) -> tuple[Ring, ...]:
        """The pad as convex pieces side by side: trapezoids between the lines through its corners."""
        levels = sorted({along for ring in self.rings for along, _ in ring})
        parts = []
        for near, far in pairwise(levels):
            middle = (near + far) / 2
            cut = sorted(
                (_at(edge, middle), edge)
                for edge in self._edges()
                if min(edge[0][0], edge[1][0]) <= near and far <= max(edge[0][0], edge[1][0])
            )
            for (_, left), (_, right) in zip(cut[::2], cut[1::2], strict=True):
                corners = [
                    (near, _at(left, near)),
                    (near, _at(right, near)),
                    (far, _at(right, far)),
                    (far, _at(left, far)),
                ]
                parts.append(tuple(corners))
        return tuple(parts)

    def _edges(self) -> Iterator[tuple[Point, Point]]:
        for ring in self.rings:
            yield from pairwise((*ring, ring[0]))


def clipped(ring: Sequence[Point], along: float, across: float, limit: float) -> list[Point]:
    """The part of a convex ring where `along y + across x <= limit` (Sutherland, Hodgman 1974)."""
    beyond = [along * y + across * x - limit for y, x in ring]
    kept: list[Point] = []
    for at, point in enumerate(ring):
        before, off, off_before = ring[at - 1], beyond[at], beyond[at - 1]
        if (off < 0.0 < off_before) or (off_before < 0.0 < off):
            share = off_before / (off_before - off)
            kept.append((before[0] + share * (point[0] - before[0]), before[1] + share * (point[1] - before[1])))
        if off <= 0.0:
            kept.append(point)
    return kept


def common(ring: Sequence[Point], other: Sequence[Point]) -> list[Point]:
    """What two convex rings have in common, walked around as the first; empty where that has no area.

    Args:
        ring: Corners around.
        other: The same; its direction does not matter.
    """
    sense = 1.0 if _shoelace(tuple(other)) > 0 else -1.0
    kept = list(ring)
    for (y0, x0), (y1, x1) in pairwise((*other, other[0])):
        if (y0, x0) == (y1, x1):
            continue
        along, across = sense * (x0 - x1), sense * (y1 - y0)
        kept = clipped(kept, -along, -across, -(along * y0 + across * x0))
        if len(kept) < 3:
            return []
    return kept


def _shoelace(ring: Ring) -> float:
    """Signed area: above 0 where the corners run from along towards across."""
    y0, x0 = ring[0]
    return sum((a[0] - y0) * (b[1] - x0) - (b[0] - y0) * (a[1] - x0) for a, b in pairwise(ring)) / 2


def _at(edge: tuple[Point, Point], along: float) -> float:
    """Where an edge that is not level crosses a line."""
    (y0, x0), (y1, x1) = edge
    if along == y0:
        return x0
    return x1 if along == y1 else x0 + (x1 - x0) * (along - y0) / (y1 - y0)


def _inside(ring: Ring, points: Floats) -> Mask:
    """Which points an odd number of edges lies to the right of; (points,). Points on an edge may count either way."""
    along, across = points.T
    inside = np.zeros(len(points), np.bool_)
    for (y0, x0), (y1, x1) in pairwise((*ring, ring[0])):
        if y0 != y1:
            beside = x0 + (x1 - x0) * (along - y0) / (y1 - y0)
            inside ^= ((y0 > along) != (y1 > along)) & (across < beside)
    return inside


def _on(edge: tuple[Point, Point], points: Floats) -> Mask:
    """Which points lie on an edge, to a nanometre: positions are whole nanometres."""
    (y0, x0), (y1, x1) = edge
    length = float(np.hypot(y1 - y0, x1 - x0))
    along, across = points[:, 0] - y0, points[:, 1] - x0
    off = (along * (x1 - x0) - across * (y1 - y0)) / length
    at = (along * (y1 - y0) + across * (x1 - x0)) / length
    mask: Mask = (np.abs(off) <= 2e-9) & (at >= -2e-9) & (at <= length + 2e-9)
    return mask


def _meet(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two edges have a point in common besides a corner that both end in."""
    shared = set(one) & set(other)
    if len(shared) == 2:
        return True
    if shared:
        # Edges that leave a common corner in one direction lie on each other.
        (corner,) = shared
        a, b = (next(end for end in edge if end != corner) for edge in (one, other))
        v, w = (a[0] - corner[0], a[1] - corner[1]), (b[0] - corner[0], b[1] - corner[1])
        return v[0] * w[1] == v[1] * w[0] and v[0] * w[0] + v[1] * w[1] > 0
    across_one = _side(one, other[0]) * _side(one, other[1])
    across_other = _side(other, one[0]) * _side(other, one[1])
    if max(across_one, across_other) < 0:
        return True
    return any(bool(_on(edge, np.array([point]))[0]) for edge, pair in ((one, other), (other, one)) for point in pair)


def _side(edge: tuple[Point, Point], point: Point) -> float:
    (y0, x0), (y1, x1) = edge
    return (y1 - y0) * (point[1] - x0) - (x1 - x0) * (point[0] - y0)
