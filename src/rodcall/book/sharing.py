"""What jobs of one site share: references, the set-up in force, and the check shots taken on it.

A set-up that several jobs share is one standing of one level: it keeps the identity of the entry that wrote it first,
and a check on it, shot in one job, can be carried into the others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from functools import partial

from rodcall.book.book import Book
from rodcall.book.fold.page import ZERO, PageError
from rodcall.book.fold.round_page import Change, Line
from rodcall.book.model.entries import Check, Readings, Reference, Setup
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.units import write


def identity(book: Book, line: Line) -> str:
    """What a set-up or a check is known by in every job that shares it."""
    entry = line.entry
    shared = entry.shared if isinstance(entry, Setup | Check) else ""
    return shared or f"{book.began.id}:{entry.tablet}:{entry.number}"


def share_references(source: Book, into: Book) -> list[str]:
    """Write the references of another job, its datum and the set-up in force into a job; what was written, in words.

    Heights stay those above the other job's zero: both jobs are told from one level.

    Raises:
        PageError: when one cannot stand there; the book is to be thrown away then.
    """
    told, unit = [], into.job.heights
    for name, height in source.page.references.items():
        if name in into.page.references:
            continue
        described = _described(source, name)
        into.refer(name, write(height, unit) if height else "0", say("as in {job}", job=source.job.name) + described)
        told.append(f"{name} {write(height, unit, mark=True)}")
    datum = source.page.terms_set.get("datum")
    if datum is not None and "datum" not in into.page.terms_set:
        into.set_term("datum", datum.said)
        told.append(f"datum {datum.said}")
    setup = source.page.setup
    rods = Readings.HEIGHT not in (into.job.readings, source.page.readings)
    if setup is not None and isinstance(setup.entry, Setup) and rods:
        backsight = write(setup.entry.backsight_nm, unit, sign=False, mark=True)
        readings, known = setup.entry.readings, setup.entry.reference
        into.set_up(known, backsight, readings, shared=identity(source, setup))
        told.append(say("set-up on {reference}, backsight {backsight}", reference=known, backsight=backsight))
    return told


def checks_to_carry(source: Book, into: Book) -> Iterator[tuple[Line, str]]:
    """Check shots of a job that another lacks and that were taken on the set-up that is in force there.

    With each comes why it cannot be carried, in one line, or nothing where it can.
    """
    setup = into.page.setup
    if setup is None:
        return
    known = {identity(into, check) for check in into.page.checks}
    for check in source.page.checks:
        if check.base is None or identity(source, check.base) != identity(into, setup):
            continue
        if identity(source, check) in known:
            continue
        yield check, _why_not(check, into)


class SharedCheck(Frozen):
    """One check shot of a site, and the jobs that it proves; jobs by their place among those of the site."""

    shot_in: int
    line: Line
    stands_in: tuple[int, ...]
    """Jobs that have it, ascending."""
    serves: tuple[int, ...]
    """Jobs on the same set-up that lack it and can take it."""
    refused: tuple[tuple[int, str], ...]
    """Jobs on the same set-up that cannot take it any more, and why."""


def shared_checks(books: Sequence[Book]) -> list[SharedCheck]:
    """The check shots of a site, each once, by their time."""
    found: dict[str, tuple[int, Line]] = {}
    stands: dict[str, list[int]] = {}
    for at, book in enumerate(books):
        for line in book.page.checks:
            name = identity(book, line)
            stands.setdefault(name, []).append(at)
            assert isinstance(line.entry, Check)
            if name not in found or not line.entry.shared:
                found[name] = at, line
    told = []
    for name, (at, line) in found.items():
        lacking = {
            other: why
            for other, book in enumerate(books)
            if other != at
            for check, why in checks_to_carry(books[at], book)
            if check is line
        }
        serves = tuple(other for other, why in lacking.items() if not why)
        refused = tuple((other, why) for other, why in lacking.items() if why)
        told.append(SharedCheck(at, line, tuple(stands[name]), serves, refused))
    return sorted(told, key=lambda each: each.line.entry.time)


def shared_setups(books: Sequence[Book]) -> list[tuple[Line, tuple[int, ...]]]:
    """Every set-up of a site as it was written first, and the jobs that are shot from it, by its time."""
    found: dict[str, tuple[Line, list[int]]] = {}
    for at, book in enumerate(books):
        for line in book.page.setups:
            found.setdefault(identity(book, line), (line, []))[1].append(at)
    told = [(line, tuple(dict.fromkeys(jobs))) for line, jobs in found.values()]
    return sorted(told, key=lambda each: each[0].entry.time)


def carry(source: Book, check: Line, into: Book) -> list[Change]:
    """Write a check shot of one job into another, with its own time and where it was shot; what that changed.

    Raises:
        PageError: when it cannot stand there.
    """
    entry = check.entry
    assert isinstance(entry, Check)
    why = _why_not(check, into)
    if why:
        raise PageError(why)
    clock = into.clock
    into.clock = partial(_at, entry)
    try:
        name, number = source.job.name, entry.number
        why = say(
            "check on {reference} shot in {job}, entry {number}", reference=entry.reference, job=name, number=number
        )
        noted = into.note(why)
        said = write(entry.reading_nm, into.job.heights, sign=into.page.readings is Readings.DIRECT_ROD, mark=True)
        return [noted, into.check(entry.reference, said, shared=identity(source, check))]
    finally:
        into.clock = clock


def _at(entry: Check) -> datetime:
    return entry.time


def _why_not(check: Line, into: Book) -> str:
    """A check says nothing of shots after it, and a book goes forward."""
    assert isinstance(check.entry, Check)
    if into.entries and into.entries[-1].time > check.entry.time:
        return say("{job} was written after that check; shoot a check there", job=into.job.name)
    if check.entry.reference not in into.page.references:
        return say("{job} has no reference {reference}", job=into.job.name, reference=check.entry.reference)
    return ""


def _described(source: Book, name: str) -> str:
    if name == ZERO:
        return ""
    lines = source.page.references_written.get(name, [])
    entry = lines[-1].entry if lines else None
    return f"; {entry.description}" if isinstance(entry, Reference) and entry.description else ""
