"""Reads all that is left of a job: the file, its journals, the file before it.

Nothing is written in here, so that looking at a job changes nothing. What fits into the chain of seals, or is sound by
its own, is the book; what does not is told, and is put aside by whoever opens the job for writing. What cannot be read
is told too, and nobody writes into such a job.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from rodcall.book.storage.job_format import END_DIGITS, MOST_BYTES, Document, FileLine, JobFileError, Make, TornError
from rodcall.book.storage.journal import Found, find_journal, journals_of
from rodcall.book.storage.rescue.heads import Before, Follow, add_lines, find_document
from rodcall.book.storage.rescue.salvage import Salvage, assemble, read
from rodcall.book.storage.safe_read import fetch, reason
from rodcall.frozen import Frozen
from rodcall.i18n import say


class Branch(Frozen):
    """What a session wrote that does not go on from the end of the book: another program wrote there too."""

    journal: Found
    begun: int | None
    """How many entries of the book stand before it; None where that is not known."""
    lines: list[FileLine]


@dataclass
class OnDisk:
    """A job as it was found."""

    document: Document
    """The job; its entries are `entries`."""
    entries: Salvage
    """All entries: those of the file, then those of the journals."""
    in_file: int = 0
    """How many of them the file itself holds."""
    damaged: bool = False
    """The file was not whole; what of it is sound is here."""
    journals: list[Path] = field(default_factory=list)
    """Those that were read to the end: they may go once the book is in the file and `torn` is kept."""
    sizes: dict[Path, int] = field(default_factory=dict)
    """How many bytes of each were read."""
    torn: list[bytes] = field(default_factory=list)
    """What belongs to no entry: a torn end, the damaged file, another job's journal."""
    unread: list[str] = field(default_factory=list)
    """What is there and cannot be read, each with the reason."""
    raw: bytes = b""
    """The file as it lies there."""
    apart: list[bytes] = field(default_factory=list)
    """What another program wrote that cannot stand in this book, as job files of their own."""
    added: int = 0
    """How many entries of other programs are put into the book."""
    lost: tuple[int, int] = (1, 0)
    """The first and the last of the entries that a journal goes on from and no file holds; none as it stands here."""
    missing_places: list[int] = field(default_factory=list)
    """Places of entries that were damaged, or are missing at the end, and are in no file."""
    follow: list[tuple[str, int]] = field(default_factory=list)
    """Tablet and number of entries that follow on a missing one, where the book does not tell so yet."""
    lost_lines: int = 0
    """Lines of journals that no entry could be made of."""
    branches: list[Branch] = field(default_factory=list)

    def entries_left_out(self) -> list[str]:
        """The lines of the file that no entry could be made of, each in one line."""
        return [
            *(say("entry {place} cannot be read", place=place) for place in self.entries.left_out),
            *(say("entry {place} is there twice", place=place) for place in self.entries.doubled),
        ]

    @property
    def in_journal(self) -> int:
        """How many entries only the journals hold, of those that go on from the file."""
        return len(self.entries.lines) - self.in_file


def look(path: Path, make: Make, names: Iterable[str] | None = None) -> OnDisk:
    """Read all that the disk holds of a job; `make` is given the content of each entry (see `job_format.Line`).

    Args:
        path: The job file.
        make: As `job_format.read_line` takes it.
        names: What is in its folder, where that is known already.

    Raises:
        JobFileError: when there is no job, or nothing of it fits together.
    """
    # The journals first: folded in between, their entries are then in the file, not in neither.
    found, unread = _journals(path, names)
    raw = read_bytes(path)
    before = Before(path, make, unread)
    chains = [(each, assemble(each.seal, each.texts, make, edited=False)) for each in found if each.seal]
    ahead: dict[str, FileLine] = {}
    for each, chain in chains:
        add_lines(ahead, each.seal, chain)

    def elsewhere() -> Follow:
        return ChainMap(ahead, before.follow())

    document, damaged = find_document(raw, path, make, found, before)
    entries = assemble(document.first_seal, document.texts, make, elsewhere)
    ends_otherwise = _ends_otherwise(document, entries)
    damaged = damaged or not entries.is_whole or ends_otherwise
    here = OnDisk(document, entries, len(entries.lines), damaged, unread=unread, raw=raw)
    if damaged:
        here.torn.append(raw)
        if not entries.ends_hurt:
            _go_on(entries, before.follow())
    here.in_file = len(entries.lines)
    if not entries.lines and document.texts and damaged and not ahead:
        raise TornError(path, say("its parts do not fit together"))
    _go_on(entries, ahead)
    cut_off = _cut_off(document, entries) if ends_otherwise else range(0)
    here.missing_places = [*entries.left_out, *cut_off]
    if cut_off:
        here.lost = cut_off[0], cut_off[-1]
    _take_journals(here, found, dict(zip((each.path for each, _ in chains), (c for _, c in chains), strict=True)), make)
    return here


