"""Two tablets' books of one job as one, by tablet and number, whichever is named first.

Entries are put in the order of their times, then of tablet and number; but each tablet's own entries stay in their
order whatever its clock said, and a strike comes after what it strikes. That depends on nothing but the entries, so
joining in any order, or twice, gives the same book.

What an entry means must not change by it: a shot keeps its height and its round, a check its drift. Where two tablets
worked from setups or rounds of their own at the same time, the order of times would move readings from one to the
other; then one book goes whole before what the other adds. Where that would change a reading too, they are not joined.

The joined book has a chain of seals of its own. It names the books that it comes from by their last seals, and the
entries whose seals were broken there, which go on telling.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from heapq import heappop, heappush
from pathlib import Path
from typing import Any

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Entry
from rodcall.book.storage.opening import JobFile
from rodcall.book.storage.rescue.branches import Key, key_of, meaning, need_of
from rodcall.i18n import say


class JoinError(ValueError):
    """Books that cannot be joined; one line."""


def join(one: JobFile, other: JobFile, path: Path) -> JobFile:
    """The book of both, to be kept at `path`; nothing is written yet.

    Raises:
        JoinError: when they are of different jobs, when one entry is not the same in both, or when no order keeps
            what every entry means.
    """
    _same_job(one, other)
    entries = _united(one, other)
    for order in _orders(one, other, entries):
        book = _kept_as_meant(order, one, other)
        if book is not None:
            return JobFile(path, book, _origin(one, other, len(entries)))
    raise JoinError(say("cannot join: a shot would change its height or round, since the set-ups or rounds differ"))


def _same_job(one: JobFile, other: JobFile) -> None:
    if one.book.job.id != other.book.job.id:
        names = say(" and ").join(repr(file.book.job.name[:40]) for file in (one, other))
        raise JoinError(say("two different jobs: {names}", names=names))
    agreed, there = (file.book.began.model_dump() for file in (one, other))
    differing = next((name for name, value in agreed.items() if value != there[name]), None)
    if differing is not None:
        raise JoinError(say("{field} differs between the two books", field=differing))


def _united(one: JobFile, other: JobFile) -> dict[Key, Entry]:
    entries = {key_of(entry): entry for entry in one.book.entries}
    for entry in other.book.entries:
        if entries.setdefault(key_of(entry), entry) != entry:
            raise JoinError(
                say(
                    "entry {number} of tablet {tablet} is not the same in both",
                    number=entry.number,
                    tablet=entry.tablet,
                )
            )
    return entries


def _orders(one: JobFile, other: JobFile, entries: dict[Key, Entry]) -> Iterator[list[Entry]]:
    """The orders to be tried, the same ones whichever book is named first."""
    yield _by_time(entries)
    mine, others = (file.book.entries for file in (one, other))
    mine_alone, others_alone = _beyond(mine, others), _beyond(others, mine)
    if mine_alone and others_alone:
        first, second = (mine, others_alone), (others, mine_alone)
        if min(map(_rank, others_alone)) < min(map(_rank, mine_alone)):
            first, second = second, first
        for whole, added in (first, second):
            yield [*whole, *added]


def _beyond(entries: Iterable[Entry], known: Iterable[Entry]) -> list[Entry]:
    keys = set(map(key_of, known))
    return [entry for entry in entries if key_of(entry) not in keys]


def _by_time(entries: dict[Key, Entry]) -> list[Entry]:
    """In the order of times, as far as each tablet's own order and the strikes allow."""
    waiting: dict[str, list[Entry]] = {}
    for entry in sorted(entries.values(), key=lambda entry: -entry.number):
        waiting.setdefault(entry.tablet, []).append(entry)
    ordered: dict[Key, Entry] = {}
    blocked: dict[Key, list[Entry]] = {}
    ready: list[tuple[tuple[float, str, int], Entry]] = []

    def offer(entry: Entry) -> None:
        need = need_of(entry)
        if need is None or need in ordered or need not in entries:
            heappush(ready, (_rank(entry), entry))
        else:
            blocked.setdefault(need, []).append(entry)

    for own in waiting.values():
        offer(own.pop())
    while ready:
        _, entry = heappop(ready)
        ordered[key_of(entry)] = entry
        own = waiting[entry.tablet]
        for following in [*blocked.pop(key_of(entry), []), *([own.pop()] if own else [])]:
            offer(following)
    if len(ordered) < len(entries):
        raise JoinError(say("cannot join: the strikes of the two books form a circle"))
    return list(ordered.values())


def _kept_as_meant(order: Sequence[Entry], one: JobFile, other: JobFile) -> Book | None:
    """The book in this order, or None where an entry cannot stand in it, or means something else."""
    book = Book(one.book.began, one.book.tablet)
    try:
        for entry in order:
            book.take(entry)
    except PageError:
        return None
    sources = (one.book.page, other.book.page)
    kept = all(
        meaning(book.page, book.page.lines[key]) == meaning(page, line)
        for page in sources
        for key, line in page.lines.items()
    )
    return book if kept else None


def _origin(one: JobFile, other: JobFile, entries: int) -> dict[str, Any]:
    books = {seal: kept for file in (one, other) for seal, kept in _books(file)}
    edited = {key_of(file.book.entries[place - 1]) for file in (one, other) for place in file.broken_seals}
    return {
        "entries": entries,
        "books": [{"seal": seal, "entries": books[seal]} for seal in sorted(books)],
        "edited": [list(key) for key in sorted(edited)],
    }


def _books(file: JobFile) -> Iterator[tuple[str, int]]:
    """Last seal and length of the books that a file comes from: its own unless it was joined and left as it was."""
    before = file.joined.get("books")
    for each in before if isinstance(before, list) else ():
        if isinstance(each, dict) and isinstance(each.get("seal"), str) and isinstance(each.get("entries"), int):
            yield each["seal"], each["entries"]
    if file.joined.get("entries") != len(file.book.entries):
        yield file.seal, len(file.book.entries)


def _rank(entry: Entry) -> tuple[float, str, int]:
    return entry.time.timestamp(), entry.tablet, entry.number
