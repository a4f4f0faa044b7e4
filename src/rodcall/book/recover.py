"""What the disk holds of a job after whatever happened: the file, the journal beside it, the file before it.

Nothing is written in here, so that looking at a job changes nothing. What fits into the chain of seals is the book;
what does not is told, and is put aside by whoever opens the job for writing.
"""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from rodcall.book.journal import Found, find_journal
from rodcall.book.replace import beside
from rodcall.book.sealed import (
    MOST_BYTES,
    Document,
    JobFileError,
    Line,
    Make,
    TornError,
    checked,
    pieces,
    read_document,
    read_line,
    read_top,
)
from rodcall.language import say


@dataclass
class OnDisk:
    """A job as it was found."""

    document: Document
    """All entries: those of the file, then those of the journal."""
    in_file: int
    """How many of them the file itself holds."""
    damaged: bool = False
    """The file was not whole; what of it fits is here."""
    journal: bool = False
    """A journal lies beside it."""
    torn: list[bytes] = field(default_factory=list)
    """What belongs to no entry: a torn end, the damaged file, another job's journal."""

    @property
    def in_journal(self) -> int:
        """How many entries only the journal holds."""
        return len(self.document.lines) - self.in_file


def before_of(path: Path) -> Path:
    """Where the last good file but one is."""
    return beside(path, ".before")


def look(path: Path, make: Make) -> OnDisk:
    """Read all that the disk holds of a job; `make` is given the content of each entry (see `sealed.Line`).

    Raises:
        JobFileError: when there is no job, or nothing of it fits together.
    """
    # The journal first: folded in between, its entries are then in the file, not in neither.
    found = find_journal(path)
    raw = read_bytes(path)
    try:
        here = OnDisk(read_document(raw, path, make), 0)
    except TornError as error:
        here = OnDisk(_salvaged(raw, path, error, make), 0, damaged=True, torn=[raw])
    here.in_file = len(here.document.lines)
    if found is not None:
        here.journal = True
        here.torn += _followed(here.document, found, make)
    return here


def read_bytes(path: Path) -> bytes:
    """A file's bytes; one too large is read only far enough to tell.

    Raises:
        JobFileError: when it cannot be read.
    """
    try:
        with open(path, "rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise JobFileError(path, say("cannot be read ({why})", why=reason(error))) from None
    except ValueError:
        raise JobFileError(path, say("no file can have that name")) from None


def reason(error: OSError) -> str:
    """Why the disk refused, in the system's own words."""
    return (error.strerror or str(error) or say("no reason given")).lower()


def _followed(document: Document, found: Found, make: Make) -> list[bytes]:
    """Append what the journal holds beyond the file; returns what of it does not fit."""
    lines, begun = document.lines, found.entries
    known = [document.first_seal, *(line.seal for line in lines)]
    fits = found.job == document.head.get("id") and isinstance(begun, int) and 0 <= begun < len(known)
    if not isinstance(begun, int) or not fits or found.seal != known[begun]:
        return [found.raw]
    for number, text in enumerate(found.lines):
        place = begun + number
        line = _read(text, make)
        if line is None or (line.seal != known[place + 1] if place + 1 < len(known) else not line.fits(known[-1])):
            return [found.after(number)]
        if place + 1 == len(known):
            lines.append(line)
            known.append(line.seal)
    rest = found.after(len(found.lines))
    return [rest] if rest else []


def _salvaged(raw: bytes, path: Path, error: TornError, make: Make) -> Document:
    """The longest unbroken chain of a file that is not whole, with the file before it for what is missing.

    Raises:
        TornError: when nothing fits together.
    """
    head, texts = pieces(raw)
    sources, tops = [texts], []
    with contextlib.suppress(ValueError, RecursionError, JobFileError):
        tops.append(checked(read_top(head), path))
    with contextlib.suppress(JobFileError):
        before = read_document(read_bytes(before_of(path)), path, make)
        sources.append([line.text for line in before.lines])
        tops.append(Document(before.version, before.head, [], before.joined))
    for top in tops:
        top.lines = _chain(top, sources, make)
    best = max(tops, key=lambda top: len(top.lines), default=None)
    if best is None or (not best.lines and len(texts) > 1):
        raise error
    return best


def _chain(top: Document, sources: Sequence[Sequence[str]], make: Make) -> list[Line]:
    """Line by line, whichever source has the one that is sealed over the last."""
    chain: list[Line] = []
    seal = top.first_seal
    for place in count():
        candidates = (_read(source[place], make) for source in sources if place < len(source))
        following = next((line for line in candidates if line is not None and line.fits(seal)), None)
        if following is None:
            return chain
        chain.append(following)
        seal = following.seal
    return chain


def _read(text: str, make: Make) -> Line | None:
    try:
        return read_line(text, make)
    except (ValueError, RecursionError):
        return None
