"""The pad on the dig page: where the chosen move takes and puts, what is high and low, and the lanes. No widget."""

from __future__ import annotations

from collections.abc import Callable

from rich.style import Style
from rich.text import Text

from rodcall.book.model.grid import Grid, letters
from rodcall.figures.earthwork.dig import DigPlan, Move
from rodcall.figures.summary import Summary
from rodcall.i18n import phrase, say
from rodcall.tui.widgets.styles import CUT, FAINT, FILL, HIGH, LOW
from rodcall.tui.widgets.window import Window
from rodcall.wording import dig as words_dig
from rodcall.wording import words

WIDE = 5
"""Characters of a cell with room for words; a narrow one has room for the letters and numbers under it."""
OTHER_ROWS = 3
"""Lines beside those of positions: far end, letters, lanes."""
LEGEND = phrase("C F this move  + high - low o on target ? guess x no part  below: lanes")


def least_width(summary: Summary) -> int:
    """Columns that the whole pad needs at the least."""
    grid = summary.grid
    return len(str(grid.along)) + 1 + grid.across * _narrow(grid)


def draw(summary: Summary, plan: DigPlan | None, move: Move | None, width: int, height: int) -> list[Text]:
    """The pad as it lies, far end at the top, around the chosen move."""
    grid = summary.grid
    label = len(str(grid.along)) + 1
    cell = WIDE if grid.across * WIDE <= width - label else _narrow(grid)
    touched = [*move.take, *move.put] if move is not None else []
    rows = Window.on([at // grid.across for at in touched], height - OTHER_ROWS, grid.along)
    columns = Window.on([at % grid.across for at in touched], (width - label) // cell, grid.across)
    mark = _marker(summary, move)
    hidden = (
        (grid.along - rows.first - rows.count, "above"),
        (grid.across - columns.first - columns.count, "right"),
    )
    more = "".join(f", {count} {where}" for count, where in hidden if count)
    lines = [Text(f"{'':{label}}{say('far end')}{more}", FAINT)]
    for row in reversed(list(rows)):
        line = Text(f"{row + 1:>{label - 1}} ", FAINT)
        for column in columns:
            word, letter, style = mark(row * grid.across + column)
            line.append(f"{word if cell == WIDE else letter:<{cell}}"[:cell], style)
        lines.append(line)
    lines.append(Text(f"{'':{label}}{''.join(f'{letters(column):<{cell}}' for column in columns)}", FAINT))
    if plan is not None:
        number = {
            column: at
            for at, (first, last) in enumerate(words_dig.lane_columns(grid, plan), 1)
            for column in range(first, last + 1)
        }
        lines.append(Text(f"{'':{label}}{''.join(f'{number[column]:<{cell}}' for column in columns)}", FAINT))
    return lines


def _narrow(grid: Grid) -> int:
    """Characters of the narrowest cell: one gap behind the letters and the lanes' numbers, which are no more."""
    return max(len(letters(grid.across - 1)), len(str(grid.across))) + 1


def _marker(summary: Summary, move: Move | None) -> Callable[[int], tuple[str, str, Style]]:
    """How a position is marked: in words, in two characters, and in which style."""
    keep_out, known = summary.keep_out, summary.known
    take, put = (frozenset(move.take), frozenset(move.put)) if move is not None else (frozenset(), frozenset())

    def mark(index: int) -> tuple[str, str, Style]:
        guess = "" if known[index] else "?"
        if index in take:
            return say("cut{guess}", guess=guess), f"{words.stake_letter(True)}{guess}", CUT
        if index in put:
            return say("fill{guess}", guess=guess), f"{words.stake_letter(False)}{guess}", FILL
        if keep_out[index]:
            return "x", "x", FAINT
        above = words_dig.deviation(summary, index) or 0
        sign, style = ("+", HIGH) if above > 0 else ("-", LOW) if above < 0 else ("o", FAINT)
        return f"{sign}{guess}", f"{sign}{guess}", style

    return mark
