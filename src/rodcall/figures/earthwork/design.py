"""Shapes of a finished pad besides a plane: crown, valley, ramp, dish, and a height a position.

Each is a height over a place, in metres, made of planes that meet in straight creases, so that cut and fill stay exact.
Distances are metres from A1: `along` away from the near edge, `across` to the right.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Protocol

import numpy as np

from rodcall.book.model.entries import Target
from rodcall.book.model.grid import Grid
from rodcall.book.model.outline import Point
from rodcall.book.model.shapes import ShapeKind, parse_shape, place_of
from rodcall.figures.ground.averages import Floats
from rodcall.figures.ground.cells import RING, Crease, fan_weights, place
from rodcall.frozen import Frozen


class Shape(Protocol):
    """How a design rises and falls, up to a height that is the same everywhere."""

    @property
    def creases(self) -> tuple[Crease, ...]:
        """Lines on both sides of which it is made of different planes."""

    def at(self, along: Floats, across: Floats) -> Floats:
        """Its height, metres; the arguments broadcast."""


class Crown(Frozen):
    """Two planes that fall away from a line on both sides; a valley where the fall is below 0.

    Raises:
        ValueError: when both points are the same.
    """

    start: Point
    end: Point
    fall: float
    """m per m, square to the line."""

    def __post_init__(self) -> None:
        if self.start == self.end:
            raise ValueError("a line needs two points")

    @property
    def creases(self) -> tuple[Crease, ...]:
        """The line itself."""
        along, across = self.end[0] - self.start[0], self.end[1] - self.start[1]
        length = float(np.hypot(along, across))
        square = across / length, -along / length
        return ((*square, square[0] * self.start[0] + square[1] * self.start[1]),)

    def at(self, along: Floats, across: Floats) -> Floats:
        """Height about the line's."""
        ((first, second, third),) = self.creases
        height: Floats = -self.fall * np.abs(first * along + second * across - third)
        return height


class Ramp(Frozen):
    """Level up to one point, then rising evenly to another, and level beyond it, square to the line between them.

    Raises:
        ValueError: when both points are the same.
    """

    start: Point
    end: Point
    rise: float
    """Height of the end above the start, metres."""

    def __post_init__(self) -> None:
        if self.start == self.end:
            raise ValueError("a ramp needs two points")

    @property
    def creases(self) -> tuple[Crease, ...]:
        """Foot and head."""
        along, across = self.end[0] - self.start[0], self.end[1] - self.start[1]
        length = float(np.hypot(along, across))
        way = along / length, across / length
        foot = way[0] * self.start[0] + way[1] * self.start[1]
        return (*way, foot), (*way, foot + length)

    def at(self, along: Floats, across: Floats) -> Floats:
        """Height about the start's."""
        (first, second, foot), (_, _, head) = self.creases
        share = np.clip((first * along + second * across - foot) / (head - foot), 0.0, 1.0)
        height: Floats = self.rise * share
        return height


class Dish(Frozen):
    """Four planes that fall to a drain, each square to an edge of the pad; they meet in the diagonals through it."""

    drain: Point
    fall: float
    """m per m."""

    @property
    def creases(self) -> tuple[Crease, ...]:
        """The two diagonals."""
        half = 0.5**0.5
        along, across = self.drain
        return (half, half, half * (along + across)), (half, -half, half * (along - across))

    def at(self, along: Floats, across: Floats) -> Floats:
        """Height about the drain's."""
        height: Floats = self.fall * np.maximum(np.abs(along - self.drain[0]), np.abs(across - self.drain[1]))
        return height


class Spots(Frozen, eq=False):
    """A height a position, as from a drawing: between the positions the same four triangles a square as the ground.

    Args:
        heights: Metres, (along, across).
        along_m: Distance of each line from A1, rising.
        across_m: Distance of each column from A1, rising.
    """

    heights: Floats
    along_m: Floats
    across_m: Floats

    @property
    def creases(self) -> tuple[Crease, ...]:
        """None: it bends where the ground's surface does."""
        return ()

    def at(self, along: Floats, across: Floats) -> Floats:
        """Height between the positions; level beyond the outermost."""
        row, v = place(self.along_m, along)
        column, u = place(self.across_m, across)
        row, column, u, v = np.broadcast_arrays(row, column, u, v)
        ring = [self.heights[row + away, column + right] for away, right in RING]
        weights = fan_weights(u, v)
        height: Floats = sum((weight * corner for weight, corner in zip(weights, ring, strict=True)), np.zeros(u.shape))
        return height


@lru_cache(maxsize=32)
def shape_of(target: Target, grid: Grid) -> Shape | None:
    """The shape that a target was written with; None for a plane.

    Raises:
        ShapeError: when its words do not fit the grid; a book refuses such an entry.
    """
    if target.heights_nm:
        heights = np.array(target.heights_nm, np.float64).reshape(grid.shape) * 1e-9
        return Spots(
            heights, np.asarray(grid.along_nm, np.float64) * 1e-9, np.asarray(grid.across_nm, np.float64) * 1e-9
        )
    return shape_of_words(target.shape, grid)


def shape_of_words(words: str, grid: Grid) -> Shape | None:
    """The shape that is said so (`crown B1 B4 2%`); None for no words: a plane.

    Raises:
        ShapeError: when it is not understood, or does not fit the grid.
    """
    if not words:
        return None
    said = parse_shape(words)
    first, *more = [(along * 1e-9, across * 1e-9) for along, across in (place_of(grid, each) for each in said.points)]
    match said.kind:
        case ShapeKind.CROWN:
            return Crown(first, more[0], said.fall)
        case ShapeKind.VALLEY:
            return Crown(first, more[0], -said.fall)
        case ShapeKind.RAMP:
            return Ramp(first, more[0], said.rise_nm * 1e-9)
        case ShapeKind.DISH:
            return Dish(first, said.fall)
