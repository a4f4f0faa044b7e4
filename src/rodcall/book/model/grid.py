"""Where the positions lie: names, distances and the order in which they are walked.

A1 is the near left corner. Letters run across (to the right), numbers run along (away from you). Arrays over
the grid have shape (along, across): row 0 is the near line, column 0 the left one; a flat index runs row by row.
"""

from __future__ import annotations

import re
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from rodcall.book.model.entries import MOST_POSITIONS, Walk
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.units import MM

MOST_LETTERS = 26 * 27
MOST_LINES = 9999
"""A to Z, then AA to ZZ."""

LEAST_APART = MM
"""Between shots: areas and slopes of less are lost in the rounding of floats."""
FEWEST_CORNERS = 3
"""Of a square of four spots: so many on the pad have an area between them."""

_NAME = re.compile(r"([A-Za-z]{1,2})([1-9][0-9]{0,3})")
_NUMBERS = re.compile(r"([1-9][0-9]{0,2})[.,]([1-9][0-9]{0,3})", re.ASCII)


class GridError(ValueError):
    """An impossible size, count or position name; the text is one line."""


class Grid(Frozen):
    """The spots of a rectangular pad: `along` lines away from the near edge, `across` spots in each.

    Lengths are whole nanometres. `inset` is the distance of the outermost spots from the pad's edge. Spots lie evenly
    unless distances from line to line or column to column are given (`spacing_along`, `spacing_across`).

    Raises:
        GridError: when the pad cannot hold such a grid.
    """

    length: int
    width: int
    along: int
    across: int
    inset: int = 0
    spacing_along: tuple[int, ...] = ()
    spacing_across: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if self.length <= 0 or self.width <= 0:
            raise GridError(say("the pad needs a length and a width above 0"))
        if self.along < 2 or self.across < 2:
            raise GridError(say("a pad needs at least 2 shots along and 2 across, one in each corner"))
        if self.along * self.across > MOST_POSITIONS or self.across > MOST_LETTERS or self.along > MOST_LINES:
            raise GridError(
                say(
                    "too big: the limit is {most} positions, {columns} across",
                    most=MOST_POSITIONS,
                    columns=MOST_LETTERS,
                )
            )
        if self.inset < 0 or 2 * self.inset >= min(self.length, self.width):
            raise GridError(say("the inset must leave room between the outermost shots"))
        sides = (self.spacing_along, self.along, self.length), (self.spacing_across, self.across, self.width)
        for gaps, count, side in sides:
            if gaps and (len(gaps) != count - 1 or min(gaps) <= 0 or sum(gaps) != side - 2 * self.inset):
                raise GridError(say("the distances from spot to spot and the pad's size and counts do not go together"))
        apart = (self.length - 2 * self.inset) // (self.along - 1), (self.width - 2 * self.inset) // (self.across - 1)
        if min(*apart, *self.spacing_along, *self.spacing_across) < LEAST_APART:
            raise GridError(say("the shots must lie at least 1 mm apart"))

    @property
    def size(self) -> int:
        """How many positions."""
        return self.along * self.across

    @property
    def shape(self) -> tuple[int, int]:
        """Shape of arrays over the grid: (along, across)."""
        return self.along, self.across

    @cached_property
    def along_nm(self) -> NDArray[np.int64]:
        """Distance of each line from A1's, away from the near edge; nearest whole nanometre."""
        return _spread(self.length - 2 * self.inset, self.along, self.spacing_along)

    @cached_property
    def across_nm(self) -> NDArray[np.int64]:
        """Distance of each column from A1's, to the right; nearest whole nanometre."""
        return _spread(self.width - 2 * self.inset, self.across, self.spacing_across)

    @property
    def is_even(self) -> bool:
        """Do lines and columns lie at equal distances?"""
        return not (self.spacing_along or self.spacing_across)

    @property
    def edge(self) -> tuple[tuple[int, int], ...]:
        """Corners of the full rectangle, nanometres from A1: along, across; around from the near left one."""
        near, far = -self.inset, self.length - self.inset
        left, right = -self.inset, self.width - self.inset
        return (near, left), (near, right), (far, right), (far, left)

    def rectangle(self, one: int, other: int) -> NDArray[np.int64]:
        """The indices of a rectangle of positions between two that are opposite corners of it, line by line."""
        lines, columns = (sorted(pair) for pair in zip(*(divmod(at, self.across) for at in (one, other)), strict=True))
        first = np.arange(lines[0], lines[1] + 1) * self.across
        found: NDArray[np.int64] = np.add.outer(first, np.arange(columns[0], columns[1] + 1)).ravel()
        return found

    def name(self, index: int) -> str:
        """The position's name, such as B3."""
        row, column = divmod(index, self.across)
        return f"{letters(column)}{row + 1}"

    @cached_property
    def names(self) -> tuple[str, ...]:
        """All names, by index."""
        return tuple(self.name(index) for index in range(self.size))

    def index(self, name: str) -> int:
        """The index of a position by its name, in capitals or not.

        Raises:
            GridError: when it is no name or lies off this grid.
        """
        known = self._indices.get(name)
        if known is not None:
            return known
        match = _NAME.fullmatch(name) if name.isascii() else None
        if match is None:
            raise GridError(
                say(
                    "{name} is not a position; positions run from A1 to {last}",
                    name=repr(name[:12]),
                    last=self.name(self.size - 1),
                )
            )
        column = _column(match[1].upper())
        row = int(match[2]) - 1
        if column >= self.across or row >= self.along:
            raise GridError(
                say(
                    "{name} is off the grid; it runs from A1 to {last}",
                    name=name.upper(),
                    last=self.name(self.size - 1),
                )
            )
        self._indices[name] = row * self.across + column
        return self._indices[name]

    def index_said(self, said: str) -> int:
        """The index of a position as a crew says it: by its name, or on a numeric pad by line and distance, 2.3 for B3.

        Raises:
            GridError: when it is neither or lies off this grid.
        """
        numbers = _NUMBERS.fullmatch(said)
        if numbers is None or int(numbers[1]) > self.across:
            return self.index(said)
        return self.index(f"{letters(int(numbers[1]) - 1)}{numbers[2]}")

    @cached_property
    def _indices(self) -> dict[str, int]:
        """Names that were asked for: a big book asks for the same ones again and again."""
        return {}

    def walk(self, order: Walk, *, back: bool = False) -> Walking:
        """The walking order over this grid; `back` begins at its other end."""
        return Walking(self, order, back)


