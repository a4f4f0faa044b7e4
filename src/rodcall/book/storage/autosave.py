"""Saves the book on a thread of its own after each entry."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import perf_counter

from rodcall.book.storage.opening import JobFile
from rodcall.book.storage.safe_read import reason
from rodcall.frozen import Frozen
from rodcall.i18n import say

PATIENCE = 0.02
"""Seconds that a key waits at the most until the system has what it wrote."""

SLOW = 1.0
"""Seconds from which a save is called slow: by then the next reading is called."""


class Kept(Frozen):
    """What is on the disk and what is not yet."""

    saved: int
    """Entries of the book that are durable."""
    written: int
    """Entries of the book."""
    trouble: str = ""
    """Why the disk did not take the last ones, in one line."""
    took: float = 0.0
    """Seconds that the last save took."""
    read_only: bool = False
    """Nothing can be written: somebody else has the job."""
    note: str = ""
    """What else the crew should know of where the book lies, such as that there is no lock."""

    @property
    def words(self) -> str:
        """As the top line says it."""
        if self.read_only:
            return say("READ ONLY")
        if self.trouble:
            return say("NOT SAVED: {why}", why=self.trouble)
        word = say("saved") if self.saved == self.written else say("saving")
        word = f"{word}, {self.note}" if self.note else word
        return word if self.took < SLOW else say("{state}, slow disk ({seconds:.1f} s)", state=word, seconds=self.took)


class Keeper:
    """Saves a job file after every entry, off the thread that writes them.

    Entries that come while one save runs are taken together by the next. After a failure, of whatever kind, it says so
    and tries again at every entry and every `retry` seconds.

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
        self._taken = threading.Condition()
        self._handed_over = len(file.book.entries)
        file.handed_over = self._take_note
        self._closing = False
        self._lock = threading.Lock()
        self._saved = len(file.book.entries)
        self._trouble = ""
        self._took = 0.0
        self._thread = threading.Thread(target=self._run, name="keeper", daemon=True)
        self._thread.start()

    @property
    def kept(self) -> Kept:
        """The state now."""
        file = self._file
        return Kept(self._saved, len(file.book.entries), self._trouble, self._took, bool(file.read_only), file.note)

    def keep(self) -> None:
        """Something was written: save it now.

        Returns once the system has it, so that what is painted survives a killed program, and does not wait until it is
        durable; where even that takes longer than `PATIENCE`, saving goes on behind the keyboard's back. Where the
        thread has died it is saved here.
        """
        self._wake.set()
        if not self._thread.is_alive() and not self._closing:
            self._save()
        elif not self._trouble:
            written = len(self._file.book.entries)
            with self._taken:
                self._taken.wait_for(lambda: self._handed_over >= written, PATIENCE)

    def flush(self) -> Kept:
        """Save what is left, now; what is returned says whether all is on the disk."""
        self._save()
        return self.kept

    def save_elsewhere(self, path: Path) -> Kept:
        """Save all of the book under another name, and go on there.

        Raises:
            JobFileError: when it cannot be; nothing has changed then.
        """
        with self._lock:
            written = len(self._file.book.entries)
            self._file.save_elsewhere(path)
            self._saved, self._trouble = written, ""
        return self.kept

    def close(self) -> Kept:
        """Save what is left, now, put the file in order, and stop."""
        self._closing = True
        self._wake.set()
        self._thread.join()
        kept = self.flush()
        try:
            self._file.close()
        except Exception as error:
            # Every entry is in the journal, where the next opening finds it.
            kept = replace(kept, trouble=_mistake(error))
        return kept

    def _run(self) -> None:
        try:
            while not self._closing:
                self._wake.wait(self._retry if self._trouble else None)
                self._wake.clear()
                if not self._closing:
                    self._save()
                    self._tell()
        except BaseException as error:
            # Nobody may miss it: what comes next is saved by whoever writes it (`keep`).
            self._trouble = _mistake(error)
            self._tell()

    def _tell(self) -> None:
        if self._on_change is not None:
            # Whoever listens may be gone already; saving goes on.
            with contextlib.suppress(Exception):
                self._on_change(self.kept)

    def _take_note(self, count: int) -> None:
        with self._taken:
            self._handed_over = max(self._handed_over, count)
            self._taken.notify_all()

    def _save(self) -> None:
        with self._lock:
            if self._saved == len(self._file.book.entries):
                return
            began = perf_counter()
            try:
                self._saved = self._file.append()
                self._trouble = ""
                self._take_note(self._saved)
            except OSError as error:
                self._trouble = reason(error)
            except Exception as error:
                self._trouble = _mistake(error)
            self._took = perf_counter() - began


def _mistake(error: BaseException) -> str:
    return say("internal error ({kind})", kind=type(error).__name__)
