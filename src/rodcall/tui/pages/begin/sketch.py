"""The pad as it is taped off, drawn while the form is filled in: its sides in proportion, a cross a shot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rodcall.i18n import say
from rodcall.units import FOOT

if TYPE_CHECKING:
    from rodcall.book.model.grid import Grid

LEAST_WIDTH, LEAST_HEIGHT = 12, 5
"""Columns and lines below which there is no room for a sketch."""
CELL = 2
"""A character is about twice as tall as it is wide."""
WIDER = 1.25
"""So many times wider than in proportion a sketch may be, for each shot to have its cross."""


def sketch(grid: Grid, width: int, height: int, sides: tuple[str, str] = ("", "")) -> list[str]:
    """The pad in its proportions: far end at the top, A at the near left.

    Args:
        grid: Of its shots.
        width: Columns.
        height: Lines.
        sides: How long it is away and across, written beside the sketch where there is room.
    """
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        return []
    away, right = sides
    beside = len(away) + 1 if away and width >= LEAST_WIDTH + len(away) + 8 else 0
    named, below = height >= 9, int(bool(right) and height >= 8)
    tall, wide = _room(grid, width - 2 - beside, height - 2 - named - below)
    rows = [[" "] * wide for _ in range(tall)]
    near, left = int(grid.along_nm[0]) + grid.inset, int(grid.across_nm[0]) + grid.inset
    down = [round((1 - (int(along) + near) / grid.length) * (tall - 1)) for along in grid.along_nm]
    over = [round((int(across) + left) / grid.width * (wide - 1)) for across in grid.across_nm]
    # Where two shots would share a cross there is none: too few of them would be another pad.
    if len(set(down)) == grid.along and len(set(over)) == grid.across:
        for row in down:
            for column in over:
                rows[row][column] = "+"
    rows[-1][0] = "A"
    edge = f"+{'-' * wide}+"
    body = [edge, *(f"|{''.join(row)}|" for row in rows), edge]
    if beside:
        body = [f"{line} {away if at == len(body) // 2 else '':<{len(away)}}" for at, line in enumerate(body)]
    whole = max(len(body[0]), len(right) if below else 0)
    head = [f"{say('far end'):^{wide + 2}}"[:whole]] if named else []
    foot = [f"{right:^{wide + 2}}"] if below else []
    return [f"{line:<{whole}}" for line in (*head, *body, *foot)]


def example() -> Grid:
    """The pad that the form's hint types."""
    from rodcall.book.model.grid import Grid

    return Grid(60 * FOOT, 30 * FOOT, 4, 5, 0)


def _room(grid: Grid, width: int, height: int) -> tuple[int, int]:
    """Lines and columns of the pad itself: as large as it can be drawn in proportion."""
    wide = min(round(CELL * height * grid.width / grid.length), width)
    tall = min(round(wide * grid.length / grid.width / CELL), height)
    if wide < grid.across <= min(WIDER * wide, width):
        wide = grid.across
    return max(tall, 2), max(wide, 2)
