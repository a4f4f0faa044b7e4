"""Widgets of lines that are kept as they go to the terminal: what did not change costs nothing to paint again.

Textual's own way asks for each line through all that style sheets can do to a widget: borders, padding, tints. These
have none of it, and a key waits for the difference.
"""

from __future__ import annotations

import os
import re
import textwrap
from collections.abc import Iterable, Sequence
from pathlib import Path

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual.color import Color
from textual.containers import Horizontal
from textual.filter import LineFilter
from textual.geometry import NULL_REGION, Region
from textual.strip import Strip
from textual.widget import Widget

from rodcall.i18n import say
from rodcall.tui.terminal.colours import DAY
from rodcall.tui.widgets.styles import PLAIN
from rodcall.wording import words

_GROUND = Color.parse(DAY.ground)
"""Under all that is painted; each part has colours of its own."""


class Painted(Widget):
    """Paints segments line by line; whoever changes a line says so (`repaint_lines`, or `refresh` for all)."""

    def __init__(self, *, id: str, style: Style = PLAIN) -> None:
        super().__init__(id=id)
        self._style = style
        """What fills a line up to the widget's width."""
        self._kept: dict[int, Strip] = {}
        self._width = 0
        self._line_filters: Sequence[LineFilter] | None = None
        """What is done to each line on its way to the terminal; asked for anew when all is painted anew."""

    def segments(self, y: int) -> Iterable[Segment]:
        """What stands in a line; what is too long is cut."""
        raise NotImplementedError

    def repaint_lines(self, lines: Sequence[int]) -> None:
        """These lines look different.

        The screen is told, and not each widget for itself, which would send it two messages each.
        """
        for y in lines:
            self._kept.pop(y, None)
        left, top, width, height = self.region if lines else NULL_REGION
        seen = [Region(left, top + y, width, 1) for y in lines if y < height]
        if seen:
            self.screen.refresh(*seen)

    def refresh(self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False) -> Painted:
        """All lines look different, or those in these regions."""
        if not regions:
            self._kept.clear()
            self._line_filters = None
        for region in regions:
            for y in range(region.y, region.y + region.height):
                self._kept.pop(y, None)
        super().refresh(*regions, repaint=repaint, layout=layout, recompose=recompose)
        return self

    def render_line(self, y: int) -> Strip:
        """One line, exactly as wide as the widget."""
        return self._painted(y, self.size.width, ())

    def _painted(self, y: int, width: int, filters: Sequence[LineFilter]) -> Strip:
        parts = list(self.segments(y))
        filled = sum(len(part.text) if part.text.isascii() else cell_len(part.text) for part in parts)
        if filled < width:
            parts.append(Segment(" " * (width - filled), self._style))
        # Each strip has caches of its own, which cost more than its line: one a line is enough.
        for each in filters:
            parts = each.apply(parts, _GROUND)
        strip = Strip(parts, max(filled, width))
        return strip if filled <= width else strip.crop(0, width)

    def render_lines(self, crop: Region) -> list[Strip]:
        """The lines as they go to the terminal, those that did not change as they were kept."""
        width = self.size.width
        if width != self._width:
            self._width = width
            self._kept.clear()
        strips = [self._kept.get(y) or self._keep(y) for y in crop.line_range]
        return strips if crop.column_span == (0, width) else [strip.crop(*crop.column_span) for strip in strips]

    def _keep(self, y: int) -> Strip:
        if self._line_filters is None:
            self._line_filters = self.get_line_filters()
        self._kept[y] = strip = self._painted(y, self._width, self._line_filters)
        return strip


class Covered:
    """Its widgets leave nothing of it to be seen, so that it is not painted."""

    def render_lines(self, crop: Region) -> list[Strip]:
        """Blank, whatever the theme."""
        return [Strip.blank(crop.width)] * crop.height


class Beside(Covered, Horizontal):
    """Widgets side by side that fill it."""


class Lines(Painted):
    """Shows lines of text, cut at its width. Text is taken as it is: no markup is read."""

    def __init__(self, *, id: str, style: Style = PLAIN) -> None:
        super().__init__(id=id, style=style)
        self._lines: list[Text] = []

    def show(self, lines: Sequence[Text | str]) -> None:
        """Show these lines from the top; what stood below them is cleared."""
        new = [Text(line) if isinstance(line, str) else line for line in lines]
        old, self._lines = self._lines, new
        both = min(len(old), len(new))
        changed = [y for y in range(both) if not _same(old[y], new[y])]
        self.repaint_lines([*changed, *range(both, max(len(old), len(new)))])

    @property
    def shown(self) -> str:
        """The text that is shown, for tests and for reading aloud."""
        return "\n".join(line.plain for line in self._lines)

    def segments(self, y: int) -> Iterable[Segment]:
        """One line, in the widget's own style where the text has none."""
        if y >= len(self._lines):
            return ()
        line = self._lines[y]
        style = self._style + line.style if isinstance(line.style, Style) else self._style
        if not line.spans:
            return (Segment(line.plain, style),)
        return _styled(line, style)


