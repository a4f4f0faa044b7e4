"""What a file would write into a job: worked out and shown first, written all or not at all."""

from __future__ import annotations

from dataclasses import field, replace
from datetime import datetime
from enum import StrEnum
from functools import lru_cache, partial
from pathlib import Path

import numpy as np

from rodcall.book.book import Book
from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import Readings
from rodcall.book.model.job import Job
from rodcall.book.model.kinds.fields import FROM_FILE, LONGEST_SENDER
from rodcall.figures.ground.averages import Ints
from rodcall.figures.summary import Summary, summarise
from rodcall.files_in.landxml import parse_landxml
from rodcall.files_in.placing import WITHIN_M, Placed, covers, order_of, place_points, place_surface
from rodcall.files_in.points import ORDERS, parse_points
from rodcall.files_in.readings import FileReading, is_table, is_timed, table_readings, timed_readings
from rodcall.files_in.text import FileInError, UntoldError, bytes_of, lines_of
from rodcall.frozen import Frozen
from rodcall.i18n import counted, say
from rodcall.units import HEIGHT_LIMIT, Unit, write
from rodcall.wording.words import FINEST

SNAP_NM = 10_000
"""Files have five or six decimals: a height this near to a mark of the rod is that mark."""


class As(StrEnum):
    """What the heights of a file are."""

    READINGS = "readings"
    """Of the round in force."""
    EXISTING = "existing"
    DESIGN = "design"


class Options(Frozen):
    """What was said beside the file's name."""

    use: As = As.READINGS
    order: str = ""
    unit: str = ""
    within_m: float = WITHIN_M
    surface: str = ""

    def with_answer(self, option: str, answer: str) -> Options:
        """The same, with what the file did not say (`UntoldError`)."""
        told = {"order": self.order, "unit": self.unit, "surface": self.surface, option: answer}
        return replace(self, order=told["order"], unit=told["unit"], surface=told["surface"])


class Proposal(Frozen):
    """What would be written."""

    source: str
    """Name of the file."""
    use: As
    readings: tuple[FileReading, ...] = ()
    design_nm: tuple[int, ...] = ()
    """A height a position above the zero, by index."""
    notes: tuple[str, ...] = field(default=())
    """What the crew should know before they say yes."""

    def shown(self, most: int = 12) -> list[str]:
        """The lines that would be written, the first of them, and the notes."""
        if self.design_nm:
            told = [say("target: a design by heights, {count} positions", count=len(self.design_nm))]
        else:
            told = [f"{each.position} {each.said}" for each in self.readings[:most]]
            if len(self.readings) > most:
                told.append(say("... and {count} more", count=len(self.readings) - most))
            told.append(
                counted(
                    len(self.readings),
                    "{number} reading from {file}",
                    "{number} readings from {file}",
                    file=self.source,
                )
            )
        return [*told, *self.notes]

    def write(self, book: Book) -> list[Change]:
        """Write all of it, with a note of where it comes from; what each entry changed.

        Raises:
            ValueError: when one cannot stand; the book is to be thrown away then.
        """
        changes = [book.note(say("read in from {file} as {use}", file=self.source, use=str(self.use)))]
        if self.design_nm:
            zero = self.design_nm[book.page.zero_index]
            why = say("read in from {file}", file=self.source)
            changes.append(book.aim_by_heights(self.design_nm, _said(zero, book.job.heights), why))
        clock = book.clock
        try:
            with book.sent_from(f"{FROM_FILE}{self.source}"[:LONGEST_SENDER]):
                for each in self.readings:
                    if each.time is not None:
                        book.clock = partial(_at, each.time)
                    try:
                        changes.append(book.shoot(each.position, each.said))
                    except ValueError as error:
                        raise FileInError(say("line {number}: {why}", number=each.line, why=error)) from None
        finally:
            book.clock = clock
        return changes


def _at(time: datetime) -> datetime:
    return time


