"""Large letters of any size for the read-back, in half blocks, which every console font has."""

from __future__ import annotations

from functools import lru_cache
from unicodedata import combining, normalize

# fmt: off
_PIXELS = {
    "0": "### #.# #.# #.# ###", "1": ".#. ##. .#. .#. ###", "2": "### ..# ### #.. ###", "3": "### ..# ### ..# ###",
    "4": "#.# #.# ### ..# ..#", "5": "### #.. ### ..# ###", "6": "### #.. ### #.# ###", "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###", "9": "### #.# ### ..# ###", "A": ".#. #.# ### #.# #.#", "B": "##. #.# ##. #.# ##.",
    "C": ".## #.. #.. #.. .##", "D": "##. #.# #.# #.# ##.", "E": "### #.. ##. #.. ###", "F": "### #.. ##. #.. #..",
    "G": ".### #... #.## #..# .###", "H": "#.# #.# ### #.# #.#", "I": "### .#. .#. .#. ###", "J": "..# ..# ..# #.# .#.",
    "K": "#..# #.#. ##.. #.#. #..#", "L": "#.. #.. #.. #.. ###", "M": "#...# ##.## #.#.# #...# #...#",
    "N": "#..# ##.# #.## #..# #..#", "O": ".##. #..# #..# #..# .##.", "P": "##. #.# ##. #.. #..",
    "Q": ".##. #..# #..# #.#. .#.#", "R": "##. #.# ##. #.# #.#", "S": ".## #.. .#. ..# ##.", "T": "### .#. .#. .#. .#.",
    "U": "#.# #.# #.# #.# ###", "V": "#.# #.# #.# #.# .#.", "W": "#...# #...# #.#.# ##.## #...#",
    "X": "#.# #.# .#. #.# #.#", "Y": "#.# #.# .#. .#. .#.", "Z": "### ..# .#. #.. ###", " ": ".. .. .. .. ..",
    "-": "... ... ### ... ...", "+": "... .#. ### .#. ...", "/": "..# ..# .#. #.. #..",
    ".": ". . . . #", ",": ". . . # #", ":": ". # . # .", "?": "##. ..# .#. ... .#.",
    "'": "# # . . .", '"': "#.# #.# ... ... ...", "!": "# # # . #",
    "^": "..#.. .###. #.#.# ..#.. ..#..", ">": "..#.. ...#. ##### ...#. ..#..",
}
# fmt: on
ROWS = 3


@lru_cache(maxsize=64)
def block_letters(text: str, tall: int = 1, wide: int = 1) -> tuple[str, ...]:
    """The text in large letters, as rows of equal width; what has no letter becomes a gap.

    Args:
        text: What is said; accents are left away, there is no room for them. `^` and `>` are arrows.
        tall: Half rows that each of the five pixels of a letter takes, from 1.
        wide: Columns that each pixel takes; letters look as they do on paper where it is as much as `tall`.

    Returns:
        `rows_of(tall)` rows of `columns_of(text, wide)` characters: blank, block, upper half, lower half.
    """
    letters = [_drawn(letter, tall, wide) for letter in _letters(text)]
    return tuple(map("".join, zip(*letters, strict=True))) if letters else ("",) * rows_of(tall)


@lru_cache(maxsize=256)
def _drawn(letter: str, tall: int, wide: int) -> tuple[str, ...]:
    """One letter and the gap behind it; arguments as for `block_letters`."""
    halves = [f"{bits}." for bits in _pixels(letter) for _ in range(tall)]
    if len(halves) % 2:
        halves.append("." * len(halves[0]))
    return tuple(
        "".join(_HALVES[upper + lower] * wide for upper, lower in zip(above, below, strict=True))
        for above, below in zip(halves[::2], halves[1::2], strict=True)
    )


def as_large(text: str, width: int, height: int) -> tuple[str, ...]:
    """The text as large as it can be in a room of this size; nothing where it has no room in the smallest letters."""
    sizes = (size for size in (6, 5, 4, 3, 2, 1) if rows_of(size) <= height and columns_of(text, size) <= width)
    size = next(sizes, 0)
    return block_letters(text, size, size) if size else ()


def rows_of(tall: int) -> int:
    """Rows that letters of this height take."""
    return (5 * tall + 1) // 2


def columns_of(text: str, wide: int = 1) -> int:
    """Columns that a text takes in letters of this width, the gap behind the last one included."""
    return wide * _pixels_of(text)


@lru_cache(maxsize=256)
def _pixels_of(text: str) -> int:
    return sum(len(_pixels(letter)[0]) + 1 for letter in _letters(text))


def _letters(text: str) -> str:
    return "".join(letter for letter in normalize("NFD", text.upper()) if not combining(letter))


@lru_cache(maxsize=256)
def _pixels(letter: str) -> list[str]:
    return _PIXELS.get(letter, _PIXELS[" "]).split()


_HALVES = {"##": "█", "#.": "▀", ".#": "▄", "..": " "}
