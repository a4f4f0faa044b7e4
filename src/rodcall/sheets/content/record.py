"""What the book says besides the figures, frozen: whom and what a sheet has to name. All that a sheet takes from it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TypeVar

from rodcall.book.fold.page import ZERO, Page
from rodcall.book.fold.round_page import Line
from rodcall.book.model.entries import (
    Check,
    Confirm,
    Decision,
    Entry,
    Issue,
    LaserCheck,
    LeaveOut,
    MachineCheck,
    NotPad,
    Photo,
    Readings,
    Reference,
    Setup,
    Shot,
    Strike,
    Target,
)
from rodcall.book.model.entry_names import kind_words
from rodcall.book.model.grid import Walking
from rodcall.book.model.kinds.fields import FROM_FILE
from rodcall.book.model.own_reasons import reason_words
from rodcall.book.model.terms import MARGINS
from rodcall.book.storage.opening import JobFile
from rodcall.frozen import Frozen
from rodcall.i18n import counted, say

_E = TypeVar("_E", bound=Entry)


class ReferenceRecord(Frozen):
    """A hard point and its height above the zero in force, nanometres."""

    name: str
    height_nm: int
    description: str
    position: str
    """Where on the pad it lies; empty for one outside."""


class SetupRecord(Frozen):
    """The level set up on a reference."""

    time: datetime
    reference: str
    backsight_nm: int
    readings: Readings


class DecisionRecord(Frozen):
    """What was decided about the shots that a check made suspect, instead of shooting them again."""

    moved: int
    """How many shots were corrected; 0 where they were accepted as they are."""
    by_nm: int
    reason: str


class CheckRecord(Frozen):
    """A check shot: what a reference read, and how much higher than it is, nanometres."""

    time: datetime
    number: int
    reference: str
    reading_nm: int
    off_a_rod: bool
    """Whether that is a rod's reading; else it is a height."""
    drift_nm: int
    decision: DecisionRecord | None = None


class InstrumentTest(Frozen):
    """A test of the level, or of what the machine shows."""

    time: datetime
    what: str
    readings_nm: tuple[int, ...]
    distances_nm: tuple[int, ...] = ()


class Dropped(Frozen):
    """Something written that does not count: struck out, a position left out, or positions that are not pad."""

    number: int
    time: datetime
    round: int
    what: str
    """Left out, not pad, or the kind of entry that was struck."""
    at: str
    said: str
    why: str


class Remark(Frozen):
    """Words with their time: a note, or a decision about suspect shots."""

    time: datetime
    text: str


class PhotoRecord(Frozen):
    """A photo that lies beside the job."""

    time: datetime
    number: int
    file: str
    sha256: str
    at: str
    """What it shows; empty for the whole pad."""


class IssueRecord(Frozen):
    """A certificate that was issued."""

    time: datetime
    number: int
    report: str
    revision: int
    digest: str
    """Of the book as it was certified."""
    verdict: str
    """A code; empty where none is known."""
    order: int
    """Its place among the lines of the book."""


class SentRecord(Frozen):
    """Readings of one round that were not keyed in the cab."""

    round: int
    from_file: bool
    """They were read from a file; else they were keyed at the rod, on the helper's phone."""
    readings: int
    last: datetime


class Written(Frozen):
    """One entry in words, for what changed since the last certificate."""

    number: int
    time: datetime
    what: str
    at: str
    said: str


class Record(Frozen):
    """The book's own words on one job, as it stands."""

    begun: datetime
    ended: datetime
    """Time of the last entry."""
    entries: int
    digest: str
    """The last entry's seal: it stands for the whole book."""
    broken_seals: tuple[int, ...]
    """Places in the entries where a seal does not fit: edited outside of rodcall."""
    readings: Readings
    walking: Walking
    allowed_drift_nm: int
    references: tuple[ReferenceRecord, ...]
    setups: tuple[SetupRecord, ...]
    checks: tuple[CheckRecord, ...]
    """In the order of `Evidence.checks` ..."""
    withdrawn: tuple[CheckRecord, ...]
    """... and of `Evidence.withdrawn`: those struck."""
    tests: tuple[InstrumentTest, ...]
    dropped: tuple[Dropped, ...]
    remarks: tuple[Remark, ...]
    sent: tuple[SentRecord, ...] = ()
    """What of each round was not keyed in the cab."""
    shape: str = ""
    """Of the target in force besides its slopes, as it was said; empty for a plane."""
    facts: tuple[Written, ...] = ()
    """Facts of the job as they were set, `what` a term's name, oldest first; what was struck is not among them."""
    photos: tuple[PhotoRecord, ...] = ()
    issues: tuple[IssueRecord, ...] = ()
    """Oldest first."""
    since_issue: tuple[Written, ...] = ()
    """What was written between the certificate before and this one, or since the last where none is issued on this."""

    @property
    def issued(self) -> IssueRecord | None:
        """The certificate that was issued on the book as it stands; None where something was written since."""
        return self.issues[-1] if self.issues and self.issues[-1].order == self.entries - 1 else None


