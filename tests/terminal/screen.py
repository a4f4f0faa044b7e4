"""What a terminal's screen shows, painted from the bytes that a program writes."""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable
from typing import Any, Final

import pyte

Lines = list[str]
Wanted = str | Callable[[Lines], bool]
"""A text that some line of the screen holds, or a condition on all its lines."""

ALTERNATE: Final = 1049
"""The private mode of the alternate screen."""

_STRANGE_TO_PYTE: Final = re.compile(r"\x1b\[[<=>][\d;]*[A-Za-z]")
_CUT_SHORT: Final = re.compile(r"\x1b(\[[<=>]?[\d;]*)?$")


class ScreenTimeoutError(AssertionError):
    """What was waited for did not come; the message holds the whole screen."""


def framed(lines: Lines) -> str:
    """A screen as text for a message, each line between bars."""
    width = max(map(len, lines), default=0)
    return "\n".join(f"{n:3} |{line:{width}}|" for n, line in enumerate(lines))


def shows(wanted: Wanted, lines: Lines) -> bool:
    """True where the lines hold the text or meet the condition."""
    return wanted(lines) if callable(wanted) else any(wanted in line for line in lines)


class Screen(pyte.Screen):
    """pyte's screen, with the alternate screen that it lacks."""

    _normal: dict[int, Any] | None = None
    """Lines of the normal screen while the alternate one is shown."""

    def rows(self) -> Lines:
        """The lines, without the spaces at their ends."""
        # Not pyte's `display`: that fails where a wide character was painted over in half.
        columns = range(self.columns)
        return ["".join(self.buffer[y][x].data for x in columns).rstrip() for y in range(self.lines)]

    def set_mode(self, *modes: int, **options: Any) -> None:
        if options.get("private") and ALTERNATE in modes and self._normal is None:
            self.save_cursor()
            self._normal = dict(self.buffer)
            self.buffer.clear()
        super().set_mode(*modes, **options)

    def reset_mode(self, *modes: int, **options: Any) -> None:
        if options.get("private") and ALTERNATE in modes and self._normal is not None:
            self.buffer.clear()
            self.buffer.update(self._normal)
            self._normal = None
            self.restore_cursor()
        super().reset_mode(*modes, **options)


class Painter:
    """Feeds bytes to a screen, without the sequences that pyte would take for text."""

    def __init__(self, screen: pyte.Screen) -> None:
        self._stream = pyte.Stream(screen)
        self._decoder = codecs.getincrementaldecoder("utf-8")("replace")
        self._held = ""

    def feed(self, data: bytes) -> None:
        text = self._held + self._decoder.decode(data)
        cut = _CUT_SHORT.search(text)
        self._held = cut[0] if cut else ""
        self._stream.feed(_STRANGE_TO_PYTE.sub("", text[: len(text) - len(self._held)]))