def _styled(line: Text, style: Style) -> Iterable[Segment]:
    """A text whose parts have styles of their own, one behind the other."""
    at = 0
    for start, end, own in line.spans:
        if start > at:
            yield Segment(line.plain[at:start], style)
        yield Segment(line.plain[start:end], style + own if isinstance(own, Style) else style)
        at = end
    if at < len(line.plain):
        yield Segment(line.plain[at:], style)


def fitted(text: str, width: int) -> str:
    """Text in exactly so many columns; what is too long ends in two points. Wide characters count twice."""
    if cell_len(text) <= width:
        return set_cell_size(text, width)
    return set_cell_size(text, max(width - 2, 0)) + ".."[:width]


_CLAUSE_END = re.compile(r"[;:.](?= )| (?=\()")
_COMMA = re.compile(r",(?= )")
"""Where an enumeration may end too, where nothing before it does."""
_LAST_CLAUSE = re.compile(r"(.+)(?:(?<=[.?]) |, ).+")


def broken(text: str, width: int, *, first: str = "", hang: str = "", most: int | None = None) -> list[str]:
    """Text of any origin on lines of at most so many columns, at least 10.

    Args:
        text: What is said.
        width: Columns.
        first: Before the first line.
        hang: Before each line but the first.
        most: Lines at most; where that is too few the last one ends in two points.
    """
    lines = textwrap.wrap(words.harmless(text), max(width, 10), initial_indent=first, subsequent_indent=hang)
    if most is None or len(lines) <= most:
        return lines
    return [*lines[: most - 1], fitted(" ".join(lines[most - 1 :]), width)]


def wrapped(text: str, width: int, style: Style = PLAIN, *, hang: str = "", most: int | None = None) -> list[Text]:
    """The same as lines of a page, a blank before each."""
    return [Text(f" {line}", style) for line in broken(text, width - 2, hang=hang, most=most)]


def clause(text: str, width: int, otherwise: str | None = None) -> str:
    """Text in at most so many columns: all of it, or up to where a clause ends; what has no such end is cut.

    Args:
        text: What is said.
        width: Columns.
        otherwise: Instead of what would be cut.
    """
    if cell_len(text) <= width:
        return text
    for ending in (_CLAUSE_END, _COMMA):
        for found in reversed(list(ending.finditer(text))):
            whole = text[: found.start()]
            if cell_len(whole) <= width and whole.count("(") == whole.count(")"):
                return whole
    return fitted(text, width) if otherwise is None else otherwise


def shortened(text: str, width: int, between: str = "  ") -> str:
    """Text whose parts go from the end until it has room; the first ends with a clause where it must, or is cut.

    Args:
        text: What is said.
        width: Columns.
        between: What stands between its parts: two blanks, as between sentences, or `; `, which says how many went.
    """
    parts, gone = text.split(between), 0
    told = text
    while len(parts) > 1 and cell_len(told) > width:
        if between.isspace() and (whole := _LAST_CLAUSE.fullmatch(parts[-1])):
            # The last clause, or the last of two sentences, goes before the whole of it.
            parts[-1] = whole[1]
            told = between.join(parts)
            continue
        parts.pop()
        gone += 1
        told = (
            between.join(parts) if between.isspace() else f"{between.join(parts)} {say('+{number} more', number=gone)}"
        )
    return clause(told, width)


def pieces(text: Text) -> Iterable[tuple[str, Style]]:
    """The parts of a text with the style of each; its spans lie one behind the other."""
    base = text.style if isinstance(text.style, Style) else Style()
    return (
        (part.text, part.style or base) for part in (_styled(text, base) if text.spans else [Segment(text.plain, base)])
    )


def beside(left: Sequence[Text], right: Sequence[Text], column: int) -> list[Text]:
    """Two blocks of lines, the second beginning at a column; what is left of it and too long is cut."""
    lines = []
    for at in range(max(len(left), len(right))):
        line, room = Text(), column
        for text, style in pieces(left[at]) if at < len(left) else ():
            line.append(set_cell_size(text, min(cell_len(text), room)), style)
            room -= min(cell_len(text), room)
        line.append(" " * room, PLAIN)
        for text, style in pieces(right[at]) if at < len(right) else ():
            line.append(text, style)
        lines.append(line)
    return lines


def with_told(text: str, width: int, told: str) -> str:
    """Text in exactly so many columns, and behind it what is told in any case."""
    return fitted(text, width) if not told else f"{fitted(text, max(width - cell_len(told) - 2, 0))} {told} "


def tail(text: str, width: int) -> str:
    """The end of a text, in at most so many columns."""
    while (over := cell_len(text) - width) > 0:
        text = text[max(over // 2, 1) :]
    return text


def path_words(path: Path, width: int) -> str:
    """A path in at most so many columns where it can be: from the home folder on, else its last parts."""
    told = words.harmless(str(path))
    home = str(Path.home())
    if told.startswith(f"{home}{os.sep}"):
        told = f"~{told[len(home) :]}"
    parts = told.split(os.sep)
    while cell_len(told) > width and len(parts) > 1:
        del parts[0]
        told = os.sep.join(["...", *parts])
    return told


def _same(one: Text, other: Text) -> bool:
    """True where both look the same; Rich's own comparison passes over the style of the whole."""
    return one is other or (one == other and one.style == other.style)
