"""Laying out: tape distances, squareness, footprint, layers, and what to key into the machine."""

from __future__ import annotations

from rich.text import Text

from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.tui.pages.base import TextPage
from rodcall.tui.widgets.styles import ACCENT
from rodcall.wording import layout as words_layout


class LayoutScreen(TextPage):
    """All that is taped off and keyed in, for the position where the cursor stands."""

    def __init__(self, summary: Summary, cursor: int) -> None:
        super().__init__(say("lay out"))
        self._summary = summary
        self._cursor = cursor

    def lines(self, width: int) -> list[Text]:
        """Headings, and what is under them set in."""
        told: list[Text] = []
        for section in words_layout.sections(self._summary, self._cursor, width - 1):
            told += [Text(f" {line}", ACCENT) for line in section.heading(width - 1)]
            told += [Text(f" {line}") for line in section.body(width - 1)]
        return told
