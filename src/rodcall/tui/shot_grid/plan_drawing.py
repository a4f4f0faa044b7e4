"""The plan of the pad as lines of styled text: far end at the top, A1 at the near left, true numbers. No widget."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import groupby

import numpy as np
from rich.segment import Segment
from rich.style import Style

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT, UNSHOT
from rodcall.book.model.grid import Grid, letters
from rodcall.figures.ground.averages import Ints
from rodcall.figures.ground.cells import RING, fan_weights, place
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.palette import levels, standing
from rodcall.tui.bindings.legend import BEFORE, SHADES
from rodcall.tui.shot_grid.doubts import KnownDoubts
from rodcall.tui.terminal.colours import DAY, cell_style, fill_style
from rodcall.tui.widgets.block_digits import block_letters, columns_of, rows_of
from rodcall.tui.widgets.styles import ACCENT, FAINT, PLAIN, STRONG
from rodcall.units import write
from rodcall.wording import words

FEWEST_FOR_WATER = 4
"""Fewer shots say nothing of the way that water runs."""
NARROW = 10
"""Characters of a cell at least: any reading and what is to be done there, in Spanish too, as on a stake."""
WIDE, TALL = 44, 12
"""Characters and lines of a cell at most: numbers farther apart cannot be compared."""
DISTORTED = 3.0
"""A cell may be so many times wider or taller than the ground between its spots is, to fill the room."""
NAMED = 4
"""Lines from which a cell shows its spot's name."""
HATCH = "/  "
"""Ground outside of the pad, and holes in it."""
LARGE = 5
"""Lines from which its height is written in large digits, where it is wide enough."""


@dataclass(frozen=True)
class Layout:
    """What of the pad is seen, in cells and characters."""

    label: int
    """Characters of a line's number and its gap."""
    width: int
    height: int
    """Characters and lines of one cell."""
    rows: int
    columns: int
    """Cells that fit."""


@dataclass(frozen=True)
class Shades:
    """How the whole pad is seen."""

    per_row: int
    per_column: int
    """Lines and columns of positions that one shade stands for."""
    rows: int
    """Lines of shades."""


