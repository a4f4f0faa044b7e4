"""All readings of a round, judged anew a few at a time while nobody keys; then the list is as a shell's."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib import import_module
from time import perf_counter
from typing import TYPE_CHECKING

from rodcall.figures.punch_list import Doubts
from rodcall.figures.summary import Summary
from rodcall.tui.shot_grid.session import ShotSession

if TYPE_CHECKING:
    from rodcall.figures.outliers.line_mistakes import BadLine
    from rodcall.figures.outliers.outlier import Bust

IDLE = 1.0
"""Seconds without a key after which all readings are judged anew ..."""
BETWEEN = 0.01
"""... and between one look at a few of them and the next."""
AT_ONCE = 0.004
"""Seconds for which readings are judged before a key has its turn."""


class Search:
    """Looks through all readings of the round, a few at a time, while nobody keys.

    Args:
        session: The job as it is worked on.
        after: Calls something after so many seconds.
        idle_s: Tells the seconds since the last key.
        found: Called once all of them are judged.
    """

    def __init__(
        self,
        session: ShotSession,
        after: Callable[[float, Callable[[], None]], object],
        idle_s: Callable[[], float],
        found: Callable[[], None],
    ) -> None:
        self._session = session
        self._after = after
        self._idle_s = idle_s
        self._found = found
        self._waits = False
        self._of: Summary | None = None
        self._steps: Iterator[Doubts | None] = iter(())

    def begin(self) -> None:
        """The first screen stands: load what judges, so that no key waits for that, and look once nobody keys."""
        get_ready = import_module("rodcall.figures.outliers.judging").get_ready
        get_ready()
        self.wanted()

    def wanted(self) -> None:
        """Something was written: look once nobody keys."""
        if not self._waits:
            self._waits = True
            self._after(IDLE, self._look)

    def _look(self) -> None:
        self._waits = False
        session = self._session
        summary = session.summary
        if self._idle_s() < IDLE:
            self.wanted()
            return
        if session.known.complete_for is summary:
            return
        if self._of is not summary:
            self._of, self._steps = summary, _judged(summary)
        until = perf_counter() + AT_ONCE
        for doubts in self._steps:
            if doubts is not None:
                session.known.complete(summary, doubts)
                session.doubts_known()
                self._found()
                return
            if perf_counter() > until:
                self._waits = True
                self._after(BETWEEN, self._look)
                return


def _judged(summary: Summary) -> Iterator[Doubts | None]:
    """The same as `Summary.doubts`, in steps of some milliseconds: None after each, and at last all of it."""
    busts: tuple[Bust, ...] = ()
    for found in summary.search_busts():
        if found is not None:
            busts = found
        yield None
    lines: list[BadLine] = []
    for row in summary.complete_lines:
        lines += summary.line_mistakes(row)[:1]
        yield None
    yield Doubts(busts, lines)
