"""The sheets' letters: a font that comes along, measured, and made to show what it cannot draw as a box.

A PDF library draws a character that its font lacks as a silent black box or not at all; here every text is looked at
first, and what is missing is kept to be told.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from importlib.resources import files
from io import BytesIO
from typing import Any

from rodcall.wording import words

SMALL, LARGE = 8.0, 15.0
"""The two sizes of type, points."""
REGULAR, BOLD = "DejaVuSans", "DejaVuSans-Bold"
BOX = "\u25a1"
"""Stands for a character that the font lacks."""


@lru_cache(maxsize=1)
def _fonts() -> dict[str, Any]:
    """The fonts by name, read and made known to the library once."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    fonts = {name: TTFont(name, BytesIO((files(__package__) / f"fonts/{name}.ttf").read_bytes())) for name in _NAMES}
    for font in fonts.values():
        pdfmetrics.registerFont(font)
    return fonts


_NAMES = (REGULAR, BOLD)


class Lettering:
    """Measures and breaks text, and remembers which characters the font lacks."""

    def __init__(self) -> None:
        fonts = _fonts()
        self._has = {name: frozenset(font.face.charToGlyph) for name, font in fonts.items()}
        self._fonts = fonts
        self._missing: dict[str, None] = {}

    @property
    def missing(self) -> tuple[str, ...]:
        """Characters met so far that are drawn as a box, in the order met."""
        return tuple(self._missing)

    def printable(self, text: str, *, bold: bool = False) -> str:
        """The text with a box for what the font lacks; accents are joined to their letters where that exists."""
        has = self._has[font_name(bold)]
        shown = words.harmless(unicodedata.normalize("NFC", text))
        if all(ord(char) in has for char in shown):
            return shown
        self._missing |= {char: None for char in shown if ord(char) not in has}
        return "".join(char if ord(char) in has else BOX for char in shown)

    def width(self, text: str, *, bold: bool = False, size: float = SMALL) -> float:
        """How wide a text is drawn, points."""
        width: float = self._fonts[font_name(bold)].stringWidth(self.printable(text, bold=bold), size)
        return width

    def wrap(self, text: str, width: float, *, bold: bool = False) -> list[str]:
        """Break a text into lines of at most so many points, at blanks, or within a word that is longer."""
        lines = [""]
        for word in text.split():
            longer = f"{lines[-1]} {word}".lstrip()
            if self.width(longer, bold=bold) <= width:
                lines[-1] = longer
                continue
            *whole, rest = self._broken(word, width, bold)
            lines += [*whole, rest]
        return lines[1:] if len(lines) > 1 and not lines[0] else lines

    def _broken(self, word: str, width: float, bold: bool) -> list[str]:
        """A word in pieces that fit, the last of them not empty."""
        pieces = [""]
        for char in word:
            if pieces[-1] and self.width(pieces[-1] + char, bold=bold) > width:
                pieces.append("")
            pieces[-1] += char
        return pieces


def font_name(bold: bool) -> str:
    """The font for plain or for strong words."""
    return BOLD if bold else REGULAR