@dataclass
class PlanPicture:
    """What of a pad is seen in a room of so many columns and lines, and how it is drawn."""

    summary: Summary
    cursor: int
    """The spot that is framed; -1 for none."""
    doubted: KnownDoubts
    width: int = 0
    height: int = 0
    row: int = 0
    column: int = 0
    """The nearest line, and the leftmost column, that are seen."""
    grid: Grid = field(init=False)
    elevations: bool = field(init=False)
    """Heights are told as elevations: known beforehand, since a height that was just taken waits for nothing."""
    _laid: Layout | None = field(default=None, repr=False)
    _ground: tuple[object, Ints] | None = field(default=None, repr=False)

    def __post_init__(self) -> None:
        self.take(self.summary)

    def take(self, summary: Summary) -> None:
        """Another summary, perhaps on another grid, since facts may be mended."""
        self.summary, self.grid = summary, summary.grid
        self.elevations = summary.datum.told_from_nm is not None

    # -- where things lie -----------------------------------------------------------------------------------

    @property
    def layout(self) -> Layout:
        """Cells and their size."""
        if self._laid is None:
            grid = self.summary.grid
            label = len(str(grid.along)) + 1
            across, room = max(self.width - label, 1), max(self.height - 2, 1)
            width, height = _cell_size(self.summary, across, room)
            rows, columns = min(max(room // height, 1), grid.along), min(max(across // width, 1), grid.across)
            self._laid = Layout(label, width, height, rows, columns)
        return self._laid

    def fit(self, width: int, height: int) -> None:
        """Lay out anew for another room."""
        self.width, self.height, self._laid = width, height, None
        self.keep_in_view()

    def keep_in_view(self) -> bool:
        """Scroll so that the cursor is seen with a cell to spare; True when anything moved."""
        if self.cursor < 0:
            return False
        laid, grid = self.layout, self.summary.grid
        row, column = divmod(self.cursor, grid.across)
        before = self.row, self.column
        self.row = _scrolled(self.row, row, laid.rows, grid.along)
        self.column = _leafed(self.column, column, laid.columns, grid.across)
        return before != (self.row, self.column)

    def scroll(self, rows: int) -> None:
        """Look further away, or nearer."""
        self.row = min(max(self.row + rows, 0), self.summary.grid.along - self.layout.rows)

    def cell_at(self, x: int, y: int) -> int | None:
        """The position whose cell is there."""
        laid, grid = self.layout, self.summary.grid
        up = laid.rows - 1 - (y - 1) // laid.height
        right = (x - laid.label) // laid.width
        if y >= 1 and 0 <= up < laid.rows and x >= laid.label and right < laid.columns:
            return (self.row + up) * grid.across + self.column + right
        return None

    def shade_at(self, x: int, y: int) -> int | None:
        """The position whose shade is there in the overview."""
        grid, shades = self.summary.grid, self.shades
        row, column = (shades.rows - y) * shades.per_row, (x - 2) // 2 * shades.per_column
        return row * grid.across + column if 0 <= row < grid.along and 0 <= column < grid.across and y >= 1 else None

    def region_of(self, index: int) -> tuple[int, int, int, int] | None:
        """Column, line, width and height of a position's cell; None where it is not seen."""
        laid = self.layout
        row, column = divmod(index, self.grid.across)
        up, right = row - self.row, column - self.column
        if index < 0 or not (0 <= up < laid.rows and 0 <= right < laid.columns):
            return None
        return laid.label + right * laid.width, 1 + (laid.rows - 1 - up) * laid.height, laid.width, laid.height

    # -- drawn ----------------------------------------------------------------------------------------------

    def line_of(self, index: int) -> int | None:
        """The line that a position's height is written in; None where it is not seen."""
        region = self.region_of(index)
        return region[1] + max((region[3] - 2) // 2, 0) if region is not None else None

    def with_written(self, drawn: list[Segment], index: int, height_nm: int) -> list[Segment]:
        """A line that was drawn, with a height that was just taken, before anything else is known of it.

        Args:
            drawn: The line of the position's height.
            index: The position, which is seen.
            height_nm: Nanometres above the zero.
        """
        laid, unit = self.layout, self.summary.job.heights
        left = laid.label + (index % self.grid.across - self.column) * laid.width
        whole = sum(len(part.text) for part in drawn)
        before, _, after = Segment.divide(drawn, [left, left + laid.width, whole])
        height = words.level(self.summary, height_nm) if self.elevations else write(height_nm, unit)
        told = f"{height:>{laid.width - 2}}" if laid.width <= USUAL else height.center(laid.width)
        return [*before, Segment(f"{told:<{laid.width}}", STRONG), *after]

    def line(self, y: int) -> list[Segment]:
        """One line of the plan."""
        laid, grid = self.layout, self.summary.grid
        if y == 0:
            return [Segment(f"{' ' * laid.label}{self._head()}", FAINT)]
        up, line = divmod(y - 1, laid.height)
        if up < laid.rows:
            row = self.row + laid.rows - 1 - up
            label = f"{row + 1:>{laid.label - 1}} " if line == 0 else " " * laid.label
            first = row * grid.across + self.column
            return [
                Segment(label, FAINT),
                *(part for at in range(first, first + laid.columns) for part in self._cell(at, line)),
            ]
        if up == laid.rows and line == 0:
            heads = "".join(
                f"{letters(column):^{laid.width}}" for column in range(self.column, self.column + laid.columns)
            )
            hidden = grid.across - self.column - laid.columns
            more = say("{number} more", number=hidden) if hidden else ""
            return [Segment(f"{' ' * laid.label}{heads}{more}", FAINT)]
        return []

    def _head(self) -> str:
        """What lies beyond the far end: lines out of view, where water runs, north, and the way out."""
        laid, grid, summary = self.layout, self.summary.grid, self.summary
        hidden = grid.along - self.row - laid.rows
        told = [
            say("far end") + (counted(hidden, ", {number} line more", ", {number} lines more") if hidden > 0 else "")
        ]
        run = summary.water
        if run is not None and summary.counted > FEWEST_FOR_WATER:
            told.append(f"{say('water')} {run.arrow}")
        if "north" in summary.terms.said:
            told.append(say("faces {north}", north=str(summary.terms.said["north"]).upper()))
        if "exit" in summary.terms.said:
            told.append(say("out by {exit}", exit=summary.terms.word("exit")))
        return "   ".join(told)

    def _cell(self, index: int, line: int) -> list[Segment]:
        """One line of one cell: the picture of the ground, and what is written on it."""
        width = self.layout.width
        text, style, marks = self._written(index, line)
        ground = self._ground_of(index, line)
        # Numbers of narrow cells are right-aligned, so that they can be compared line by line.
        right = (2 if width <= USUAL else (width - len(text) + marks) // 2) - marks if text else width // 2
        left = width - len(text) - right
        if index == self.cursor and (corners := _FRAME.get((line == 0, line == self.layout.height - 1), "[]")):
            frame = ACCENT if ground is None else style + Style(bold=True)
            edges = [Segment(corner, frame) for corner in corners]
        elif index in self._apron:
            edges = [Segment(":", FAINT if ground is None else style)] * 2
        else:
            edges = []
        if self.summary.state[index] == NOT_PAD:
            row = f"{HATCH[line % len(HATCH) :]}{HATCH * width}"
            body = [Segment(row[:left], FAINT), Segment(text, style), Segment(row[width - right : width], FAINT)]
        elif ground is None:
            body = [Segment(" " * left, PLAIN), Segment(text, style), Segment(" " * right, PLAIN)]
        else:
            body = [*_runs(ground[:left]), Segment(text, style), *_runs(ground[width - right :])]
        return body if not edges or left < 1 or right < 1 else [edges[0], *_inside(body), edges[1]]

    def _written(self, index: int, line: int) -> tuple[str, Style, int]:
        """What is written on one line of a cell, how, and how many characters at its end are marks."""
        laid, summary = self.layout, self.summary
        value, mark, style = self._content(index)
        if summary.state[index] == SHOT:
            value, mark = _marked(value, mark, self.doubted.mark(summary, index), laid.width - 3)
        elif summary.state[index] == UNSHOT and summary.from_before[index]:
            value, mark = _marked(value, mark, BEFORE, laid.width - 3)
        large = _large(value, laid) if summary.state[index] == SHOT else None
        if large is not None:
            first = (laid.height - len(large)) // 2
            after = first + len(large)
            if first <= line < after:
                return f" {large[line - first]}", style, 0
        else:
            first = max((laid.height - 2) // 2, 0)
            after = first + 1
            if line == first:
                return f"{words.harmless(value, laid.width - 3)}{mark}", style, 1
        soft = style if style == FAINT else style + Style(bold=False)
        if line == after:
            return self._second_line(index, laid.width - 3), soft, 0
        if line == max(first - 1, 0) and laid.height >= NAMED:
            return f"{summary.grid.name(index)} {mark if large is not None else ''}".rstrip(), soft, 0
        return "", style, 0

    def _ground_of(self, index: int, line: int) -> list[int] | None:
        """Levels of the ground over the columns of one line of a cell; None where it is not shot in this round."""
        if self.summary.state[index] != SHOT:
            return None
        laid = self.layout
        row, column = divmod(index, self.summary.grid.across)
        up, right = row - self.row, (column - self.column) * laid.width
        levels_of_line: list[int] = self.ground[
            (laid.rows - 1 - up) * laid.height + line, right : right + laid.width
        ].tolist()
        return levels_of_line

    @property
    def ground(self) -> Ints:
        """Levels of the ground for each line and column of characters of all cells in view."""
        key = self.summary, self.layout, self.row, self.column
        if self._ground is None or self._ground[0] != key:
            self._ground = key, _ground(self.summary, self.layout, self.row, self.column)
        return self._ground[1]

    def reshaded(self, before: Ints) -> set[int]:
        """Positions in view whose ground is shaded otherwise than it was."""
        now, laid, across = self.ground, self.layout, self.summary.grid.across
        if before.shape != now.shape:
            return set()
        cells = (before != now).reshape(laid.rows, laid.height, laid.columns, laid.width).any(axis=(1, 3))
        return {
            (self.row + laid.rows - 1 - up) * across + self.column + right for up, right in np.argwhere(cells).tolist()
        }

    @property
    def _apron(self) -> frozenset[int]:
        """Positions outside of the footprint, where there is one."""
        parts = self.summary.parts
        return frozenset(parts[1].positions) if parts is not None else frozenset()

    def _content(self, index: int) -> tuple[str, str, Style]:
        """Value, mark and style of a position."""
        summary = self.summary
        state = summary.state[index]
        zero = "z" if index == summary.zero else " "
        if state == LEFT_OUT:
            return "x", zero, FAINT
        if state == NOT_PAD:
            return "/", zero, FAINT
        if state != SHOT:
            before = summary.before_at(index)
            return (".", zero, FAINT) if before is None else (words.level(summary, before[0]), zero, FAINT)
        mark = "!" if summary.out_mask[index] else "*" if summary.times[index] > 1 else zero
        return words.level(summary, summary.height_at(index)), mark, self._shot_style(index)

    def _shot_style(self, index: int) -> Style:
        """Of the height of a spot: on the shade that it has itself."""
        deviation = self.summary.deviation_at(index) or 0
        level = int(levels(self.summary, np.array([deviation]))[0])
        return fill_style(level, bool(self.summary.out_mask[index])) + Style(bold=True)

    def _second_line(self, index: int, room: int) -> str:
        """What is to be done there; in a narrow cell with C and F, as on a stake."""
        if self.summary.state[index] == LEFT_OUT:
            told, short = say("left out"), say("out")
        elif self.summary.state[index] == NOT_PAD:
            # Where an outline says so it is seen by the hatching alone.
            told, short = say("not pad", "in a cell of the plan") if not self.summary.outline else "", ""
        else:
            before = self.summary.before_at(index)
            deviation = self.summary.deviation_at(index) if before is None else before[1]
            told = words.work_words(self.summary.job, deviation)
            short = words.stake_words(self.summary.job, deviation)
        return told if len(told) <= room else short

    def overview_line(self, y: int) -> list[Segment]:
        """The whole pad in shades: each character pair stands for one position, or for the worst of several."""
        shades = self.shades
        if y == 0:
            each = ""
            if shades.per_row > 1 or shades.per_column > 1:
                across, along = shades.per_column, shades.per_row
                each = f"   {say('each shade: the worst of {across} x {along}', across=across, along=along)}"
            return [Segment(f"  {say('far end')}{each}", FAINT)]
        if y > shades.rows:
            return [Segment(f"  {say(SHADES)}", FAINT)] if y == shades.rows + 1 else []
        row = (shades.rows - y) * shades.per_row
        segments = [Segment("  ", PLAIN)]
        for column in range(0, self.summary.grid.across, shades.per_column):
            segments.append(self._shade(row, column, shades.per_row, shades.per_column))
        return segments

    @property
    def shades(self) -> Shades:
        """How the overview is made up."""
        grid, room = self.summary.grid, max(self.height - 2, 1)
        per_row = -(-grid.along // room)
        per_column = -(-grid.across // max((self.width - 2) // 2, 1))
        return Shades(per_row, per_column, -(-grid.along // per_row))

    def _shade(self, row: int, column: int, rows: int, columns: int) -> Segment:
        grid, summary = self.summary.grid, self.summary
        block = [
            r * grid.across + c
            for r in range(row, min(row + rows, grid.along))
            for c in range(column, min(column + columns, grid.across))
        ]
        shot = [index for index in block if summary.state[index] == SHOT]
        cursor = self.cursor in block
        if not shot:
            states = {int(summary.state[index]) for index in block}
            glyph = "x" if LEFT_OUT in states else "/" if states == {NOT_PAD} else "."
            return Segment(f"[{glyph}" if cursor else f" {glyph}", ACCENT if cursor else FAINT)
        worst = max(shot, key=lambda index: (summary.out_mask[index], abs(summary.deviation_at(index) or 0)))
        side, depth, outside = standing(summary, worst)
        glyph = "o" if depth == 0 else ("#" if outside else "+") if side > 0 else ("=" if outside else "-")
        return Segment(f"[{glyph}" if cursor else f" {glyph}", cell_style(DAY, side, depth, outside))


def _marked(value: str, mark: str, other: str, room: int) -> tuple[str, str]:
    """A number and its mark, with another mark before the number, or in place of the first where there is no room.

    That a reading is out of tolerance shows in reverse, and by what is to be done there, without its mark too.
    """
    if not other:
        return value, mark
    told = next((told for told in (f"{other} {value}", f"{other}{value}") if len(told) <= room), None)
    return (value, other) if told is None else (told, mark)


def _leafed(first: int, at: int, seen: int, of: int) -> int:
    """The first column to show so that `at` is seen: by the page, since a walk goes from column to column.

    One column at a time, all of the plan would move at every reading.
    """
    spare = 1 if seen > 2 else 0
    if first + min(spare, at) <= at < first + seen - min(spare, of - 1 - at):
        return min(max(first, 0), max(of - seen, 0))
    ahead = at - spare if at >= first + seen - spare else at + spare - seen + 1
    return min(max(ahead, 0), max(of - seen, 0))


def _scrolled(first: int, at: int, seen: int, of: int) -> int:
    """The first cell to show so that `at` is seen, with one to spare where there is one."""
    spare = 1 if seen > 2 else 0
    first = min(first, max(at - spare, 0))
    first = max(first, at + spare - seen + 1)
    return min(max(first, 0), max(of - seen, 0))


USUAL = 14
"""Characters up to which the numbers of a cell are right-aligned."""
_FRAME = {(True, False): "┌┐", (False, True): "└┘", (False, False): "  ", (True, True): "[]"}
"""Edges of the framed cell on its first line, its last, between, and where it has one line only."""


def _cell_size(summary: Summary, across: int, room: int) -> tuple[int, int]:
    """Characters and lines of a cell: as large as the room allows, and not too far from the pad's own proportions."""
    grid = summary.grid
    width = max(min(across // grid.across, WIDE), NARROW)
    height = max(min(room // grid.along, TALL), 1)
    # A character is about twice as tall as it is wide.
    even = 2.0 * float(grid.across_nm[-1]) / (grid.across - 1) / (float(grid.along_nm[-1]) / (grid.along - 1))
    if width > DISTORTED * even * height:
        width = max(round(DISTORTED * even * height), min(width, ROOMY), NARROW)
    if height * even > DISTORTED * width:
        height = max(round(DISTORTED * width / even), min(height, 3), 1)
    return width, height


ROOMY = 20
"""Characters that a cell may have whatever the pad's proportions: it can be read at arm's length."""


def _ground(summary: Summary, laid: Layout, row: int, column: int) -> Ints:
    """Levels over the cells in view, far end first: the surface between the spots, level beyond the outermost."""
    shape = laid.rows * laid.height, laid.columns * laid.width
    if summary.estimated is None or summary.target_heights is None:
        return np.zeros(shape, np.int64)
    along, across = summary.grid.shape
    off = (summary.estimated - summary.target_heights).reshape(along, across).astype(np.float64)
    # Places in gaps between spots; a spot is in the middle of its cell.
    v = row + laid.rows - 0.5 - (np.arange(shape[0]) + 0.5) / laid.height
    u = column - 0.5 + (np.arange(shape[1]) + 0.5) / laid.width
    (line, v), (left, u) = (
        place(np.arange(count, dtype=np.float64), np.asarray(at, np.float64)) for count, at in ((along, v), (across, u))
    )
    ring = np.array([off[np.ix_(line + away, left + right)] for away, right in RING])
    weights = fan_weights(*np.broadcast_arrays(u[None, :], v[:, None]))
    return levels(summary, (weights * ring).sum(axis=0))


def _runs(ground: list[int]) -> list[Segment]:
    """Blank ground, a segment for each stretch of one shade."""
    return [Segment(" " * len(list(run)), fill_style(level, False)) for level, run in groupby(ground)]


def _inside(body: list[Segment]) -> list[Segment]:
    """A cell's line without its first and its last character."""
    first, last = body[0], body[-1]
    return [Segment(first.text[1:], first.style), *body[1:-1], Segment(last.text[:-1], last.style)]


def _large(value: str, laid: Layout) -> tuple[str, ...] | None:
    """A height in large digits, as large as the cell has room for; None where it has none."""
    for tall, wide in ((2, 2), (1, 1)):
        if laid.height >= rows_of(tall) + 2 and laid.height >= LARGE and laid.width >= columns_of(value, wide) + 4:
            return block_letters(value, tall, wide)
    return None
