"""A widget of a few lines of styled text that repaints only those that changed."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from rodcall.screens.colours import DAY

PLAIN = Style(color=DAY.text, bgcolor=DAY.ground)


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
            if y >= len(old) or y >= len(new) or old[y] != new[y] or old[y].spans != new[y].spans:
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
        segments = list(self._lines[y].render(self.app.console))
        styled = [Segment(part.text, self._style + part.style if part.style else self._style) for part in segments]
        return Strip(styled).adjust_cell_length(width, self._style)
