"""The cells between the shots: whole squares, and pieces of those that the pad's edge or a crease of the design cuts.

Between four shots the ground is four triangles about their mean. A square that is all pad counts as one cell. Where a
corner is no part of the pad, the square is the plane triangle of the other three: three shots fix a plane, and throwing
it away would lose known ground; with two corners or fewer it is nothing (our own rule). Where the outline or a crease
cuts it, it is the triangles that are left of it. The strip from the outermost shots to the pad's edge follows the spots
beside it. Distances are metres from A1, areas m2.
"""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import TypeVar

import numpy as np

from rodcall.book.model.grid import FEWEST_CORNERS, corners_on_pad
from rodcall.book.model.outline import Outline, Point, clipped, common
from rodcall.figures.ground.averages import Floats, Indices, Ints, Mask, middles, out_to_the_edge
from rodcall.frozen import Frozen

Number = TypeVar("Number", np.float64, np.intp)

Crease = tuple[float, float, float]
"""The line where `first x along + second x across = third`; the first two are the parts of a unit vector."""

RING = ((0, 0), (0, 1), (1, 1), (1, 0))
"""Corners of a square, walked around from the near left one: lines and columns beyond that."""
WHOLE = len(RING)

SLIVER = 1e-15
"""Share of a square: a piece below it is rounding."""


class Pieces(Frozen, eq=False):
    """Plane triangles of the ground's surface; arrays of one column a triangle.

    Args:
        cells: Index of the square that each is a part of, line by line, (triangles,).
        along: Distance of its corners from A1, walked around, (3, triangles).
        across: The same to the right.
        weights: What each corner of the square counts for the height of each corner, (3, 4, triangles).
        nodes: Flat index of the square's corners among all nodes, (4, triangles).
    """

    cells: Indices
    along: Floats
    across: Floats
    weights: Floats
    nodes: Indices

    @cached_property
    def areas(self) -> Floats:
        """m2, (triangles,)."""
        (y0, y1, y2), (x0, x1, x2) = self.along, self.across
        areas: Floats = np.abs((y1 - y0) * (x2 - x0) - (y2 - y0) * (x1 - x0)) / 2
        return areas

    def heights(self, nodes: Floats) -> Floats:
        """Heights of the surface at the corners of each, for those of all nodes: (3, triangles)."""
        heights: Floats = np.einsum("cnt,nt->ct", self.weights, nodes.ravel().take(self.nodes))
        return heights


