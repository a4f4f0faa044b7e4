"""Keeps the book on the disk behind the keyboard's back: a thread that saves whenever something was written."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass

from rodcall.book.file import JobFile


@dataclass(frozen=True)
class Kept:
    """What is on the disk and what is not yet."""

    saved: int
    """Entries of the book that are durable."""
    written: int
    """Entries of the book."""
    trouble: str = ""
    """Why the disk did not take the last ones, in one line."""

    @property
    def words(self) -> str:
        """As the top line says it."""
        if self.trouble:
            return f"NOT SAVED: {self.trouble}"
        return "saved" if self.saved == self.written else "saving"


class Keeper:
    """Saves a job file after every entry, off the thread that writes them.

    Entries that come while one save runs are taken together by the next. After a failure it tries again at every
    entry and every `retry` seconds.

    Args:
        file: What to keep.
        on_change: Called on the keeper's thread after each attempt.
        retry: Seconds between attempts while the disk refuses.
    """

    def __init__(self, file: JobFile, on_change: Callable[[Kept], None] | None = None, retry: float = 2.0) -> None:
        self._file = file
        self._on_change = on_change
        self._retry = retry
        self._wake = threading.Event()
        self._closing = False
        self._lock = threading.Lock()
        self._saved = len(file.book.entries)
        self._trouble = ""
        self._thread = threading.Thread(target=self._run, name="keeper", daemon=True)
        self._thread.start()

    @property
    def kept(self) -> Kept:
        """The state now."""
        return Kept(self._saved, len(self._file.book.entries), self._trouble)

    def keep(self) -> None:
        """Something was written: save it soon. Returns at once."""
        self._wake.set()

    def settle(self) -> Kept:
        """Save what is left, now; what is returned says whether all is on the disk."""
        self._save()
        return self.kept

    def close(self) -> Kept:
        """Save what is left, now, and stop."""
        self._closing = True
        self._wake.set()
        self._thread.join()
        return self.settle()

    def _run(self) -> None:
        while not self._closing:
            self._wake.wait(self._retry if self._trouble else None)
            self._wake.clear()
            if not self._closing:
                self._save()
                if self._on_change is not None:
                    self._on_change(self.kept)

    def _save(self) -> None:
        with self._lock:
            if self._saved == len(self._file.book.entries):
                return
            try:
                self._saved = self._file.save()
                self._trouble = ""
            except OSError as error:
                self._trouble = (error.strerror or str(error)).lower()