def _ends_otherwise(document: Document, entries: Salvage) -> bool:
    """Does the last entry of a file differ from what the file says of it, where nobody edited it?"""
    end = document.end
    if end is None:
        return False
    seal, seen = _last_seal(document, entries), len(document.texts) - len(entries.doubled)
    return end.entries > seen or not (entries.broken or (end.seal, end.entries) == (seal, seen))


def _cut_off(document: Document, entries: Salvage) -> range:
    """Places of entries that a file had at its end and that are nowhere now."""
    end, seen = document.end, len(document.texts) - len(entries.doubled)
    if end is None or any(line.seal[:END_DIGITS] == end.seal for line in entries.lines):
        return range(0)
    return range(seen + 1, end.entries + 1)


def _last_seal(document: Document, entries: Salvage) -> str:
    """The digits of the last entry's seal as a file's end has them."""
    return (entries.seal if document.texts else document.first_seal)[:END_DIGITS]


def read_bytes(path: Path) -> bytes:
    """A file's bytes; one too large is read only far enough to tell.

    Raises:
        JobFileError: when it cannot be read.
    """
    try:
        raw = fetch(path, MOST_BYTES)
    except OSError as error:
        raise JobFileError(path, say("cannot be read ({why})", why=reason(error))) from None
    except ValueError:
        raise JobFileError(path, say("no file can have that name")) from None
    if raw is None:
        raise JobFileError(path, say("cannot be read ({why})", why=say("no such file or directory")))
    return raw


def _journals(path: Path, names: Iterable[str] | None) -> tuple[list[Found], list[str]]:
    """The journals of a job, and what of them cannot be read."""
    found, unread = [], []
    try:
        paths = journals_of(path, names)
    except OSError as error:
        return [], [say("{file} cannot be read ({why})", file=path.parent.name, why=reason(error))]
    except ValueError:
        return [], []
    for each in paths:
        try:
            journal = find_journal(each)
        except OSError as error:
            unread.append(say("{file} cannot be read ({why})", file=each.name, why=reason(error)))
        else:
            if journal is not None:
                found.append(journal)
    return found, unread


def _go_on(entries: Salvage, follow: Follow) -> None:
    """Append what follows on the last entry, as far as it goes."""
    for _ in range(len(follow)):
        line = follow.get(entries.seal)
        if line is None:
            return
        entries.lines.append(line)
        entries.seal = line.seal


def _take_journals(here: OnDisk, found: Sequence[Found], chains: Mapping[Path, Salvage], make: Make) -> None:
    """What each journal holds beyond the book: entries of another program, or nothing that can be read."""
    first = here.document.first_seal
    places = {line.seal: place for place, line in enumerate(here.entries.lines, 1)} | {first: 0}
    rest: list[Branch] = []
    for each in found:
        here.journals.append(each.path)
        here.sizes[each.path] = len(each.raw)
        if not _is_of(each, here.document):
            if each.raw:
                here.torn.append(each.raw)
            continue
        chain = chains.get(each.path) or _adopted(each, places, make)
        at_end = not each.raw.endswith(b"\n") and chain.ends_hurt
        here.torn += [each.texts[place - 1].encode("utf-8", "surrogateescape") for place in chain.left_out]
        if at_end:
            here.torn[-1] = each.raw.rpartition(b"\n")[2]
        lost = chain.left_out[: len(chain.left_out) - at_end]
        here.lost_lines += len(lost)
        here.missing_places += [each.entries + place for place in lost]
        lines = [line for line in chain.lines if line.seal not in places]
        if lines:
            rest.append(Branch(each, places.get(each.seal) if each.seal else None, lines))
    here.branches = sorted(rest, key=_age)


def _is_of(journal: Found, document: Document) -> bool:
    if journal.job is None:
        return bool(journal.texts)
    if journal.job != document.head.get("id"):
        return False
    return journal.agreed is None or journal.agreed.head == document.head


def _adopted(journal: Found, places: dict[str, int], make: Make) -> Salvage:
    """The lines of a journal whose first line cannot be read, after whichever entry they fit on."""
    line = read(journal.texts[0], make)
    seal = next((seal for seal in reversed(list(places)) if line is not None and line.fits(seal)), "")
    return assemble(seal, journal.texts, make, edited=False)


def _age(branch: Branch) -> tuple[float, str]:
    """The older first: what it wrote was there before the other began."""
    time = getattr(branch.lines[0].made, "time", None)
    return time.timestamp() if time is not None else 0.0, branch.journal.path.name