class Cells(Frozen, eq=False):
    """What is pad between the spots.

    Args:
        along_m: Distance of each line from A1, rising.
        across_m: Distance of each column from A1, rising.
        inset_m: Width of the strip between the outermost shots and the pad's edge.
        pad: Which spots are part of the pad, (along, across); those that the outline leaves out count as ground here.
        outline: The pad's edge; None where it is the full rectangle.
        creases: Lines along which the design bends.
    """

    along_m: Floats
    across_m: Floats
    inset_m: float
    pad: Mask
    outline: Outline | None = None
    creases: tuple[Crease, ...] = ()

    @cached_property
    def node_along(self) -> Floats:
        """Distances of the lines that bound the squares, the pad's edges among them."""
        return out_to_the_edge(self.along_m, self.inset_m)

    @cached_property
    def node_across(self) -> Floats:
        """Distances of the columns that bound the squares, the pad's edges among them."""
        return out_to_the_edge(self.across_m, self.inset_m)

    @cached_property
    def on_pad(self) -> Mask:
        """Which nodes are pad: the spots, and at the pad's edge what the spots beside it are."""
        return np.pad(self.pad, 1, mode="edge") if self.inset_m else self.pad

    @cached_property
    def corners_on_pad(self) -> Ints:
        """How many corners of each square are."""
        return corners_on_pad(self.on_pad)

    @cached_property
    def whole(self) -> Mask:
        """Which squares are all pad and of one plane of the design, (lines - 1, columns - 1)."""
        whole: Mask = (self.corners_on_pad == WHOLE) & ~self._cut
        if self.outline is not None:
            whole &= self.outline.contains(middles(self.node_along)[:, None], middles(self.node_across))
        return whole

    @cached_property
    def whole_areas(self) -> Floats:
        """Area of each whole square in m2, 0 for the others."""
        areas: Floats = np.outer(np.diff(self.node_along), np.diff(self.node_across)) * self.whole
        return areas

    @cached_property
    def pieces(self) -> Pieces:
        """What is pad of the other squares."""
        return _pieces(
            tuple(self.node_along.tolist()),
            tuple(self.node_across.tolist()),
            self.on_pad.tobytes(),
            self._cut.tobytes(),
            self.outline,
            self.creases,
        )

    @cached_property
    def node_weights(self) -> Floats:
        """The area that each node stands for: a quarter of each whole square beside it, and its share of each piece."""
        weights = np.zeros(self.on_pad.shape)
        lines, columns = self.whole_areas.shape
        for away, right in RING:
            weights[away : away + lines, right : right + columns] += self.whole_areas / WHOLE
        shares = self.pieces.weights.mean(axis=0) * self.pieces.areas
        weights += np.bincount(self.pieces.nodes.ravel(), shares.ravel(), weights.size).reshape(weights.shape)
        return weights

    @cached_property
    def weights(self) -> Floats:
        """The area that each spot stands for, (along, across), with the strip outside; the sum of area x height is the
        integral of the surface."""
        if not self.inset_m:
            return self.node_weights
        folded = self.node_weights.copy()
        folded[1] += folded[0]
        folded[-2] += folded[-1]
        folded[:, 1] += folded[:, 0]
        folded[:, -2] += folded[:, -1]
        return folded[1:-1, 1:-1]

    @cached_property
    def area(self) -> float:
        """Of the pad."""
        return float(self.whole_areas.sum() + self.pieces.areas.sum())

    @cached_property
    def centre(self) -> tuple[float, float]:
        """Centre of the area, metres along and across from A1."""
        pieces, area = self.pieces, self.whole_areas
        along = float(area.sum(axis=1) @ middles(self.node_along) + pieces.along.mean(axis=0) @ pieces.areas)
        across = float(area.sum(axis=0) @ middles(self.node_across) + pieces.across.mean(axis=0) @ pieces.areas)
        return along / self.area, across / self.area

    @cached_property
    def _cut(self) -> Mask:
        """Which squares the outline or a crease runs through."""
        cut = np.zeros(tuple(size - 1 for size in self.on_pad.shape), np.bool_)
        if self.outline is not None:
            cut |= self.outline.touched(self.node_along, self.node_across)
        for along, across, limit in self.creases:
            side = np.add.outer(along * self.node_along, across * self.node_across) - limit
            sides = np.stack([side[:-1, :-1], side[:-1, 1:], side[1:, :-1], side[1:, 1:]])
            cut |= (sides.min(axis=0) < 0.0) & (sides.max(axis=0) > 0.0)
        return cut


@lru_cache(maxsize=8)
def _pieces(
    node_along: tuple[float, ...],
    node_across: tuple[float, ...],
    on_pad: bytes,
    cut: bytes,
    outline: Outline | None,
    creases: tuple[Crease, ...],
) -> Pieces:
    """The pieces of squares that are not whole; remembered, since only facts of the job change them."""
    columns = len(node_across)
    pad = np.frombuffer(on_pad, np.bool_).reshape(len(node_along), columns)
    is_cut = np.frombuffer(cut, np.bool_).reshape(len(node_along) - 1, columns - 1)
    number = corners_on_pad(pad)
    found: list[tuple[int, int, list[Point]]] = []
    for row, column in np.argwhere((number >= FEWEST_CORNERS) & ((number < WHOLE) | is_cut)).tolist():
        corners = [(node_along[row + away], node_across[column + right]) for away, right in RING]
        missing = [at for at, (away, right) in enumerate(RING) if not pad[row + away, column + right]]
        least = SLIVER * (corners[2][0] - corners[0][0]) * (corners[2][1] - corners[0][1])
        if missing:
            planes = [[corners[(missing[0] + step) % WHOLE] for step in (1, 2, 3)]]
        else:
            middle = (corners[0][0] + corners[2][0]) / 2, (corners[0][1] + corners[2][1]) / 2
            planes = [[middle, corners[at], corners[(at + 1) % WHOLE]] for at in range(WHOLE)]
        for plane in planes:
            for part in _on_pad(plane, outline) if is_cut[row, column] or outline is not None else [plane]:
                for convex in _split(part, creases):
                    found.extend(
                        (row * (columns - 1) + column, missing[0] if missing else -1, [convex[0], *convex[at : at + 2]])
                        for at in range(1, len(convex) - 1)
                        if abs(_area(convex[0], convex[at], convex[at + 1])) > least
                    )
    return _as_arrays(found, np.array(node_along), np.array(node_across))


def _on_pad(plane: list[Point], outline: Outline | None) -> list[list[Point]]:
    """What of a triangle lies inside the outline, in convex parts."""
    if outline is None:
        return [plane]
    low, high = (tuple(pick(each) for each in zip(*plane, strict=True)) for pick in (min, max))
    near = (
        part
        for part in outline.parts
        if part[0][0] < high[0]
        and part[2][0] > low[0]
        and min(across for _, across in part) < high[1]
        and max(across for _, across in part) > low[1]
    )
    return [shared for part in near if (shared := common(plane, part))]


