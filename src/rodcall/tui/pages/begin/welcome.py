"""What an empty list shows: the program's name, what it is for, three ways to begin, and the colours of the pad."""

from __future__ import annotations

from rich.text import Text

from rodcall.i18n import say
from rodcall.tui.widgets.block_digits import as_large
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
        lines += [
            *(Text(f" {row}", ACCENT) for row in as_large(NAME, width - 2, (height - WORDS) // 2 or 1) or (NAME,)),
            Text(""),
        ]
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
