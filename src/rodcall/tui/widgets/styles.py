"""The styles that screens are written in, once each; a theme exchanges their colours on the way to the terminal."""

from __future__ import annotations

from rich.style import Style

from rodcall.tui.terminal.colours import DAY

PLAIN = Style(color=DAY.text, bgcolor=DAY.ground)
STRONG = Style(color=DAY.text, bgcolor=DAY.ground, bold=True)
FAINT = Style(color=DAY.faint, bgcolor=DAY.ground)
"""What is known already, or may be passed over: captions, keys, empty cells."""
BARE = Style(color=DAY.ink_bare, bgcolor=DAY.bare)
BARE_STRONG = BARE + Style(bold=True)
BARE_FRAME = Style(color=DAY.accent, bgcolor=DAY.bare, bold=True)
"""Ground of the pad that is not shot in this round, what is written on it, and the frame of the next spot there."""
ACCENT = Style(color=DAY.accent, bgcolor=DAY.ground, bold=True)
"""Prompts, headings within a page, what is wrong with what was typed."""
HEAD = Style(color=DAY.ground, bgcolor=DAY.accent, bold=True)
"""The line at the head of a screen."""
BAR = Style(color=DAY.text, bgcolor=DAY.ground, reverse=True, bold=True)
"""The row that keys are about, and what must not be missed: sign and words say it too."""
MESSAGE = Style(color=DAY.alarm, bgcolor=DAY.ground, reverse=True)
"""Why the last thing was not taken."""
HIGH = Style(color=DAY.high[1], bgcolor=DAY.ground)
LOW = Style(color=DAY.low[1], bgcolor=DAY.ground)
CUT = Style(color=DAY.high[1], bgcolor=DAY.ground, reverse=True, bold=True)
FILL = Style(color=DAY.low[1], bgcolor=DAY.ground, reverse=True, bold=True)
