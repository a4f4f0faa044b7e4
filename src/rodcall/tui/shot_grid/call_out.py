"""The call-out in letters that are read from metres away: where next, what was read back, the reading to hit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rich.text import Text

from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.tui.widgets.block_digits import block_letters, columns_of, rows_of
from rodcall.tui.widgets.lines import fitted
from rodcall.tui.widgets.styles import ACCENT, BAR, FAINT, STRONG
from rodcall.wording.call_out import CallOut

GAP = 3
"""Columns between the position and the tape distances."""


# -- how large ----------------------------------------------------------------------------------------------


class Sizes(Frozen):
    """Height of the letters of each part, as `block_letters` has it; 0 is the console's own."""

    position: int = 0
    tapes: int = 0
    read_back: int = 0
    wanted: int = 0


_SHARES = Sizes(position=3, tapes=1, read_back=2, wanted=2)
"""How large the parts are to each other where there is room: what is shouted most is read from furthest."""


def sizes_for(told: CallOut, width: int, height: int) -> Sizes:
    """The largest letters that fit, in shares as far as the widths allow."""
    sizes = Sizes()
    while larger := next((each for each in _larger(sizes) if fits(told, each, width, height)), None):
        sizes = larger
    return sizes


def _larger(sizes: Sizes) -> Iterator[Sizes]:
    """One part a size larger, the one first that is furthest behind its share."""
    behind = sorted(vars(sizes), key=lambda part: getattr(sizes, part) / getattr(_SHARES, part))
    return (replace(sizes, **{part: getattr(sizes, part) + 1}) for part in behind)


def fits(told: CallOut, sizes: Sizes, width: int, height: int) -> bool:
    """Is there room for letters of these sizes, each as narrow as it may be?"""
    return (
        _height(told, sizes) <= height
        and bool(told.tapes or not sizes.tapes)
        and _least(told.position, sizes.position) + _beside(told, sizes.tapes) <= width
        and _least(_shouted(told, width), sizes.read_back) <= width
        and bool(told.wanted or not sizes.wanted)
        and _least(told.wanted, sizes.wanted) <= width
    )


def _shouted(told: CallOut, width: int) -> str:
    """What of the read-back has to fit: as much of it as there is room for in letters of any size at all."""
    return next((said for said in told.read_back if _least(said, 2) <= width), told.read_back[-1])


def _height(told: CallOut, sizes: Sizes) -> int:
    """Rows that all parts and their captions take."""
    beside = 2 * _rows(sizes.tapes) + 1 if told.tapes else 0
    hit = 1 + _rows(sizes.wanted) if told.wanted else 0
    return 3 + max(_rows(sizes.position), beside) + _rows(sizes.read_back) + hit


def _beside(told: CallOut, tall: int) -> int:
    return max((GAP + _least(tape, tall) for tape in told.tapes), default=0)


def _rows(tall: int) -> int:
    return rows_of(tall) if tall else 1


def _least(text: str, tall: int) -> int:
    """Columns that a text needs."""
    return columns_of(text, _pressed(tall)) if tall else len(text)


def _pressed(tall: int) -> int:
    """Letters are pressed together to half their width at most."""
    return (tall + 1) // 2


# -- drawn --------------------------------------------------------------------------------------------------


def call_out_lines(told: CallOut, width: int, height: int) -> list[Text]:
    """The page, line by line.

    Args:
        told: What is told.
        width: Columns.
        height: Rows, the entry line's apart.
    """
    if told.alarm:
        return _alarm_lines(told.alarm, width, height)
    width -= 1
    sizes = sizes_for(told, width, height)
    position = _large(told.position, sizes.position, width - _beside(told, sizes.tapes))
    beside = len(position[0]) + GAP
    longest = max(told.tapes, key=columns_of, default="")
    wide = _width_of_pixels(longest, sizes.tapes, width - beside)
    tapes = [row for tape in told.tapes for row in [*_large(tape, sizes.tapes, columns_of(tape, wide)), ""]]
    rows = max(len(position), len(tapes) - 1)
    corners = (say("from the near left corner: ^ out, > right"), say("^ out, > right")) if told.tapes else ("",)
    corner = next((each for each in corners if len(each) + beside <= width), "")
    wanted = say("rod reading to hit") if told.on_the_rod else say("target height")
    if not told.tapes:
        wanted = say("verdict")
    apart = [Text("")] * max((height - _height(told, sizes)) // 3, 0)
    # In fewer words where the letters would have to be smaller for more.
    said = next((each for each in told.read_back if _least(each, sizes.read_back) <= width), told.read_back[-1])
    hit = [
        *apart,
        Text(f" {wanted}", FAINT),
        *(Text(f" {row}", STRONG) for row in _large(told.wanted, sizes.wanted, width)),
    ]
    return [
        Text(fitted(f" {say('next'):<{beside}}{corner}", width + 1).rstrip(), FAINT),
        *(Text(f" {_at(position, row):<{beside}}{_at(tapes, row)}".rstrip(), STRONG) for row in range(rows)),
        *apart,
        Text(
            fitted(f" {say('read back')}{'' if said == told.read_back[0] else f'   {told.read_back[0]}'}", width), FAINT
        ),
        *(Text(f" {row}", STRONG) for row in _large(said, sizes.read_back, width)),
        *(hit if told.wanted else ()),
        Text(fitted(f" {told.state}", width + 1).rstrip(), ACCENT),
    ]


def _alarm_lines(alarm: tuple[str, ...], width: int, height: int) -> list[Text]:
    """An alarm over the whole page, as large as there is room for, in reverse."""
    room = width - 4
    tall = next(
        (
            each
            for each in range(height, 0, -1)
            if len(alarm) * (rows_of(each) + 1) <= height
            and all(columns_of(told, _pressed(each)) <= room for told in alarm)
        ),
        0,
    )
    rows = [row for told in alarm for row in (*_large(told, tall, room), "")][:-1]
    above = max((height - len(rows)) // 2, 0)
    lines = [*[""] * above, *rows, *[""] * max(height - len(rows) - above, 0)][:height]
    return [Text(f"  {line:<{width - 2}}"[:width], BAR) for line in lines]


def _large(text: str, tall: int, width: int) -> list[str]:
    """A text in letters of this height, as wide as there is room for."""
    return list(block_letters(text, tall, _width_of_pixels(text, tall, width))) if tall else [text]


def _width_of_pixels(text: str, tall: int, width: int) -> int:
    """Columns that each pixel of a letter takes: as many as its half rows, or what there is room for."""
    fits = (wide for wide in range(tall, _pressed(tall), -1) if columns_of(text, wide) <= width)
    return next(fits, _pressed(tall))


def _at(rows: list[str], row: int) -> str:
    return rows[row] if row < len(rows) else ""