def record_of(opened: JobFile) -> Record:
    """Write down what the book of an opened job says."""
    book, page = opened.book, opened.book.page
    lines = list(page.lines.values())
    times = [line.entry.time for line in lines] or [book.job.created]
    return Record(
        begun=times[0],
        ended=times[-1],
        entries=len(lines),
        digest=opened.seal,
        broken_seals=opened.broken_seals,
        readings=page.readings,
        walking=page.walk,
        allowed_drift_nm=page.allowed_drift_nm,
        references=tuple(_references(page, lines)),
        setups=tuple(
            SetupRecord(entry.time, entry.reference, entry.backsight_nm, entry.readings)
            for entry in _of(Setup, page.setups)
        ),
        checks=tuple(_checks(page, page.checks)),
        withdrawn=tuple(_checks(page, page.withdrawn_checks)),
        tests=tuple(_test(line.entry) for line in page.tests),
        dropped=tuple(_dropped(page, lines)),
        remarks=tuple(_remarks(page)),
        sent=tuple(_sent(page)),
        shape=page.target.entry.shape if page.target and isinstance(page.target.entry, Target) else "",
        facts=tuple(_facts(page)),
        photos=tuple(
            PhotoRecord(entry.time, entry.number, entry.file, entry.sha256, entry.at)
            for entry in _of(Photo, page.photos)
        ),
        issues=tuple(_issues(page)),
        since_issue=tuple(_since_issue(page, lines)),
    )


FACTS = (
    *("instrument", "laser-spec", "tripod", "people", "weather", "stage", "north", "surface", "stone"),
    *("diagonal-1", "diagonal-2", *MARGINS),
)
"""Terms that a customer's sheet tells or hangs on, beside those that a proof is held against (`Evidence.agreed`)."""


def _facts(page: Page) -> Iterator[Written]:
    lines = (line for name in FACTS for line in page.term_lines(name))
    for line in sorted(lines, key=lambda each: each.order):
        entry = line.entry
        yield Written(entry.number, entry.time, str(getattr(entry, "name", "")), entry.tablet, entry.said)


def _issues(page: Page) -> Iterator[IssueRecord]:
    for line, entry in zip(page.issues, _of(Issue, page.issues), strict=True):
        yield IssueRecord(
            entry.time, entry.number, entry.report, entry.revision, entry.digest, entry.verdict, line.order
        )


def _since_issue(page: Page, lines: list[Line]) -> Iterator[Written]:
    issued = [line.order for line in page.issues]
    ends_here = bool(issued) and issued[-1] == len(lines) - 1
    before = issued[-2:-1] if ends_here else issued[-1:]
    if not before:
        return
    for line in lines[before[0] + 1 : len(lines) - ends_here]:
        entry = line.entry
        at = page.grid.name(line.index) if line.index >= 0 else _about(entry)
        what = kind_words(entry)
        if isinstance(entry, Strike):
            struck = page.lines[entry.written_on, entry.strikes]
            at = page.grid.name(struck.index) if struck.index >= 0 else _about(struck.entry)
            what = say("{kind}, struck", kind=kind_words(struck.entry))
        yield Written(entry.number, entry.time, what, at, str(getattr(entry, "text", "") or entry.said))


def _of(kind: type[_E], lines: list[Line]) -> Iterator[_E]:
    return (line.entry for line in lines if isinstance(line.entry, kind))


def _references(page: Page, lines: list[Line]) -> Iterator[ReferenceRecord]:
    """Each reference as it stands, the zero first."""
    latest = {line.entry.name: line.entry for line in lines if isinstance(line.entry, Reference) and not line.struck}
    for name, height in page.references.items():
        written = latest.get(name)
        position = written.position or "" if written is not None else ""
        if name == ZERO:
            position = page.grid.name(page.zero_index)
        yield ReferenceRecord(name, height, written.description if written is not None else "", position)


def _checks(page: Page, lines: list[Line]) -> Iterator[CheckRecord]:
    decisions = {line.base.order: line for line in page.decisions if line.base is not None}
    for line, entry in zip(lines, _of(Check, lines), strict=True):
        decided = decisions.get(line.order)
        yield CheckRecord(
            entry.time,
            entry.number,
            entry.reference,
            entry.reading_nm,
            line.base is not None,
            line.drift_nm,
            None
            if decided is None or not isinstance(decided.entry, Decision)
            else DecisionRecord(len(decided.moved), -line.drift_nm if decided.moved else 0, decided.entry.reason),
        )


