"""The yardstick: Textual's DataTable, fed readings as rodcall is, with no other work.

    python tests/benchmarks/datatable_yardstick.py ALONG ACROSS

Digits and Enter are handled in the table's own `on_key`, since Textual's Input loses what is typed ahead.
"""

from __future__ import annotations

import sys

from textual import events
from textual.app import App, ComposeResult
from textual.widgets import DataTable, Static


class Grid(DataTable[str]):
    """Takes a reading at the cursor and moves on, there and back, line by line."""

    text = ""

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        if event.key == "enter":
            self.take(self.text)
            self.text = ""
        elif event.character:
            self.text += event.character
        self.app.query_one("#echo", Static).update(f"> {self.text}")

    def take(self, reading: str) -> None:
        row, column = self.cursor_coordinate
        self.update_cell(str(row), str(column), reading)
        step = -1 if row % 2 else 1
        if 0 <= column + step < len(self.columns):
            column += step
        else:
            row += 1
        self.move_cursor(row=row, column=column)


class Yardstick(App[None]):
    """Echo of what is typed at the top, the table below."""

    def __init__(self, along: int, across: int) -> None:
        super().__init__()
        self.along, self.across = along, across

    def compose(self) -> ComposeResult:
        yield Static("> ", id="echo", markup=False)
        yield Grid()

    def on_mount(self) -> None:
        grid = self.query_one(Grid)
        for column in range(self.across):
            grid.add_column(str(column + 1), key=str(column), width=8)
        for row in range(self.along):
            grid.add_row(*["+0"] * self.across, key=str(row), label=str(row + 1))
        grid.focus()


if __name__ == "__main__":
    Yardstick(int(sys.argv[1]), int(sys.argv[2])).run()
