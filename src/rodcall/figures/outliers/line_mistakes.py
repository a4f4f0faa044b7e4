"""A whole line that does not fit the lines beside it: shifted by one position, signs flipped, or typed backwards."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from math import log

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.outliers.expectation import in_spacings, log_evidence, nearest
from rodcall.figures.outliers.mistakes import Way
from rodcall.figures.outliers.outlier import FEWEST_SHOTS
from rodcall.figures.target import metres
from rodcall.frozen import Frozen
from rodcall.i18n import phrase

FEWEST_IN_LINE = 3
"""A shorter line says too little about itself."""
_WRONG = log(0.01)
"""Logarithm of the share of lines that suffer each mistake, before anything is known of them."""
ASK_FROM = log(2)
"""A line stands on the punch list from these log odds: on simulated ground 1 line in 250 does without a mistake."""
_AT_ONCE = 12
"""So many positions of a line are weighed together; a longer line in several pieces."""


class LineMistake(StrEnum):
    """What went wrong with a line as a whole."""

    SHIFTED_UP = phrase("each reading belongs one position on")
    SHIFTED_DOWN = phrase("each reading belongs one position back")
    FLIPPED = phrase("all signs flipped")
    MIRRORED = phrase("typed from the wrong end")


class BadLine(Frozen, eq=False):
    """What is wrong with a line, and what it would be without it."""

    row: int
    mistake: LineMistake
    heights: Ints
    """Corrected heights of the line, nanometres."""
    counts: Mask
    """Which of them are known: a shift leaves one end open."""
    score: float
    """Logarithm of the odds for this mistake against none."""


def line_mistakes(
    heights: Ints, counts: Mask, row: int, along_m: Floats, across_m: Floats, way: Way
) -> tuple[BadLine, ...]:
    """The mistakes that would explain a line better than none does, best first.

    Each is weighed by how well the line goes together with those beside it, as written and as corrected.

    Args:
        heights: Nanometres above the zero, (along, across).
        counts: Which of them count.
        row: The line to judge.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
        way: How it was read.
    """
    others = counts.copy()
    others[row] = False
    if np.count_nonzero(counts[row]) < FEWEST_IN_LINE or np.count_nonzero(others) < FEWEST_SHOTS:
        return ()
    found = []
    for mistake, corrected, known, kept in _corrections(heights[row], counts[row], way):
        fits = _log_fit(heights, others, row, corrected, known, along_m, across_m)
        # Both stories are told of the same readings: the one that a shift pushes off the line is in neither.
        score = _WRONG + fits - _log_fit(heights, others, row, heights[row], kept, along_m, across_m)
        if score >= ASK_FROM:
            found.append(BadLine(row, mistake, corrected, known, score))
    return tuple(sorted(found, key=lambda bad: -bad.score))


def _corrections(line: Ints, counts: Mask, way: Way) -> Iterator[tuple[LineMistake, Ints, Mask, Mask]]:
    """Each mistake with the line as it should be, what is known of that, and the readings as written it rests on."""
    for mistake, by in ((LineMistake.SHIFTED_UP, 1), (LineMistake.SHIFTED_DOWN, -1)):
        known = np.roll(counts, by)
        known[0 if by == 1 else -1] = False
        yield mistake, np.where(known, np.roll(line, by), 0), known, np.roll(known, -by)
    if way.signed:
        yield LineMistake.FLIPPED, np.where(counts, 2 * way.level_nm - line, 0), counts, counts
    yield LineMistake.MIRRORED, line[::-1], counts[::-1], counts


def _log_fit(
    heights: Ints, others: Mask, row: int, line: Ints, known: Mask, along_m: Floats, across_m: Floats
) -> float:
    """How well a line goes together with the shots beside it: log evidence up to a constant for as many shots."""
    columns, total = np.flatnonzero(known), 0.0
    spacing = np.sqrt(along_m[-1] / (along_m.size - 1) * across_m[-1] / (across_m.size - 1))
    for start in range(0, columns.size, _AT_ONCE):
        piece = columns[start : start + _AT_ONCE]
        middle = int(piece[piece.size // 2])
        around, offsets = nearest(others, (row, middle), along_m, across_m)
        here = in_spacings(np.column_stack([np.zeros(piece.size), (across_m[piece] - across_m[middle]) / spacing]))
        around_m, line_m = metres(heights.flat[around]), metres(line[piece])
        total += log_evidence(np.append(around_m, line_m), np.vstack([offsets, here]))
        total -= log_evidence(around_m, offsets)
    return total
