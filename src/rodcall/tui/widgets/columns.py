"""Text side by side where a screen is wide, with air between its parts where a screen is tall."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.text import Text

from rodcall.i18n import say
from rodcall.palette import LEVELS
from rodcall.tui.terminal.colours import fill_style
from rodcall.tui.widgets.lines import beside

LEAST, MOST = 56, 96
"""Columns of text that is read at ease: with more than the second there is room for another beside it."""
GAP = 3
WAVE = (0, 1, 2, 3, 4, 4, 4, 3, 2, 1, 0, -1, -2, -3, -4, -4, -4, -3, -2, -1)
"""How far the borders of shades bend from line to line, in twelfths of a shade."""

Block = Sequence[Text]
"""Lines that stay together."""


def set_out(blocks: Callable[[int], Sequence[Block]], width: int, height: int) -> list[Text]:
    """Blocks in reading order, in as few columns as show all of them at once; in one that scrolls where none do.

    Args:
        blocks: All of them, for a column of so many characters.
        width: Columns of the screen.
        height: Lines of it.
    """
    for count in range(max(width // MOST, 1), max(width // LEAST, 1) + 1):
        across = (width - GAP * (count - 1)) // count
        made = blocks(across)
        for air in (1, 0):
            columns = _columns(made, count, height, air)
            if columns is not None:
                lines = columns[-1]
                for column in reversed(columns[:-1]):
                    lines = beside(column, lines, across + GAP)
                # A blank at the end is nothing to scroll to.
                return lines[: max(at for at, line in enumerate(lines, 1) if line.plain.strip())]
    return [line for block in blocks(width) for line in block]


def _columns(blocks: Sequence[Block], count: int, height: int, air: int) -> list[list[Text]] | None:
    """The blocks in columns of about the same height; None where that is more than there is room for."""
    whole = sum(len(block) + air for block in blocks)
    for room in range(-(-whole // count), height + 1 + air):
        columns: list[list[Text]] = [[]]
        for block in blocks:
            if columns[-1] and len(columns[-1]) + len(block) > room - air:
                columns.append([])
            columns[-1] += [*block, *[Text("")] * air]
        if len(columns) <= count and all(len(column) <= room for column in columns):
            return columns
    return None


def shade_scale(width: int, rows: int) -> list[Text]:
    """The shades of the pad from deep fill to deep cut, like ground seen from above, with the trade's words on them."""
    shades = range(-LEVELS, LEVELS + 1)
    wide = width // len(shades)
    fill, middle, cut = say("fill"), say("on target"), say("cut")
    if len(middle) > wide:
        middle = say("target")
    if max(map(len, (fill, middle, cut))) > wide:
        # One word alone would look like the name of the whole.
        fill, middle, cut = "-", "0", "+"
    told = {-LEVELS + 1: fill, 0: middle, LEVELS - 1: cut}
    lines = []
    for row in range(rows):
        # With room for it the shades border on each other as contour lines do.
        bend = WAVE[row % len(WAVE)] * wide // 12 if rows >= len(WAVE) // 2 else 0
        line = Text(" ")
        for level in shades:
            across = wide + (bend if level == -LEVELS else -bend if level == LEVELS else 0)
            word = told.get(level, "") if row == (rows - 1) // 2 else ""
            line.append(f"{word if len(word) <= across else '':^{across}}", fill_style(level, False))
        lines.append(line)
    return lines
