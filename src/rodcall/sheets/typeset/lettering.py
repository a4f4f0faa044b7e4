"""The sheets' letters: which characters the font has and how wide they are, read from the font's own tables.

A PDF must not show what its font lacks (PDF/UA-1, 7.21.8): such a character becomes a box here and is kept to be told.
"""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from rodcall.wording import words

FAMILY = "DejaVu Sans"
REGULAR, BOLD = "DejaVuSans", "DejaVuSans-Bold"
BOX = "\u25a1"
"""Stands for a character that the font lacks."""


def fonts_folder() -> Path:
    """Where the fonts lie that come along."""
    return Path(str(files(__package__) / "fonts"))


@lru_cache(maxsize=2)
def _widths(name: str) -> Mapping[int, float]:
    """Advance of each character that a font has, by its code, in parts of the type's size."""
    raw = (fonts_folder() / f"{name}.ttf").read_bytes()
    (count,) = struct.unpack_from(">H", raw, 4)
    table = {raw[at : at + 4]: struct.unpack_from(">I", raw, at + 8)[0] for at in range(12, 12 + 16 * count, 16)}
    (per_em,) = struct.unpack_from(">H", raw, table[b"head"] + 18)
    (measured,) = struct.unpack_from(">H", raw, table[b"hhea"] + 34)

    def advance(glyph: int) -> float:
        (units,) = struct.unpack_from(">H", raw, table[b"hmtx"] + 4 * min(glyph, measured - 1))
        return float(units / per_em)

    return {code: advance(glyph) for code, glyph in _glyphs(raw, table[b"cmap"]).items()}


def _glyphs(raw: bytes, cmap: int) -> dict[int, int]:
    """Glyph by character code, of the font's table for the basic plane (OpenType, cmap format 4)."""
    (tables,) = struct.unpack_from(">H", raw, cmap + 2)
    starts = (cmap + struct.unpack_from(">I", raw, cmap + 8 + 8 * at)[0] for at in range(tables))
    at = next(start for start in starts if struct.unpack_from(">H", raw, start)[0] == 4)
    (double,) = struct.unpack_from(">H", raw, at + 6)
    ends, begins, deltas, offsets = (at + 14, at + 16 + double, at + 16 + 2 * double, at + 16 + 3 * double)
    found: dict[int, int] = {}
    for segment in range(0, double, 2):
        end, begin, delta, offset = (
            struct.unpack_from(">H", raw, part + segment)[0] for part in (ends, begins, deltas, offsets)
        )
        for code in range(begin, min(end, 0xFFFE) + 1):
            glyph = code
            if offset:
                (glyph,) = struct.unpack_from(">H", raw, offsets + segment + offset + 2 * (code - begin))
            if not offset or glyph:
                glyph = (glyph + delta) % 0x10000
            if glyph:
                found[code] = glyph
    return found


class Lettering:
    """Measures text, and remembers which characters the fonts lack."""

    def __init__(self) -> None:
        self._has = frozenset(_widths(REGULAR)) & frozenset(_widths(BOLD))
        self._missing: dict[str, None] = {}

    @property
    def missing(self) -> tuple[str, ...]:
        """Characters met so far that are drawn as a box, in the order met."""
        return tuple(self._missing)

    def printable(self, text: str) -> str:
        """The text with a box for what the fonts lack; accents are joined to their letters where that exists."""
        if text.isascii() and text.isprintable():
            return text
        shown = words.harmless(unicodedata.normalize("NFC", text))
        lacking = [char for char in shown if ord(char) not in self._has]
        if not lacking:
            return shown
        self._missing |= dict.fromkeys(lacking)
        return "".join(char if ord(char) in self._has else BOX for char in shown)

    def all_printable(self, data: Any, *, but: str) -> Any:
        """The same of every text in lists and tables, as they go to a template, all but one of that name."""
        if isinstance(data, str):
            return self.printable(data)
        if isinstance(data, list | tuple):
            return [self.all_printable(each, but=but) for each in data]
        if isinstance(data, dict):
            return {key: each if key == but else self.all_printable(each, but=but) for key, each in data.items()}
        return data


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """How wide a text is drawn at a size, in the size's unit; what the font lacks is as wide as the box."""
    widths = _widths(BOLD if bold else REGULAR)
    box = widths[ord(BOX)]
    return size * sum(widths.get(ord(char), box) for char in text)
