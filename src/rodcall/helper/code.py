"""The code that a phone's camera reads off the terminal: a QR code (ISO/IEC 18004) in half blocks."""

from __future__ import annotations

from importlib import import_module

QUIET = 4
"""Light modules around a code (ISO/IEC 18004, 9.1); readers want them."""

LIGHT, DARK = "#fefefe", "#010101"
"""Black on white, whatever the theme: no theme exchanges these two."""


def matrix(text: str) -> list[list[bool]]:
    """The dark modules of a code, row by row, with the quiet zone; capitals and digits take the least room."""
    made = import_module("segno").make(text, error="l", micro=False)
    across = len(made.matrix) + 2 * QUIET
    edge = [[False] * across for _ in range(QUIET)]
    side = [False] * QUIET
    return [*edge, *([*side, *(bool(module) for module in row), *side] for row in made.matrix), *edge]


def half_blocks(modules: list[list[bool]]) -> list[str]:
    """Two rows of modules in a line. Light is drawn and dark is left: it reads right where there are no colours too."""
    light = [*modules, [True] * len(modules[0])] if len(modules) % 2 else modules
    pairs = zip(light[::2], light[1::2], strict=True)
    return ["".join("█▀▄ "[2 * upper + lower] for upper, lower in zip(*pair, strict=True)) for pair in pairs]
