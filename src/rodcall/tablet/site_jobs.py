"""The jobs of a folder that belong to one site, and writing a check shot of one into the file of another."""

from __future__ import annotations

from pathlib import Path

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import Line
from rodcall.book.sharing import carry
from rodcall.book.storage.opening import JobFileError, open_job, open_to_write

Pads = list[tuple[Path, Book]]


def sites(folder: Path) -> dict[str, Pads]:
    """The jobs of a folder by their site, by file name; files that are no jobs are left out."""
    found: dict[str, Pads] = {}
    for path in sorted(folder.glob("*.json")):
        try:
            book = open_job(path, "reader").book
        except JobFileError:
            continue
        if book.job.site:
            found.setdefault(book.job.site, []).append((path, book))
    return dict(sorted(found.items()))


def carry_into(source: Book, check: Line, path: Path, tablet: str) -> None:
    """Write a check shot of one job into the file of another.

    Raises:
        JobFileError: when that file cannot be opened.
        PageError: when it is open elsewhere, or the check cannot be written there.
        OSError: when the disk refuses.
    """
    opened = open_to_write(path, tablet)
    try:
        if opened.read_only:
            raise PageError(opened.read_only)
        carry(source, check, opened.book)
        opened.save()
    finally:
        opened.close()
