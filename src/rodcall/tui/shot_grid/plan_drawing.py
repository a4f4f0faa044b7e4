"""The plan of the pad as lines of styled text: far end at the top, A1 at the near left, true numbers. No widget."""

from __future__ import annotations

from dataclasses import dataclass, field

from rich.segment import Segment
from rich.style import Style

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT, UNSHOT
from rodcall.book.model.grid import Grid, letters
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.palette import standing
from rodcall.tui.bindings.legend import BEFORE, SHADES
from rodcall.tui.shot_grid.doubts import KnownDoubts
from rodcall.tui.terminal.colours import DAY, cell_style
from rodcall.tui.widgets.styles import ACCENT, FAINT, PLAIN, STRONG
from rodcall.units import write
from rodcall.wording import words

FEWEST_FOR_WATER = 4
"""Fewer shots say nothing of the way that water runs."""
NARROW, USUAL, WIDE = 10, 14, 20
"""Characters of a cell: at least, at most, and at most where there is much room: any reading and what is to be done
there, in Spanish too, without an abbreviation. In wider ones the numbers would lie too far apart to be compared."""
ROOM_FOR_WIDE = 100
"""Columns of the plan from which its cells may be wide."""


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


_PARTS = 3
"""Segments of a cell: its frame on both sides of what stands in it."""
_GAP = Segment(" ", PLAIN)


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
            across = max(self.width - label, 1)
            most = WIDE if self.width >= ROOM_FOR_WIDE else USUAL
            width = max(min(across // grid.across, most), NARROW)
            room = max(self.height - 2, 1)
            height = next((lines for lines in (3, 2) if grid.along * lines <= room), 1)
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
        """The first line of a position's cell; None where it is not seen."""
        region = self.region_of(index)
        return region[1] if region is not None else None

    def with_written(self, drawn: list[Segment], index: int, height_nm: int) -> list[Segment]:
        """A line that was drawn, with a height that was just taken, before anything else is known of it.

        Args:
            drawn: The first line of the position's row of cells.
            index: The position, which is seen.
            height_nm: Nanometres above the zero.
        """
        at = 1 + _PARTS * (index % self.grid.across - self.column)
        unit = self.summary.job.heights
        height = words.level(self.summary, height_nm) if self.elevations else write(height_nm, unit)
        told = Segment(f"{height:>{self.layout.width - 3}} ", STRONG)
        return [*drawn[:at], drawn[at], told, drawn[at + 2], *drawn[at + _PARTS :]]

    def line(self, y: int) -> list[Segment]:
        """One line of the plan."""
        laid, grid = self.layout, self.summary.grid
        if y == 0:
            hidden = grid.along - self.row - laid.rows
            more = counted(hidden, ", {number} line more", ", {number} lines more") if hidden > 0 else ""
            run = self.summary.water
            water = (
                f"   {say('water')} {run.arrow}" if run is not None and self.summary.counted > FEWEST_FOR_WATER else ""
            )
            return [Segment(f"{' ' * laid.label}{say('far end')}{more}{water}", FAINT)]
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
                f"{letters(column):>{laid.width - 2}}  " for column in range(self.column, self.column + laid.columns)
            )
            hidden = grid.across - self.column - laid.columns
            return [Segment(f"{' ' * laid.label}{heads}{say('{number} more', number=hidden) if hidden else ''}", FAINT)]
        return []

    def _cell(self, index: int, line: int) -> list[Segment]:
        laid = self.layout
        if line == 2:
            return [_GAP, Segment(" " * (laid.width - 2), PLAIN), _GAP]
        inner = laid.width - 2
        here = index == self.cursor
        apron = index in self._apron
        left, right = ("[", "]") if here else (":", ":") if apron else (" ", " ")
        value, mark, style = self._content(index)
        if line == 1:
            value, mark = self._second_line(index, inner - 1), " "
            left = right = " "
            style = FAINT if not style.reverse else style
        elif self.summary.state[index] == SHOT:
            value, mark = _marked(value, mark, self.doubted.mark(self.summary, index), inner - 1)
        elif self.summary.state[index] == UNSHOT and self.summary.from_before[index]:
            value, mark = _marked(value, mark, BEFORE, inner - 1)
        text = f"{words.harmless(value, inner - 1):>{inner - 1}}{mark}"
        frame = ACCENT if here and line == 0 else FAINT if apron else PLAIN
        return [Segment(left, frame), Segment(text, style), Segment(right, frame)]

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
        side, depth, outside = standing(summary, index)
        mark = "!" if outside else "*" if summary.times[index] > 1 else zero
        return (
            words.level(summary, summary.height_at(index)),
            mark,
            cell_style(DAY, side, depth, outside),
        )

    def _second_line(self, index: int, room: int) -> str:
        """What is to be done there; in a narrow cell with C and F, as on a stake."""
        if self.summary.state[index] == LEFT_OUT:
            told, short = say("left out"), say("out")
        elif self.summary.state[index] == NOT_PAD:
            told, short = say("not pad", "in a cell of the plan"), ""
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