def propose(path: Path, book: Book, options: Options) -> Proposal:
    """Work out what a file would write into a job; nothing is written.

    Args:
        path: Of the file.
        book: It goes into.
        options: What was said.

    Raises:
        FileInError: when it cannot be read in, one line; `UntoldError` when it does not say what has to be known.
    """
    raw = bytes_of(path)
    summary = summarise(book.page)
    if options.use is As.EXISTING and book.page.round_index:
        raise FileInError(say("the existing ground is the first round, and this job is in a later one"))
    if raw.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"<":
        state = "proposed" if options.use is As.DESIGN else "existing"
        placed = place_surface(parse_landxml(raw, options.surface, state), book.job.grid, summary.datum)
        missing = covers(placed, ~book.page.not_pad).size
        off_surface = say("{count} positions lie off the surface", count=missing)
        return _proposed(path, book, summary, options, placed, None, (off_surface,) if missing else ())
    lines = lines_of(raw)
    if is_timed(lines) or is_table(lines):
        if options.use is As.DESIGN:
            raise FileInError(say("readings are no design; a design comes as points or as a surface"))
        timed = is_timed(lines)
        found = timed_readings(lines, book) if timed else table_readings(lines, book)
        if not timed:
            _says_heights(book)
        return Proposal(path.name, options.use, tuple(found))
    points = parse_points(lines, options.order, options.unit)
    order = order_of(points, book.job.grid, summary.datum, options.within_m)
    if not order:
        why = say("nothing says whether north or east comes first; add --order pneh or --order penh")
        raise UntoldError(why, "order", tuple(ORDERS))
    placed = place_points(points, order, book.job.grid, summary.datum, options.within_m, book.page.references)
    notes: tuple[str, ...] = ()
    if placed.off:
        lines_off = " ".join(map(str, placed.off[:8])) + (" ..." if len(placed.off) > 8 else "")
        notes = (
            counted(
                len(placed.off),
                "{number} point lies at no position and is left out: line {lines}",
                "{number} points lie at no position and are left out: lines {lines}",
                lines=lines_off,
            ),
        )
    if placed.marks:
        notes += (say("left out as a reference: line {lines}", lines=" ".join(map(str, placed.marks[:8]))),)
    notes += (say("the farthest point lies {off:.3f} m from its position", off=placed.farthest_m),)
    return _proposed(path, book, summary, options, placed, points.is_elevation, notes)


def _proposed(
    path: Path,
    book: Book,
    summary: Summary,
    options: Options,
    placed: Placed,
    is_elevation: bool | None,
    notes: tuple[str, ...],
) -> Proposal:
    """Heights of a file at their positions, told from the zero."""
    zero = summary.datum.zero_nm
    if is_elevation and zero is None:
        raise FileInError(say("its heights are elevations, and this job knows none; enter datum BM1 812.40ft first"))
    from_zero = 0 if zero is None or is_elevation is False else zero
    notes += (say("heights are taken as above the zero") if not from_zero else say("heights are taken as elevations"),)
    heights = np.rint(placed.height_m * 1e9).astype(np.int64) - from_zero
    snapped = _on_marks(heights, book.job).tolist()
    if options.use is As.DESIGN:
        return Proposal(path.name, options.use, design_nm=_whole(book, placed, snapped), notes=notes)
    _says_heights(book)
    grid, page = book.job.grid, book.page
    beyond = next((at for at, nm in enumerate(snapped) if abs(nm) > HEIGHT_LIMIT), None)
    if beyond is not None:
        name = grid.name(int(placed.index[beyond]))
        raise FileInError(say("{position} would lie more than 100 ft from the zero; see the term datum", position=name))
    readings = []
    for index, nm in zip(placed.index.tolist(), snapped, strict=True):
        if page.not_pad[index]:
            continue
        if page.round.state[index]:
            raise FileInError(
                say("{position} is written in this round already; strike it first", position=grid.name(index))
            )
        readings.append(FileReading(0, grid.name(index), _said(nm, book.job.heights)))
    if not readings:
        raise FileInError(say("there is no reading in it"))
    return Proposal(path.name, options.use, tuple(readings), notes=notes)


def _whole(book: Book, placed: Placed, heights: list[int]) -> tuple[int, ...]:
    """A height for each position; those that are no part of the pad take that of the nearest by number."""
    pad = ~book.page.not_pad
    missing = covers(placed, pad)
    if missing.size:
        names = " ".join(book.job.grid.name(int(at)) for at in missing[:8]) + (" ..." if missing.size > 8 else "")
        raise FileInError(say("a design has a height for each position; missing: {names}", names=names))
    known: Ints = np.asarray(placed.index)
    at = np.clip(np.searchsorted(known, np.arange(book.job.grid.size)), 0, known.size - 1)
    return tuple(heights[each] for each in at.tolist())


def _says_heights(book: Book) -> None:
    if book.page.readings is not Readings.HEIGHT:
        raise FileInError(say("this job reads a rod; only a job of heights takes heights from a file"))


def _on_marks(heights: Ints, job: Job) -> Ints:
    """Heights on the marks of the rod that they are as near to as a file's decimals tell; others as they are."""
    found = heights
    for step in (FINEST[job.heights], job.step):
        marks = (np.rint(heights / step) * step).astype(np.int64)
        found = np.where(np.abs(marks - heights) <= SNAP_NM, marks, found)
    return found


@lru_cache(maxsize=4096)
def _said(nm: int, unit: Unit) -> str:
    return write(nm, unit) if nm else "0"
