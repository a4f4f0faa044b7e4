"""Laying out: tape distances, squareness, footprint, layers, and what to key into the machine."""

from __future__ import annotations

from rich.text import Text

from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.tui.pages.base import TextPage
from rodcall.tui.terminal.colours import fill_style
from rodcall.tui.widgets import pad_map
from rodcall.tui.widgets.styles import ACCENT, FAINT
from rodcall.wording import layout as words_layout
from rodcall.wording.call_out import tapes_to

ROOM_FOR_TAPES = 110
"""Columns from which the pad is drawn beside the distances."""


class LayoutScreen(TextPage):
    """All that is taped off and keyed in, for the position where the cursor stands."""

    def __init__(self, summary: Summary, cursor: int) -> None:
        super().__init__(say("lay out"))
        self._summary = summary
        self._cursor = cursor

    def text_columns(self, width: int) -> int:
        """The pad with its tape distances is drawn beside them, on a wide screen."""
        return pad_map.text_columns(width) if width >= ROOM_FOR_TAPES else width

    def picture(self, width: int, height: int) -> list[Text]:
        """The pad as it is taped off: each spot's distances from the near left corner."""
        summary = self._summary
        apron = frozenset(summary.parts[1].positions) if summary.parts is not None else frozenset()

        def spot(index: int) -> pad_map.Spot:
            away, right = tapes_to(summary, index)
            told = (summary.grid.name(index), f"^ {away}", f"> {right}")
            style = FAINT if index in apron else fill_style(0, False)
            return pad_map.Spot(told, style, told[0], index, index == self._cursor)

        return pad_map.draw(summary, spot, width, height, (self._cursor,))

    def lines(self, width: int) -> list[Text]:
        """Headings, and what is under them set in."""
        told: list[Text] = []
        for section in words_layout.sections(self._summary, self._cursor, width - 2):
            told += [Text(f" {line}", ACCENT) for line in section.heading(width - 2)]
            told += [Text(f" {line}") for line in section.body(width - 2)]
        return told
