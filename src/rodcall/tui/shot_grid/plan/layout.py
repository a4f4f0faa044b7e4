"""Where the cells of the plan lie: how large they are, how many are in view, and what the view follows."""

from __future__ import annotations

from rodcall.book.model.grid import Grid
from rodcall.frozen import Frozen

NARROW = 10
"""Characters of a cell at least: any reading and what is to be done there, in Spanish too, as on a stake."""
WIDE, TALL = 56, 12
"""Characters and lines of a cell at most: numbers farther apart cannot be compared."""
DISTORTED = 3.0
"""A cell may be so many times wider or taller than the ground between its spots is, to fill the room."""
ROOMY = 20
"""Characters that a cell may have whatever the pad's proportions: it can be read at arm's length."""


class Layout(Frozen):
    """What of the pad is seen, in cells and characters."""

    label: int
    """Characters of a line's number and its gap."""
    width: int
    height: int
    """Characters and lines of one cell."""
    rows: int
    columns: int
    """Cells that fit."""


def takes_all(grid: Grid, width: int, beside: int) -> bool:
    """Is all of the pad's width seen only where nothing stands beside it?

    Args:
        grid: Of the pad.
        width: Columns of the screen.
        beside: Columns of what stands beside the plan.
    """
    wanted = len(str(grid.along)) + 1 + grid.across * NARROW
    return width - beside < wanted <= width


def cell_size(grid: Grid, across: int, room: int) -> tuple[int, int]:
    """Characters and lines of a cell: as large as the room allows, and not too far from the pad's own proportions."""
    # A column is kept free where it costs no spot, so that what stands beside the plan does not touch it.
    width = max(min((across - 1) // grid.across, WIDE), NARROW)
    height = max(min(room // grid.along, TALL), 1)
    # A character is about twice as tall as it is wide.
    even = 2.0 * float(grid.across_nm[-1]) / (grid.across - 1) / (float(grid.along_nm[-1]) / (grid.along - 1))
    if width > DISTORTED * even * height:
        width = max(round(DISTORTED * even * height), min(width, ROOMY), NARROW)
    if height * even > DISTORTED * width:
        height = max(round(DISTORTED * width / even), min(height, 3), 1)
    return width, height


def leafed(first: int, at: int, seen: int, of: int) -> int:
    """The first column to show so that `at` is seen: by the page, since a walk goes from column to column.

    One column at a time, all of the plan would move at every reading.
    """
    spare = 1 if seen > 2 else 0
    if first + min(spare, at) <= at < first + seen - min(spare, of - 1 - at):
        return min(max(first, 0), max(of - seen, 0))
    ahead = at - spare if at >= first + seen - spare else at + spare - seen + 1
    return min(max(ahead, 0), max(of - seen, 0))


def scrolled(first: int, at: int, seen: int, of: int) -> int:
    """The first cell to show so that `at` is seen, with one to spare where there is one."""
    spare = 1 if seen > 2 else 0
    first = min(first, max(at - spare, 0))
    first = max(first, at + spare - seen + 1)
    return min(max(first, 0), max(of - seen, 0))
