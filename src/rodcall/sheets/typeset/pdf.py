"""Draws a sheet as a PDF: one grid, two sizes of type, room; tables run over pages with their head repeated."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from rodcall.i18n import say
from rodcall.sheets.content.blocks import (
    BLANK,
    Beside,
    Block,
    Facts,
    Headline,
    Picture,
    Plan,
    Remarks,
    Sheet,
    Signatures,
    Table,
)
from rodcall.sheets.typeset.lettering import LARGE, Lettering
from rodcall.sheets.typeset.paper import FAINT, GREY, GUTTER, LINE, Flow, Heads, Paper, Progress
from rodcall.sheets.typeset.picture_drawing import draw_picture
from rodcall.sheets.typeset.plan_drawing import draw_plan, fits

GAP = 7.0
"""Between two columns of a table."""
PENCIL = 2 * LINE
"""Height of a row that is written in by hand."""
MOST_STRIPS = 6
NARROWEST = 40.0
"""A column of words is never narrower."""
HAND = 64.0
"""Nor is one that is written in by hand."""


class Drawn(NamedTuple):
    """A sheet as a file, and the characters in it that the font lacks."""

    content: bytes
    missing: tuple[str, ...]


def to_pdf(sheet: Sheet, paper: Paper, progress: Progress | None = None) -> Drawn:
    """Draw a sheet; the same sheet gives the same bytes.

    Args:
        sheet: What it says.
        paper: Size.
        progress: Told after each page.
    """
    lettering = Lettering()
    flow = Flow(paper, Heads(sheet.title, sheet.subject, sheet.foot, sheet.made, sheet.date), lettering)
    for block in _as_they_fit(flow, sheet.blocks):
        _draw(flow, block)
    return Drawn(flow.paint(progress), lettering.missing)


def _as_they_fit(flow: Flow, blocks: tuple[Block, ...]) -> Iterator[Block]:
    """The blocks in order, but a plan that needs pages of its own lets the picture after it go first."""
    rest = list(blocks)
    while rest:
        if len(rest) > 1 and isinstance(rest[0], Plan) and isinstance(rest[1], Picture) and not fits(flow, rest[0]):
            rest[:2] = rest[1], rest[0]
        yield rest.pop(0)


def _draw(flow: Flow, block: Block) -> None:
    match block:
        case Facts():
            _facts_flowing(flow, block)
        case Beside():
            _beside(flow, block)
        case Table():
            _table(flow, block)
        case Remarks():
            _remarks(flow, block)
        case Headline():
            _headline(flow, block)
        case Plan():
            draw_plan(flow, block)
        case Picture():
            draw_picture(flow, block)
        case Signatures():
            _signatures(flow, block)


# -- words --------------------------------------------------------------------------------------------------


def _beside(flow: Flow, block: Beside) -> None:
    half = (flow.width - GUTTER) / 2
    heights = [_facts_height(flow, facts, half) for facts in (block.left, block.right)]
    if max(heights) > flow.whole_room - 3 * LINE:
        _facts_flowing(flow, block.left)
        _facts_flowing(flow, block.right)
        return
    flow.heading(block.left.title, max(heights))
    at = flow.left + half + GUTTER
    flow.pen.text(at, flow.y + 0.35 * LINE + 3, block.right.title, bold=True)
    _facts(flow, block.left, flow.left, half)
    _facts(flow, block.right, at, half)
    flow.move(max(heights))


def _facts_lines(flow: Flow, block: Facts, width: float) -> tuple[float, list[tuple[str, str]]]:
    """Where values begin, and labels with values wrapped to the width."""
    indent = max(flow.lettering.width(name) for name, _ in block.rows) + GAP
    lines = []
    for name, value in block.rows:
        first, *more = flow.lettering.wrap(value, width - indent)
        lines += [(name, first), *(("", line) for line in more)]
    return indent, lines


def _facts_height(flow: Flow, block: Facts, width: float) -> float:
    return len(_facts_lines(flow, block, width)[1]) * LINE


def _facts(flow: Flow, block: Facts, left: float, width: float) -> None:
    """Put facts from here down without moving on."""
    indent, lines = _facts_lines(flow, block, width)
    for number, (name, value) in enumerate(lines):
        y = flow.y - (number + 1) * LINE + 3
        flow.pen.text(left, y, name, colour=GREY)
        flow.pen.text(left + indent, y, value)


def _facts_flowing(flow: Flow, block: Facts) -> None:
    """Put facts over the whole width, on as many pages as they need."""
    flow.heading(block.title, LINE)
    indent, lines = _facts_lines(flow, block, flow.width)
    for name, value in lines:
        flow.need(LINE)
        flow.text(flow.left, name, colour=GREY)
        flow.text(flow.left + indent, value)
        flow.move(LINE)


def _remarks(flow: Flow, block: Remarks) -> None:
    lines = [part for line in block.lines for part in flow.lettering.wrap(line, flow.width)]
    flow.heading(block.title, min(len(lines), 3) * LINE)
    for line in lines:
        flow.need(LINE)
        flow.text(flow.left, line)
        flow.move(LINE)


def _headline(flow: Flow, block: Headline) -> None:
    """A framed line in large type, with its reasons to the right."""
    indent = flow.lettering.width(block.text, bold=True, size=LARGE) + 3 * GUTTER
    lines = [part for line in block.lines for part in flow.lettering.wrap(line, flow.width - indent - GUTTER)]
    height = max(len(lines), 2) * LINE + LINE
    flow.need(height + LINE)
    flow.move(LINE)
    y = flow.y
    flow.pen.box(flow.left, y - height, flow.width, height, thick=1.2)
    flow.pen.text(flow.left + GUTTER, y - height / 2 - 5, block.text, bold=True, size=LARGE)
    flow.move(LINE / 2 + (height - LINE - len(lines) * LINE) / 2)
    for line in lines:
        flow.text(flow.left + indent, line)
        flow.move(LINE)
    flow.y = y - height


def _signatures(flow: Flow, block: Signatures) -> None:
    third = (flow.width - 2 * GUTTER) / 3
    height = 4.5 * LINE
    flow.heading(block.title, height)
    for number, role in enumerate(block.roles):
        left, y = flow.left + number % 3 * (third + GUTTER), flow.y
        flow.pen.rule(left, y - 3 * LINE, left + third, y - 3 * LINE)
        flow.pen.text(left, y - 4 * LINE, say("{role}, name and date", role=role), colour=GREY)
    flow.move(height)


# -- tables -------------------------------------------------------------------------------------------------


class _Columns:
    """Where the columns of a table stand, and how its rows break."""

    def __init__(self, flow: Flow, block: Table) -> None:
        self._flow, self._block = flow, block
        measure, strong = flow.lettering.width, block.strong
        self.widths = [
            max(
                measure(head, bold=True),
                *(measure(row[column], bold=number in strong) for number, row in enumerate(block.rows)),
                HAND if block.for_pencil and any(row[column] == BLANK for row in block.rows) else 0.0,
            )
            for column, head in enumerate(block.head)
        ]
        self._narrow()
        self.width = sum(self.widths) + GAP * (len(self.widths) - 1)
        fitting = int((flow.width + GUTTER) // (self.width + GUTTER))
        self.strips = min(max(fitting, 1), MOST_STRIPS) if block.in_strips else 1
        # Strips stand on equal parts of the page, as wide as it allows.
        self.pitch = (flow.width + GUTTER) / self.strips

    def _narrow(self) -> None:
        """Take what is too much from the widest columns of words."""
        over = sum(self.widths) + GAP * (len(self.widths) - 1) - self._flow.width
        for column in sorted(self._block.words_in, key=lambda column: -self.widths[column]):
            if over <= 0:
                return
            taken = min(over, max(self.widths[column] - NARROWEST, 0.0))
            self.widths[column] -= taken
            over -= taken

    def wrapped(self, row: tuple[str, ...], strong: bool) -> list[list[str]]:
        """The lines of each cell."""
        wrap = self._flow.lettering.wrap
        return [
            wrap(cell, width + 0.01, bold=strong) if column in self._block.words_in else [cell]
            for column, (cell, width) in enumerate(zip(row, self.widths, strict=True))
        ]

    def draw(self, left: float, top: float, cells: list[list[str]], *, strong: bool = False) -> None:
        """Write one row from its top down."""
        pen, x = self._flow.pen, left
        drop = PENCIL - LINE if self._block.for_pencil and not strong else 0.0
        for column, (lines, width) in enumerate(zip(cells, self.widths, strict=True)):
            for number, line in enumerate(lines):
                y = top - drop - (number + 1) * LINE + 3
                if line == BLANK:
                    pen.rule(x, top - PENCIL, x + width, top - PENCIL)
                elif column in self._block.words_in:
                    pen.text(x, y, line, bold=strong)
                else:
                    pen.text(x + width, y, line, bold=strong, align="right")
            x += width + GAP

    def head(self, left: float) -> None:
        """Write the head of one strip and the line under it."""
        flow = self._flow
        self.draw(left, flow.y, [[cell] for cell in self._block.head], strong=True)
        y = flow.y - LINE - 1
        flow.pen.rule(left, y, left + max(self.width, self.pitch - GUTTER if self.strips > 1 else 0.0), y)


HEAD = LINE + 3
TOGETHER = 4
"""So many rows stay with the title of their table."""


def _table(flow: Flow, block: Table) -> None:
    """A table under its title; where it runs on, the head stands on the next page too."""
    if not block.rows:
        flow.heading(block.title, LINE)
        flow.text(flow.left, block.none or say("none"), colour=GREY)
        flow.move(LINE)
        return
    columns = _Columns(flow, block)
    flow.heading(block.title, HEAD + min(len(block.rows), TOGETHER) * (PENCIL if block.for_pencil else LINE))
    if columns.strips > 1:
        _strips(flow, block, columns)
        return
    columns.head(flow.left)
    flow.move(HEAD)
    for number, row in enumerate(block.rows):
        strong = number in block.strong
        cells = columns.wrapped(row, strong)
        height = max(map(len, cells)) * LINE + (PENCIL - LINE if block.for_pencil else 0.0)
        if height > flow.room:
            flow.new_page()
            columns.head(flow.left)
            flow.move(HEAD)
        columns.draw(flow.left, flow.y, cells, strong=strong)
        flow.move(height)
        if not block.for_pencil:
            flow.pen.rule(flow.left, flow.y, flow.left + columns.width, flow.y, thick=0.25, colour=FAINT)
    _note(flow, block)


def _strips(flow: Flow, block: Table, columns: _Columns) -> None:
    """Rows of one line each, strip beside strip, the last page's strips equally long."""
    height = PENCIL if block.for_pencil else LINE
    done = 0
    while done < len(block.rows):
        if flow.room < HEAD + height:
            flow.new_page()
        most = int((flow.room - HEAD) // height)
        long = min(most, -(-(len(block.rows) - done) // columns.strips))
        top = flow.y
        for strip in range(columns.strips):
            rows = range(done, min(done + long, len(block.rows)))
            if not rows:
                break
            left = flow.left + strip * columns.pitch
            columns.head(left)
            for down, number in enumerate(rows):
                y = top - HEAD - down * height
                columns.draw(left, y, [[cell] for cell in block.rows[number]], strong=number in block.strong)
                right = left + columns.pitch - GUTTER
                if not block.for_pencil:
                    flow.pen.rule(left, y - height, right, y - height, thick=0.25, colour=FAINT)
            done += len(rows)
        flow.move(HEAD + long * height)
    _note(flow, block)


def _note(flow: Flow, block: Table) -> None:
    for line in flow.lettering.wrap(block.note, flow.width) if block.note else ():
        flow.need(LINE)
        flow.text(flow.left, line, colour=GREY)
        flow.move(LINE)
