"""One job in one JSON file: saved entry by entry, never left half written.

The file is `{"format", "version", "job", "entries"}` with one entry a line, so that a person can read it and a
line-by-line comparison shows what was added. Each entry carries a seal over the one before it (`job_format`), so that a
later edit shows at its place. What was written since the file was last replaced is in the journal beside it
(`journal`); opening puts both together, whatever happened in between (`rescue.recovery`).

Nothing is replaced before what it replaces is safe. A session that is not sure to be alone (no lock, or the file was
changed under it) replaces nothing: its entries are in a journal of its own, and the next opening puts them in.
"""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Damage, Entry
from rodcall.book.storage.atomic_write import Stamp, new_file, put_aside, remove, replace_file
from rodcall.book.storage.beside_job import HEAD_BYTES, free_lock, keep_before
from rodcall.book.storage.job_format import (
    MOST_BYTES,
    MOST_ENTRIES,
    MOST_PARTS,
    FileLine,
    JobFileError,
    Room,
    as_text,
    document_text,
    first_seal,
    parts_of,
    sealed_text,
)
from rodcall.book.storage.journal import Journal
from rodcall.book.storage.lock import HeldError, Lock
from rodcall.book.storage.photos import keep_photo
from rodcall.book.storage.safe_read import fetch, is_there, reason
from rodcall.i18n import say

_KEPT_FREE = 1
"""Entry for which a full book keeps room: that one was damaged is told for ever."""
_NEARLY_FULL = 50
"""Entries that are left when the crew hears of it."""
_MOST_PREPARED = 1000


class _ChangedError(OSError):
    """The job file is not the one that this session goes on from."""


