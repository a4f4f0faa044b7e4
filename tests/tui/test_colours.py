"""Colours that can be told from their ground in the sun, and text that never hangs on them alone."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from rich.style import Style
from textual.color import Color

from rodcall.tui.terminal.colours import DAY, cell_style
from tests.kit import a_book
from tests.tui.kit import crew, strips

ENOUGH = 4.5
"""Contrast of text: WCAG 2.2, success criterion 1.4.3."""


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    channels = [channel / 255 for channel in Color.parse(colour).rgb]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it: 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_measure_itself() -> None:
    """Black on white is 21, and #767676 on white just passes: 4.54 (MEMORY, WCAG's well-known limit of grey)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize(("side", "depth", "outside"), product((-1, 0, 1), (0, 1, 2), (False, True)))
def test_every_cell_is_legible(side: int, depth: int, outside: bool) -> None:
    style = cell_style(DAY, side, depth, outside)
    assert style.color is not None
    assert style.bgcolor is not None
    assert contrast(style.color.name, style.bgcolor.name) >= ENOUGH
    assert bool(style.reverse) is outside


@pytest.mark.parametrize("name", ["text", "faint", "neutral", "accent", "alarm"])
def test_words_are_legible(name: str) -> None:
    assert contrast(getattr(DAY, name), DAY.ground) >= ENOUGH


def test_depths_of_one_side_differ_and_get_deeper() -> None:
    for shades in (DAY.high, DAY.low):
        steps = [luminance(shade) for shade in shades]
        assert steps == sorted(steps, reverse=True)
        assert len(set(steps)) == len(steps)


async def test_nothing_that_is_painted_is_illegible(tmp_path: Path) -> None:
    """Every style that reaches the terminal, on the shot grid and its pages."""
    book = a_book("A1 -3/8", "B1 +2", "C1 -4", "C2 out", "B2 -1/2", "A2 +1/4")
    async with crew(book, tmp_path, (80, 24)) as at:
        for keys in ((), ("3", "/", "7", "enter"), ("escape", "v"), ("v", "*"), ("escape", "?"), ("escape", "t")):
            await at.press(*keys)
            for widget in at.pilot.app.screen.query("*"):
                for line in strips(widget) if not widget.children else []:
                    for part in line:
                        assert legible(part.style), (widget, part)


def legible(style: Style | None) -> bool:
    assert style is not None
    assert style.color is not None
    assert style.bgcolor is not None
    return contrast(style.color.name, style.bgcolor.name) >= ENOUGH
