"""One round over the grid: the height in force at each position, and every entry written there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rodcall.book.model.entries import Entry, RoundKind, Setup, Shot
from rodcall.book.model.grid import Grid
from rodcall.book.model.repeat_readings import MIDDLE, agree, among_agreeing, counted_height, settled
from rodcall.frozen import Frozen
from rodcall.i18n import phrase

UNSHOT, SHOT, LEFT_OUT = 0, 1, 2
"""What a round knows of a position."""
NOT_PAD = 3
"""What figures know of a position that is no part of the pad, whatever a round knows of it (`Page.not_pad`)."""


@dataclass(slots=True)
class Line:
    """One entry on the page, and what depends on it."""

    entry: Entry
    struck_by: tuple[str, ...] = ()
    """Tablets that struck it out: one, or each whose book was joined."""
    datum_nm: int = 0
    """Shot: its height. Setup and zero: the level that readings are told from. Target: its offset."""
    index: int = -1
    """The position it is about, or -1."""
    round: int = 0
    """The round it was written in (a round's own entry: the round it opens)."""
    base: Line | None = None
    """The setup or zero that a shot (or the shot of a new zero) hangs on; the setup of a check; a decision's check."""
    hanging: int = 0
    """Shots that count and hang on this setup, zero or round."""
    order: int = 0
    """How many lines were written before it."""
    shots_before: int = 0
    """Check: how many shots were written before it, struck ones included."""
    drift_nm: int = 0
    """Check: how much higher the reference reads than it is; machine check: how much higher the machine shows it."""
    moved: tuple[Line, ...] = ()
    """Decision to shift: the shots that it moved ..."""
    passed_over: tuple[Line, ...] = ()
    """... and those that lay among them and were struck then: they come back as they were read."""
    stage: str = ""
    """Shot: what the rod stood on."""
    repeats: str = MIDDLE
    """Shot: what counts of several readings of one spot, by the terms when it was written."""
    aside: bool = False
    """It is struck, and lies off the grid as facts mended later have it: it counts again only once it is on it."""
    written: Entry | None = None
    """The entry as it stands in the book, where lines or columns were added at A1's side since (`restated`)."""
    confirmations: Pile | None = None
    """Shot: the lines that let it stand though it does not fit."""

    @property
    def struck(self) -> bool:
        """Is it struck out?"""
        return bool(self.struck_by)

    @property
    def confirmed_by(self) -> Line | None:
        """The line that lets a shot stand after it was asked about, or None."""
        return self.confirmations.top if self.confirmations is not None else None


class Change(Frozen):
    """What one entry did to the page: all that a screen needs to repaint."""

    line: Line
    """The entry that counts now, or no longer counts."""
    undone: bool = False
    """True where it was struck out."""
    before_nm: int | None = None
    """Height told at the position before, from the zero in force, where one counted."""
    now_nm: int | None = None
    """Height told at the position now."""


class Fate(StrEnum):
    """What became of a reading."""

    COUNTS = phrase("counts")
    """Alone, or settled with others of its set-up (see `repeats`)."""
    REPLACED = phrase("replaced")
    """By a later one from another set-up or after a bad check, or the spot was left out."""
    STRUCK = phrase("struck")


class Reading(NamedTuple):
    """One reading of a spot that was read several times in a round, struck and replaced ones included."""

    number: int
    """Of its entry."""
    tablet: str
    said: str
    datum_nm: int
    """Its height on the book's datum."""
    setup: int
    """Where in the book its set-up was written; -1 for none."""
    fate: Fate


class Pile:
    """Entries of one kind; the last that is not struck is in force."""

    def __init__(self) -> None:
        self._lines: list[Line] = []

    def put(self, line: Line) -> None:
        """Lay one more line on top."""
        self._lines.append(line)

    @property
    def top(self) -> Line | None:
        """The one that counts, or None."""
        for line in reversed(self._lines):
            if not line.struck_by:
                return line
        return None

    @property
    def readings(self) -> list[Line]:
        """The shots that count together, oldest first: the last, and those that it was read again after."""
        together: list[Line] = []
        for line in reversed(self._lines):
            if line.struck_by:
                continue
            if not isinstance(line.entry, Shot):
                break
            together.append(line)
            if not (line.entry.again or line.entry.over):
                break
        return together[::-1]

    @property
    def all(self) -> list[Line]:
        """Every line, struck ones included, oldest first."""
        return self._lines

    def __iter__(self) -> Iterator[Line]:
        return (line for line in self._lines if not line.struck)


class RoundPage:
    """One round over the grid: the height in force at each position, and all entries there."""

    def __init__(self, kind: RoundKind, grid: Grid, step_nm: int, *, back: bool = False) -> None:
        self.kind = kind
        self._step_nm = step_nm
        self.back = back
        """Walked from the other end: the helper stood nearer to it when the round began."""
        self.state: NDArray[np.uint8] = np.zeros(grid.size, np.uint8)
        """UNSHOT, SHOT or LEFT_OUT, by index."""
        self.datum_nm: NDArray[np.int64] = np.zeros(grid.size, np.int64)
        """Height on the book's datum where SHOT, by index."""
        self.order: NDArray[np.int64] = np.zeros(grid.size, np.int64)
        """Where in the book the shot that counts was written, by index; orders shots and checks."""
        self.number: NDArray[np.int64] = np.zeros(grid.size, np.int64)
        """Number of its entry, by index; 0 where nothing counts."""
        self.stage: dict[int, str] = {}
        """What the rod stood on, by index of those shot."""
        self.seconds: NDArray[np.float64] = np.zeros(grid.size)
        """When the shot that counts was written, seconds since 1970, by index."""
        self.setup: NDArray[np.int64] = np.full(grid.size, -1)
        """Where in the book the setup that it hangs on was written, by index; -1 for none."""
        self.times: NDArray[np.int64] = np.zeros(grid.size, np.int64)
        """How many shots stand at each position, by index; the last counts."""
        self.repeated: dict[int, tuple[tuple[int, ...], ...]] = {}
        """Heights read more than once at one spot from one set-up, by index: what repeatability is worked out from."""
        self.kept: NDArray[np.bool_] = np.zeros(grid.size, np.bool_)
        """Whether what counts at each position was asked about and kept though it does not fit, by index."""
        self.read_again: NDArray[np.bool_] = np.zeros(grid.size, np.bool_)
        """Whether the spot was read again after the first reading of it, by index."""
        self.third_due: NDArray[np.bool_] = np.zeros(grid.size, np.bool_)
        """Where two readings disagree and a third has not settled it yet, by index."""
        self.tablets_disagree: NDArray[np.bool_] = np.zeros(grid.size, np.bool_)
        """Where another tablet, of which this one's readings know nothing, read something else, by index."""
        self.shots = 0
        self.left_out = 0
        self.last: int | None = None
        """The position written last, or struck last, which is where the crew stands."""
        self._piles: dict[int, Pile] = {}
        self._shots_at: dict[int, int] = {}
        """How many shots were ever written at each position, by index."""
        self._read_more: dict[int, tuple[Reading, ...]] = {}
        self._stale: set[int] = set()
        """Positions of which `_read_more` is not up to date."""

    def written_at(self, index: int) -> list[Line]:
        """All that was written at a position and is not struck, oldest first."""
        return list(self._piles.get(index, ()))

    def readings_at(self, index: int) -> list[Line]:
        """The shots that count together at a position, oldest first; empty where none does."""
        pile = self._piles.get(index)
        return pile.readings if pile is not None and self.state[index] == SHOT else []

    @property
    def read_more(self) -> dict[int, tuple[Reading, ...]]:
        """All readings of each spot that was read more than once, oldest first, by index."""
        for index in self._stale:
            self._read_more[index] = _readings(self._piles[index], self.readings_at(index))
        self._stale.clear()
        return dict(self._read_more)

    def shots_at(self, index: int) -> list[Line]:
        """All shots ever written at a position, struck ones included, oldest first."""
        pile = self._piles.get(index)
        return [line for line in pile.all if isinstance(line.entry, Shot)] if pile is not None else []

    def put(self, line: Line) -> None:
        """Write a shot or a leave-out at its position."""
        self._piles.setdefault(line.index, Pile()).put(line)
        self._shots_at[line.index] = self._shots_at.get(line.index, 0) + isinstance(line.entry, Shot)
        self.times[line.index] += isinstance(line.entry, Shot)
        self.recount(line.index)

    def count(self, line: Line, *, again: bool) -> None:
        """Let a shot or a leave-out count again, or no longer."""
        if isinstance(line.entry, Shot):
            self.times[line.index] += 1 if again else -1
        self.recount(line.index)

    def recount(self, index: int) -> None:
        """Let the last line that is not struck count at a position, with the readings that it counts with."""
        pile = self._piles[index]
        top = pile.top
        state = UNSHOT if top is None else SHOT if isinstance(top.entry, Shot) else LEFT_OUT
        before = int(self.state[index])
        self.shots += (state == SHOT) - (before == SHOT)
        self.left_out += (state == LEFT_OUT) - (before == LEFT_OUT)
        self.state[index] = state
        readings = pile.readings if state == SHOT else []
        self.datum_nm[index], self.third_due[index] = self._counted(readings)
        self.tablets_disagree[index] = bool(readings) and self._another_tablet(pile, readings)
        self.read_again[index] = len(readings) > 1 or (bool(readings) and _is_further(readings[0]))
        self.order[index] = top.order if top is not None else 0
        self.number[index] = top.entry.number if top is not None else 0
        self.seconds[index] = top.entry.time.timestamp() if top is not None else 0.0
        base = top.base if top is not None else None
        self.setup[index] = base.order if base is not None and isinstance(base.entry, Setup) else -1
        self.stage[index] = top.stage if top is not None else ""
        self.last = index
        if self._shots_at.get(index, 0) > 1:
            self._stale.add(index)
        self.repeated.pop(index, None)
        if len(readings) > 1:
            self.repeated[index] = _repeated(readings, self._step_nm)
        self.recount_kept(index)

    def recount_kept(self, index: int) -> None:
        """Look whether what counts at a position was asked about and kept."""
        self.kept[index] = any(line.confirmed_by is not None for line in self.readings_at(index))

    def _counted(self, readings: list[Line]) -> tuple[int, bool]:
        """The height that counts of readings taken together, and whether a third is due."""
        heights = [line.datum_nm for line in readings]
        if len(heights) < 2:
            return (heights[0], False) if heights else (0, False)
        way = readings[-1].repeats
        if any(isinstance(line.entry, Shot) and line.entry.over for line in readings):
            return settled(heights, self._step_nm, way)
        return counted_height(heights, way), len(heights) == 2 and not agree(heights, self._step_nm)

    def _another_tablet(self, pile: Pile, readings: list[Line]) -> bool:
        """Did another tablet read this spot, and found it elsewhere than the one tablet whose readings count?"""
        first = readings[0]
        if any(line.entry.tablet != first.entry.tablet for line in readings):
            return False
        return any(
            line.entry.tablet != first.entry.tablet and abs(line.datum_nm - first.datum_nm) > self._step_nm
            for line in pile
            if line.order < first.order and isinstance(line.entry, Shot)
        )

    def height_at(self, index: int) -> int | None:
        """Height on the datum at a position, or None where none counts."""
        return int(self.datum_nm[index]) if self.state[index] == SHOT else None


def _is_further(shot: Line) -> bool:
    return isinstance(shot.entry, Shot) and (shot.entry.over or shot.entry.again)


def _readings(pile: Pile, counting: list[Line]) -> tuple[Reading, ...]:
    """All readings of one spot, with what became of each."""
    together = {line.order for line in counting}
    return tuple(
        Reading(
            line.entry.number,
            line.entry.tablet,
            line.entry.said,
            line.datum_nm,
            line.base.order if line.base is not None and isinstance(line.base.entry, Setup) else -1,
            Fate.STRUCK if line.struck else Fate.COUNTS if line.order in together else Fate.REPLACED,
        )
        for line in pile.all
        if isinstance(line.entry, Shot)
    )


def _repeated(readings: list[Line], step_nm: int) -> tuple[tuple[int, ...], ...]:
    """Heights of readings that count together, those of one set-up in a group; readings put right were not read.

    Where two agree within a step, one that agrees with none was misread, or the ground was dug meanwhile: that says
    nothing of how well a spot is read.
    """
    by_base: dict[int, list[int]] = {}
    for line in readings:
        if isinstance(line.entry, Shot) and not line.entry.puts_right:
            by_base.setdefault(line.base.order if line.base is not None else -1, []).append(line.datum_nm)
    sound = (among_agreeing(heights, step_nm) for heights in by_base.values())
    return tuple(tuple(heights) for heights in sound if len(heights) > 1)
