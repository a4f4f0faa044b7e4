"""A widget of a few lines of styled text that repaints only those that changed."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from rodcall.tui.widgets.styles import PLAIN


class Lines(Widget):
    """Shows lines of text, cut at its width. Text is taken as it is: no markup is read."""

    def __init__(self, *, id: str, style: Style = PLAIN) -> None:
        super().__init__(id=id)
        self._style = style
        self._lines: list[Text] = []

    def show(self, lines: Sequence[Text | str]) -> None:
        """Show these lines from the top; what stood below them is cleared."""
        new = [Text(line) if isinstance(line, str) else line for line in lines]
        old, self._lines = self._lines, new
        for y in range(max(len(old), len(new))):
            if y >= len(old) or y >= len(new) or not _same(old[y], new[y]):
                self.refresh(Region(0, y, self.size.width, 1))

    @property
    def shown(self) -> str:
        """The text that is shown, for tests and for reading aloud."""
        return "\n".join(line.plain for line in self._lines)

    def render_line(self, y: int) -> Strip:
        """One line, in the widget's own style where the text has none."""
        width = self.size.width
        if y >= len(self._lines) or width <= 0:
            return Strip.blank(width, self._style)
        line = self._lines[y]
        # Rich leaves the style of a whole text out where no part of it has one of its own.
        style = self._style + line.style if isinstance(line.style, Style) else self._style
        styled = [
            Segment(part.text, style + part.style if part.style else style) for part in line.render(self.app.console)
        ]
        return Strip(styled).simplify().adjust_cell_length(width, self._style)


def fitted(text: str, width: int) -> str:
    """Text in exactly so many columns; what is too long ends in two points. Wide characters count twice."""
    if cell_len(text) <= width:
        return set_cell_size(text, width)
    return set_cell_size(text, max(width - 2, 0)) + ".."[:width]


def with_told(text: str, width: int, told: str) -> str:
    """Text in exactly so many columns, and behind it what is told in any case."""
    return fitted(text, width) if not told else f"{fitted(text, max(width - cell_len(told) - 2, 0))} {told} "


def tail(text: str, width: int) -> str:
    """The end of a text, in at most so many columns."""
    while (over := cell_len(text) - width) > 0:
        text = text[max(over // 2, 1) :]
    return text


def _same(one: Text, other: Text) -> bool:
    """True where both look the same; Rich's own comparison passes over the style of the whole."""
    return one == other and one.style == other.style
