"""Cut, fill and spare over the target's height, drawn in letters that every console has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Curves:
    """Volumes over the height of the target, at as many heights as the chart has columns."""

    offsets: Sequence[int]
    """Nanometres, rising."""
    cut: Sequence[float]
    fill: Sequence[float]
    spare: Sequence[float]


LABEL = 9
"""Characters left of the chart."""


def draw(curves: Curves, marks: Mapping[str, int], rows: int) -> list[str]:
    """The chart as lines of text: C cut, F fill, S spare, and a line of marks below.

    Args:
        curves: What to draw.
        marks: Heights by the letter that stands for them; the last is the one that moves.
        rows: Lines for the curves; the marks take one or two more.
    """
    top, bottom = max(*curves.cut, *curves.fill, 1e-9), min(*curves.spare, 0.0)
    step = (top - bottom) / max(rows - 1, 1)

    def row(value: float) -> int:
        return min(max(round((top - value) / step), 0), rows - 1)

    lines = [[" "] * len(curves.offsets) for _ in range(rows)]
    lines[row(0.0)] = ["-"] * len(curves.offsets)
    columns = {letter: _column(curves.offsets, at) for letter, at in marks.items()}
    moving = list(columns.values())[-1]
    for line in lines:
        line[moving] = "|" if line[moving] == " " else "+"
    for letter, values in (("C", curves.cut), ("F", curves.fill), ("S", curves.spare)):
        for column, value in enumerate(values):
            lines[row(value)][column] = letter
    labels = {0: f"{top:.1f}", rows - 1: f"{bottom:.1f}", row(0.0): "0"}
    drawn = [f"{labels.get(at, ''):>{LABEL - 1}} {''.join(line)}" for at, line in enumerate(lines)]
    return drawn + [" " * LABEL + line for line in _mark_lines(columns, len(curves.offsets))]


def _column(offsets: Sequence[int], at: int) -> int:
    return min(range(len(offsets)), key=lambda column: abs(offsets[column] - at))


def _mark_lines(columns: Mapping[str, int], width: int) -> list[str]:
    """Letters under their columns; those that would stand on each other go to a second line."""
    lines = [[" "] * width, [" "] * width]
    for letter, column in reversed(list(columns.items())):
        line = lines[0] if lines[0][column] == " " else lines[1]
        if line[column] == " ":
            line[column] = letter
        elif column + 1 < width:
            line[column + 1] = letter
    return ["".join(line).rstrip() for line in lines]
