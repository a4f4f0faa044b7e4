"""One writer a job: a lock that the system gives back when its holder dies, with a note that says who holds it.

The lock is the system's own (flock, or a locked byte on Windows), so one that a crash left behind is free again by
itself and is recognised by its note. filelock was measured first: importing it takes 27 ms of the start, and where a
folder cannot be written it reports a holder that is not there. It is a courtesy and not the safety: where there can be
none, each program's journal is its own (`journal`).
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import socket
import sys
from datetime import datetime
from pathlib import Path

from rodcall.book.storage.atomic_write import beside
from rodcall.book.storage.safe_read import READ, is_there, open_regular, reason
from rodcall.i18n import say

if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 30
    """Where the locked byte lies: a locked one cannot be read, and the note must be."""

    def seize(descriptor: int) -> None:
        """Lock an open file, without waiting; BlockingIOError or PermissionError where another program has it."""
        os.lseek(descriptor, _FAR, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        os.lseek(descriptor, 0, os.SEEK_SET)
else:
    import fcntl

    def seize(descriptor: int) -> None:
        """Lock an open file, without waiting; BlockingIOError or PermissionError where another program has it."""
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


_MOST_TRIES = 100
_NOTE_BYTES = 4096


class HeldError(Exception):
    """Another program writes this job; the text says which, in one line."""


class UnsureError(HeldError):
    """It cannot be known whether another program writes this job; the text says why, in one line."""


class Lock:
    """Held from `take` to `release`; where there can be none, `missing` says why.

    The file is taken away at the end. A lock won on a file that its last holder has just taken away is not the one
    that others see, so it is tried again.
    """

    def __init__(self, path: Path) -> None:
        self._path = beside(path, ".lock")
        self._descriptor: int | None = None
        self.left_by = ""
        """Who held it and did not end properly, in words; empty where none did."""
        self.missing = ""
        """Why there is no lock here, in one line: no folder to write in, or a file system that knows none."""

    @classmethod
    def take(cls, path: Path) -> Lock:
        """Lock a job for writing, without waiting.

        Raises:
            HeldError: when somebody else has it.
            UnsureError: when somebody else may have it: what lies there as a lock cannot be opened.
        """
        lock = cls(path)
        for _ in range(_MOST_TRIES):
            if lock._try():
                break
        return lock

    @property
    def is_held(self) -> bool:
        """False where there is none, or where somebody took its file away: the next program sees no lock then."""
        return self._descriptor is not None and self._is_the_one(self._descriptor)

    def release(self) -> None:
        """Let others write."""
        if self._descriptor is None:
            return
        ours = self.is_held
        with contextlib.suppress(OSError):
            if ours and os.name != "nt":
                os.unlink(self._path)
        os.close(self._descriptor)
        self._descriptor = None
        with contextlib.suppress(OSError):
            if ours and os.name == "nt":
                os.unlink(self._path)

    def _try(self) -> bool:
        try:
            descriptor = self._open()
        except OSError as error:
            if is_there(self._path):
                raise UnsureError(
                    say("{file} cannot be opened ({why})", file=self._path.name, why=reason(error))
                ) from None
            self.missing = reason(error)
            return True
        try:
            seize(descriptor)
        except OSError as error:
            who = _who(descriptor)
            os.close(descriptor)
            if isinstance(error, BlockingIOError | PermissionError) or error.errno == errno.EDEADLK:
                raise HeldError(who or say("another program")) from None
            # A file system that knows no locks: better to work without one than not at all.
            self.missing = reason(error)
            return True
        if not self._is_the_one(descriptor):
            os.close(descriptor)
            return False
        self._descriptor = descriptor
        self.left_by = _who(descriptor)
        self._sign(descriptor)
        return True

    def _open(self) -> int:
        try:
            return open_regular(self._path, os.O_RDWR | os.O_CREAT, links=False)
        except PermissionError:
            # Another user's: a lock can be had on what may only be read.
            return open_regular(self._path, READ, links=False)

    def _is_the_one(self, descriptor: int) -> bool:
        try:
            return os.path.samestat(os.fstat(descriptor), os.lstat(self._path))
        except OSError:
            return False

    def _sign(self, descriptor: int) -> None:
        note = {"process": os.getpid(), "host": socket.gethostname()[:64], "since": f"{datetime.now():%Y-%m-%d %H:%M}"}
        # Who holds it is a courtesy: a full disk must not keep the crew from working.
        with contextlib.suppress(OSError):
            os.ftruncate(descriptor, 0)
            os.lseek(descriptor, 0, os.SEEK_SET)
            os.write(descriptor, json.dumps(note).encode())


def _who(descriptor: int) -> str:
    """The note in words; anybody could have written it, so nothing in it is taken as it is."""
    try:
        os.lseek(descriptor, 0, os.SEEK_SET)
        note = json.loads(os.read(descriptor, _NOTE_BYTES))
        told = (str(note[key])[:64] for key in ("process", "host", "since"))
        process, host, since = ("".join(char for char in word if char.isprintable()) for word in told)
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return ""
    return say("process {process} on {host} since {since}", process=process, host=host, since=since)
