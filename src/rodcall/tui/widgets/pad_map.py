"""The pad as a shaded map for a page: far end at the top, as large as the room allows, a few words in each cell."""

from __future__ import annotations

from collections.abc import Callable, Collection

import numpy as np
from rich.style import Style
from rich.text import Text

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD
from rodcall.book.model.grid import letters
from rodcall.figures.ground.averages import Ints
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.palette import levels
from rodcall.tui.terminal.colours import fill_style
from rodcall.tui.widgets.styles import ACCENT, BARE, FAINT, PLAIN
from rodcall.tui.widgets.window import Window
from rodcall.wording import words

NARROW, WIDE, TALL = 5, 44, 12
"""Columns of a cell, at least and at most, and its lines at most."""
ROOM_FOR_WORDS = 14
"""Columns of a cell from which cut and fill are whole words; else as on a stake."""
OTHER_ROWS = 2
"""Lines beside those of positions: far end, letters."""
HATCH = "/  "
"""Ground that is not pad."""


class Spot(Frozen):
    """What a cell of the map shows.

    Attributes:
        told: Its lines, from the most wanted; those without room are left away.
        style: Of fill and words.
        short: Instead of the first line where that has no room in some cell.
        area: Cells of one area have no gap between them.
        framed: It is what the page is about.
    """

    told: tuple[str, ...]
    style: Style
    short: str = ""
    area: object = None
    framed: bool = False


def deviation_levels(summary: Summary) -> Ints:
    """The shade of each position, known or estimated, flat; all 0 while there is no target."""
    if summary.estimated is None or summary.target_heights is None:
        return np.zeros(summary.grid.size, np.int64)
    return levels(summary, summary.estimated - summary.target_heights)


def shaded(level: int) -> Style:
    """The style of a shade."""
    return fill_style(level, False)


LEAST_BESIDE, LEAST_ACROSS = 76, 50
"""Columns of a screen from which a page shows the pad beside its text, and from which below it."""


def text_columns(width: int) -> int:
    """Columns of a page's text where the pad is drawn beside it: all of them where there is no room for both."""
    return width if width < LEAST_BESIDE else min(max(width * 2 // 5, 46), 84)


def as_it_is(summary: Summary, framed: Collection[int], width: int, height: int) -> list[Text]:
    """The pad as this round has it: shaded, with what is to be done at each spot.

    Args:
        summary: Of the page.
        framed: Spots that the page is about.
        width: Columns.
        height: Lines.
    """
    shades, out, job = deviation_levels(summary).tolist(), summary.out_mask, summary.job
    whole = min((width - _margin(summary)) // summary.grid.across, WIDE) >= ROOM_FOR_WORDS
    one_line = _lines_of(summary, height) == 1
    work_words = words.work_words if whole and not one_line else words.stake_words

    def spot(index: int) -> Spot:
        name, here = summary.grid.name(index), index in framed
        if summary.state[index] == LEFT_OUT:
            return Spot((f"{name} x", say("left out")), FAINT, area=index, framed=here)
        if not summary.counts[index]:
            return Spot((f"{name} .",), BARE, area=index, framed=here)
        work = work_words(job, summary.deviation_at(index)) or words.level(summary, summary.height_at(index))
        marked = f"{name}{'!' if out[index] else ''}"
        told = (f"{marked} {work}",) if one_line else (marked, work)
        return Spot(told, fill_style(shades[index], bool(out[index])), name, index, here)

    return draw(summary, spot, width, height, tuple(framed))


def below(lines: list[Text], summary: Summary, framed: Collection[int], width: int, room: int) -> list[Text]:
    """Lines of text, and the pad under them where a narrow screen leaves room for all of it."""
    left = room - len(lines) - 1
    if width < LEAST_ACROSS or left < summary.grid.along + OTHER_ROWS:
        return lines
    return [*lines, Text(""), *as_it_is(summary, framed, width - 1, left)]


def draw(
    summary: Summary, spot: Callable[[int], Spot], width: int, height: int, wanted: tuple[int, ...] = ()
) -> list[Text]:
    """The pad as it lies.

    Args:
        summary: Of the page.
        spot: What a position's cell shows.
        width: Columns.
        height: Lines.
        wanted: Positions that are to be seen where there is no room for all.
    """
    grid = summary.grid
    label = _margin(summary)
    across = cell_width(summary, width)
    tall = _lines_of(summary, height)
    rows = Window.on([at // grid.across for at in wanted], (height - OTHER_ROWS) // tall, grid.along)
    columns = Window.on([at % grid.across for at in wanted], (width - label) // across, grid.across)
    hidden = (
        (grid.along - rows.first - rows.count, say("{number} above")),
        (rows.first, say("{number} below")),
        (grid.across - columns.first - columns.count, say("{number} to the right")),
        (columns.first, say("{number} to the left")),
    )
    more = "".join(f", {told.format(number=count)}" for count, told in hidden if count)
    lines = [Text(f"{'':{label}}{say('far end')}{more}"[:width], FAINT)]
    cells = {
        (row, column): spot(row * grid.across + column)
        for row in range(max(rows.first - 1, 0), rows.first + rows.count)
        for column in columns
    }
    longest = max((len(cell.told[0]) for cell in cells.values() if cell.told), default=0)
    short = longest > across - 3
    for row in reversed(list(rows)):
        for line in range(tall):
            drawn = Text()
            drawn.append(f"{row + 1 if line == 0 else '':>{label - 1}} ", FAINT)
            for column in columns:
                cell = cells[row, column]
                sides = [cells.get((row, column - 1)), cells.get((row, column + 1)), cells.get((row - 1, column))]
                left, right, below = (each is None or each.area != cell.area for each in sides)
                if summary.state[row * grid.across + column] == NOT_PAD:
                    shift = line % len(HATCH)
                    drawn.append((HATCH * across)[shift : shift + across], FAINT)
                else:
                    _cell_line(drawn, cell, line, (across, tall), edges=(left, right, below), short=short)
            lines.append(drawn)
    heads = "".join(f"{letters(column):^{across}}" for column in columns)
    lines.append(Text(f"{'':{label}}{heads}".rstrip(), FAINT))
    return lines


def cell_width(summary: Summary, width: int) -> int:
    """Columns of a cell, its gap among them, on a map of so many."""
    return min(max((width - _margin(summary)) // summary.grid.across, NARROW), WIDE)


def _lines_of(summary: Summary, height: int) -> int:
    """Lines of a cell."""
    return min(max((height - OTHER_ROWS) // summary.grid.along, 1), TALL)


def _margin(summary: Summary) -> int:
    """Columns of a line's number and its gap."""
    return len(str(summary.grid.along)) + 1


def _cell_line(
    drawn: Text, cell: Spot, line: int, size: tuple[int, int], *, edges: tuple[bool, bool, bool], short: bool
) -> None:
    """One line of a cell; a gap at its right and below where another area begins, brackets around a framed one."""
    width, tall = size
    left, right, below = edges
    room, lines = width - right, tall - (1 if tall > 2 and below else 0)
    if line >= lines:
        drawn.append(" " * width, PLAIN)
        return
    told = cell.told[:lines]
    at = line - (lines - len(told)) // 2
    text = told[at] if 0 <= at < len(told) else ""
    if text and ((short and at == 0) or len(text) > room - (2 if at == 0 or cell.framed else 0)):
        text = text.split(" ")[0] if at == 0 else ""
    body = f"{text:^{room}.{room}}"
    if cell.framed and left:
        drawn.append("[", ACCENT)
        body = body[1:]
    drawn.append(body, cell.style)
    if right:
        drawn.append("]" if cell.framed else " ", ACCENT)
