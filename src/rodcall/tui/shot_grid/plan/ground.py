"""The picture of the ground behind the numbers of the plan: how high each character of the cells in view lies."""

from __future__ import annotations

from functools import lru_cache
from itertools import groupby

import numpy as np
from rich.segment import Segment

from rodcall.book.fold.round_page import SHOT
from rodcall.figures.ground.averages import Floats, Indices, Ints
from rodcall.figures.ground.cells import RING, fan_weights, place
from rodcall.figures.summary import Summary
from rodcall.palette import levels
from rodcall.tui.shot_grid.plan.layout import Layout
from rodcall.tui.terminal.colours import fill_style


class GroundInView:
    """Levels of the ground (`palette.levels`) over the cells in view, at one summary.

    The surface between the spots, as volumes have it, level beyond the outermost.

    Args:
        summary: Has heights, target and limits.
        laid: The cells in view.
        row: The nearest line of positions in view.
        column: The leftmost column in view.
    """

    def __init__(self, summary: Summary, laid: Layout, row: int, column: int) -> None:
        self._laid, self._row, self._column, self._across = laid, row, column, summary.grid.across
        lines = np.arange(row + laid.rows - 1, row - 1, -1)
        self.spots: Indices = (lines[:, None] * self._across + np.arange(column, column + laid.columns)).astype(np.intp)
        """Positions in view, far end first."""
        self._shot = summary.state[self.spots] == SHOT
        shape = laid.rows, laid.height, laid.columns, laid.width
        if summary.estimated is None or summary.target_heights is None or not self._shot.any():
            self._levels: Ints = np.zeros(shape, np.int64)
            self._own: Ints = np.zeros(self.spots.shape, np.int64)
            return
        off = summary.estimated - summary.target_heights
        nodes, weights = _places(*summary.grid.shape, laid, row, column)
        surface = (weights * off.take(nodes)).sum(axis=0)
        both = levels(summary, np.concatenate((surface.ravel(), off.take(self.spots).ravel())))
        self._levels, self._own = both[: surface.size].reshape(shape), both[surface.size :].reshape(self.spots.shape)

    def of(self, index: int) -> list[list[int]] | None:
        """Line by line over the characters of a position's cell; None where it is not shot in this round."""
        at = self._at(index)
        if not self._shot[at]:
            return None
        found: list[list[int]] = self._levels[at[0], :, at[1]].tolist()
        return found

    def own(self, index: int) -> int:
        """Of the spot itself."""
        return int(self._own[self._at(index)])

    def differs_from(self, before: GroundInView) -> set[int]:
        """Positions in view that are shaded otherwise than they were."""
        differ = np.ones(self.spots.shape, np.bool_)
        if before._levels.shape == self._levels.shape and before._across == self._across:
            lines, lines_before = _overlap(before._row - self._row, self._laid.rows)
            columns, columns_before = _overlap(self._column - before._column, self._laid.columns)
            here, there = np.s_[lines, :, columns], np.s_[lines_before, :, columns_before]
            shot, shot_before = self._shot[lines, columns], before._shot[lines_before, columns_before]
            shades = (before._levels[there] != self._levels[here]).any(axis=(1, 3))
            shades |= before._own[lines_before, columns_before] != self._own[lines, columns]
            differ[lines, columns] = shades & shot | (shot != shot_before)
        return set(self.spots[differ].tolist())

    def _at(self, index: int) -> tuple[int, int]:
        row, column = divmod(index, self._across)
        return self._row + self._laid.rows - 1 - row, column - self._column


def _overlap(by: int, of: int) -> tuple[slice, slice]:
    """Of two views of so many cells, the second moved on by some: what both see, as the second has it and the first."""
    return slice(max(-by, 0), max(of - max(by, 0), 0)), slice(max(by, 0), max(of + min(by, 0), 0))


@lru_cache(maxsize=8)
def _places(along: int, across: int, laid: Layout, row: int, column: int) -> tuple[Indices, Floats]:
    """The four spots around each character in view, and what each counts there: two of (4, lines, characters)."""
    lines, characters = laid.rows * laid.height, laid.columns * laid.width
    # Places in gaps between spots; a spot is in the middle of its cell.
    v = row + laid.rows - 0.5 - (np.arange(lines) + 0.5) / laid.height
    u = column - 0.5 + (np.arange(characters) + 0.5) / laid.width
    (line, v), (left, u) = (place(np.arange(count, dtype=np.float64), at) for count, at in ((along, v), (across, u)))
    nodes = np.stack([(line + away)[:, None] * across + left + right for away, right in RING])
    return nodes, fan_weights(*np.broadcast_arrays(u[None, :], v[:, None]))


@lru_cache(maxsize=512)
def runs(ground: tuple[int, ...]) -> tuple[Segment, ...]:
    """Blank ground, a segment for each stretch of one shade."""
    return tuple(Segment(" " * len(list(run)), fill_style(level, False)) for level, run in groupby(ground))
