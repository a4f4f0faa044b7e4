"""The whole pad at once, in shades: each stands for one position, or for the worst of several. No widget."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from rich.segment import Segment
from rich.style import Style

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT
from rodcall.book.model.grid import Grid
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.palette import standing
from rodcall.tui.bindings.legend import SHADES
from rodcall.tui.shot_grid.plan.layout import DISTORTED
from rodcall.tui.terminal.colours import fill_style
from rodcall.tui.widgets.pad_map import deviation_levels
from rodcall.tui.widgets.styles import ACCENT, BARE, FAINT, PLAIN

LEFT = 2
"""Columns of the margin."""
OTHER_ROWS = 2
"""Lines beside the shades: far end, and what the characters mean."""
WIDE, TALL = 12, 5
"""Characters and lines of a shade at most."""


@dataclass(frozen=True)
class Shades:
    """How the whole pad is seen."""

    per_row: int
    per_column: int
    """Lines and columns of positions that one shade stands for."""
    rows: int
    """Lines of shades."""
    wide: int
    tall: int
    """Characters and lines of one."""


def shades(grid: Grid, width: int, height: int) -> Shades:
    """How the whole pad is seen in a room of so many columns and lines, near to its own proportions."""
    room, across = max(height - OTHER_ROWS, 1), max(width - LEFT, 2)
    per_row = -(-grid.along // room)
    per_column = -(-grid.across // max(across // 2, 1))
    rows, columns = -(-grid.along // per_row), -(-grid.across // per_column)
    tall, wide = min(max(room // rows, 1), TALL), min(max(across // columns, 2), WIDE)
    # A character is about twice as tall as it is wide.
    even = 2.0 * (float(grid.across_nm[-1]) / columns) / (float(grid.along_nm[-1]) / rows)
    wide = min(wide, max(round(DISTORTED * even * tall), 2))
    tall = min(tall, max(round(DISTORTED * wide / even), 1))
    return Shades(per_row, per_column, rows, wide, tall)


class Overview(Frozen):
    """A summary's pad, as it is seen in a room of so many columns and lines."""

    summary: Summary
    cursor: int
    width: int
    height: int

    @cached_property
    def shades(self) -> Shades:
        """How it is made up."""
        return shades(self.summary.grid, self.width, self.height)

    @cached_property
    def _levels(self) -> list[int]:
        found: list[int] = deviation_levels(self.summary).tolist()
        return found

    def position_at(self, x: int, y: int) -> int | None:
        """The position whose shade is there."""
        grid, shades = self.summary.grid, self.shades
        row = (shades.rows - 1 - (y - 1) // shades.tall) * shades.per_row
        column = (x - LEFT) // shades.wide * shades.per_column
        return row * grid.across + column if 0 <= row < grid.along and 0 <= column < grid.across and y >= 1 else None

    def line(self, y: int) -> list[Segment]:
        """One line of it."""
        shades, across = self.shades, self.summary.grid.across
        if y == 0:
            each = ""
            if shades.per_row > 1 or shades.per_column > 1:
                side, away = shades.per_column, shades.per_row
                each = f"   {say('each shade: the worst of {across} x {along}', across=side, along=away)}"
            return [Segment(f"{'':{LEFT}}{say('far end')}{each}", FAINT)]
        from_far, line = divmod(y - 1, shades.tall)
        if from_far >= shades.rows:
            return [Segment(f"{'':{LEFT}}{say(SHADES)}", FAINT)] if y == shades.rows * shades.tall + 1 else []
        row = (shades.rows - 1 - from_far) * shades.per_row
        segments = [Segment(" " * LEFT, PLAIN)]
        for column in range(0, across, shades.per_column):
            segments += self._shade(row, column, told=line == (shades.tall - 1) // 2)
        return segments

    def _shade(self, row: int, column: int, *, told: bool) -> list[Segment]:
        """One line of a shade; its character is in the middle line, `told`."""
        shades = self.shades
        index, glyph, style = self._worst(row, column)
        middle = (shades.wide - 1) // 2
        here = index == self.cursor or self.cursor in self._block(row, column)
        if not told:
            return [Segment(" " * shades.wide, style)]
        before, after = " " * middle, " " * (shades.wide - middle - 2)
        if not here:
            return [Segment(f"{before} {glyph}{after}", style)]
        return [Segment(before, style), Segment(f"[{glyph}", ACCENT), Segment(after, style)]

    def _block(self, row: int, column: int) -> list[int]:
        """The positions that a shade stands for."""
        grid, shades = self.summary.grid, self.shades
        return [
            r * grid.across + c
            for r in range(row, min(row + shades.per_row, grid.along))
            for c in range(column, min(column + shades.per_column, grid.across))
        ]

    def _worst(self, row: int, column: int) -> tuple[int, str, Style]:
        """The position that a shade tells of, its character and its colours."""
        summary, block = self.summary, self._block(row, column)
        shot = [index for index in block if summary.state[index] == SHOT]
        if not shot:
            states = {int(summary.state[index]) for index in block}
            if LEFT_OUT in states:
                return block[0], "x", FAINT
            return (block[0], "/", FAINT) if states == {NOT_PAD} else (block[0], ".", BARE)
        worst = max(shot, key=lambda index: (summary.out_mask[index], abs(summary.deviation_at(index) or 0)))
        side, depth, outside = standing(summary, worst)
        glyph = "o" if depth == 0 else ("#" if outside else "+") if side > 0 else ("=" if outside else "-")
        return worst, glyph, fill_style(self._levels[worst], outside)
