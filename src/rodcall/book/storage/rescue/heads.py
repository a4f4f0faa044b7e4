"""What stands before the entries of a file, where that was damaged: mended, or from a journal or the file before.

The first entry follows on the seal of what was agreed, so that the right head is known by the entries that fit on it.
"""

from __future__ import annotations

from collections.abc import MutableMapping, Sequence
from pathlib import Path

from rodcall.book.storage.beside_job import before_of
from rodcall.book.storage.job_format import (
    MOST_BYTES,
    Document,
    FileLine,
    JobFileError,
    Make,
    TornError,
    checked,
    read_document,
    read_top,
)
from rodcall.book.storage.journal import Found
from rodcall.book.storage.rescue.salvage import Salvage, assemble, mended_head, pieces, read, split_lines
from rodcall.book.storage.safe_read import fetch, reason
from rodcall.i18n import say

Follow = MutableMapping[str, FileLine]
"""Lines by the seal that each follows on."""
_MOST_TRIED = 50
"""Lines that are held against each head that may be theirs."""


class Before:
    """The file before the last one, read where the last one lacks something."""

    def __init__(self, path: Path, make: Make, unread: list[str]) -> None:
        self._path, self._make, self._unread = before_of(path), make, unread
        self._document: Document | None = None
        self._follow: dict[str, FileLine] | None = None

    @property
    def document(self) -> Document | None:
        """The job that it holds; None where there is none."""
        self.follow()
        return self._document

    def follow(self) -> Follow:
        """Its lines."""
        if self._follow is None:
            self._follow = {}
            try:
                raw = fetch(self._path, MOST_BYTES, links=False)
                if raw is not None:
                    self._document = read_document(raw, self._path)
                    first = self._document.first_seal
                    add_lines(self._follow, first, assemble(first, self._document.texts, self._make, edited=False))
            except OSError as error:
                self._unread.append(say("{file} cannot be read ({why})", file=self._path.name, why=reason(error)))
            except JobFileError:
                self._document = None
        return self._follow


def find_document(
    raw: bytes, path: Path, make: Make, journals: Sequence[Found], before: Before
) -> tuple[Document, bool]:
    """The job file, and whether something was wrong with it.

    Raises:
        JobFileError: when nothing of it fits together.
    """
    try:
        document = read_document(raw, path)
    except JobFileError as error:
        if len(raw) > MOST_BYTES:
            raise
        mended = _with_head_mended(raw, path, journals, wrong=not isinstance(error, TornError))
        if mended is not None:
            return mended, True
        if not isinstance(error, TornError):
            raise
        return _salvaged(raw, path, error, make, journals, before), True
    first = read(document.texts[0], dict) if document.texts else None
    if first is not None and not first.fits(document.first_seal):
        mended = _with_head_mended(raw, path, journals, wrong=False)
        if mended is not None:
            return mended, True
    return document, False


def _with_head_mended(raw: bytes, path: Path, journals: Sequence[Found], *, wrong: bool) -> Document | None:
    """The file with the one bit before its entries put right that makes their seals fit; None where none does.

    Args:
        raw: The file.
        path: Its name.
        journals: Those beside it: their seals tell too.
        wrong: Whether something is wrong with the file even where what stands before its entries is right.
    """
    cut = pieces(raw)
    if cut is None:
        return None
    head, texts = cut
    firsts = [line for line in (read(text, dict) for text in texts[:1]) if line is not None]

    def is_right(candidate: str) -> bool:
        document = _top(candidate, path)
        return document is not None and (
            any(line.fits(document.first_seal) for line in firsts)
            or any(each.seal == document.first_seal for each in journals)
        )

    if not (firsts or journals) or (is_right(head) and not wrong):
        return None
    right = head if is_right(head) else mended_head(head, is_right)
    document = _top(right, path) if right is not None else None
    if document is not None:
        document.texts = texts
    return document


def _salvaged(
    raw: bytes, path: Path, error: TornError, make: Make, journals: Sequence[Found], before: Before
) -> Document:
    """The lines of a file that is not whole, after the head that they follow on, wherever that is found.

    Raises:
        TornError: when there is none.
    """
    head, texts = pieces(raw) or ("", list(split_lines(raw)))
    tops = [_top(head, path), *(each.agreed for each in journals), before.document]
    known: list[Document] = []
    for at, top in enumerate(tops):
        if top is not None and all(top.head != other.head for other in known):
            # Only the file's own head says how far its entries went.
            known.append(Document(top.version, top.head, texts, top.joined, None if at else top.end))
    if not known:
        raise error
    best = max(known, key=lambda top: _fitting(top, make))
    if not _fitting(best, make) and len(texts) > 1 and not before.follow():
        raise error
    return best


def _fitting(top: Document, make: Make) -> int:
    """How many of the first lines fit after a head."""
    found = assemble(top.first_seal, top.texts[:_MOST_TRIED], make)
    return len(found.lines) - len(found.broken)


def _top(head: str, path: Path) -> Document | None:
    try:
        return checked(read_top(head), path)
    except (ValueError, RecursionError, JobFileError):
        return None


def add_lines(follow: dict[str, FileLine], seal: str, found: Salvage) -> None:
    """Lines by what they follow on; one before which another is missing follows on nothing that is here."""
    broken = set(found.broken)
    for place, line in enumerate(found.lines, 1):
        if place not in broken:
            follow.setdefault(seal, line)
        seal = line.seal
