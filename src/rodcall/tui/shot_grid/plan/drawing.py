"""The plan of the pad as lines of styled text: far end at the top, A1 at the near left, true numbers. No widget."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rich.segment import Segment
from rich.style import Style

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT, UNSHOT
from rodcall.book.model.grid import Grid, letters
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.tui.bindings.legend import BEFORE
from rodcall.tui.shot_grid.doubts import KnownDoubts
from rodcall.tui.shot_grid.plan.ground import GroundInView, runs
from rodcall.tui.shot_grid.plan.layout import Layout, cell_size, leafed, scrolled
from rodcall.tui.shot_grid.plan.overview import Overview
from rodcall.tui.terminal.colours import fill_style
from rodcall.tui.widgets.block_digits import block_letters, columns_of, rows_of
from rodcall.tui.widgets.styles import ACCENT, BARE, BARE_FRAME, BARE_STRONG, FAINT, PLAIN
from rodcall.units import write
from rodcall.wording import words

FEWEST_FOR_WATER = 4
"""Fewer shots say nothing of the way that water runs."""
NAMED = 4
"""Lines from which a cell shows its spot's name."""
HATCH = "/  "
"""Ground outside of the pad, and holes in it."""
LARGE = 5
"""Lines from which its height is written in large digits, where it is wide enough."""


