"""The yardstick of an Enter: a grid, a column of numbers, an input line and a footer, and nothing else.

    python -m tests.benchmarks.bare_grid ALONG ACROSS

What any program of this kind must do in Textual: draw the grid line by line, take a reading with Textual's Input, work
average, spread and what is out out anew, and paint the cell, those whose colour changed, and the numbers. It keeps
nothing, judges nothing, and knows no target but the average.
"""

from __future__ import annotations

import sys

import numpy as np
from rich.segment import Segment
from rich.style import Style
from textual.app import App, ComposeResult
from textual.containers import Horizontal
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Footer, Input, Static

WIDTH = 9
OUT_MM = 30
INSIDE, OUT, HERE = (
    Style.parse(style) for style in ("#d0d0d0 on #101214", "reverse #ffffff", "bold #fdb863 on #101214")
)


class Grid(Widget):
    """Draws heights in millimetres, line by line."""

    DEFAULT_CSS = "Grid { width: 1fr; height: 100%; }"

    def __init__(self, along: int, across: int) -> None:
        super().__init__()
        self.heights = np.zeros((along, across))
        self.out = np.zeros((along, across), np.bool_)
        self.here = (0, 0)

    def take(self, reading: float) -> None:
        """Write a height at the cursor, walk on, and repaint what differs."""
        row, column = self.here
        self.heights[self.here] = reading
        out = np.abs(self.heights - self.heights.mean()) > OUT_MM
        flipped = np.argwhere(out != self.out)
        self.out = out
        step = -1 if row % 2 else 1
        columns, rows = min(self.heights.shape[1], self.size.width // WIDTH), min(len(self.heights), self.size.height)
        inside = 0 <= column + step < columns
        self.here = (row, column + step) if inside else ((row + 1) % rows, column)
        cells = {(row, column), self.here, *map(tuple, flipped.tolist())}
        seen = Region(0, 0, *self.size)
        regions = [Region(WIDTH * x, y, WIDTH, 1) for y, x in cells]
        self.refresh(*(region for region in regions if region.overlaps(seen)))

    def render_line(self, y: int) -> Strip:
        if y >= len(self.heights):
            return Strip.blank(self.size.width, INSIDE)
        seen = min(self.heights.shape[1], self.size.width // WIDTH)
        parts = [
            Segment(
                f"{self.heights[y, x]:+{WIDTH - 1}.0f} ",
                HERE if (y, x) == self.here else OUT if self.out[y, x] else INSIDE,
            )
            for x in range(seen)
        ]
        return Strip(parts).adjust_cell_length(self.size.width, INSIDE)


class BareGrid(App[None]):
    """Grid, numbers, input line, footer."""

    CSS = "#middle { height: 1fr; } #numbers { width: 28; } Input { height: 3; }"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS = (("f2", "undo", "undo"), ("f10", "quit", "leave"))

    def __init__(self, along: int, across: int) -> None:
        super().__init__()
        self.grid, self.numbers, self.taken = Grid(along, across), Static(id="numbers", markup=False), 0

    def compose(self) -> ComposeResult:
        with Horizontal(id="middle"):
            yield self.grid
            yield self.numbers
        yield Input()
        yield Footer()

    def on_mount(self) -> None:
        self.query_one(Input).focus()
        self.show_numbers()

    def show_numbers(self) -> None:
        heights = self.grid.heights
        told = {
            "average": f"{heights.mean():+.0f}",
            "spread": f"{heights.std():.1f}",
            "lowest": f"{heights.min():+.0f}",
            "highest": f"{heights.max():+.0f}",
            "outside": f"{np.count_nonzero(self.grid.out)}",
            "shot": f"{self.taken:04d}",
        }
        self.numbers.update("\n".join(f"{name:<12}{value:>12}" for name, value in told.items()), layout=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.input.value = ""
        self.taken += 1
        with self.batch_update():
            self.grid.take(float(event.value))
            self.show_numbers()


if __name__ == "__main__":
    BareGrid(int(sys.argv[1]), int(sys.argv[2])).run()