class Walking(Frozen):
    """The grid's positions in walking order; looked up both ways in constant time."""

    grid: Grid
    order: Walk
    back: bool = False
    """From the other end. Lines are never walked back: they begin at the left because the crew wants them to."""

    def step(self, index: int) -> int:
        """How many positions are walked before this one."""
        row, column = divmod(index, self.grid.across)
        return self._from_its_end(row * self.grid.across + self._turned(row, column))

    def at(self, step: int) -> int:
        """The index that is walked at this step; steps go round after the last."""
        row, column = divmod(self._from_its_end(step % self.grid.size), self.grid.across)
        return row * self.grid.across + self._turned(row, column)

    @property
    def path(self) -> NDArray[np.int64]:
        """All indices in the order walked. Shared: not to be written to."""
        return _path(self.grid.along, self.grid.across, self.order, self.back)

    def onward(self, index: int | None) -> NDArray[np.int64]:
        """All indices as the helper meets them from one of them on, itself last; from the beginning for None.

        At the end of a snake the helper turns and meets what is left on the way back; lines begin anew.
        """
        if index is None:
            return self.path
        at = self.step(index)
        ahead, passed = self.path[at + 1 :], self.path[:at]
        return np.concatenate([ahead, passed if self.order is Walk.LINES else passed[::-1], self.path[at : at + 1]])

    def _from_its_end(self, step: int) -> int:
        return self.grid.size - 1 - step if self.back and self.order is Walk.SNAKE else step

    def _turned(self, row: int, column: int) -> int:
        back = self.order is Walk.SNAKE and row % 2 == 1
        return self.grid.across - 1 - column if back else column


@lru_cache(maxsize=8)
def _path(along: int, across: int, order: Walk, back: bool) -> NDArray[np.int64]:
    lines = np.arange(along * across, dtype=np.int64).reshape(along, across)
    if order is Walk.SNAKE:
        lines[1::2] = lines[1::2, ::-1].copy()
    path = lines.ravel()[::-1] if back and order is Walk.SNAKE else lines.ravel()
    path.flags.writeable = False
    return path


def corners_on_pad(pad: NDArray[np.bool_]) -> NDArray[np.int64]:
    """How many corners of each square of four spots are part of the pad, for a mask of shape (along, across)."""
    on = pad.astype(np.int64)
    corners: NDArray[np.int64] = on[:-1, :-1] + on[:-1, 1:] + on[1:, :-1] + on[1:, 1:]
    return corners


def moved(name: str, by: tuple[int, int]) -> str:
    """The name of the position so many lines farther out and so many columns farther right.

    Raises:
        GridError: when that is nearer than line 1, or left of column A, or it is no name.
    """
    match = _NAME.fullmatch(name) if name.isascii() else None
    if match is None:
        raise GridError(say("{name} is not a position", name=repr(name[:12])))
    row, column = int(match[2]) + by[0], _column(match[1].upper()) + by[1]
    if row < 1 or not 0 <= column < MOST_LETTERS:
        raise GridError(say("{name} is at a line or column that is not there any more", name=name))
    return f"{letters(column)}{row}"


def letters(column: int) -> str:
    """Column 0 is A, 25 Z, 26 AA."""
    return chr(65 + column) if column < 26 else chr(64 + column // 26) + chr(65 + column % 26)


def _column(name: str) -> int:
    column = 0
    for letter in name:
        column = column * 26 + ord(letter) - 64
    return column - 1


def _spread(span: int, count: int, spacing: tuple[int, ...]) -> NDArray[np.int64]:
    if spacing:
        return np.cumsum((0, *spacing), dtype=np.int64)
    gaps = count - 1
    return np.array([(2 * span * i + gaps) // (2 * gaps) for i in range(count)], dtype=np.int64)
