"""A line that would fit better otherwise: as it was read and as it would be, side by side; Enter writes it."""

from __future__ import annotations

from dataclasses import dataclass

from rich.style import Style
from rich.text import Text

from rodcall.book.book import Book
from rodcall.book.fold.round_page import SHOT, Change
from rodcall.figures.outliers.line_mistakes import BadLine
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.tui.pages.help import PageScreen
from rodcall.tui.terminal.colours import DAY
from rodcall.tui.terminal.keys import Stroke
from rodcall.wording import outliers as words_doubt
from rodcall.wording import words

_STRONG = Style(color=DAY.text, bgcolor=DAY.ground, bold=True)
_PLAIN = Style(color=DAY.text, bgcolor=DAY.ground)
_FAINT = Style(color=DAY.faint, bgcolor=DAY.ground)

SPOT, READING = 8, 16
"""Columns of a spot's name, and of a reading."""


@dataclass(frozen=True)
class Row:
    """One spot of the line; a reading is None where there is none."""

    spot: str
    as_read: str | None
    would_be: str | None

    @property
    def changes(self) -> bool:
        """Does it differ?"""
        return self.as_read != self.would_be


def rows_of(summary: Summary, bad: BadLine) -> tuple[Row, ...]:
    """The line spot by spot, in readings as they are called out.

    Args:
        summary: Of the page.
        bad: What is wrong with the line.
    """
    across = summary.grid.across
    way = summary.way_at(bad.row * across)
    rows = []
    for column in range(across):
        index = bad.row * across + column
        read = way.text(way.reading(int(summary.heights[index]))) if summary.state[index] == SHOT else None
        would_be = way.text(way.reading(int(bad.heights[column]))) if bad.counts[column] else None
        rows.append(Row(summary.grid.name(index), read, would_be))
    return tuple(rows)


def put_right(book: Book, summary: Summary, bad: BadLine) -> list[Change]:
    """Write the line as it would fit, as one act; the end that a shift leaves open is open again.

    Raises:
        LengthError, PageError: as `Book.put_all_right`.
    """
    rows = rows_of(summary, bad)
    meant = [(row.spot, row.would_be) for row in rows if row.would_be is not None]
    opened = [row.spot for row in rows if row.would_be is None and row.as_read is not None]
    return book.put_all_right(meant, str(bad.mistake), opened)


class LinePreview(PageScreen):
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
            return say("Enter writes it, arrows for more, others leave it")
        return say("Enter writes it, any other key leaves it")

    def lines(self, width: int) -> list[Text]:
        """Spot, as read, as it would be."""
        rows = rows_of(self._summary, self._bad)
        head = f" {say('spot'):<{SPOT}} {say('as read'):>{READING}}    {say('as it would be'):>{READING}}"
        told = [Text(f" {words_doubt.line_words(self._summary, self._bad)}", _STRONG), Text(head, _FAINT)]
        for row in rows:
            read = row.as_read if row.as_read is not None else say("not shot")
            would_be = row.would_be if row.would_be is not None else say("open, to shoot")
            mark = "->" if row.changes else "  "
            line = f" {row.spot:<{SPOT}} {read:>{READING}} {mark} {would_be:>{READING}}"
            told.append(Text(line, _STRONG if row.changes else _PLAIN))
        lost = [row.spot for row in rows if row.would_be is None and row.as_read is not None]
        if lost:
            open_again = say("{spots} is open again: shoot it", spots=words.harmless(" ".join(lost)))
            told += [Text(""), Text(f" {open_again}", _PLAIN)]
        return [*told, Text(""), Text(f" {say('One undo takes all of it back.')}", _FAINT)]
