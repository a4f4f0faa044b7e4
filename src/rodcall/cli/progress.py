"""What a wait beyond a second shows: one line on stderr, only at a terminal, gone when the wait is over."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterable, Iterator
from types import TracebackType
from typing import TextIO, TypeVar

T = TypeVar("T")

PATIENCE_S = 1.0
"""Seconds before anything is shown."""
TICK_S = 0.5
"""Seconds between two looks at how far the work is."""


class Waiting:
    """Shows what is being worked on once it takes longer than a second.

    Args:
        label: What is worked on, in the language spoken.
        shown: False where the wait is for a person, as for lines typed by hand.
        to: Where it is shown, if that is a terminal; stderr when None.
    """

    def __init__(self, label: str, *, shown: bool = True, to: TextIO | None = None) -> None:
        self._to = to or sys.stderr
        self._label = label
        self._far = ""
        self._over = threading.Event()
        self._painted = ""
        self._thread: threading.Thread | None = None
        if shown and self._to is not None and self._to.isatty():
            self._thread = threading.Thread(target=self._run, name="progress", daemon=True)

    def __enter__(self) -> Waiting:
        if self._thread is not None:
            self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._over.set()
        if self._thread is not None:
            self._thread.join()

    def share(self, done: float) -> None:
        """Tell how much is done, from 0 to 1."""
        self._far = f"{int(100 * done)}%"

    def count(self, done: int, total: int | None = None) -> None:
        """Tell how many are done, of how many where that is known."""
        self._far = f"{done}" if total is None else f"{done}/{total}"

    def counted(self, things: Iterable[T]) -> Iterator[T]:
        """The things as they come, each counted."""
        for number, thing in enumerate(things, 1):
            self.count(number)
            yield thing

    def _run(self) -> None:
        if self._over.wait(PATIENCE_S):
            return
        while True:
            self._paint(f"{self._label} {self._far}".rstrip())
            if self._over.wait(TICK_S):
                break
        self._paint("")
        self._write("\r")

    def _paint(self, text: str) -> None:
        text = text[:78]
        if text != self._painted:
            self._write(f"\r{text:<{len(self._painted)}}")
            self._painted = text

    def _write(self, text: str) -> None:
        # A terminal that has gone, or that lacks a character, must not end the work.
        try:
            self._to.write(text)
            self._to.flush()
        except (OSError, ValueError):
            return
