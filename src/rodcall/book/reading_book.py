"""The part of the field book that takes readings: shots, set-ups, references, checks, and what undo strikes.

Each method writes one entry and says what it changed. What cannot be understood, or cannot stand, raises one
line of text and leaves the book as it was.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Self

from pydantic import ValidationError

from rodcall.book.fold.page import ZERO, Page, PageError
from rodcall.book.fold.round_page import Change, Line
from rodcall.book.model.entries import (
    ELEVATION_LIMIT,
    TEXT_LIMIT,
    Check,
    Decision,
    Entry,
    LaserCheck,
    LaserTest,
    LeaveOut,
    MachineCheck,
    Placed,
    Readings,
    Reference,
    Remedy,
    RoundKind,
    Setup,
    Shot,
    Strike,
    Zero,
)
from rodcall.book.model.job import Job
from rodcall.book.model.restated import NOTHING_ADDED
from rodcall.i18n import say
from rodcall.units import parse_height, parse_length, parse_reading

DoesNotFit = Callable[[int], bool]
"""Tells whether what counts at a position's index does not fit its neighbours."""


def local_time() -> datetime:
    """Now, to the millisecond, with the offset of the place."""
    now = datetime.now().astimezone()
    return now.replace(microsecond=now.microsecond // 1000 * 1000)


class ReadingBook:
    """A job and its entries in order, with the page that they fold into.

    Args:
        job: What was agreed.
        tablet: Signs every entry written here.
        clock: Tells the time of an entry.
    """

    def __init__(self, job: Job, tablet: str, clock: Callable[[], datetime] = local_time) -> None:
        self.tablet = tablet
        self.clock = clock
        self.entries: list[Entry] = []
        """Oldest first; only ever appended to."""
        self.page = Page(job)
        self.closed = ""
        """Why nothing may be written here, in one line; empty where it may."""
        self.admit: Callable[[Entry], None] | None = None
        """Raises a PageError where what keeps the book has no room for an entry."""
        self.keep_photo: Callable[[str], tuple[str, str]] | None = None
        """Puts a copy of a picture beside the job; returns its name and SHA-256, or raises a ValueError of one line."""
        self._number = 0
        self._sender = ""

    @classmethod
    def of(cls, began: Job, entries: Iterable[Entry], tablet: str, clock: Callable[[], datetime] = local_time) -> Self:
        """A book of entries that are written already, to be read or tried on: no file keeps what is written into it.

        Raises:
            PageError: when one cannot stand after those before it.
        """
        book = cls(began, tablet, clock)
        for entry in entries:
            book.take(entry)
        return book

    @contextmanager
    def sent_from(self, sender: str) -> Iterator[None]:
        """Sign what is written meanwhile as sent from elsewhere, such as the helper's phone."""
        self._sender = sender
        try:
            yield
        finally:
            self._sender = ""

    @property
    def job(self) -> Job:
        """The job as it is now, with the facts that were mended."""
        return self.page.job

    @property
    def began(self) -> Job:
        """The job as it was begun: what a file has before its entries."""
        return self.page.began

    def take(self, entry: Entry) -> Change:
        """Fold in an entry that is written already, as when a file is opened.

        Raises:
            PageError: when it cannot stand after those before it.
        """
        change = self.page.add(entry)
        self.entries.append(entry)
        self._number = max(self._number, entry.number)
        return change

    # -- readings -------------------------------------------------------------------------------------------

    def shoot(self, position: str, said: str, does_not_fit: DoesNotFit | None = None) -> Change:
        """Write what was read at a position; a spot that was read in this round already has a further reading then.

        Where the one reading before did not fit and this one does, that one is struck in the same act.

        Args:
            position: Its name.
            said: The reading, as it was typed.
            does_not_fit: Tells of the position's index whether what counts there does not fit its neighbours.

        Raises:
            LengthError: when the reading is not understood (`Unsigned`: HIGH or LOW must be asked).
            PageError: when it cannot stand: off the grid, or no setup yet.
        """
        index = self.page.position(position)
        over = self.page.counts_with(index)
        before = self.page.round.readings_at(index) if over else []
        doubted = does_not_fit is not None and len(before) == 1 and does_not_fit(index)
        change = self._shoot(position, said, over=over)
        if doubted and does_not_fit is not None and self.page.round.third_due[index] and not does_not_fit(index):
            self._strike(before[0], together=True)
        return change

    def put_all_right(self, meant: Sequence[tuple[str, str]], mistake: str, opened: Sequence[str] = ()) -> list[Change]:
        """Write what several readings must have been, as one act: one undo takes all of it back.

        Args:
            meant: Position and reading of each.
            mistake: That was made in all of them.
            opened: Positions of which nothing is known then: what was read there is struck.

        Raises:
            LengthError, PageError: as `shoot`.
        """
        changes: list[Change] = []
        for position, _ in meant:
            self._on_pad(position)
        for position, said in meant:
            changes.append(self._shoot(position, said, puts_right=mistake, together=bool(changes)))
        for position in opened:
            for line in self.page.round.written_at(self.page.position(position)):
                changes.append(self._strike(line, together=bool(changes)))
        return changes

    def leave_out(self, position: str, reason: str = "") -> Change:
        """Write that a position is not the ground.

        Raises:
            PageError: when it is off the grid, or no part of the pad.
        """
        return self._write(LeaveOut, position=self._on_pad(position), reason=fit(reason))

    # -- undo -----------------------------------------------------------------------------------------------

    def undo(self) -> list[Change]:
        """Strike what was written last and counts: one entry, or all that one answer wrote.

        Raises:
            PageError: when there is nothing.
        """
        return self._strike_all(self.page.acts.undoable, say("nothing to undo"))

    def redo(self) -> list[Change]:
        """Take back what was struck last, where nothing was written since.

        Raises:
            PageError: when there is nothing.
        """
        return self._strike_all(self.page.acts.redoable, say("nothing to redo"))

    def strike_last(self, position: str) -> Change:
        """Strike the last thing written at a position in this round, or the line by which it is not pad.

        Raises:
            PageError: when nothing is written there.
        """
        index = self.page.position(position)
        written = self.page.written_at(index)
        if not written:
            raise PageError(say("{position} has no entry in this round", position=self.job.grid.name(index)))
        return self._strike(written[-1])

    def strike_entry(self, number: int) -> Change:
        """Strike an entry by its number, whatever it is: this tablet's, else the only one of that number.

        Raises:
            PageError: when there is none, or several tablets have one.
        """
        own = self.page.lines.get((self.tablet, number))
        found = [own] if own is not None else [line for key, line in self.page.lines.items() if key[1] == number]
        if len(found) != 1:
            raise PageError(say("there is no one entry {number} in this book", number=number))
        if isinstance(found[0].entry, Strike):
            raise PageError(say("entry {number} is a strike; undo takes it back", number=number))
        return self._strike(found[0])

    # -- what readings hang on ------------------------------------------------------------------------------

    def refer(self, name: str, said: str = "", description: str = "", position: str | None = None) -> Change:
        """Write a reference and its height above the zero (none for ZERO itself), and where on the pad it lies."""
        if name.upper() == ZERO:
            name, height = ZERO, 0
            if said:
                raise PageError(say("ZERO is always height 0: give this reference another name"))
        else:
            height = parse_height(said, self.job.heights, limit=ELEVATION_LIMIT)
        return self._write(
            Reference,
            name=name,
            height_nm=height,
            said=said.strip(),
            description=fit(description),
            position=None if position is None else self._name(position),
        )

    def set_up(self, reference: str, said: str, readings: Readings | None = None, *, shared: str = "") -> Change:
        """Write a setup: the backsight on a reference, and which way the rod counts; `shared` as `Setup.shared`."""
        name = ZERO if reference.upper() == ZERO else reference
        way = readings or self.page.readings
        if way is Readings.HEIGHT:
            raise PageError(say("this job takes heights, not rod readings: it has no set-ups"))
        backsight = way.parse(said, self.job.heights)
        return self._write(
            Setup, reference=name, backsight_nm=backsight, readings=way, said=said.strip(), shared=shared
        )

    def turn(self, name: str, said: str, description: str = "") -> Change:
        """Write a turning point: a reference whose height comes from what the rod reads there now."""
        reading = self.page.readings.parse(said, self.job.heights)
        return self._write(
            Reference, name=name, height_nm=0, reading_nm=reading, said=said.strip(), description=fit(description)
        )

    def check(self, reference: str, said: str, *, shared: str = "") -> Change:
        """Write a check shot: what a reference reads now; `shared` as `Check.shared`."""
        name = ZERO if reference.upper() == ZERO else reference
        reading = self.page.readings.parse(said, self.job.heights)
        return self._write(Check, reference=name, reading_nm=reading, said=said.strip(), shared=shared)

    def decide(self, remedy: Remedy, check: Line, reason: str = "") -> Change:
        """Keep or shift the shots that a bad check made suspect.

        Raises:
            PageError: when they are kept without a reason, shifted in a final round, or it is no check.
        """
        if remedy is Remedy.SHIFT and self.page.round.kind is RoundKind.FINAL:
            raise PageError(say("no correcting in the final round: shoot the suspect shots again"))
        if remedy is Remedy.KEEP and not reason.strip():
            raise PageError(say("suspect shots need a reason to be accepted: type it"))
        return self._write(
            Decision,
            decision=remedy,
            about=check.entry.number,
            written_on=check.entry.tablet,
            reason=fit(reason),
            own_setup=True,
        )

    def test_laser(self, test: LaserTest, readings: Sequence[str], distances: Sequence[str]) -> Change:
        """Write a test of the instrument, readings and distances as said (see `LaserCheck`)."""
        return self._write(
            LaserCheck,
            test=test,
            readings_nm=tuple(parse_reading(said, self.job.heights) for said in readings),
            distances_nm=tuple(parse_length(said) for said in distances),
            said_each=tuple(said.strip() for said in (*readings, *distances)),
        )

    def understand(self, said: str, *, is_distance: bool) -> int:
        """What a reading or a distance means, nanometres, before anything is written.

        Raises:
            LengthError: when it is not understood.
        """
        return parse_length(said) if is_distance else parse_reading(said, self.job.heights)

    def test_machine(self, at: str, said: str) -> Change:
        """Write what the machine's display says over a reference or a position."""
        return self._write(MachineCheck, at=at, height_nm=parse_height(said, self.job.heights), said=said.strip())

    def move_zero(self, position: str) -> Change:
        """Call another position grade; heights are told from it from here on."""
        return self._write(Zero, position=self._name(position))

    # -- inside ---------------------------------------------------------------------------------------------

    def _shoot(self, position: str, said: str, **more: object) -> Change:
        if self.page.needs_setup:
            raise PageError(say("no set-up yet: write one first (a backsight on a reference)"))
        reading = self.page.readings.parse(said, self.job.heights)
        return self._write(Shot, position=self._on_pad(position), reading_nm=reading, said=said.strip(), **more)

    def _strike(self, line: Line, *, together: bool = False) -> Change:
        return self._write(Strike, strikes=line.entry.number, written_on=line.entry.tablet, together=together)

    def _strike_all(self, lines: Sequence[Line], where_none: str) -> list[Change]:
        if not lines:
            raise PageError(where_none)
        return [self._strike(line, together=at > 0) for at, line in enumerate(lines)]

    def _write(self, kind: type[Entry], **fields: object) -> Change:
        if self.closed:
            raise PageError(self.closed)
        line = {"number": self._number + 1, "time": self.clock(), "tablet": self.tablet, **fields}
        if self.page.before_a1 != NOTHING_ADDED and issubclass(kind, Placed):
            line["before_a1"] = self.page.before_a1
        if self._sender and "sent_from" in kind.model_fields:
            line["sent_from"] = self._sender
        try:
            entry = kind.model_validate(line)
        except ValidationError as error:
            first = error.errors()[0]
            raise PageError(
                say("{field} {value} cannot be written", field=first["loc"][0], value=repr(str(first["input"])[:24]))
            ) from None
        if self.admit is not None:
            self.admit(entry)
        return self.take(entry)

    def _name(self, position: str) -> str:
        return self.job.grid.name(self.page.position(position))

    def _on_pad(self, position: str) -> str:
        """The name of a position that is part of the pad."""
        index = self.page.position(position)
        name = self.job.grid.name(index)
        if self.page.edge.not_pad[index]:
            raise PageError(say("{position} is not pad; to make it pad again: strike {position}", position=name))
        return name


def fit(text: str) -> str:
    """Words as they are kept: no longer than an entry holds, and encodable."""
    return text.strip()[:TEXT_LIMIT].encode("utf-8", "replace").decode("utf-8")
