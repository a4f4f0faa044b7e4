"""A sheet as plain text, for a printer without a driver, a mail, or a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from rodcall.i18n import say
from rodcall.sheets.content.blocks import (
    BLANK,
    Beside,
    Block,
    Certificate,
    Facts,
    Pictures,
    Plan,
    Remarks,
    Sheet,
    Table,
)
from rodcall.wording import words

WIDTH = 100
"""Characters of a line; only a table of long words is wider."""


def to_text(sheet: Sheet) -> str:
    """The certificate and all blocks of a sheet, one under the other; drawings as numbers where they lie."""
    lines = [sheet.title.upper(), words.harmless(sheet.subject), sheet.date]
    first = list(_certificate(sheet.certificate)) if sheet.certificate is not None else []
    for body in (first, *(list(_lines(block)) for block in sheet.blocks)):
        if body:
            lines += ["", *(line.rstrip() for line in body)]
    return "\n".join([*lines, "", ""])


def _certificate(told: Certificate) -> Iterator[str]:
    contractor = (told.contractor.name, *told.contractor.lines)
    yield from (words.harmless(line) for line in contractor if line)
    yield from _facts(Facts("", told.report))
    yield ""
    yield from _facts(Facts("", told.facts))
    yield ""
    yield told.word
    yield from (f"  {line}" for line in _wrapped(told.sentence, WIDTH - 2))
    yield from (f"  - {reason}" for reason in told.reasons)
    yield from (f"  {line}" for line in _facts(Facts("", told.band)))
    yield ""
    yield from _lines(told.plan)
    if told.numbers.rows:
        yield ""
        yield from _lines(told.numbers)
    yield ""
    yield from _to_sign(told.signatures)
    title, digest = told.digest
    yield ""
    yield f"{title}: {digest}"


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
        case Plan():
            yield from _titled(block.title, _plan(block))
        case Pictures():
            yield from _titled(block.title, (words.harmless(each.caption) for each in block.pictures))


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
    across = len(block.columns)
    marks = max(len(spot.marks) for spot in block.spots)
    cells = [f"{spot.label}{spot.marks:<{marks}}" for spot in block.spots]
    width = max(map(len, cells)) + 2
    head = len(str(len(block.lines))) + 1
    per_strip = max((WIDTH - 2 - head) // width, 1)
    far, near = block.edges
    for first in range(0, across, per_strip):
        columns = range(first, min(first + per_strip, across))
        yield f"{'':{head}}{far}"
        for row in reversed(range(len(block.lines))):
            yield f"{row + 1:<{head}}" + "".join(f"{cells[row * across + column]:>{width}}" for column in columns)
        yield f"{'':{head}}" + "".join(f"{block.columns[column][0] + ' ' * marks:>{width}}" for column in columns)
        yield f"{'':{head}}{near}"
    for note in block.notes:
        yield from _wrapped(note, WIDTH - 2)
    if block.notes:
        yield block.north_said


def _to_sign(roles: Sequence[str]) -> Iterator[str]:
    return (f"{role:<20} {BLANK * 8}  {say('date')} {BLANK * 3}" for role in roles)


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(words.harmless(text), width, break_on_hyphens=False)
