"""What an empty list shows: the program's name, what it is for, three ways to begin, and the colours of the pad."""

from __future__ import annotations

from rich.text import Text

from rodcall.i18n import say
from rodcall.tui.widgets.block_digits import block_letters, columns_of, rows_of
from rodcall.tui.widgets.columns import shade_scale
from rodcall.tui.widgets.styles import ACCENT, STRONG

NAME = "rodcall"
SMALL = 16
"""Lines from which the name stands in large letters; below that there is no room."""
WORDS = 14
"""Lines of all the rest."""


def welcome(width: int, height: int) -> list[Text]:
    """The lines for a room of this size."""
    lines = [Text("")]
    if height >= SMALL:
        lines += [*(Text(f" {row}", ACCENT) for row in _name(width - 2, height - WORDS)), Text("")]
    lines += [
        Text(f" {say('Shoot the ground, find the target, prove the pad.')}", STRONG),
        Text(""),
        Text(f" {say('No job yet. Three ways to begin:')}", STRONG),
        Text(""),
        Text(f" {say('Enter   a new pad: type its size, and begin')}", ACCENT),
        Text(f" {say('p       practise with a helper who calls: rodcall practice')}", ACCENT),
        Text(f" {say('s       sample jobs to look at')}", ACCENT),
    ]
    if height >= SMALL:
        lines += [Text(""), *shade_scale(width - 2, max(height - len(lines) - 2, 1))]
    return lines


def _name(width: int, height: int) -> tuple[str, ...]:
    """The name as large as there is room for."""
    tall = next(
        (tall for tall in (6, 5, 4, 3, 2) if rows_of(tall) <= height // 2 and columns_of(NAME, tall) <= width), 1
    )
    return block_letters(NAME, tall, tall)