Part = list[Segment]
"""What stands in one line of one cell, or in the margin."""
Line = list[Part]


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
    _laid: Layout | None = field(default=None, repr=False)
    _ground: tuple[object, GroundInView] | None = field(default=None, repr=False)

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
            width, height = cell_size(grid, across, room)
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
        self.row = scrolled(self.row, row, laid.rows, grid.along)
        self.column = leafed(self.column, column, laid.columns, grid.across)
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

    @property
    def overview(self) -> Overview:
        """The whole pad in the same room."""
        return Overview(self.summary, self.cursor, self.width, self.height)

    def place_of(self, index: int) -> tuple[int, int] | None:
        """The first line of a position's cell, and which part of that line it is; None where it is not seen."""
        laid = self.layout
        row, column = divmod(index, self.grid.across)
        up, right = row - self.row, column - self.column
        if index < 0 or not (0 <= up < laid.rows and 0 <= right < laid.columns):
            return None
        return 1 + (laid.rows - 1 - up) * laid.height, 1 + right

    # -- drawn ----------------------------------------------------------------------------------------------

    def lines(self, cells: Mapping[int, list[Part]]) -> list[Line]:
        """All lines of the plan, from the far end: each the parts that stand side by side, the margin first.

        Args:
            cells: Those that are drawn already, by position.
        """
        laid, across = self.layout, self.grid.across
        lines: list[Line] = [[self.head()]]
        for row in range(self.row + laid.rows - 1, self.row - 1, -1):
            first = row * across + self.column
            drawn = [cells.get(index) or self.cell(index) for index in range(first, first + laid.columns)]
            labels = [f"{row + 1:>{laid.label - 1}} ", *[" " * laid.label] * (laid.height - 1)]
            lines += [[[Segment(label, FAINT)], *parts] for label, *parts in zip(labels, *drawn, strict=True)]
        heads = "".join(f"{letters(at):^{laid.width}}" for at in range(self.column, self.column + laid.columns))
        hidden = across - self.column - laid.columns
        more = say("{number} more", number=hidden) if hidden else ""
        return [*lines, [[Segment(f"{' ' * laid.label}{heads}{more}", FAINT)]]]

    def head(self) -> Part:
        """What lies beyond the far end: lines out of view, where water runs, north, and the way out."""
        laid, summary = self.layout, self.summary
        hidden = self.grid.along - self.row - laid.rows
        told = [
            say("far end") + (counted(hidden, ", {number} line more", ", {number} lines more") if hidden > 0 else "")
        ]
        run = summary.water
        if run is not None and summary.counted > FEWEST_FOR_WATER:
            told.append(words.water_words(run))
        if "north" in summary.terms.said:
            told.append(say("faces {north}", north=str(summary.terms.said["north"]).upper()))
        if "exit" in summary.terms.said:
            told.append(say("out by {exit}", exit=summary.terms.word("exit")))
        if run is not None and len(told) > 1 and laid.label + len("   ".join(told)) > self.width - 2:
            told = [f"{say('water')} {run.arrow}" if each == words.water_words(run) else each for each in told]
        return [Segment(f"{' ' * laid.label}{'   '.join(told)}", FAINT)]

    def cell(self, index: int) -> list[Part]:
        """A cell line by line: the picture of the ground, and what is written on it."""
        ground = self.ground.of(index)
        value, mark, style, soft = self._content(index)
        laid, shot = self.layout, ground is not None
        large = _large(value, laid) if shot else None
        number, after = self._number(value, mark, style, large)
        written = dict(number)
        written[after] = self._second_line(index, _room_beside(laid)), soft, 0
        first = next(iter(number))
        if laid.height >= NAMED and first > 0:
            written[first - 1] = f"{self.grid.name(index)} {mark if large else ''}".rstrip(), soft, 0
        nothing = "", style, 0
        shades = ground if ground is not None else [None] * laid.height
        return [self._line(index, line, *written.get(line, nothing), shades[line]) for line in range(laid.height)]

    def with_work(self, drawn: list[Part], index: int) -> list[Part]:
        """A cell that was drawn, and in which nothing differs but what is to be done there."""
        ground, laid = self.ground.of(index), self.layout
        # Only of large digits the number of lines hangs on the number.
        large = _large(self._content(index)[0], laid) if laid.height >= LARGE and ground is not None else None
        after = _behind(laid, large)
        if after >= laid.height:
            return drawn
        work = self._second_line(index, _room_beside(laid))
        shades = ground[after] if ground is not None else None
        return [*drawn[:after], self._line(index, after, work, self._soft(index), 0, shades), *drawn[after + 1 :]]

    def with_height(self, drawn: list[Part], index: int, height_nm: int) -> list[Part]:
        """A cell that was drawn, with a height that was just taken, before anything else is known of it.

        Args:
            drawn: The cell line by line.
            index: The position, which is seen.
            height_nm: Nanometres above the zero.
        """
        unit = self.summary.job.heights
        value = words.level(self.summary, height_nm) if self.elevations else write(height_nm, unit)
        number, _ = self._number(value, " ", BARE_STRONG, _large(value, self.layout))
        return [
            self._line(index, line, *number[line], None) if line in number else part for line, part in enumerate(drawn)
        ]

    def _number(
        self, value: str, mark: str, style: Style, large: Sequence[str] | None
    ) -> tuple[dict[int, tuple[str, Style, int]], int]:
        """The lines of a cell that a height takes, by their number, and the line after them."""
        laid, after = self.layout, _behind(self.layout, large)
        if large:
            return {at: (f" {row}", style, 0) for at, row in enumerate(large, after - len(large))}, after
        told = value if len(value) <= laid.width - 3 else words.harmless(value, laid.width - 3)
        return {after - 1: (f"{told}{mark}", style, 1)}, after

    def _line(self, index: int, line: int, text: str, style: Style, marks: int, ground: list[int] | None) -> Part:
        """One line of a cell.

        Args:
            index: The position.
            line: From 0.
            text: What is written on it.
            style: How.
            marks: How many characters at its end are marks.
            ground: Levels behind it; None where it is not shot.
        """
        width = self.layout.width
        # Numbers of narrow cells are right-aligned, so that they can be compared line by line.
        right = (2 if width <= USUAL else (width - len(text) + marks) // 2) - marks if text else width // 2
        left = width - len(text) - right
        edges: list[Segment] = []
        # Ground that is not shot yet; what is left out is a hole in it.
        bare = PLAIN if self.summary.state[index] in (LEFT_OUT, NOT_PAD) else BARE
        if index == self.cursor:
            corners = _FRAME.get((line == 0, line == self.layout.height - 1), "[]")
            frame = style if ground is not None else BARE_FRAME if bare is BARE else ACCENT
            edges = [Segment(corner, frame) for corner in corners]
        if self.summary.state[index] == NOT_PAD:
            row = f"{HATCH[line % len(HATCH) :]}{HATCH * width}"
            body = [Segment(row[:left], FAINT), Segment(text, style), Segment(row[width - right : width], FAINT)]
        elif ground is None:
            body = [Segment(" " * left, bare), Segment(text, style), Segment(" " * right, bare)]
        else:
            body = [*runs(tuple(ground[:left])), Segment(text, style), *runs(tuple(ground[width - right :]))]
        if left < 1 or right < 1:
            return body
        if edges:
            return [edges[0], *_inside(body), edges[1]]
        if index in self._apron:
            mark = style if ground is not None or bare is BARE else FAINT
            return [Segment(":", mark), Segment(body[0].text[1:], body[0].style), *body[1:]]
        return body

    @property
    def ground(self) -> GroundInView:
        """How the ground lies in all cells in view."""
        key = self.summary, self.layout, self.row, self.column
        if self._ground is None or self._ground[0] != key:
            self._ground = key, GroundInView(*key)
        return self._ground[1]

    @property
    def numbers(self) -> list[int]:
        """Positions in view where a height stands, of this round or of the round before."""
        in_view, summary = self.ground.spots, self.summary
        found: list[int] = in_view[(summary.counts | summary.from_before)[in_view]].tolist()
        return found

    @property
    def _apron(self) -> frozenset[int]:
        """Positions outside of the footprint, where there is one; else of the zone with a tolerance of its own."""
        parts, zone = self.summary.parts, self.summary.zone
        if parts is None and zone is not None:
            return zone.beyond
        return frozenset(parts[1].positions) if parts is not None else frozenset()

    def _content(self, index: int) -> tuple[str, str, Style, Style]:
        """Value, mark, and the styles of the value and of what stands beside it."""
        summary = self.summary
        state = summary.state[index]
        zero = "z" if index == summary.zero else " "
        room = self.layout.width - 3
        if state == LEFT_OUT:
            return "x", zero, FAINT, FAINT
        if state == NOT_PAD:
            return "/", zero, FAINT, FAINT
        if state != SHOT:
            before = summary.before_at(index)
            if before is None:
                return ".", zero, BARE, BARE
            value, mark = _marked(words.level(summary, before[0]), zero, BEFORE if state == UNSHOT else "", room)
            return value, mark, BARE, BARE
        out = bool(summary.out_mask[index])
        mark = "!" if out else "*" if summary.times[index] > 1 else zero
        value, mark = _marked(
            words.level(summary, summary.height_at(index)), mark, self.doubted.mark(summary, index), room
        )
        return value, mark, fill_style(self.ground.own(index), out, bold=True), self._soft(index)

    def _soft(self, index: int) -> Style:
        """The style of what stands beside a height, on the shade that the spot has itself."""
        if self.summary.state[index] == SHOT:
            return fill_style(self.ground.own(index), bool(self.summary.out_mask[index]))
        return FAINT if self.summary.state[index] in (LEFT_OUT, NOT_PAD) else BARE

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
            short = words.stake_words(self.summary.job, deviation) if len(told) > room else told
        return told if len(told) <= room else short


def _marked(value: str, mark: str, other: str, room: int) -> tuple[str, str]:
    """A number and its mark, with another mark before the number, or in place of the first where there is no room.

    That a reading is out of tolerance shows in reverse, and by what is to be done there, without its mark too.
    """
    if not other:
        return value, mark
    told = next((told for told in (f"{other} {value}", f"{other}{value}") if len(told) <= room), None)
    return (value, other) if told is None else (told, mark)


USUAL_HEIGHT = "-1/2"
"""Digits are as large as this has room for, so that a 0 is no larger than its neighbours."""
USUAL = 14
"""Characters up to which the numbers of a cell are right-aligned."""
_FRAME = {(True, False): "┌┐", (False, True): "└┘", (False, False): "  ", (True, True): "[]"}
"""Edges of the framed cell on its first line, its last, between, and where it has one line only."""


def _inside(body: list[Segment]) -> list[Segment]:
    """A cell's line without its first and its last character."""
    first, last = body[0], body[-1]
    return [Segment(first.text[1:], first.style), *body[1:-1], Segment(last.text[:-1], last.style)]


def _room_beside(laid: Layout) -> int:
    """Characters that what is to be done may take in a cell; a right-aligned one has two behind it."""
    return laid.width - (3 if laid.width <= USUAL else 2)


def _behind(laid: Layout, large: Sequence[str] | None) -> int:
    """The line of a cell after its number, which may be in large digits."""
    return (laid.height - len(large)) // 2 + len(large) if large else max((laid.height - 2) // 2, 0) + 1


def _large(value: str, laid: Layout) -> Sequence[str] | None:
    """A height in large digits, as large as the cell has room for; None where it has none."""
    if laid.height < LARGE:
        return None
    for tall, wide in ((2, 2), (1, 1)):
        if laid.height >= rows_of(tall) + 2 and laid.width >= columns_of(max(value, USUAL_HEIGHT, key=len), wide) + 4:
            return block_letters(value, tall, wide)
    return None
