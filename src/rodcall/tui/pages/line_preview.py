"""A line that does not fit, as read and corrected, side by side; Enter writes it."""

from __future__ import annotations

from rich.text import Text

from rodcall.figures.outliers.line_mistakes import BadLine
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.tui.pages.base import TextPage
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.styles import FAINT, PLAIN, STRONG
from rodcall.wording import outliers as words_doubt
from rodcall.wording import words

SPOT, READING = 8, 16
"""Columns of a spot's name, and of a reading."""


class LinePreview(TextPage):
    """Shows the line both ways; `taken` is True where Enter closed it, and nothing was written yet."""

    def __init__(self, summary: Summary, bad: BadLine) -> None:
        super().__init__(say("line {number}", number=bad.row + 1))
        self._summary = summary
        self._bad = bad
        self.taken = False

    def press(self, key: Stroke) -> None:
        """Enter takes it, arrows scroll, anything else leaves the line as it was read."""
        if key.name == "enter":
            self.taken = True
            self.dismiss()
            return
        super().press(key)

    def how(self, *, more: bool) -> str:
        """Enter is the one key that writes."""
        if more:
            return say("Enter writes it, arrows for more, others close")
        return say("Enter writes it, any other key closes")

    def lines(self, width: int) -> list[Text]:
        """Spot, as read, corrected."""
        rows = words_doubt.line_rows(self._summary, self._bad)
        head = f" {say('spot'):<{SPOT}} {say('as read'):>{READING}}    {say('corrected'):>{READING}}"
        told = [Text(f" {words_doubt.line_words(self._summary, self._bad)}", STRONG), Text(head, FAINT)]
        for row in rows:
            read = row.as_read if row.as_read is not None else say("not shot")
            would_be = row.would_be if row.would_be is not None else say("open, to shoot")
            mark = "->" if row.changes else "  "
            line = f" {row.spot:<{SPOT}} {read:>{READING}} {mark} {would_be:>{READING}}"
            told.append(Text(line, STRONG if row.changes else PLAIN))
        lost = [row.spot for row in rows if row.would_be is None and row.as_read is not None]
        if lost:
            open_again = say("{spots} is open again: shoot it", spots=words.harmless(" ".join(lost)))
            told += [Text(""), Text(f" {open_again}", PLAIN)]
        return [*told, Text(""), Text(f" {say('One undo takes it all back.')}", FAINT)]
