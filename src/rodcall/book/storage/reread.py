"""The book that a job file holds: each entry made again, checked, and folded into the page.

An entry that was damaged, or that hangs on one that is not here any more, is left out and named; one that is as it was
sealed and still cannot be taken was written by a newer program, and then nothing is opened.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import KINDS, Entry
from rodcall.book.model.job import Job
from rodcall.book.model.refused import first_trouble
from rodcall.book.storage.job_format import VERSION, Document, JobFileError, read_line
from rodcall.book.storage.migrate import bring_up
from rodcall.book.storage.rescue.recovery import OnDisk
from rodcall.book.storage.rescue.salvage import Salvage
from rodcall.i18n import say

_KINDS: dict[str, type[Entry]] = {kind.model_fields["kind"].default: kind for kind in KINDS}
"""Each kind checks itself, so that opening builds no checker for kinds that the book does not hold."""


def book_of(here: OnDisk, path: Path, tablet: str) -> tuple[Book, dict[int, str]]:
    """The book of a job as it lies on the disk, and by its place in the lines each one that is left out, and why.

    Raises:
        JobFileError: with what cannot be, where it is as it was sealed.
    """
    document, lines = here.document, here.entries.lines
    head, made = document.head, [line.made for line in lines]
    if document.version < VERSION:
        contents = [read_line(line.text, dict).made for line in lines]
        head, contents = bring_up(document.version, VERSION, head, contents)
        made = [entry_of(content) for content in contents]
    try:
        book = Book(Job.model_validate(head), tablet)
    except ValidationError as error:
        raise JobFileError(path, say("job{trouble}", trouble=_first(error))) from None
    left_out: dict[int, str] = {}
    broken = set(here.entries.broken)
    for place, entry in enumerate(made, 1):
        try:
            if isinstance(entry, str):
                raise PageError(entry)
            book.take(entry)
        except PageError as error:
            why = say("entry {place}", place=place) + entry if isinstance(entry, str) else ""
            why = why or say("entry {place}: {why}", place=place, why=error)
            if not (here.damaged or left_out or place in broken):
                raise JobFileError(path, why) from None
            left_out[place] = why
    return book, left_out


def entry_of(content: Any) -> Entry | str:
    """The entry of a content, or what is wrong with it, as it goes on behind its place."""
    kind = content.get("kind")
    if not isinstance(kind, str) or kind not in _KINDS:
        return say(": unknown kind {kind}", kind=repr(str(kind)[:24]))
    try:
        return _KINDS[kind].model_validate(content)
    except ValidationError as error:
        return _first(error)


def edited_before_joining(document: Document, entries: Salvage) -> Iterator[int]:
    """Places of entries whose seal was broken in the book that they were joined from."""
    edited = document.joined.get("edited")
    if isinstance(edited, list):
        for place, line in enumerate(entries.lines, 1):
            if isinstance(line.made, Entry) and [line.made.tablet, line.made.number] in edited:
                yield place


def _first(error: ValidationError) -> str:
    """The first complaint, in one line, as it goes on behind its place."""
    place, why = first_trouble(error)
    where = " ".join(ascii(part).strip("'") for part in place[-1:])
    return f"{': ' + where if where else ''}: {why}"[:140]
