"""Colours of the screen: the palette by height on a dark ground; reverse video, sign and mark say the same."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from rich.style import Style

from rodcall.palette import FILL_EVEN, FILL_HIGH, FILL_LOW, HIGH, LOW, NEUTRAL


@dataclass(frozen=True)
class Shades:
    """The colours of one theme, as hexadecimal RGB; lists run from near the target to far from it."""

    ground: str
    """Background of the screen."""
    text: str
    faint: str
    neutral: str
    high: tuple[str, str, str]
    low: tuple[str, str, str]
    accent: str
    """Bars and prompts."""
    alarm: str
    bare: str
    """Of the picture of the pad: not shot yet."""
    ink_bare: str
    fill_even: str
    """Of the picture of the pad: on target."""
    fill_high: tuple[str, str, str, str]
    fill_low: tuple[str, str, str, str]
    ink_even: str
    """What is written on it."""
    ink_high: tuple[str, str, str, str]
    ink_low: tuple[str, str, str, str]


# The deepest of each side is lightened until numbers have a contrast of 7 to 1.
DAY = Shades(
    ground="#101214",
    text="#f7f7f7",
    faint="#a0a4a8",
    neutral=NEUTRAL,
    high=(*HIGH[:2], "#e58d24"),
    low=(*LOW[:2], "#a69cce"),
    accent="#fdb863",
    alarm="#ffffff",
    bare="#262a2f",
    ink_bare="#c8ccd0",
    fill_even=FILL_EVEN,
    fill_high=FILL_HIGH,
    fill_low=FILL_LOW,
    # Black and white to the eye; each has a value of its own, so that themes can exchange it.
    ink_even="#000100",
    ink_high=("#000000", "#010000", "#020000", "#fefefe"),
    ink_low=("#000001", "#000002", "#000003", "#fefeff"),
)


@lru_cache(maxsize=64)
def cell_style(shades: Shades, side: int, depth: int, outside: bool) -> Style:
    """The style of a height.

    Args:
        shades: The theme.
        side: +1 high, -1 low, 0 on target or not to be told.
        depth: 0 near the target to 2 far from it.
        outside: Out of tolerance: reverse video.
    """
    colour = shades.neutral if side == 0 else (shades.high if side > 0 else shades.low)[depth]
    return Style(color=colour, bgcolor=shades.ground, reverse=outside, bold=outside)


@lru_cache(maxsize=64)
def fill_style(level: int, outside: bool, *, bold: bool = False) -> Style:
    """The style of a part of the picture of the pad, and of what is written on it.

    Args:
        level: As `palette.levels` has it.
        outside: Out of tolerance: in reverse, so that it is seen without colours too, with the same colours.
        bold: It is a height.
    """
    if level == 0:
        fill, ink = DAY.fill_even, DAY.ink_even
    else:
        fills, inks = (DAY.fill_high, DAY.ink_high) if level > 0 else (DAY.fill_low, DAY.ink_low)
        fill, ink = fills[abs(level) - 1], inks[abs(level) - 1]
    if outside:
        return Style(color=fill, bgcolor=ink, reverse=True, bold=bold)
    return Style(color=ink, bgcolor=fill, bold=bold)
