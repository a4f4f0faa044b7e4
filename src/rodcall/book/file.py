"""One job, one JSON file: read with every doubt checked, kept entry by entry, never left half written.

The file is `{"format", "version", "job", "entries"}` with one entry a line, so that a person can read it and a
line-by-line comparison shows what was added. Each entry carries a seal over the one before it (`sealed`), so that a
later edit shows at its place. What was written since the file was last replaced is in the journal beside it
(`journal`); opening puts both together, whatever happened in between (`recover`).
"""

from __future__ import annotations

import contextlib
import gc
import threading
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from rodcall.book.book import Book
from rodcall.book.entries import Entry
from rodcall.book.job import Job
from rodcall.book.journal import Journal, journal_of
from rodcall.book.lock import HeldError, Lock
from rodcall.book.migrate import bring_up
from rodcall.book.page import PageError
from rodcall.book.recover import OnDisk, before_of, look, reason
from rodcall.book.refused import first_trouble
from rodcall.book.replace import put_aside, remove, replace_file, sweep
from rodcall.book.sealed import VERSION, Document, JobFileError, document_text, first_seal, read_line, sealed
from rodcall.language import counted, say

__all__ = ["JobFile", "JobFileError", "new_job_file", "new_job_id", "open_job", "open_to_write"]

_KINDS: dict[str, type[Entry]] = {kind.model_fields["kind"].default: kind for kind in Entry.__subclasses__()}
"""Each kind checks itself, so that opening builds no checker for kinds that the book does not hold."""


