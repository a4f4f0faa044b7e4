"""Opens and begins job files; checks them and repairs what a crash left.

Whatever is there and cannot be read keeps everybody from writing: the job opens read-only and says why. For looking
only, as figures and sheets do, part of a book is no book, and such a job is refused.
"""

from __future__ import annotations

import contextlib
import gc
import secrets
import uuid
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from time import sleep

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Entry
from rodcall.book.model.job import Job
from rodcall.book.storage.atomic_write import Stamp, sweep
from rodcall.book.storage.job_file import JobFile
from rodcall.book.storage.job_format import (
    MOST_BYTES,
    MOST_ENTRIES,
    MOST_PARTS,
    VERSION,
    JobFileError,
    digest,
    document_text,
    parts_of,
)
from rodcall.book.storage.journal import is_alive
from rodcall.book.storage.lock import HeldError, Lock, UnsureError
from rodcall.book.storage.reread import book_of, edited_before_joining, entry_of
from rodcall.book.storage.rescue.branches import added, beyond, key_of
from rodcall.book.storage.rescue.recovery import Branch, OnDisk, look
from rodcall.book.storage.rescue.telling import told_of
from rodcall.book.storage.safe_read import reason
from rodcall.i18n import say

_LOOK_AGAIN, _MOST_LOOKS = 0.1, 50
"""Seconds after which a damaged file is looked at again, and how often, as long as it changes."""

__all__ = ["JobFile", "JobFileError", "new_job_file", "new_job_id", "open_job", "open_to_write"]


def open_job(path: Path, tablet: str, names: Iterable[str] | None = None) -> JobFile:
    """Read a job, checking everything: its form, its version, each entry, and that each means what was said.

    Nothing is written, and no lock is taken: for looking only.

    Args:
        path: The job file.
        tablet: Signs what is written in it.
        names: What is in its folder, where that is known already.

    Raises:
        JobFileError: with the place in the file; the file is not touched.
    """
    opened, here = open_parts(path, tablet, names)
    if here.unread:
        raise JobFileError(path, here.unread[0])
    if here.damaged or here.lost_lines or opened.left_out:
        opened.recovered = told_of(here, opened)
    opened.is_grave = _is_grave(here)
    return opened


def open_to_write(path: Path, tablet: str) -> JobFile:
    """Open a job to go on with it: locked, and mended where it was left in disorder.

    Where another program has it, or something of it cannot be read, it is opened all the same, and its book is closed
    (`JobFile.read_only`).

    Raises:
        JobFileError: with the place in the file; the file is not touched.
    """
    closed, held = "", None
    try:
        lock = Lock.take(path)
    except HeldError as error:
        held = error
    else:
        # Two that cannot see each other's lock must not count alike.
        tablet = f"{tablet[:55]}-{secrets.token_hex(4)}" if lock.missing else tablet
    try:
        opened, here = _settled(path, tablet)
        alive = held is None and any(is_alive(each) for each in here.journals)
    except BaseException:
        if held is None:
            lock.release()
        raise
    if isinstance(held, UnsureError):
        closed = say("read only: {why}", why=held)
    elif held is not None or alive:
        who = held or say("another program")
        closed = say("read only: {name} is open in {who}", name=repr(opened.book.job.name[:40]), who=who)
    elif here.unread:
        closed = say("read only: {why}", why=here.unread[0])
    if closed:
        if held is None:
            lock.release()
        opened.book.closed = closed
        return opened
    opened.lock = lock
    _mend(opened, here)
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


def open_parts(path: Path, tablet: str, names: Iterable[str] | None = None) -> tuple[JobFile, OnDisk]:
    """What can be opened of a job, and all that was found of it; raises as `open_job`, but not for what is unread."""
    with _uncollected():
        stamp = _stamp(path)
        here = look(path, entry_of, names)
        book, left_out = book_of(here, path, tablet)
        lines = [line for place, line in enumerate(here.entries.lines, 1) if place not in left_out]
        kept = len(book.entries)
        book = _with_branches(here, book)
    opened = JobFile(path, book, here.document.joined)
    opened.stamp, opened.is_before, opened.since = stamp, not here.damaged, len(book.entries)
    opened.left_out = (*here.entries_left_out(), *left_out.values())
    if left_out and not here.damaged:
        here.damaged = True
        here.torn.append(here.raw)
    if here.document.version == VERSION:
        # Where some are in no file the next one does not follow on the last, and its seal tells so for ever.
        gap = here.lost[0] <= here.lost[1]
        tail = digest(here.entries.seal, "what is not here") if gap else here.entries.seal
        opened.go_on_from(lines, tail)
    _mark(opened, here, left_out)
    opened.room.weigh(here.raw)
    opened.whole = not (here.journals or here.damaged or kept < len(book.entries))
    return opened, here


