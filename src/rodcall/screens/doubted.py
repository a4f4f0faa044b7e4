"""Which readings stand in doubt: those that were asked about, and those that are found when a job is opened."""

from __future__ import annotations

from collections.abc import Iterator
from time import perf_counter
from typing import TYPE_CHECKING

from rodcall.figures.summary import Summary

if TYPE_CHECKING:
    from rodcall.figures.busts import Bust

KEPT, OPEN = "k", "~"
"""Marks on the plan: asked about and kept; not answered yet."""
AT_ONCE = 0.004
"""Seconds for which readings are judged before a key has its turn."""


class Doubted:
    """Readings in doubt, known by where in the book they were written: one that was put right is not among them."""

    def __init__(self) -> None:
        self._orders: dict[int, int] = {}

    def add(self, summary: Summary, index: int) -> None:
        """The reading that counts at a position is in doubt."""
        self._orders[index] = int(summary.evidence.order[index])

    def mark(self, summary: Summary, index: int) -> str:
        """The mark of a position that is shot; empty where nothing speaks against it."""
        if summary.kept[index]:
            return KEPT
        return OPEN if self._orders.get(index) == summary.evidence.order[index] else ""


class Search:
    """Looks through all readings of a job that was opened, a few at a time, while nobody keys."""

    def __init__(self, summary: Summary) -> None:
        self._summary = summary
        self._steps: Iterator[tuple[Bust, ...] | None] = summary.search_busts()

    def go_on(self, doubted: Doubted) -> list[int] | None:
        """Judge some readings; once all are, add what was found and return where it is, else None."""
        until = perf_counter() + AT_ONCE
        for found in self._steps:
            if found is not None:
                unanswered = [bust.index for bust in found if not self._summary.kept[bust.index]]
                for index in unanswered:
                    doubted.add(self._summary, index)
                return unanswered
            if perf_counter() > until:
                return None
        return []