@dataclass(frozen=True)
class _Stamp:
    """Tells whether a file is still the one that was read or written."""

    time: int
    size: int

    @classmethod
    def of(cls, path: Path) -> _Stamp | None:
        try:
            now = path.stat()
        except OSError:
            return None
        return cls(now.st_mtime_ns, now.st_size)


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
        self.recovered = ""
        """What the opening found after an end that was none, in one line; empty when there was nothing."""
        self.lock: Lock | None = None
        self._head = book.job.model_dump(mode="json")
        self._seals = [first_seal(self._head, self.joined)]
        self._lines: list[str] = []
        self._guard = threading.RLock()
        self._journal: Journal | None = None
        self._whole = False
        """The file holds all that was kept so far, but for what is in the open journal."""
        self._stamp: _Stamp | None = None

    @property
    def broken_seals(self) -> tuple[int, ...]:
        """Places in the entries (1 is the first) where a seal does not fit: edited outside of rodcall."""
        return self.book.page.edited

    @property
    def read_only(self) -> str:
        """Why nothing can be written into this book; empty when it can."""
        return self.book.closed

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

    # -- keeping --------------------------------------------------------------------------------------------

    def append(self) -> int:
        """Make durable what was written since the last time, and return how many entries are on the disk.

        It costs the same however long the book is. Where the journal fails, the whole file is replaced.

        Raises:
            OSError: when the disk took neither; the file is as it was.
        """
        with self._guard:
            if not self._whole:
                return self.save()
            kept = len(self._lines)
            try:
                if self._journal is None:
                    self._journal = Journal(self.path, self.book.job.id, kept, self._seals[-1])
                self._catch_up()
                self._journal.append(self._lines[kept:])
            except OSError:
                # After a failed write nobody knows what it holds; the next attempt leaves it alone.
                self._whole = False
                self._leave_journal()
                return self.save()
            return len(self._lines)

    def save(self) -> int:
        """Replace the file by the book as it is now, and return how many entries are on the disk.

        The file as it was stays beside it (`pad.json.before`).

        Raises:
            OSError: when the disk did not take it; the file is as it was.
        """
        with self._guard:
            content = self.content()
            kept = len(self._lines)
            self._keep_before()
            replace_file(self.path, content)
            self._stamp = _Stamp.of(self.path)
            self._whole = True
            self._leave_journal()
            # All of it is in the file by now; left behind, it is known as such at the next opening.
            with contextlib.suppress(OSError):
                remove(journal_of(self.path))
            return kept

    def begin(self) -> None:
        """Save and lock a file that is not there yet.

        Raises:
            JobFileError: when something is there already, or the disk does not take it.
        """
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self.lock = _free(self.path)
            self.save()
        except OSError as error:
            self.close()
            raise JobFileError(self.path, say("cannot be written ({why})", why=reason(error))) from None

    def save_elsewhere(self, path: Path) -> None:
        """Save the book under another name, and go on there.

        Raises:
            JobFileError: when something is there already, or the disk does not take it; nothing has changed then.
        """
        with self._guard:
            lock, content = _free(path), self.content()
            try:
                path.parent.mkdir(parents=True, exist_ok=True)
                replace_file(path, content)
            except OSError as error:
                lock.release()
                raise JobFileError(path, say("cannot be written ({why})", why=reason(error))) from None
            self._leave_journal()
            if self.lock is not None:
                self.lock.release()
            self.path, self.lock, self._stamp, self._whole = path, lock, _Stamp.of(path), True

    def close(self) -> None:
        """Put the journal into the file and let others write; what is not on the disk yet is not tried again."""
        with self._guard:
            if self._journal is not None:
                # Should it fail, every entry is in the journal, where the next opening finds it.
                with contextlib.suppress(OSError):
                    self.save()
            self._leave_journal()
            if self.lock is not None:
                self.lock.release()
                self.lock = None

    # -- inside ---------------------------------------------------------------------------------------------

    def _catch_up(self) -> None:
        with self._guard:
            for entry in self.book.entries[len(self._lines) :]:
                line, seal = sealed(entry.model_dump(mode="json"), self._seals[-1])
                self._lines.append(line)
                self._seals.append(seal)

    def _keep_before(self) -> None:
        """Keep the file that is about to be replaced: as the one before, or as somebody else's."""
        now = _Stamp.of(self.path)
        if now is None:
            return
        # Not being able to keep it is no reason not to save.
        with contextlib.suppress(OSError):
            if now == self._stamp:
                replace_file(before_of(self.path), self.path.read_bytes())
            elif self._stamp is not None:
                put_aside(self.path, self.path.read_bytes(), "other")

    def _leave_journal(self) -> None:
        if self._journal is not None:
            with contextlib.suppress(OSError):
                self._journal.close()
            self._journal = None

    def _found(self, here: OnDisk) -> None:
        """Go on from what is on the disk."""
        self._lines = [line.text for line in here.document.lines]
        self._seals += [line.seal for line in here.document.lines]
        self._whole = not here.journal and not here.damaged

    def _mend(self, here: OnDisk) -> None:
        """Bring the disk in order after an end that was none; holds the lock."""
        sweep(self.path)
        kept = []
        # On a disk that takes nothing all stays as it is, and the next attempt to save begins anew.
        with contextlib.suppress(OSError):
            kept = [put_aside(self.path, piece, "torn").name for piece in here.torn]
            if here.journal or here.damaged:
                self.save()
        self.recovered = _told(here, kept, self.lock.left_by if self.lock is not None else "")


def open_job(path: Path, tablet: str) -> JobFile:
    """Read a job, checking everything: its form, its version, each entry, and that each means what was said.

    Nothing is written, and no lock is taken: for looking only.

    Raises:
        JobFileError: with the place in the file; the file is not touched.
    """
    opened, here = _read(path, tablet)
    if here.damaged:
        opened.recovered = _told(here, [], "")
    return opened


def open_to_write(path: Path, tablet: str) -> JobFile:
    """Open a job to go on with it: locked, and mended where it was left in disorder.

    Where another program has it, it is opened all the same, and its book is closed (`JobFile.read_only`).

    Raises:
        JobFileError: with the place in the file; the file is not touched.
    """
    try:
        lock = Lock.take(path)
    except HeldError as held:
        opened = open_job(path, tablet)
        opened.book.closed = say("read only: {name} is open in {who}", name=repr(opened.book.job.name[:40]), who=held)
        return opened
    try:
        opened, here = _read(path, tablet)
    except BaseException:
        lock.release()
        raise
    opened.lock = lock
    opened._mend(here)
    return opened