def _settled(path: Path, tablet: str) -> tuple[JobFile, OnDisk]:
    """A job as it lies there once nobody writes its file: one that is still being copied looks like a damaged one."""
    opened, here = open_parts(path, tablet)
    for _ in range(_MOST_LOOKS if here.damaged else 0):
        sleep(_LOOK_AGAIN)
        if _stamp(path) == opened.stamp:
            break
        opened, here = open_parts(path, tablet)
        if not here.damaged:
            break
    return opened, here


def _mark(opened: JobFile, here: OnDisk, left_out: Mapping[int, str]) -> None:
    """Tell which entries were edited outside, and which are missing and not told of yet."""
    page, entries = opened.book.page, here.entries
    kept = (place for place in range(1, len(entries.lines) + 1) if place not in left_out)
    key_at = {place: key_of(entry) for place, entry in zip(kept, opened.book.entries, strict=False)}
    gaps = {*entries.gaps, *(place + 1 for place in left_out)}
    told = {place for each in page.damage for place in each.places}
    explained = {key for each in page.damage for key in (*each.before, key_of(each))}
    missing = {*here.missing_places, *left_out, *range(here.lost[0], here.lost[1] + 1)}
    here.follow = [key for place, key in key_at.items() if place in gaps and key not in explained]
    page.missing = tuple(sorted(missing - told))
    explained.update(here.follow)
    broken = {*entries.broken, *edited_before_joining(here.document, entries)}
    opened.broken_seals = tuple(
        at for at, (place, key) in enumerate(key_at.items(), 1) if place in broken and key not in explained
    )


def _stamp(path: Path) -> Stamp | None:
    try:
        return Stamp.of(path)
    except (OSError, ValueError):
        return None


def _with_branches(here: OnDisk, book: Book) -> Book:
    """The book with what other sessions wrote beside it; what cannot stand in it is kept for `join`."""
    taken, parts = len(here.raw), parts_of(here.raw)
    for branch in here.branches:
        entries = [line.made for line in branch.lines]
        whole = all(isinstance(entry, Entry) for entry in entries)
        missing = beyond(entries, book, branch.journal.session) if whole else []
        room = MOST_ENTRIES - len(book.entries), MOST_BYTES - taken, MOST_PARTS - parts
        wanted = len(missing), len(branch.journal.raw), parts_of(branch.journal.raw)
        fits = whole and all(want <= left for want, left in zip(wanted, room, strict=True))
        more = added(book, branch.begun, missing) if fits else None
        taken, parts = (taken + wanted[1], parts + wanted[2]) if fits else (taken, parts)
        if more is None:
            here.apart.append(_as_file(here, branch))
        else:
            if branch.begun is None and missing:
                here.lost = (len(book.entries) + 1, branch.journal.entries)
            here.added += len(missing)
            book = more
    return book


def _as_file(here: OnDisk, branch: Branch) -> bytes:
    """What another session wrote, as a job file of its own."""
    if branch.begun is None:
        return branch.journal.raw
    texts = [line.text for line in [*here.entries.lines[: branch.begun], *branch.lines]]
    return document_text(here.document.head, here.document.joined, texts).encode("utf-8", "surrogatepass")


def _mend(opened: JobFile, here: OnDisk) -> None:
    """Bring the disk in order after an end that was none; holds the lock."""
    sweep(opened.path)
    opened.owed = [*((piece, "torn") for piece in here.torn), *((piece, "other") for piece in here.apart)]
    opened.folded, opened.sizes = list(here.journals), here.sizes
    trouble = ""
    missing = opened.book.page.missing
    if missing or here.follow:
        with contextlib.suppress(PageError):
            opened.book.tell_of_damage(missing or opened.damaged, here.follow)
            opened.book.page.missing = ()
            opened.whole = False
    if not opened.whole and opened.lock is not None and opened.lock.is_held:
        # On a disk that takes nothing all stays as it is; the next attempt to save begins anew, and says so.
        try:
            opened.save()
        except OSError as error:
            trouble = reason(error)
    elif opened.lock is not None and opened.lock.missing:
        # Who may not be alone replaces nothing; the journal goes on from what lies here.
        opened.whole = True
        if missing or here.follow:
            try:
                opened.append()
            except OSError as error:
                trouble = reason(error)
    opened.recovered = told_of(here, opened, trouble)
    opened.is_grave = _is_grave(here) or bool(trouble)


def _is_grave(here: OnDisk) -> bool:
    return here.damaged or bool(here.lost_lines or here.apart) or here.lost[0] <= here.lost[1]


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
