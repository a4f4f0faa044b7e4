"""Which readings stand in doubt: those that were asked about, and those that are found when a job is opened."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from time import perf_counter
from typing import TYPE_CHECKING

from rodcall.figures.summary import Summary
from rodcall.language import counted

if TYPE_CHECKING:
    from rodcall.figures.busts import Bust
    from rodcall.screens.shots import ShotScreen

KEPT, OPEN = "k", "~"
"""Marks on the plan: asked about and kept; not answered yet."""
IDLE = 1.0
"""Seconds without a key after which readings from before the job was opened are judged ..."""
BETWEEN = 0.01
"""... and between one look at a few of them and the next."""
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

    def __init__(self, screen: ShotScreen) -> None:
        self._screen = screen
        self._steps: Iterator[tuple[Bust, ...] | None] | None = None

    def begin(self) -> None:
        """The first screen stands: load what judges, so that no key waits for that, and look once nobody keys."""
        from rodcall.figures.busts import FEWEST_SHOTS, get_ready

        import_module("rodcall.screens.doubting")
        get_ready()
        if self._screen.book.page.round.shots > FEWEST_SHOTS:
            self._screen.set_timer(IDLE, self._look)

    def _look(self) -> None:
        screen = self._screen
        if screen.idle_s < IDLE:
            screen.set_timer(IDLE, self._look)
            return
        self._steps = self._steps or screen.summary.search_busts()
        until = perf_counter() + AT_ONCE
        for found in self._steps:
            if found is not None:
                self._tell([bust.index for bust in found if not screen.summary.kept[bust.index]])
            elif perf_counter() > until:
                screen.set_timer(BETWEEN, self._look)
                return

    def _tell(self, found: list[int]) -> None:
        screen = self._screen
        for index in found:
            screen.doubt(index)
        if found and not (screen.line.message or screen.line.question or screen.line.text):
            screen.line.message = counted(
                len(found),
                "{number} reading does not fit those around it: ~ marks it",
                "{number} readings do not fit those around them: ~ marks them",
            )
            screen.repaint()
