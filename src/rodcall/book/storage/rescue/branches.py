"""Puts into one book what two programs wrote into one job at the same time.

Where a lock could not be had, or was taken away, two sessions go on from the same entry, each with a journal of its
own. What the other wrote is put behind what is in the book. Where both were of one tablet they count alike, so the
other's entries are signed with the session too; doing it again finds them there already.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rodcall.book.book import Book
from rodcall.book.fold.page import Page, PageError
from rodcall.book.fold.round_page import Line
from rodcall.book.model.entries import Check, Confirm, Decision, Entry, LeaveOut, Shot, Strike

Key = tuple[str, int]
"""Tablet and number: what names an entry wherever books meet."""
_LONGEST_TABLET = 55
"""Characters of a tablet's name that stay before the session's."""


def key_of(entry: Entry) -> Key:
    """What names an entry."""
    return entry.tablet, entry.number


def need_of(entry: Entry) -> Key | None:
    """The entry that must come before it."""
    match entry:
        case Strike():
            return entry.written_on, entry.strikes
        case Decision():
            return entry.written_on, entry.about
        case Confirm():
            return entry.written_on, entry.confirms
    return None


def meaning(page: Page, line: Line) -> object:
    """What must be the same wherever the entry stands: height and round, or drift."""
    opened_by = page.opened_by(line.round)
    match line.entry:
        case Shot() | LeaveOut():
            return line.datum_nm, key_of(opened_by.entry) if opened_by is not None else None
        case Check():
            return line.drift_nm
    return None


def beyond(entries: Iterable[Entry], book: Book, session: str) -> list[Entry]:
    """Those of a session's entries that a book lacks, signed with the session where the book counts alike."""
    own = list(entries)
    here = {key_of(entry): entry for entry in book.entries}
    last: dict[str, int] = {}
    for entry in book.entries:
        last[entry.tablet] = max(last.get(entry.tablet, 0), entry.number)
    missing = [entry for entry in own if here.get(key_of(entry)) != entry]
    twice = {entry.tablet for entry in missing if entry.number <= last.get(entry.tablet, 0)}
    signed = [_signed(entry, {key_of(each) for each in missing if each.tablet in twice}, session) for entry in missing]
    return [entry for entry in signed if here.get(key_of(entry)) != entry]


def added(book: Book, begun: int | None, entries: Sequence[Entry]) -> Book | None:
    """A book with entries of another session behind its own; None where one cannot stand there or means another thing.

    Args:
        book: What is there.
        begun: How many of its entries the other session knew; None where that is not known.
        entries: What it wrote, as from `beyond`.
    """
    together, alone = Book(book.began, book.tablet), Book(book.began, book.tablet)
    try:
        for entry in [*book.entries, *entries]:
            together.take(entry)
        for entry in [*book.entries[: len(book.entries) if begun is None else begun], *entries]:
            alone.take(entry)
    except PageError:
        return None
    kept = all(
        meaning(together.page, together.page.lines[key]) == meaning(page, line)
        for page in (book.page, alone.page)
        for key, line in page.lines.items()
    )
    return together if kept else None


def _signed(entry: Entry, twice: set[Key], session: str) -> Entry:
    changed: dict[str, object] = {}
    if key_of(entry) in twice:
        changed["tablet"] = _name(entry.tablet, session)
    need = need_of(entry)
    if need is not None and need in twice:
        changed["written_on"] = _name(need[0], session)
    return entry.model_copy(update=changed) if changed else entry


def _name(tablet: str, session: str) -> str:
    return f"{tablet[:_LONGEST_TABLET]}-{session}"
