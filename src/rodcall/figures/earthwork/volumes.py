"""Cut, fill, spare and balance, exact for the surface through the shots.

Heights are float arrays of shape (along, across) in metres, areas m2, volumes m3; distances are
metres from A1, `along` away from you and `across` to the right. The surface has one triangle between the
centre of a square and each of its edges, the centre standing at the mean of the four corners. That choice
makes a square's signed volume its area times its mean, which is the handbook's four-corner method, and lets a
square that the target cuts through be split without ever subtracting two large numbers (see
`_across_the_line`). Where the pad's edge or a crease of the design cuts a square, the plane triangles that are left of
it are split about their own middles in the same way (see `cells`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rodcall.book.model.outline import Outline
from rodcall.figures.earthwork.design import Shape
from rodcall.figures.ground.averages import Floats, Mask, out_to_the_edge
from rodcall.figures.ground.cells import Cells, Crease, Number, Pieces
from rodcall.frozen import Frozen

Indices = NDArray[np.intp]

MOST_NEWTON_STEPS = 100
PICOMETRE = 1e-12
BLOCK = 1000
"""Cells split at a time: what numpy keeps in the processor's cache is several times quicker."""
TINY = np.finfo(np.float64).tiny
"""Makes 0/0 into 0 and is lost beside any real height."""


class Grade(Frozen):
    """The target: its height at the zero in metres, how it rises from there in m per m, and its shape besides."""

    offset: float
    along: float = 0.0
    across: float = 0.0
    zero_along: float = 0.0
    zero_across: float = 0.0
    """Where the zero lies, metres from A1."""
    shape: Shape | None = None
    """What the design is besides a plane; it is moved so that the height at the zero is the offset."""

    def at(self, along: float | Floats, across: float | Floats) -> float | Floats:
        """Height of the target at distances in metres from A1."""
        rise_along, rise_across = self.along * (along - self.zero_along), self.across * (across - self.zero_across)
        plane = self.offset + rise_along + rise_across
        if self.shape is None:
            return plane
        at_zero = self.shape.at(np.array(self.zero_along), np.array(self.zero_across))
        return plane + (self.shape.at(np.asarray(along), np.asarray(across)) - at_zero)

    @property
    def creases(self) -> tuple[Crease, ...]:
        """Lines in which it bends."""
        return () if self.shape is None else self.shape.creases


class Surface(Frozen, eq=False):
    """The ground between the shots and beyond them to the pad's edge, where it is taken as level.

    Args:
        heights: Metres, (along, across), at least 2 x 2; estimates already filled in.
        along_m: Distance of each line from A1, rising.
        across_m: Distance of each column from A1, rising.
        inset_m: Width of the strip between the outermost shots and the pad's edge.
        pad: Which positions are part of the pad, with three corners of one square at least; None where all are.
        outline: The pad's edge where it is no full rectangle; positions beyond it need a height too.

    Raises:
        ValueError: when the shapes do not fit or a height is not finite.
    """

    heights: Floats
    along_m: Floats
    across_m: Floats
    inset_m: float = 0.0
    pad: Mask | None = None
    outline: Outline | None = None

    def __post_init__(self) -> None:
        if self.heights.shape != (self.along_m.size, self.across_m.size) or min(self.heights.shape) < 2:
            raise ValueError(f"heights {self.heights.shape} do not fit the lines and columns")
        if not np.isfinite(self.heights).all():
            raise ValueError("every position of a surface needs a height, shot or estimated")

    @cached_property
    def node_along(self) -> Floats:
        """Distances from A1 of the lines that bound the cells, the pad's edges among them."""
        return out_to_the_edge(self.along_m, self.inset_m)

    @cached_property
    def node_across(self) -> Floats:
        """Distances from A1 of the columns that bound the cells, the pad's edges among them."""
        return out_to_the_edge(self.across_m, self.inset_m)

    @cached_property
    def nodes(self) -> Floats:
        """Height wherever such a line crosses such a column."""
        return np.pad(self.heights, 1, mode="edge") if self.inset_m else self.heights

    @cached_property
    def cells(self) -> Cells | None:
        """What is pad between the positions; None where all is, as all squares then are whole."""
        return self.cells_along(())

    def cells_along(self, creases: tuple[Crease, ...]) -> Cells | None:
        """The same, with the squares that the creases of a design cut in pieces too."""
        all_pad = self.pad is None or bool(self.pad.all())
        if all_pad and self.outline is None and not creases:
            return None
        pad = np.ones(self.heights.shape, np.bool_) if self.pad is None else self.pad
        return Cells(self.along_m, self.across_m, self.inset_m, pad, self.outline, creases)

    @cached_property
    def cell_areas(self) -> Floats:
        """Area of every cell in m2, flat, line by line, where all of them are whole."""
        return np.outer(np.diff(self.node_along), np.diff(self.node_across)).ravel()

    @property
    def centre(self) -> tuple[float, float]:
        """Middle of the pad's area, metres along and across from A1."""
        if self.cells is not None:
            return self.cells.centre
        along, across = self.node_along, self.node_across
        return float(along[0] + along[-1]) / 2, float(across[0] + across[-1]) / 2

    @property
    def area(self) -> float:
        """Area of the pad in m2."""
        if self.cells is not None:
            return self.cells.area
        return float(np.ptp(self.node_along) * np.ptp(self.node_across))

    @property
    def average(self) -> float:
        """Average by area: the integral of the surface over the pad's area, metres."""
        if self.cells is not None:
            return _dot(self.cells.node_weights, self.nodes) / self.area
        return _dot(self.cell_areas, corners_of(self.nodes)[:4].mean(axis=0)) / self.area

    def over(self, slopes: Grade) -> Relief:
        """The surface as it stands above a target of these slopes and this shape through height 0 at the zero."""
        through_zero = replace(slopes, offset=0.0)
        above = self.nodes - through_zero.at(self.node_along[:, None], self.node_across)
        cells = self.cells if not slopes.creases else self.cells_along(slopes.creases)
        if cells is None:
            return Relief(corners_of(above), self.cell_areas)
        pieces = cells.pieces
        heights = pieces.heights(self.nodes) - through_zero.at(pieces.along, pieces.across)
        triangles = Relief(np.concatenate((heights, heights[:1])), pieces.areas)
        return Relief(corners_of(above), cells.whole_areas.ravel(), triangles, pieces)