class JobFile:
    """A job's book and the file that keeps it.

    The lines already in the file are kept as they are; only what was written since is turned into text, so the
    seals of an entry that somebody edited keep telling. `save`, `append` and `close` may be called from any thread.

    Args:
        path: Where it is kept.
        book: What is kept.
        joined: Of a joined book: where it comes from (see `join`).
    """

    def __init__(self, path: Path, book: Book, joined: dict[str, Any] | None = None) -> None:
        self.path = path
        self.book = book
        self.joined = joined or {}
        together = self.joined.get("entries")
        book.page.joined = together if isinstance(together, int) else 0
        self.left_out: tuple[str, ...] = ()
        """What this opening found damaged and left out of the book: each place and why, in one line."""
        self.recovered = ""
        """What the opening found after an end that was none, in one line; empty when there was nothing."""
        self.is_grave = False
        """Something in it was damaged, or is in no file: nobody may miss it."""
        self.lock: Lock | None = None
        self.stamp: Stamp | None = None
        """Of the file as it was read or written; None before."""
        self.whole = False
        """The file and the journals hold all that was kept so far."""
        self.owed: list[tuple[bytes, str]] = []
        """What is to be put aside before the file is replaced, each with the ending of its name."""
        self.put_by: list[str] = []
        """Names of what was put aside."""
        self.folded: list[Path] = []
        """Journals that may go once the book is in the file."""
        self.sizes: dict[Path, int] = {}
        """Bytes of those that others wrote, as they were read."""
        self.is_before = True
        """What the file holds may become the one before; a damaged file may not."""
        self.since = 0
        """How many entries were on the disk when this session began."""
        self._head = book.began.model_dump(mode="json")
        self._seals = [first_seal(self._head, self.joined)]
        self._lines: list[str] = []
        self._tail = ""
        self._guard = threading.RLock()
        self._journal: Journal | None = None
        self._logged = 0
        self._apart = False
        self._session = secrets.token_hex(4)
        self._prepared: dict[int, tuple[Entry, str]] = {}
        self.room = Room()
        self.handed_over: Callable[[int], None] = lambda count: None
        """Told how many entries the system has taken, before they are durable: a killed program loses none of them."""
        book.admit = self._admit
        book.keep_photo = lambda said: keep_photo(self.path, said)

    @property
    def broken_seals(self) -> tuple[int, ...]:
        """Places in the entries (1 is the first) where a seal does not fit: edited outside of rodcall, or damaged."""
        return self.book.page.edited

    @broken_seals.setter
    def broken_seals(self, places: tuple[int, ...]) -> None:
        self.book.page.edited = places

    @property
    def damaged(self) -> tuple[int, ...]:
        """Places in the entries (1 is the first) that were damaged and are in no file."""
        return self.book.page.damaged

    @property
    def read_only(self) -> str:
        """Why nothing can be written into this book; empty when it can."""
        return self.book.closed

    @property
    def note(self) -> str:
        """What the crew should know of where the book is kept, in two or three words; empty where all is well."""
        if self._apart:
            return say("FILE CHANGED by another program")
        if self.lock is not None and self.lock.missing:
            return say("no lock here")
        left = MOST_ENTRIES - _KEPT_FREE - len(self.book.entries)
        return say("room for {number} more", number=max(left, 0)) if left <= _NEARLY_FULL else ""

    @property
    def seal(self) -> str:
        """The last entry's seal, which stands for the whole book up to it."""
        return self.seals[-1]

    @property
    def seals(self) -> tuple[str, ...]:
        """The seal of what was agreed, then that of each entry."""
        self._catch_up()
        return tuple(self._seals)

    def content(self) -> bytes:
        """The whole file as it should stand now."""
        self._catch_up()
        return document_text(self._head, self.joined, self._lines).encode("utf-8", "surrogatepass")

    def go_on_from(self, lines: list[FileLine], tail: str) -> None:
        """Take the lines of the first entries as they stand on the disk.

        Args:
            lines: They.
            tail: What the next entry follows on where that is not the last of them.
        """
        self._lines = [line.text for line in lines]
        self._seals += [line.seal for line in lines]
        self._tail = tail if tail != self._seals[-1] else ""

    # -- keeping --------------------------------------------------------------------------------------------

    def append(self) -> int:
        """Make durable what was written since the last time, and return how many entries are on the disk.

        It costs the same however long the book is. Where the journal fails, the whole file is replaced.

        Raises:
            OSError: when the disk took neither; the file is as it was.
        """
        with self._guard:
            if not self.whole:
                return self.save()
            try:
                kept = self._log(self._begun())
                if not self._apart and Stamp.of(self.path) != self.stamp:
                    raise _ChangedError
            except OSError:
                # After a failed write nobody knows what it holds; the next attempt leaves it alone.
                self.whole = False
                self._leave_journal()
                return self.save()
            return kept

    def save(self) -> int:
        """Replace the file by the book as it is now, and return how many entries are on the disk.

        The file as it was stays beside it (`pad.json.before`). Where this session may not be alone, the entries go to
        its journal instead.

        Raises:
            OSError: when the disk did not take it; the file is as it was.
        """
        with self._guard:
            if self._must_stay_apart():
                kept = self._log(self._begun())
                self.whole = True
                return kept
            content = self.content()
            kept = len(self._lines)
            while self.owed:
                piece, ending = self.owed[0]
                self.put_by.append(put_aside(self.path, piece, ending).name)
                self.owed.pop(0)
            if self.is_before:
                keep_before(self.path, self._id)
            replace_file(self.path, content)
            self.stamp, self.whole, self.is_before, self.since = Stamp.of(self.path), True, True, kept
            self._leave_journal()
            # All of them are in the file by now; left behind, they are known as such at the next opening.
            for each in self.folded:
                with contextlib.suppress(OSError):
                    # One that has grown since it was read is another session's, which lives on.
                    if os.stat(each).st_size == self.sizes.get(each, os.stat(each).st_size):
                        remove(each)
            self.folded = []
            return kept

    def begin(self) -> None:
        """Save and lock a file that is not there yet.

        Raises:
            JobFileError: when something is there already, or the disk does not take it.
        """
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self.lock = free_lock(self.path)
            self._write_first(self.path)
        except OSError as error:
            self.close()
            raise JobFileError(self.path, say("cannot be written ({why})", why=reason(error))) from None

    def save_elsewhere(self, path: Path) -> None:
        """Save the book under another name, and go on there.

        Raises:
            JobFileError: when something is there already, or the disk does not take it; nothing has changed then.
        """
        with self._guard:
            lock = None
            try:
                path.parent.mkdir(parents=True, exist_ok=True)
                lock = free_lock(path)
                self._write_first(path)
            except OSError as error:
                if lock is not None:
                    lock.release()
                raise JobFileError(path, say("cannot be written ({why})", why=reason(error))) from None
            self._leave_journal()
            if self.lock is not None:
                self.lock.release()
            self.path, self.lock, self._apart = path, lock, False
            # What lies at the old place stays there.
            self.owed, self.folded = [], []

    def close(self) -> None:
        """Put the journal into the file and let others write; what is not on the disk yet is not tried again."""
        with self._guard:
            try:
                if self._journal is not None:
                    # Should it fail, every entry is in the journal, where the next opening finds it.
                    with contextlib.suppress(OSError):
                        self.save()
            finally:
                self._leave_journal()
                if self.lock is not None:
                    self.lock.release()
                    self.lock = None

    # -- inside ---------------------------------------------------------------------------------------------

    def _catch_up(self) -> None:
        with self._guard:
            for entry in self.book.entries[len(self._lines) :]:
                known = self._prepared.pop(id(entry), None)
                text = known[1] if known is not None else as_text(entry.model_dump(mode="json"))
                line, seal = sealed_text(text, self._tail or self._seals[-1])
                self._tail = ""
                self._lines.append(line)
                self._seals.append(seal)

    def _log(self, begun: int) -> int:
        """Make durable in the journal of this session what is not in it yet."""
        self._catch_up()
        if self._journal is None:
            seal = self._seals[begun]
            self._journal = Journal(self.path, self.book.tablet, self._session, self._head, self.joined, begun, seal)
            self._logged = begun
            if not self._apart:
                self.folded.append(self._journal.path)
        count = len(self._lines)
        try:
            self._journal.append(self._lines[self._logged : count], lambda: self.handed_over(count))
        except BaseException:
            # Half a line may stand at its end now: nothing may be written behind that.
            self._leave_journal()
            raise
        self._logged = count
        return self._logged

    def _begun(self) -> int:
        """The entry that a journal begun now follows on: all of the book where the file was changed."""
        return 0 if self._apart else self.since

    def _write_first(self, path: Path) -> None:
        content = self.content()
        if len(self._lines) > MOST_ENTRIES or len(content) > MOST_BYTES or parts_of(content) > MOST_PARTS:
            raise OSError(errno.EFBIG, say("more entries than one book holds"))
        new_file(path, content)
        self.stamp, self.whole, self.since = Stamp.of(path), True, len(self._lines)

    def _must_stay_apart(self) -> bool:
        """Would replacing the file take somebody else's entries away?"""
        alone, now = self._is_alone(), Stamp.of(self.path)
        if self._apart or (now is not None and now != self.stamp):
            head = fetch(self.path, MOST_BYTES) or b""
            if (self.stamp is not None and self._id in head[:HEAD_BYTES]) or not (alone or now is None):
                # What this session goes on from is perhaps in no file any more: all of it goes into its journal.
                if not self._apart:
                    self._leave_journal()
                self._apart = True
                return True
            # It is no book of this job: it is kept, and ours takes its place again.
            self._apart = False
            if now is not None:
                self.owed.append((head, "other"))
                self.stamp, self.is_before = now, False
        return not alone and is_there(self.path)

    def _is_alone(self) -> bool:
        """Does nobody else write this job? A lock whose file was taken away is tried for anew."""
        if self.lock is None or self.lock.is_held:
            return True
        if self.lock.missing:
            return False
        try:
            again = Lock.take(self.path)
        except HeldError:
            return False
        self.lock.release()
        self.lock = again
        return again.is_held or not is_there(self.path)

    @property
    def _id(self) -> bytes:
        return f'"id": "{self.book.job.id}"'.encode()

    def _leave_journal(self) -> None:
        if self._journal is not None:
            with contextlib.suppress(OSError):
                self._journal.close()
            self._journal = None

    def _admit(self, entry: Entry) -> None:
        """Refuse an entry with which the file would be more than a reader takes.

        Raises:
            PageError: it would.
        """
        text, entries = as_text(entry.model_dump(mode="json")), len(self.book.entries)
        left = MOST_ENTRIES - entries - (0 if isinstance(entry, Damage) else _KEPT_FREE)
        if left <= 0 or not self.room.takes(text):
            raise PageError(say("the book is full with {entries} entries; begin a new job", entries=entries))
        # Sealing it needs the same text; the entry is kept with it, so that no other takes its id.
        if len(self._prepared) >= _MOST_PREPARED:
            self._prepared.clear()
        self._prepared[id(entry)] = entry, text
