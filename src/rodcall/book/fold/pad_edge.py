"""The pad's edge on a page: outline, holes and spots that are no part of the pad, in every round."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from rodcall.book.fold.page_error import PageError
from rodcall.book.fold.round_page import Line, Pile
from rodcall.book.model.entries import NotPad, Outline
from rodcall.book.model.grid import FEWEST_CORNERS, Grid, GridError, corners_on_pad
from rodcall.book.model.outline import Outline as Polygon
from rodcall.book.model.shapes import ring_of
from rodcall.i18n import say


class PadEdge:
    """Which positions of a grid are part of the pad, by the lines written of it that are not struck."""

    def __init__(self, grid: Grid) -> None:
        self._grid = grid
        self.outline: Polygon | None = None
        """The pad's edge where it is no full rectangle, metres from A1."""
        self.not_pad: NDArray[np.bool_] = np.zeros(grid.size, np.bool_)
        """Which positions are no part of the pad, in any round, by index; not to be written to."""
        self.outlines = Pile()
        """Outlines and holes."""
        self._not_pad = Pile()
        self._denied: NDArray[np.int64] = np.zeros(grid.size, np.int64)
        """How many lines that count say that a position is no part of the pad, by index."""
        self._beyond: NDArray[np.bool_] = np.zeros(grid.size, np.bool_)
        """Which positions lie off the outline."""

    @property
    def denied(self) -> NDArray[np.bool_]:
        """Which positions a line says are no part of the pad, whatever the outline says."""
        denied: NDArray[np.bool_] = self._denied > 0
        return denied

    def not_pad_at(self, index: int) -> Line | None:
        """The line by which a position is no part of the pad, the last of several; None where it is part of it."""
        lines = (line for line in reversed(list(self._not_pad)) if index in self._said(line))
        return next(lines, None)

    def taken_off_at(self, index: int) -> Line | None:
        """The last line that took a position off the pad: `not pad`, the outline, or a hole; None for one on it."""
        edges = [line for line in self.outlines if isinstance(line.entry, Outline) and not line.entry.hole]
        holes = [line for line in self.outlines if isinstance(line.entry, Outline) and line.entry.hole]
        off = [line for line in (*edges[-1:], *holes) if self._is_off(line, index)]
        denied = self.not_pad_at(index)
        lines = off if denied is None else [*off, denied]
        return max(lines, key=lambda line: line.order, default=None)

    # -- writing --------------------------------------------------------------------------------------------

    def write_not_pad(self, line: Line) -> None:
        """Take the positions of a new line out of the pad.

        Raises:
            PageError: when they are off the grid, or no pad would be left; nothing is changed.
        """
        self.deny(line)
        self._not_pad.put(line)

    def deny(self, line: Line, *, counts: bool = True) -> None:
        """Take the positions of a line that counts (again) out of the pad; where it no longer counts, back into it."""
        positions = self._said(line)
        if counts:
            self._some_pad_without(positions)
        self._denied[positions] += 1 if counts else -1
        self.not_pad = (self._denied > 0) | self._beyond

    def may_deny(self, line: Line) -> None:
        """Raise a PageError where no pad would be left without the positions of a line."""
        self._some_pad_without(self._said(line))

    def write_outline(self, line: Line) -> None:
        """Let a new outline or hole bound the pad with those before.

        Raises:
            PageError: when they bound nothing that can be shot; nothing is changed.
        """
        self.bound([*self.outlines, line])
        self.outlines.put(line)

    def bound_with(self, line: Line) -> None:
        """The same for a line that was struck and counts again."""
        self.bound(sorted([*self.outlines, line], key=lambda each: each.order))

    def bound_without(self, line: Line) -> None:
        """Let the outlines but one bound the pad; errors as `write_outline`."""
        self.bound(each for each in self.outlines if each is not line)

    def bound(self, lines: Iterable[Line]) -> None:
        """Let these outlines bound the pad: the last edge of them, and every hole; errors as `write_outline`."""
        said = [line.entry for line in lines if isinstance(line.entry, Outline)]
        edges = [each for each in said if not each.hole]
        try:
            holes = tuple(_in_metres(ring_of(self._grid, each.corners)) for each in said if each.hole)
            edge = ring_of(self._grid, edges[-1].corners) if edges else self._grid.edge
            outline = Polygon(_in_metres(edge), holes) if said else None
        except ValueError as error:
            raise PageError(str(error)) from None
        beyond = np.zeros(self._grid.size, np.bool_)
        if outline is not None:
            along, across = (
                np.asarray(each, np.float64) * 1e-9 for each in (self._grid.along_nm, self._grid.across_nm)
            )
            beyond = ~outline.contains(along[:, None], across).ravel()
        self._some_pad(~(self.denied | beyond))
        self.outline, self._beyond, self.not_pad = outline, beyond, self.denied | beyond

    # -- inside ---------------------------------------------------------------------------------------------

    def _is_off(self, line: Line, index: int) -> bool:
        """Does an outline, or a hole, by itself put a position off the pad?"""
        entry = line.entry
        assert isinstance(entry, Outline)
        row, column = divmod(index, self._grid.across)
        place = np.array([self._grid.along_nm[row]]) * 1e-9, np.array([self._grid.across_nm[column]]) * 1e-9
        inside = Polygon(_in_metres(ring_of(self._grid, entry.corners))).contains(*place)
        return bool(inside[0]) is entry.hole

    def _said(self, line: Line) -> NDArray[np.int64]:
        """The positions that a line says are no part of the pad."""
        entry = line.entry
        assert isinstance(entry, NotPad)
        try:
            return self._grid.rectangle(self._grid.index(entry.position), self._grid.index(entry.to or entry.position))
        except GridError as error:
            raise PageError(str(error)) from None

    def _some_pad_without(self, positions: NDArray[np.int64]) -> None:
        """Raise where nothing with an area would be left: three corners of one square at least."""
        pad = ~self.not_pad
        pad[positions] = False
        self._some_pad(pad)

    def _some_pad(self, pad: NDArray[np.bool_]) -> None:
        if not (corners_on_pad(pad.reshape(self._grid.shape)) >= FEWEST_CORNERS).any():
            raise PageError(say("that leaves no pad: keep at least three spots of one square"))


def _in_metres(ring: tuple[tuple[int, int], ...]) -> tuple[tuple[float, float], ...]:
    return tuple((along * 1e-9, across * 1e-9) for along, across in ring)
