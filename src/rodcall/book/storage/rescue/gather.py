"""Finds all files of a job for `rodcall recover`: the file, the ones before, journals, torn parts.

Nothing is written into any of them. What is sound and stands nowhere else goes to where it belongs by its tablet and
number, or behind the rest where it cannot go there.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Entry
from rodcall.book.model.job import Job
from rodcall.book.storage.job_file import JobFile
from rodcall.book.storage.job_format import MOST_BYTES, JobFileError, read_document
from rodcall.book.storage.journal import find_journal, journals_of
from rodcall.book.storage.opening import open_parts
from rodcall.book.storage.reread import entry_of
from rodcall.book.storage.rescue.branches import added, beyond, key_of
from rodcall.book.storage.rescue.recovery import OnDisk
from rodcall.book.storage.rescue.salvage import assemble, split_lines
from rodcall.book.storage.safe_read import fetch, reason
from rodcall.frozen import Frozen
from rodcall.i18n import say

TABLET = "recover"


class Piece(Frozen):
    """One file that was looked into."""

    path: Path
    entries: int = 0
    """Sound entries in it."""
    more: int = 0
    """Those of them that stand in none of the files told before it."""
    trouble: str = ""
    """Why nothing is taken from it, or what of it is left out, in one line."""


class Gathered(Frozen):
    """All that was found of one job."""

    pieces: list[Piece]
    book: Book
    joined: dict[str, Any]

    def write(self, path: Path) -> None:
        """Write the book to a new file.

        Raises:
            JobFileError: when something is there already, or the disk does not take it.
        """
        file = JobFile(path, self.book, self.joined)
        file.begin()
        file.close()


def gather(path: Path) -> Gathered:
    """Read everything of a job that lies beside its name.

    Raises:
        JobFileError: when nothing is there that a job could be made of.
    """
    parts = [path, *_beside(path)]
    pieces: list[Piece] = []
    book, joined, why = None, {}, ""
    for part in parts:
        try:
            opened, here = open_parts(part, TABLET)
        except JobFileError as error:
            why = why or str(error).removeprefix(f"{part.name}: ")
            continue
        book, joined = opened.book, opened.joined
        pieces.append(Piece(part, len(book.entries), len(book.entries), _first(here, opened)))
        break
    book = book or _from_a_journal(path)
    if book is None:
        raise JobFileError(path, why or say("nothing in it can be read"))
    for part in parts:
        if pieces[:1] and pieces[0].path == part:
            continue
        book, piece = _with(book, part)
        pieces.append(piece)
    return Gathered(pieces, book, joined)


def _beside(path: Path) -> Iterator[Path]:
    """What lies beside a job file and may hold entries of it: those files first that are whole books."""
    real = Path(os.path.realpath(path))
    books = re.compile(re.escape(real.name) + r"\.(before|other|torn)(-\d+)?")
    try:
        names = sorted(os.listdir(real.parent))
        journals = journals_of(path, names)
    except (OSError, ValueError):
        return
    yield from (real.with_name(name) for name in names if books.fullmatch(name))
    yield from journals


def _first(here: OnDisk, opened: JobFile) -> str:
    return "; ".join((*here.unread, *opened.left_out))


def _from_a_journal(path: Path) -> Book | None:
    """The job without its entries, where only a journal of it is left."""
    try:
        found = [find_journal(each) for each in journals_of(path)]
    except (OSError, ValueError):
        return None
    for each in found:
        if each is not None and each.agreed is not None:
            try:
                return Book(Job.model_validate(each.agreed.head), TABLET)
            except ValueError:
                continue
    return None


def _with(book: Book, part: Path) -> tuple[Book, Piece]:
    """The book with what one more file holds."""
    try:
        raw = fetch(part, MOST_BYTES, links=False)
    except OSError as error:
        return book, Piece(part, trouble=say("cannot be read ({why})", why=reason(error)))
    if raw is None:
        return book, Piece(part, trouble=say("no such file or directory"))
    named = re.search(rb'"(?:id|job)": "([0-9a-f]{32})"', raw[:4096])
    if named is not None and named[1].decode() != book.job.id:
        return book, Piece(part, trouble=say("it belongs to another job"))
    entries = _sound(raw)
    session = hashlib.sha256(part.name.encode("utf-8", "surrogateescape")).hexdigest()[:8]
    known = len(book.entries)
    book, left = _put_in(book, entries, session)
    trouble = say("{number} of them cannot go into the book", number=left) if left else ""
    return book, Piece(part, len(entries), len(book.entries) - known, trouble)


def _sound(raw: bytes) -> list[Entry]:
    """The entries in any bytes that are as they were sealed, each by itself or after the one before it."""
    texts = [text for text in split_lines(raw) if '"number"' in text]
    try:
        seal = read_document(raw, Path("part")).first_seal
    except JobFileError:
        first = re.search(rb'"seal": "([0-9a-f]{64})"', raw)
        seal = first[1].decode() if first else ""
    lines = assemble(seal, texts, entry_of, edited=False).lines
    return [line.made for line in lines if isinstance(line.made, Entry)]


def _put_in(book: Book, entries: Sequence[Entry], session: str) -> tuple[Book, int]:
    """The book with those entries that it lacks, and how many of them cannot stand in it."""
    here = {key_of(entry): entry for entry in book.entries}
    for entry in entries:
        if key_of(entry) not in here:
            book = _in_its_place(book, entry) or book
            here = {key_of(each): each for each in book.entries}
    missing = beyond(entries, book, session)
    together = added(book, None, missing)
    if together is not None:
        return together, 0
    left = 0
    for entry in missing:
        together = added(book, None, [entry])
        left += together is None
        book = together or book
    return book, left


def _in_its_place(book: Book, entry: Entry) -> Book | None:
    """The book with an entry where its tablet wrote it; None where it cannot stand there."""
    later = (at for at, each in enumerate(book.entries) if each.tablet == entry.tablet and each.number > entry.number)
    place = next(later, len(book.entries))
    try:
        return Book.of(book.began, (*book.entries[:place], entry, *book.entries[place:]), book.tablet)
    except PageError:
        return None
