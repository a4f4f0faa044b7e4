"""Readings and lines that do not fit, as far as they are known: judged as they are written. No widget."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rodcall.book.fold.round_page import SHOT
from rodcall.figures.punch_list import Doubts
from rodcall.figures.summary import Summary
from rodcall.tui.bindings.legend import KEPT, OPEN, SUSPECT, THIRD

if TYPE_CHECKING:
    from rodcall.figures.outliers.judging import Awaited
    from rodcall.figures.outliers.line_mistakes import BadLine
    from rodcall.figures.outliers.outlier import Bust

FEW = 2
"""With so few shots a new one may speak against the one before it; later that is found while nobody keys."""
ENOUGH = 5
"""With so many others a reading is held against those alone that are not in doubt themselves."""


class KnownDoubts:
    """What is known of readings that do not fit. A reading that was replaced, or read again, is no longer among it."""

    def __init__(self) -> None:
        self._busts: dict[int, tuple[int, Bust]] = {}
        self._lines: dict[int, tuple[tuple[int, ...], BadLine]] = {}
        self._awaited: Awaited | None = None
        self.complete_for: Summary | None = None
        """The summary whose doubts are all known."""

    def forget(self) -> None:
        """Positions have other numbers now: all is judged anew."""
        self._busts.clear()
        self._lines.clear()
        self._awaited = self.complete_for = None

    def is_typed(self, summary: Summary, index: int) -> None:
        """A reading is being typed for a position: work out now what its Enter would wait for."""
        self._awaited = summary.awaited(index)

    def shot(self, summary: Summary, index: int, said: str) -> Bust | None:
        """Judge a reading that was just written, and while there are few all others: the first may be the wrong one."""
        bust = self._judged(summary, index, said)
        if summary.counted > FEW:
            return bust
        others = (at for at in np.flatnonzero(summary.counts).tolist() if at != index)
        found = [other for at in others if not summary.read_again[at] and (other := self._judged(summary, at))]
        return bust or next(iter(found), None)

    def _judged(self, summary: Summary, index: int, said: str = "") -> Bust | None:
        self._busts.pop(index, None)
        bust = summary.judged(index, said, awaited=self._awaited)
        if bust is not None:
            # One that is wrong makes sound neighbours look wrong too.
            aside = [other.index for other in self.of(summary).busts if not summary.kept[other.index]]
            if aside and summary.counted - 1 - len(aside) >= ENOUGH:
                bust = summary.judged(index, said, aside)
        if bust is not None:
            self._busts[index] = int(summary.evidence.order[index]), bust
        return bust

    def line(self, summary: Summary, row: int) -> BadLine | None:
        """Judge a line of positions; None where it is not complete, or fits."""
        self._lines.pop(row, None)
        orders = _row_of(summary, row, summary.evidence.order)
        if (_row_of(summary, row, summary.state) != SHOT).any():
            return None
        found = summary.line_mistakes(row)
        if found:
            self._lines[row] = tuple(orders.tolist()), found[0]
        return found[0] if found else None

    def of(self, summary: Summary) -> Doubts:
        """What is known and still true of a page."""
        order = summary.evidence.order
        busts = [
            bust for index, (at, bust) in sorted(self._busts.items()) if order[index] == at and summary.counts[index]
        ]
        lines = [
            bad for row, (at, bad) in sorted(self._lines.items()) if tuple(_row_of(summary, row, order).tolist()) == at
        ]
        return Doubts(busts, lines)

    def complete(self, summary: Summary, doubts: Doubts) -> None:
        """All of a page was judged."""
        order = summary.evidence.order
        self._busts = {bust.index: (int(order[bust.index]), bust) for bust in doubts.busts}
        self._lines = {bad.row: (tuple(_row_of(summary, bad.row, order).tolist()), bad) for bad in doubts.lines}
        self.complete_for = summary

    @property
    def spots(self) -> frozenset[int]:
        """Positions of readings that do not fit."""
        return frozenset(self._busts)

    def mark(self, summary: Summary, index: int) -> str:
        """The mark of a position that is shot; empty where nothing speaks against it."""
        if summary.trust.suspect_mask[index]:
            return SUSPECT
        if summary.evidence.third_due[index] or summary.evidence.tablets_disagree[index]:
            return THIRD
        if summary.kept[index]:
            return KEPT
        at, _ = self._busts.get(index, (-1, None))
        return OPEN if at == summary.evidence.order[index] and not summary.read_again[index] else ""


def _row_of(summary: Summary, row: int, values: np.ndarray[tuple[int, ...], np.dtype[np.generic]]) -> np.ndarray:
    return values[row * summary.grid.across : (row + 1) * summary.grid.across]