def _test(entry: Entry) -> InstrumentTest:
    if isinstance(entry, LaserCheck):
        return InstrumentTest(entry.time, say(entry.test), entry.readings_nm, entry.distances_nm)
    assert isinstance(entry, MachineCheck)
    return InstrumentTest(entry.time, say("machine over {place}", place=entry.at), (entry.height_nm,))


def _dropped(page: Page, lines: list[Line]) -> Iterator[Dropped]:
    """What was struck, and the positions that are left out or not pad, in the order written."""
    struck_by = {
        (line.entry.written_on, line.entry.strikes): line.entry
        for line in lines
        if isinstance(line.entry, Strike) and not line.struck
    }
    numbers = {index: number for number, index in enumerate(page.rounds_counted, 1)}
    for key, line in page.lines.items():
        entry, at = line.entry, page.grid.name(line.index) if line.index >= 0 else ""
        if isinstance(entry, NotPad) and entry.to is not None:
            at = f"{entry.position}:{entry.to}"
        common = entry.number, entry.time, numbers.get(line.round, 0)
        reason = reason_words(entry.reason) if isinstance(entry, LeaveOut | NotPad) else ""
        if line.struck and not isinstance(entry, Strike):
            strike = struck_by.get(key)
            if strike is not None and _read_again(page, strike, line):
                reason = say("read again")
            when = strike.time if strike is not None else entry.time
            why = say("struck out {time}", time=f"{when:%H:%M}") + (f": {reason}" if reason else "")
            what = say("{kind}, struck", kind=kind_words(entry))
            yield Dropped(*common, what, at or _about(entry), entry.said, why)
        elif isinstance(entry, LeaveOut) and page.rounds[line.round].written_at(line.index)[-1] is line:
            yield Dropped(*common, say("left out"), at, "", reason)
        elif isinstance(entry, NotPad):
            yield Dropped(*common, say("not pad"), at, "", reason)


def _read_again(page: Page, strike: Strike, struck: Line) -> bool:
    """Was a reading struck by the one that was read again at its spot, in one act with it?"""
    before = page.lines.get((strike.tablet, strike.number - 1))
    return strike.together and before is not None and isinstance(before.entry, Shot) and before.index == struck.index


def _remarks(page: Page) -> Iterator[Remark]:
    for note in page.notes:
        yield Remark(note.time, note.text)
    for line in page.decisions:
        entry, check = line.entry, line.base
        assert isinstance(entry, Decision)
        assert check is not None
        moved = len(line.moved)
        done = counted(moved, "{number} shot shifted", "{number} shots shifted") if moved else say("shots kept")
        told = say("after check {number}: {done}", number=check.entry.number, done=done)
        yield Remark(entry.time, f"{told}, {entry.reason}" if entry.reason else told)
    for sent in _sent(page):
        readings = counted(sent.readings, "{number} reading", "{number} readings")
        told = (
            say("round {round}: {readings} read from a file", round=sent.round, readings=readings)
            if sent.from_file
            else say("round {round}: {readings} keyed on the helper's phone", round=sent.round, readings=readings)
        )
        yield Remark(sent.last, told)
    yield from _doubted(page)


def _sent(page: Page) -> Iterator[SentRecord]:
    """How many readings of each round were keyed on the helper's phone, and how many were read from a file."""
    numbers = {index: number for number, index in enumerate(page.rounds_counted, 1)}
    found: dict[tuple[int, bool], list[Shot]] = {}
    for line in page.lines.values():
        if isinstance(line.entry, Shot) and line.entry.sent_from and not line.struck and line.round in numbers:
            of = numbers[line.round], line.entry.sent_from.startswith(FROM_FILE)
            found.setdefault(of, []).append(line.entry)
    for (number, from_file), shots in found.items():
        yield SentRecord(number, from_file, len(shots), shots[-1].time)


def _doubted(page: Page) -> Iterator[Remark]:
    """Readings that did not fit and were kept, and those that were put right."""
    for line in page.lines.values():
        if line.struck:
            continue
        entry, name = line.entry, page.grid.name(line.index) if line.index >= 0 else ""
        if isinstance(entry, Confirm) and line.base is not None:
            said = line.base.entry.said
            kept = say("{position}: {said} did not fit its neighbours, and was kept", position=name, said=said)
            yield Remark(entry.time, kept)
        elif isinstance(entry, Shot) and entry.puts_right:
            why = say(entry.puts_right)
            mended = say("{position}: corrected to {said} ({mistake})", position=name, said=entry.said, mistake=why)
            yield Remark(entry.time, mended)


def _about(entry: Entry) -> str:
    """The reference that an entry names, if it does."""
    return str(getattr(entry, "reference", getattr(entry, "name", "")))
