"""The squares between the shots of which something is pad, where a corner or more of the grid is not.

A square with all four corners on the pad is whole. With three it is the triangle of these: three shots fix a plane, and
throwing it away would lose known ground; its edge runs straight between the two neighbours of the missing corner. With
two or fewer it is nothing. The strip from the outermost shots to the pad's edge follows the spots beside it. The rule
is our own choice. Distances are metres from A1, areas m2.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rodcall.book.model.grid import FEWEST_CORNERS, corners_on_pad
from rodcall.figures.ground.averages import Floats, Ints, Mask, out_to_the_edge

Indices = NDArray[np.intp]
Number = TypeVar("Number", np.float64, np.intp)

RING = ((0, 0), (0, 1), (1, 1), (1, 0))
"""Corners of a square, walked around from the near left one: lines and columns beyond that."""
WHOLE = len(RING)


@dataclass(frozen=True, eq=False)
class Triangles:
    """The squares with one corner missing; arrays of one column a triangle."""

    lines: Indices
    """Line of the nodes of each triangle, walked around and back to the first: (4, triangles)."""
    columns: Indices
    """Column of these."""
    areas: Floats
    """m2, (triangles,)."""

    def corners(self, nodes: NDArray[Number]) -> NDArray[Number]:
        """What stands at the corners, (4, triangles), of values of all nodes."""
        found: NDArray[Number] = nodes[self.lines, self.columns]
        return found


@dataclass(frozen=True, eq=False)
class Squares:
    """What is pad between the spots.

    Args:
        along_m: Distance of each line from A1, rising.
        across_m: Distance of each column from A1, rising.
        inset_m: Width of the strip between the outermost shots and the pad's edge.
        pad: Which spots are part of the pad, (along, across).
    """

    along_m: Floats
    across_m: Floats
    inset_m: float
    pad: Mask

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
    def whole_areas(self) -> Floats:
        """Area of each whole square in m2, 0 for the others."""
        areas: Floats = self._areas * (self.corners_on_pad == WHOLE)
        return areas

    @cached_property
    def triangles(self) -> Triangles:
        """The squares with one corner missing."""
        line, column = np.nonzero(self.corners_on_pad == FEWEST_CORNERS)
        is_pad = np.array([self.on_pad[line + away, column + right] for away, right in RING])
        around = (is_pad.argmin(axis=0) + np.arange(1, WHOLE + 1)[:, None]) % WHOLE
        # The last one walked to is the missing corner: the first again closes the ring of three.
        around[-1] = around[0]
        away, right = np.array(RING).T
        return Triangles(line + away[around], column + right[around], self._areas[line, column] / 2)

    @cached_property
    def node_weights(self) -> Floats:
        """The area that each node stands for: a quarter of each whole square beside it, a third of each triangle."""
        weights = np.zeros(self.on_pad.shape)
        lines, columns = self.whole_areas.shape
        for away, right in RING:
            weights[away : away + lines, right : right + columns] += self.whole_areas / WHOLE
        for line, column in zip(self.triangles.lines[:-1], self.triangles.columns[:-1], strict=True):
            np.add.at(weights, (line, column), self.triangles.areas / 3)
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
        return float(self.whole_areas.sum() + self.triangles.areas.sum())

    @cached_property
    def centre(self) -> tuple[float, float]:
        """Centre of the area, metres along and across from A1."""
        along = float(self.node_weights.sum(axis=1) @ self.node_along) / self.area
        return along, float(self.node_weights.sum(axis=0) @ self.node_across) / self.area

    @cached_property
    def _areas(self) -> Floats:
        areas: Floats = np.outer(np.diff(self.node_along), np.diff(self.node_across))
        return areas
