"""Colours of the screen: the palette by height on a dark ground; reverse video, sign and mark say the same."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from rich.style import Style

from rodcall.palette import HIGH, LOW, NEUTRAL


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