class Earth(Frozen):
    """What lies on either side of a target."""

    cut: float
    """Volume above it."""
    fill: float
    """Volume missing below it."""
    above: float
    """Area in m2 that stands above the target: what cut loses for each metre that the target rises."""

    def __add__(self, other: Earth) -> Earth:
        return Earth(self.cut + other.cut, self.fill + other.fill, self.above + other.above)

    def spare(self, shrink: float, on_hand: float = 0.0) -> float:
        """Dirt left over (above 0) or short (below 0), in m3 as compacted.

        Args:
            shrink: Fraction of cut lost when compacted, so that cut makes cut x (1 - shrink) of fill.
            on_hand: Fill from a pile or hauled in, m3 as compacted.
        """
        return self.cut * (1.0 - shrink) + on_hand - self.fill


class Relief:
    """Heights above a plane of given slopes, ready to be asked about any offset of that plane.

    Args:
        corners: Corners of every cell in order around it, metres, (5, cells): the first again at the end; (4, cells)
            where the cells are triangles.
        areas: m2, (cells,).
        triangles: The pieces of squares that are not whole, where there are any.
        pieces: Where these lie.
    """

    def __init__(
        self, corners: Floats, areas: Floats, triangles: Relief | None = None, pieces: Pieces | None = None
    ) -> None:
        self.corners, self.areas, self.triangles, self.pieces = corners, areas, triangles, pieces
        if len(corners) == 5:
            self.mean = (corners[0] + corners[1] + corners[2] + corners[3]) * 0.25
        else:
            self.mean = (corners[0] + corners[1] + corners[2]) / 3.0
        self.low, self.high = corners.min(axis=0), corners.max(axis=0)

    def mixed(self, offset: float) -> Iterator[Indices]:
        """The cells that a target at this offset cuts through, a block at a time."""
        cells = np.flatnonzero((self.low < offset) & (offset < self.high))
        return (cells[start : start + BLOCK] for start in range(0, cells.size, BLOCK))

    def at(self, offset: float) -> Earth:
        """Cut, fill and the area in cut about a target `offset` metres above the slopes' zero height.

        A cell with mean height m about the target has `cut - fill = area x m`, so that the smaller part, on
        the other side of the target than the cell's centre, gives both: `cut = area x max(m, 0) + smaller`,
        `fill = area x max(-m, 0) + smaller`. Only cells that the target cuts through have a smaller part.
        """
        mean = self.mean - offset
        smaller, above = 0.0, _dot(self.areas, mean >= 0.0)
        for cells in self.mixed(offset):
            centres, areas = mean.take(cells), self.areas.take(cells)
            volume, area = _across_the_line(self.corners.take(cells, axis=1) - offset, centres)
            smaller += _dot(areas, volume)
            above -= _dot(areas, np.copysign(area, centres))
        cut = _dot(self.areas, np.maximum(mean, 0.0)) + smaller
        fill = _dot(self.areas, np.maximum(-mean, 0.0)) + smaller
        earth = Earth(cut, fill, above)
        return earth if self.triangles is None else earth + self.triangles.at(offset)

    def by_cell(self, offset: float) -> tuple[Floats, Floats]:
        """Cut and fill of each cell by itself, m3, (cells,); those of the triangles beside the squares stand there."""
        mean, smaller = self.mean - offset, np.zeros_like(self.areas)
        for cells in self.mixed(offset):
            smaller[cells], _ = _across_the_line(self.corners.take(cells, axis=1) - offset, mean.take(cells))
        return self.areas * (np.maximum(mean, 0.0) + smaller), self.areas * (np.maximum(-mean, 0.0) + smaller)

    def by_square(self, offset: float) -> tuple[Floats, Floats]:
        """Cut and fill of each square with its pieces, m3, (squares,)."""
        cut, fill = self.by_cell(offset)
        if self.triangles is not None and self.pieces is not None:
            for whole, part in zip((cut, fill), self.triangles.by_cell(offset), strict=True):
                whole += np.bincount(self.pieces.cells, part, whole.size)
        return cut, fill

    def balance(self, shrink: float, on_hand: float = 0.0) -> float:
        """The offset at which spare is 0, in metres; see the function of that name.

        Newton's method on the exact slope of spare, which is minus (area in fill + (1 - shrink) x area in
        cut). The start is the answer for dirt that does not shrink. Spare is concave in the offset (convex
        where dirt swells) and its slope never 0, so that all steps go the same way towards the one root: no
        bracket is needed, and a step that turns back is rounding.
        """
        if not shrink < 1.0:
            raise ValueError("dirt that shrinks to nothing cannot balance")
        whole, volume = float(self.areas.sum()), _dot(self.areas, self.mean)
        if self.triangles is not None:
            whole += float(self.triangles.areas.sum())
            volume += _dot(self.triangles.areas, self.triangles.mean)
        offset = (volume + on_hand) / whole
        for _ in range(MOST_NEWTON_STEPS if shrink else 0):
            earth = self.at(offset)
            step = earth.spare(shrink, on_hand) / (whole - shrink * earth.above)
            if step * shrink >= 0.0:
                break
            offset += step
            if abs(step) < PICOMETRE:
                break
        return offset


