"""A table of thousands of rows, laid out page by page: its columns are text, and no cell is an element of its own.

The typesetter takes 25 kB of memory for each cell of a table: of 10,000 positions 1.2 GB, and a file of 16 MB.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from rodcall.i18n import say
from rodcall.sheets.content.blocks import BLANK, Table

MOST_ROWS = 1500
"""Rows up to which the typesetter lays a table out itself."""
PITCH = 9.4
"""From row to row, points; a page begins with its title or its columns' heads."""
_ABOVE = 40.0
"""What title and note take of the first page."""


def long_table(table: Table, strips: int, widths: Sequence[float], height: float) -> dict[str, Any]:
    """The table as the templates get it.

    Args:
        table: Its rows.
        strips: How many rows stand side by side.
        widths: Points that the widest cell of each column takes: no cell may be broken, or its column is out of step.
        height: Points between the margins, from top to bottom.
    """
    lines = int((height - _ABOVE) / PITCH) - 1
    return {
        "kind": "long table",
        "title": table.title,
        "head": table.head,
        "words": sorted(table.words_in),
        "widths": [*map(float, widths)] * strips,
        "pages": list(_pages(table, strips, lines)),
        "pitch": PITCH,
        "how": say("Each column is read from top to bottom; the web page and the CSV file have these rows as a table."),
        "note": table.note,
    }


def _pages(table: Table, strips: int, lines: int) -> Iterator[dict[str, Any]]:
    """Of each page how many lines it has, and its columns from left to right."""
    for first in range(0, len(table.rows), lines * strips):
        rows = range(first, min(first + lines * strips, len(table.rows)))
        used = -(-len(rows) // strips)
        parts = [rows[strip * used : (strip + 1) * used] for strip in range(strips)]
        columns = [list(_runs(table, part, column)) for part in parts for column in range(len(table.head))]
        yield {"lines": used, "columns": columns}


def _runs(table: Table, rows: range, column: int) -> Iterator[tuple[list[str], bool]]:
    """The lines of a column, those together that stand out alike."""
    for strong, run in groupby(rows, lambda row: row in table.strong):
        yield ["" if (cell := table.rows[row][column]) == BLANK else cell for row in run], strong