def new_job_file(path: Path, job: Job, tablet: str) -> JobFile:
    """Begin a job's file on the disk.

    Raises:
        JobFileError: when something is there already or the disk does not take it.
    """
    created = JobFile(path, Book(job, tablet))
    created.begin()
    return created


def new_job_id() -> str:
    """A name for a job that no other tablet will give to another."""
    return uuid.uuid4().hex


def book_of(document: Document, path: Path, tablet: str) -> Book:
    """The book that a document holds, whose entries `entry_of` made.

    Raises:
        JobFileError: with the entry that cannot be.
    """
    head, made = document.head, [line.made for line in document.lines]
    if document.version < VERSION:
        contents = [read_line(line.text, dict).made for line in document.lines]
        head, contents = bring_up(document.version, VERSION, head, contents)
        made = [entry_of(content) for content in contents]
    try:
        book = Book(Job.model_validate(head), tablet)
    except ValidationError as error:
        raise JobFileError(path, say("job{trouble}", trouble=_first(error))) from None
    for place, entry in enumerate(made, 1):
        if isinstance(entry, str):
            raise JobFileError(path, say("entry {place}", place=place) + entry)
        try:
            book.take(entry)
        except PageError as error:
            raise JobFileError(path, say("entry {place}: {why}", place=place, why=error)) from None
    return book


def entry_of(content: dict[str, Any]) -> Entry | str:
    """The entry of a content, or what is wrong with it, as it goes on behind its place."""
    kind = content.get("kind")
    if not isinstance(kind, str) or kind not in _KINDS:
        return say(": kind {kind} is not known", kind=repr(str(kind)[:24]))
    try:
        return _KINDS[kind].model_validate(content)
    except ValidationError as error:
        return _first(error)


def _read(path: Path, tablet: str) -> tuple[JobFile, OnDisk]:
    with _uncollected():
        here = look(path, entry_of)
        document = here.document
        opened = JobFile(path, book_of(document, path, tablet), document.joined)
    opened.book.page.edited = tuple(sorted({*document.broken(), *_edited_before_joining(document)}))
    # A damaged file is put aside as it is; it must not become the one before.
    opened._stamp = None if here.damaged else _Stamp.of(path)
    if document.version == VERSION:
        opened._found(here)
    return opened, here


@contextlib.contextmanager
def _uncollected() -> Iterator[None]:
    """Keep the collector off what is being built: it takes a third of a big book's opening and finds nothing."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _edited_before_joining(document: Document) -> Iterator[int]:
    """Places of entries whose seal was broken in the book that they were joined from."""
    edited = document.joined.get("edited")
    if isinstance(edited, list):
        for place, line in enumerate(document.lines, 1):
            if isinstance(line.made, Entry) and [line.made.tablet, line.made.number] in edited:
                yield place


def _first(error: ValidationError) -> str:
    """The first complaint, in one line, as it goes on behind its place."""
    place, why = first_trouble(error)
    where = " ".join(ascii(part).strip("'") for part in place[-1:])
    return f"{': ' + where if where else ''}: {why}"[:140]


def _free(path: Path) -> Lock:
    """The lock of a job that is to be begun.

    Raises:
        JobFileError: when there is something already.
    """
    try:
        lock = Lock.take(path)
    except HeldError as held:
        raise JobFileError(path, say("is open in {who}", who=held)) from None
    if path.exists() or path.is_symlink():
        lock.release()
        raise JobFileError(path, say("there is a file already; open it or choose another name"))
    return lock


def _told(here: OnDisk, kept: list[str], left_by: str) -> str:
    """What an opening found, in one line."""
    entries = len(here.document.lines)
    parts = []
    if here.damaged:
        parts.append(
            counted(
                entries,
                "the file was damaged; {number} entry of it is whole and is here",
                "the file was damaged; {number} entries of it are whole and are here",
            )
        )
    elif here.in_journal or (left_by and here.journal):
        since = counted(here.in_journal, "{number} entry since", "{number} entries since")
        parts.append(say("the program did not end by itself; all that was saved is here, {since}", since=since))
    if kept:
        parts.append(say("what could not be read is kept in {files}", files=say(" and ").join(kept)))
    return "; ".join(parts)