def balance(surface: Surface, slopes: Grade, shrink: float, on_hand: float = 0.0) -> float:
    """The offset of the target at which spare is 0, slopes and zero kept, in metres.

    Args:
        surface: The ground.
        slopes: The plane to move up or down; its own offset does not matter.
        shrink: Fraction of cut lost when compacted; below 0 where dirt swells.
        on_hand: Fill from a pile or hauled in, m3 as compacted.

    Raises:
        ValueError: when shrink is 1 or more.
    """
    return surface.over(slopes).balance(shrink, on_hand)


def covered(weights: Floats, counts: Mask) -> float:
    """Share of the pad, 0 to 1, that rests on real shots: area which these stand for over the pad's area.

    Args:
        weights: Area that each position stands for (`ground.area_weights`).
        counts: Which positions have a shot that counts.
    """
    return float(weights[counts].sum() / weights.sum())


def corners_of(nodes: NDArray[Number]) -> NDArray[Number]:
    """What stands at the corners of every cell, walked around and back to the first, of values of nodes: (5, cells)."""
    near, far = nodes[:-1], nodes[1:]
    return np.stack((near[:, :-1], near[:, 1:], far[:, 1:], far[:, :-1], near[:, :-1])).reshape(5, -1)


def _dot(weights: Floats, values: Floats | Mask) -> float:
    """Sum of products, pairwise: exacter than `@`, which besides gives large arrays to threads and waits."""
    return float((weights * values).sum())


def rays(corners: Floats, mean: Floats) -> tuple[Floats, Floats, Floats]:
    """How the target cuts the rays from a cell's centre to its corners, and the edges between these.

    Args:
        corners: Heights about the target, (5, cells): the first again at the end.
        mean: Height of the centre about the target, (cells,).

    Returns:
        How far each corner lies beyond the target from the centre, (5, cells), 0 where it lies on the same
        side; the share of each ray beyond, (5, cells); the share of each edge beyond, (4, cells). For triangles
        there is one less of each.
    """
    beyond = np.maximum(corners * np.copysign(1.0, -mean), 0.0)
    ray = beyond / (beyond + (np.abs(mean) + TINY))
    either = beyond[:-1] + beyond[1:]
    edge = either / (np.maximum(np.abs(corners[:-1] - corners[1:]), either) + TINY)
    return beyond, ray, edge


def _across_the_line(corners: Floats, mean: Floats) -> tuple[Floats, Floats]:
    """Volume and area, per area of the cell, of the part beyond the target from the cell's centre.

    Take the triangle of the centre, at height m on its own side, and two corners at heights a and b beyond.
    Shares p = a / (a + m) and q = b / (b + m) of the rays to these lie beyond. Cutting the corner at the centre
    off the triangle leaves p + q - p q of its area and (a p + b q + m p q) / 3 of volume on each unit of it.
    Where only one corner lies beyond, the same holds with b = 0 for the share t of the triangle that spans the
    part of the edge beyond. All terms are positive: nothing cancels. The triangles have a fourth of the cell's area
    each; a third where the cell is itself a triangle, with its centre at the mean of its corners.
    """
    sides = len(corners) - 1
    beyond, p, t = rays(corners, mean)
    lever = beyond * p
    pq = p[:-1] * p[1:]
    volume = np.einsum("ij,ij->j", t, lever[:-1] + lever[1:] + np.abs(mean) * pq) / (3.0 * sides)
    area = np.einsum("ij,ij->j", t, p[:-1] + p[1:] - pq) / sides
    return volume, area
