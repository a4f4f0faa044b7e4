"""The plan of the pad, drawn line by line: far end at the top, A1 at the near left, true numbers in each cell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.segment import Segment
from rich.style import Style
from textual.events import Click, MouseScrollDown, MouseScrollUp, Resize
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT, UNSHOT
from rodcall.book.model.grid import letters
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, phrase, say
from rodcall.palette import standing
from rodcall.tui.shot_grid.doubts import KnownDoubts
from rodcall.tui.terminal.colours import DAY, cell_style
from rodcall.wording import words

FEWEST_FOR_WATER = 4
"""Fewer shots say nothing of the way that water runs."""
NARROW, USUAL, WIDE = 10, 14, 20
"""Characters of a cell: at least, at most, and at most where there is much room: any reading and what is to be done
there, in Spanish too, without an abbreviation. In wider ones the numbers would lie too far apart to be compared."""
ROOM_FOR_WIDE = 100
"""Columns of the plan from which its cells may be wide."""

BEFORE = "b"
"""Mark of a height of the round before."""
SHADES = phrase("# + HIGH out, in   = - LOW out, in   o goal")
"""What the characters of the overview mean."""

LEGEND = (
    phrase("+ -    HIGH (cut) and LOW (fill), orange and purple, deeper with distance"),
    phrase("C F    cut and fill, where a cell is too narrow for the words"),
    phrase("!      out of tolerance, in reverse"),
    phrase("[ ]    where the next reading is written"),
    phrase(".      not shot yet"),
    phrase("b      not shot yet in this round: as it was before"),
    phrase("x      left out: counts nowhere"),
    phrase("/      not pad: no part of it in any round"),
    phrase("*      read more than once"),
    phrase("s      suspect: a check after it was bad"),
    phrase("~      does not fit its neighbors: read it again"),
    phrase("3      two readings disagree: read a third"),
    phrase("k      does not fit, kept by an older version"),
    phrase("z      the zero"),
    phrase("water  ^ v < > the way it runs, as the pad lies; o it stands"),
    phrase(": :    on the apron, outside of the footprint"),
    phrase("shades # + HIGH out, in   = - LOW out, in   o goal"),
)


@dataclass(frozen=True)
class _Layout:
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
class _Shades:
    """How the whole pad is seen."""

    per_row: int
    per_column: int
    """Lines and columns of positions that one shade stands for."""
    rows: int
    """Lines of shades."""


class Plan(Widget):
    """Draws the heights of one round; holds no widget a cell and repaints the cells that changed."""

    class Tapped(Message):
        """A cell was tapped."""

        def __init__(self, index: int) -> None:
            super().__init__()
            self.index = index
            """The position's index."""

    def __init__(self, summary: Summary, cursor: int, doubted: KnownDoubts) -> None:
        super().__init__(id="plan")
        self._doubted = doubted
        self._summary = summary
        self._cursor = cursor
        self._row = self._column = 0
        self._laid: _Layout | None = None
        self.overview = False
        self._notice: list[str] = []

    # -- what others do with it -----------------------------------------------------------------------------

    @property
    def rows_seen(self) -> int:
        """How many lines of positions fit."""
        return self._layout.rows

    def show(self, summary: Summary, cursor: int) -> None:
        """Show this summary and frame a spot (-1 for none), repainting only what differs from what is shown."""
        before, was = self._summary, self._cursor
        self._summary, self._cursor = summary, cursor
        if self._keep_in_view() or self.overview or not _same_ground(before, summary):
            self.refresh()
            return
        changed = (
            (before.heights != summary.heights)
            | (before.state != summary.state)
            | (before.times != summary.times)
            | (before.kept != summary.kept)
            | (before.known_heights != summary.known_heights)
            | (before.from_before != summary.from_before)
            | (before.trust.suspect_mask != summary.trust.suspect_mask)
            | (before.evidence.third_due != summary.evidence.third_due)
            | (before.evidence.tablets_disagree != summary.evidence.tablets_disagree)
        )
        touched = {int(index) for index in changed.nonzero()[0]}
        if was != cursor:
            touched |= {was, cursor}
        for index in touched:
            self.refresh_cell(index)
        if touched:
            # The far end's line tells which way the water runs.
            self.refresh(Region(0, 0, self.size.width, 1))

    def show_notice(self, lines: Sequence[str]) -> None:
        """Words over the middle of the plan, for as long as there is nothing to see on it; none takes them away."""
        self._notice = list(lines)
        self.refresh()

    def toggle_overview(self) -> None:
        """All of the pad in shades, or its numbers."""
        self.overview = not self.overview
        self.refresh()

    # -- where things lie -----------------------------------------------------------------------------------

    @property
    def _layout(self) -> _Layout:
        if self._laid is None:
            grid = self._summary.grid
            label = len(str(grid.along)) + 1
            across = max(self.size.width - label, 1)
            most = WIDE if self.size.width >= ROOM_FOR_WIDE else USUAL
            width = max(min(across // grid.across, most), NARROW)
            room = max(self.size.height - 2, 1)
            height = next((lines for lines in (3, 2) if grid.along * lines <= room), 1)
            rows, columns = min(max(room // height, 1), grid.along), min(max(across // width, 1), grid.across)
            self._laid = _Layout(label, width, height, rows, columns)
        return self._laid

    def _keep_in_view(self) -> bool:
        """Scroll so that the cursor is seen with a cell to spare; True when anything moved."""
        if self._cursor < 0:
            return False
        laid, grid = self._layout, self._summary.grid
        row, column = divmod(self._cursor, grid.across)
        before = self._row, self._column
        self._row = _scrolled(self._row, row, laid.rows, grid.along)
        self._column = _scrolled(self._column, column, laid.columns, grid.across)
        return before != (self._row, self._column)

    def refresh_cell(self, index: int) -> None:
        """Paint one cell anew, where it is seen."""
        if index < 0:
            return
        laid = self._layout
        row, column = divmod(index, self._summary.grid.across)
        up, right = row - self._row, column - self._column
        if 0 <= up < laid.rows and 0 <= right < laid.columns:
            y = 1 + (laid.rows - 1 - up) * laid.height
            self.refresh(Region(laid.label + right * laid.width, y, laid.width, laid.height))

    def on_resize(self, event: Resize) -> None:
        """Lay out anew."""
        self._laid = None
        self._keep_in_view()
        self.refresh()

    def on_click(self, event: Click) -> None:
        """A tap goes to its cell."""
        laid, grid = self._layout, self._summary.grid
        if self.overview:
            self._zoom_to(event.x, event.y)
            return
        up = laid.rows - 1 - (event.y - 1) // laid.height
        right = (event.x - laid.label) // laid.width
        if event.y >= 1 and 0 <= up < laid.rows and event.x >= laid.label and right < laid.columns:
            self.post_message(self.Tapped((self._row + up) * grid.across + self._column + right))

    def _zoom_to(self, x: int, y: int) -> None:
        """From the overview to the numbers at a shade that was tapped."""
        grid, shades = self._summary.grid, self._shades
        row, column = (shades.rows - y) * shades.per_row, (x - 2) // 2 * shades.per_column
        if 0 <= row < grid.along and 0 <= column < grid.across and y >= 1:
            self.toggle_overview()
            self.post_message(self.Tapped(row * grid.across + column))

    def on_mouse_scroll_up(self, event: MouseScrollUp) -> None:
        """Look further away."""
        self._scroll(1)

    def on_mouse_scroll_down(self, event: MouseScrollDown) -> None:
        """Look nearer."""
        self._scroll(-1)

    def _scroll(self, rows: int) -> None:
        most = self._summary.grid.along - self._layout.rows
        self._row = min(max(self._row + rows, 0), most)
        self.refresh()

    # -- drawing --------------------------------------------------------------------------------------------

    def render_line(self, y: int) -> Strip:
        """One line of the plan."""
        width = self.size.width
        if width <= 0:
            return Strip.blank(0)
        if 1 <= y <= len(self._notice):
            return Strip([Segment(f"  {self._notice[y - 1]}", _NOTICE)]).adjust_cell_length(width, _GROUND)
        segments = self._overview_line(y) if self.overview else self._line(y)
        return Strip(segments).simplify().adjust_cell_length(width, _GROUND)

    def _line(self, y: int) -> list[Segment]:
        laid, grid = self._layout, self._summary.grid
        if y == 0:
            hidden = grid.along - self._row - laid.rows
            more = counted(hidden, ", {number} line more", ", {number} lines more") if hidden > 0 else ""
            run = self._summary.water
            water = (
                f"   {say('water')} {run.arrow}" if run is not None and self._summary.counted > FEWEST_FOR_WATER else ""
            )
            return [Segment(f"{' ' * laid.label}{say('far end')}{more}{water}", _FAINT)]
        up, line = divmod(y - 1, laid.height)
        if up < laid.rows:
            row = self._row + laid.rows - 1 - up
            label = f"{row + 1:>{laid.label - 1}} " if line == 0 else " " * laid.label
            first = row * grid.across + self._column
            return [
                Segment(label, _FAINT),
                *(part for at in range(first, first + laid.columns) for part in self._cell(at, line)),
            ]
        if up == laid.rows and line == 0:
            heads = "".join(
                f"{letters(column):>{laid.width - 2}}  " for column in range(self._column, self._column + laid.columns)
            )
            hidden = grid.across - self._column - laid.columns
            return [
                Segment(f"{' ' * laid.label}{heads}{say('{number} more', number=hidden) if hidden else ''}", _FAINT)
            ]
        return []

    def _cell(self, index: int, line: int) -> list[Segment]:
        laid = self._layout
        if line == 2:
            return [Segment(" " * laid.width, _GROUND)]
        inner = laid.width - 2
        here = index == self._cursor
        apron = index in self._apron
        left, right = ("[", "]") if here else (":", ":") if apron else (" ", " ")
        value, mark, style = self._content(index)
        if line == 1:
            value, mark = self._second_line(index, inner - 1), " "
            left = right = " "
            style = _FAINT if not style.reverse else style
        elif self._summary.state[index] == SHOT:
            value, mark = _marked(value, mark, self._doubted.mark(self._summary, index), inner - 1)
        elif self._summary.state[index] == UNSHOT and self._summary.from_before[index]:
            value, mark = _marked(value, mark, BEFORE, inner - 1)
        text = f"{words.harmless(value, inner - 1):>{inner - 1}}{mark}"
        frame = _CURSOR if here and line == 0 else _FAINT if apron else _GROUND
        return [Segment(left, frame), Segment(text, style), Segment(right, frame)]

    @property
    def _apron(self) -> frozenset[int]:
        """Positions outside of the footprint, where there is one."""
        parts = self._summary.parts
        return frozenset(parts[1].positions) if parts is not None else frozenset()

    def _content(self, index: int) -> tuple[str, str, Style]:
        """Value, mark and style of a position."""
        summary = self._summary
        state = summary.state[index]
        zero = "z" if index == summary.zero else " "
        if state == LEFT_OUT:
            return "x", zero, _FAINT
        if state == NOT_PAD:
            return "/", zero, _FAINT
        if state != SHOT:
            before = summary.before_at(index)
            return (".", zero, _FAINT) if before is None else (words.height(summary.job, before[0]), zero, _FAINT)
        side, depth, outside = standing(summary, index)
        mark = "!" if outside else "*" if summary.times[index] > 1 else zero
        return (
            words.height(summary.job, summary.height_at(index)),
            mark,
            cell_style(DAY, side, depth, outside),
        )

    def _second_line(self, index: int, room: int) -> str:
        """What is to be done there; in a narrow cell with C and F, as on a stake."""
        if self._summary.state[index] == LEFT_OUT:
            told, short = say("left out"), say("out")
        elif self._summary.state[index] == NOT_PAD:
            told, short = say("not pad", "in a cell of the plan"), ""
        else:
            before = self._summary.before_at(index)
            deviation = self._summary.deviation_at(index) if before is None else before[1]
            told = words.work_words(self._summary.job, deviation)
            short = words.stake_words(self._summary.job, deviation)
        return told if len(told) <= room else short

    def _overview_line(self, y: int) -> list[Segment]:
        """The whole pad in shades: each character pair stands for one position, or for the worst of several."""
        shades = self._shades
        if y == 0:
            each = ""
            if shades.per_row > 1 or shades.per_column > 1:
                across, along = shades.per_column, shades.per_row
                each = f"   {say('each shade: the worst of {across} x {along}', across=across, along=along)}"
            return [Segment(f"  {say('far end')}{each}", _FAINT)]
        if y > shades.rows:
            return [Segment(f"  {say(SHADES)}", _FAINT)] if y == shades.rows + 1 else []
        row = (shades.rows - y) * shades.per_row
        segments = [Segment("  ", _GROUND)]
        for column in range(0, self._summary.grid.across, shades.per_column):
            segments.append(self._shade(row, column, shades.per_row, shades.per_column))
        return segments

    @property
    def _shades(self) -> _Shades:
        grid, room = self._summary.grid, max(self.size.height - 2, 1)
        per_row = -(-grid.along // room)
        per_column = -(-grid.across // max((self.size.width - 2) // 2, 1))
        return _Shades(per_row, per_column, -(-grid.along // per_row))

    def _shade(self, row: int, column: int, rows: int, columns: int) -> Segment:
        grid, summary = self._summary.grid, self._summary
        block = [
            r * grid.across + c
            for r in range(row, min(row + rows, grid.along))
            for c in range(column, min(column + columns, grid.across))
        ]
        shot = [index for index in block if summary.state[index] == SHOT]
        cursor = self._cursor in block
        if not shot:
            states = {int(summary.state[index]) for index in block}
            glyph = "x" if LEFT_OUT in states else "/" if states == {NOT_PAD} else "."
            return Segment(f"[{glyph}" if cursor else f" {glyph}", _CURSOR if cursor else _FAINT)
        worst = max(shot, key=lambda index: (summary.out_mask[index], abs(summary.deviation_at(index) or 0)))
        side, depth, outside = standing(summary, worst)
        glyph = "o" if depth == 0 else ("#" if outside else "+") if side > 0 else ("=" if outside else "-")
        return Segment(f"[{glyph}" if cursor else f" {glyph}", cell_style(DAY, side, depth, outside))


def _same_ground(before: Summary, after: Summary) -> bool:
    """True when only single cells can look different: same round, target, limits and zero.

    Existing ground is out of a target only once that is chosen, so taking the suggested one marks cells too.
    """
    was, now = ((each.round, each.target, each.chosen, each.tolerance, each.zero) for each in (before, after))
    return was == now


def _marked(value: str, mark: str, other: str, room: int) -> tuple[str, str]:
    """A number and its mark, with another mark before the number, or in place of the first where there is no room.

    That a reading is out of tolerance shows in reverse, and by what is to be done there, without its mark too.
    """
    if not other:
        return value, mark
    told = next((told for told in (f"{other} {value}", f"{other}{value}") if len(told) <= room), None)
    return (value, other) if told is None else (told, mark)


def _scrolled(first: int, at: int, seen: int, of: int) -> int:
    """The first cell to show so that `at` is seen, with one to spare where there is one."""
    spare = 1 if seen > 2 else 0
    first = min(first, max(at - spare, 0))
    first = max(first, at + spare - seen + 1)
    return min(max(first, 0), max(of - seen, 0))


_GROUND = Style(color=DAY.text, bgcolor=DAY.ground)
_FAINT = Style(color=DAY.faint, bgcolor=DAY.ground)
_NOTICE = Style(color=DAY.text, bgcolor=DAY.ground, bold=True)
_CURSOR = Style(color=DAY.accent, bgcolor=DAY.ground, bold=True)