def _split(ring: list[Point], creases: tuple[Crease, ...]) -> list[list[Point]]:
    """A convex ring in parts on either side of each crease."""
    parts = [ring]
    for along, across, limit in creases:
        sides = [(clipped(part, along, across, limit), clipped(part, -along, -across, -limit)) for part in parts]
        parts = [side for pair in sides for side in pair if len(side) >= FEWEST_CORNERS]
    return parts


def _area(a: Point, b: Point, c: Point) -> float:
    return ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])) / 2


def _as_arrays(found: list[tuple[int, int, list[Point]]], node_along: Floats, node_across: Floats) -> Pieces:
    """Triangles with their square and, for one that is a plane of three, the corner that is missing (else -1)."""
    cells = np.array([cell for cell, _, _ in found], np.intp)
    missing = np.array([corner for _, corner, _ in found], np.intp)
    points = np.array([ring for _, _, ring in found], np.float64).reshape(-1, 3, 2)
    along, across = points[:, :, 0].T, points[:, :, 1].T
    row, column = np.divmod(cells, node_across.size - 1)
    v = (along - node_along[row]) / (node_along[row + 1] - node_along[row]) - 0.5
    u = (across - node_across[column]) / (node_across[column + 1] - node_across[column]) - 0.5
    weights = np.where(missing >= 0, _plane_weights(u, v, missing), fan_weights(u, v)).swapaxes(0, 1)
    away, right = np.array(RING).T[:, :, None]
    return Pieces(cells, along, across, weights, (row + away) * node_across.size + column + right)


def fan_weights(u: Floats, v: Floats) -> Floats:
    """What each corner of a square counts at a place of its surface of four triangles about the middle.

    Args:
        u: Place across from the middle, in widths of the square, -0.5 to 0.5.
        v: Place along from it, the same.

    Returns:
        Of near left, near right, far right and far left, (4, ...); their sum is 1. The middle counts what is left of
        the way to the edge, a quarter a corner; the rest goes to the two corners of that edge.
    """
    reach = 2.0 * np.maximum(np.abs(u), np.abs(v))
    quarter = (1.0 - reach) / 4.0
    sideways = np.abs(u) >= np.abs(v)
    # Along the edge that is met: from its middle towards the far (or right) end.
    lean = np.where(sideways, v, u)
    ahead, back = reach / 2.0 + lean, reach / 2.0 - lean
    right, far = sideways & (u > 0), ~sideways & (v > 0)
    left, near = sideways & ~right, ~sideways & ~far
    weights: Floats = np.stack(
        (
            quarter + np.where(left | near, back, 0.0),
            quarter + np.where(right, back, np.where(near, ahead, 0.0)),
            quarter + np.where(right | far, ahead, 0.0),
            quarter + np.where(left, ahead, np.where(far, back, 0.0)),
        )
    )
    return weights


def place(lines: Floats, at: Floats) -> tuple[Indices, Floats]:
    """The gap between lines in which each place falls, and where in it: -0.5 to 0.5 about its middle; ends included."""
    at = np.clip(np.asarray(at, np.float64), lines[0], lines[-1])
    gap = np.clip(np.searchsorted(lines, at, side="right") - 1, 0, lines.size - 2)
    return gap, (at - lines[gap]) / (lines[gap + 1] - lines[gap]) - 0.5


def _plane_weights(u: Floats, v: Floats, missing: Indices) -> Floats:
    """The same where the surface is the plane through three corners, which reaches the missing one as well."""
    toward = np.stack([(v if away else -v) + (u if right else -u) for away, right in RING])
    place_of = np.stack([np.stack(((v if away else -v) + 0.5, (u if right else -u) + 0.5)) for away, right in RING])
    weights = np.zeros((WHOLE, *u.shape))
    for corner in range(WHOLE):
        # From the corner opposite: one neighbour lies along from it, the other across.
        opposite, beside, away = (corner + 2) % WHOLE, (corner + 1) % WHOLE, (corner - 1) % WHOLE
        is_missing = missing == corner
        share_along, share_across = place_of[corner]
        along_first = RING[beside][0] != RING[opposite][0]
        first, second = (share_along, share_across) if along_first else (share_across, share_along)
        weights[opposite] += np.where(is_missing, -toward[corner], 0.0)
        weights[beside] += np.where(is_missing, first, 0.0)
        weights[away] += np.where(is_missing, second, 0.0)
    return weights
