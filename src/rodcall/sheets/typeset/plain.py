"""A sheet as plain text, for a printer without a driver, a mail, or a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from rodcall.book.model.grid import letters
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
from rodcall.sheets.content.marks import LEGEND, label
from rodcall.wording import words

WIDTH = 100
"""Characters of a line; only a table of long words is wider."""


def to_text(sheet: Sheet) -> str:
    """All blocks of a sheet, one under the other; pictures are left out, since their numbers stand in the tables."""
    lines = [sheet.title.upper(), words.harmless(sheet.subject), sheet.date]
    for block in sheet.blocks:
        body = [line.rstrip() for line in _lines(block)]
        if body:
            lines += ["", *body]
    return "\n".join([*lines, "", ""])


def _lines(block: Block) -> Iterator[str]:
    match block:
        case Facts():
            yield from _titled(block.title, _facts(block))
        case Beside():
            yield from _lines(block.left)
            yield ""
            yield from _lines(block.right)
        case Table():
            yield from _titled(block.title, _table(block))
        case Remarks():
            yield from _titled(block.title, (part for line in block.lines for part in _wrapped(line, WIDTH - 2)))
        case Headline():
            yield from _titled(block.text, block.lines)
        case Plan():
            yield from _titled(block.title, _plan(block))
        case Signatures():
            yield from _titled(block.title, _to_sign(block.roles))
        case Picture():
            return


def _titled(title: str, body: Sequence[str] | Iterator[str]) -> Iterator[str]:
    yield title
    yield from (f"  {line}" for line in body)


def _facts(block: Facts) -> Iterator[str]:
    width = max(len(name) for name, _ in block.rows)
    for name, value in block.rows:
        first, *more = _wrapped(value, WIDTH - width - 4) or [""]
        yield f"{name:<{width}}  {first}"
        yield from (f"{'':<{width}}  {line}" for line in more)


def _table(block: Table) -> Iterator[str]:
    if not block.rows:
        yield block.none or say("none")
        return
    shown = [[words.harmless(cell) for cell in row] for row in (block.head, *block.rows)]
    widths = [max(map(len, column)) for column in zip(*shown, strict=True)]
    for row in shown:
        yield "  ".join(
            f"{cell:<{width}}" if column in block.words_in else f"{cell:>{width}}"
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
    if block.note:
        yield from _wrapped(block.note, WIDTH - 2)


def _plan(block: Plan) -> Iterator[str]:
    """Numbers as the pad lies, far end at the top; strips of columns where it is wider than a line."""
    grid = block.summary.grid
    labels = [label(block, index) for index in range(grid.size)]
    marks = max(len(each.marks) for each in labels)
    cells = [f"{number}{after:<{marks}}" for number, after in labels]
    width = max(map(len, cells)) + 2
    head = len(str(grid.along)) + 1
    per_strip = max((WIDTH - 2 - head) // width, 1)
    for first in range(0, grid.across, per_strip):
        columns = range(first, min(first + per_strip, grid.across))
        yield f"{'':{head}}{say('far end')}"
        for row in reversed(range(grid.along)):
            yield f"{row + 1:<{head}}" + "".join(f"{cells[row * grid.across + column]:>{width}}" for column in columns)
        yield f"{'':{head}}" + "".join(f"{letters(column) + ' ' * marks:>{width}}" for column in columns)
        yield f"{'':{head}}{say('near edge')}"
    if block.walking is None:
        yield from _wrapped(say(LEGEND), WIDTH - 2)
    if block.north:
        yield say("the far end looks {north}", north=block.north)


def _to_sign(roles: Sequence[str]) -> Iterator[str]:
    return (f"{role:<20} {BLANK * 8}  {say('date')} {BLANK * 3}" for role in roles)


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(words.harmless(text), width, break_on_hyphens=False)
