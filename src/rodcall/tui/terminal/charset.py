"""Characters for a terminal without UTF-8: on the way there each becomes ASCII that means the same.

Screens write in any characters and know nothing of it, as they know nothing of themes.
"""

from __future__ import annotations

import codecs
import sys
from collections.abc import Mapping
from functools import lru_cache, partial
from unicodedata import combining, normalize

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

UNKNOWN = "?"
"""What stands for a character that ASCII has nothing for, as often as it is columns wide."""

_BY_HAND = {
    # Large letters are made of these; each part of a cell has a shape of its own.
    "█": "#",
    "▀": '"',
    "▄": "o",
    "▲": "^",
    **dict.fromkeys("┌┐└┘", "+"),
    # Of one spot, two, three.
    **dict(zip("▁▃▅", ".:+", strict=True)),
    # What cannot be shown, on screens and on paper. A point would make a number of it.
    **dict.fromkeys("·□", UNKNOWN),
    # The end of a Spanish question tells that it is one.
    "¿": " ",
    "¡": " ",
    **dict.fromkeys("–—−‐‑", "-"),
    **dict.fromkeys("‘’′", "'"),
    **dict.fromkeys("“”″«»", '"'),
    "⁄": "/",
    "×": "x",
    "÷": "/",
    "±": "+-",
    "°": "d",
    "●": "*",
    "ß": "ss",
    **dict(zip("ÆæŒœØøŁłĐđ", ("AE", "ae", "OE", "oe", "O", "o", "L", "l", "D", "d"), strict=True)),
}
"""Those that do not fall apart into ASCII and marks over it by themselves (Unicode's compatibility decomposition)."""


def customary(environment: Mapping[str, str], *, coerced: bool | None = None) -> str:
    """`utf-8` or `ascii`, by what the environment says of the terminal's encoding.

    The first of LC_ALL, LC_CTYPE and LANG that is set counts; where none is, the locale is C (POSIX.1-2017, 8.2).

    Args:
        environment: Its variables.
        coerced: Python has set LC_CTYPE by itself, because the locale was C (PEP 538), so that it tells nothing; None
            asks Python.
    """
    if sys.platform == "win32":
        return "utf-8"
    if coerced is None:
        coerced = bool(sys.flags.utf8_mode)
    names = (
        ("LC_ALL", "LANG") if coerced and environment.get("LC_CTYPE") in _COERCED else ("LC_ALL", "LC_CTYPE", "LANG")
    )
    locale = next((environment[name] for name in names if environment.get(name)), "C")
    return "utf-8" if locale.lower().replace("-", "").partition("@")[0].endswith("utf8") else "ascii"


def has_braille(environment: Mapping[str, str]) -> bool:
    """Can a terminal that takes UTF-8 draw lines in braille? Linux's console and old Windows' have no font for it."""
    if sys.platform == "win32":
        return bool(environment.get("WT_SESSION") or environment.get("TERM_PROGRAM"))
    return not environment.get("TERM", "").startswith(("linux", "dumb", "vt", "ansi"))


_COERCED = ("C.UTF-8", "C.utf8", "UTF-8")
"""What Python sets LC_CTYPE to."""


def take_any_bytes() -> None:
    """Let a key that comes as no UTF-8 be the character that it is in ISO 8859-1, which is what old terminals send.

    Textual's driver decodes strictly: one such byte, from an `ñ` or a bad line, would end the program.
    """
    if sys.platform == "win32":
        return
    from textual.drivers import linux_driver

    codecs.register_error(_BY_BYTE, _as_latin)
    decoder = partial(codecs.getincrementaldecoder("utf-8"), errors=_BY_BYTE)
    linux_driver.getincrementaldecoder = lambda _: decoder  # type: ignore[attr-defined]


_BY_BYTE = "rodcall.by_byte"


def _as_latin(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return error.object[error.start : error.end].decode("latin-1"), error.end


class Plain(LineFilter):
    """Exchanges characters that are not ASCII; a line stays as wide as it was."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same segments in ASCII.

        What gets longer, as a fraction does, takes its room from gaps behind it, then from the line's end.
        """
        if all(segment.text.isascii() for segment in segments):
            return segments
        plain, before, over = [], "", 0
        for text, style, control in segments:
            new = in_ascii(text, before)
            start = 0 if over else _first_exchanged(text)
            new, over = _closed_up(new, over + len(new) - cell_len(text), start)
            before = text[-1:] or before
            plain.append(Segment(new, style, control))
        return _cut(plain, over)


def in_ascii(text: str, before: str = "") -> str:
    """A text in ASCII; each character takes as many columns as it did, but for those that stand for several.

    Args:
        text: Any text.
        before: The character in front of it: after a figure a fraction wants a gap, or 4½ would become 41/2.
    """
    if text.isascii():
        return text
    return "".join(_one(char, front) for char, front in zip(text, [before, *text], strict=False))


def _one(char: str, front: str) -> str:
    if char.isascii():
        return char
    plain = _plain(char)
    return f" {plain}" if "/" in plain and plain[:1].isdigit() and front.isdigit() else plain


@lru_cache(maxsize=1024)
def _plain(char: str) -> str:
    if char in _BY_HAND:
        return _BY_HAND[char]
    parts = normalize("NFKD", char)
    bare = "".join(_BY_HAND.get(part, part) for part in parts if not combining(part))
    return bare.ljust(cell_len(char)) if bare.isascii() and bare.isprintable() else UNKNOWN * cell_len(char)


def _first_exchanged(text: str) -> int:
    return next((at for at, char in enumerate(text) if not char.isascii()), len(text))


def _closed_up(text: str, over: int, start: int) -> tuple[str, int]:
    """The text with its gaps from `start` on made narrower by what is too much, and what is still too much."""
    while over > 0 and (at := text.find("  ", start)) >= 0:
        text, over = text[:at] + text[at + 1 :], over - 1
    return text, over


def _cut(segments: list[Segment], over: int) -> list[Segment]:
    """The segments without so many characters at their end."""
    while over > 0 and segments:
        text, style, control = segments.pop()
        if len(text) > over:
            segments.append(Segment(text[:-over], style, control))
        over -= len(text)
    return segments
