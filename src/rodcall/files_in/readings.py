"""Readings with times, and our own table of positions, as a file has them."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from rodcall.book.book import Book
from rodcall.files_in.text import FileInError, at_line
from rodcall.frozen import Frozen
from rodcall.i18n import say

MOST_READINGS = 50_000

_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}", re.ASCII)


class FileReading(Frozen):
    """One reading of a file."""

    line: int
    position: str
    said: str
    time: datetime | None = None
    """None where the file has no times."""


def is_timed(lines: Sequence[str]) -> bool:
    """Does each line begin with a time?"""
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    second = next((line for line in lines[1:] if line.strip() and not line.startswith("#")), "")
    return bool(_TIME.match(first.strip()) or (first.lower().startswith("time") and _TIME.match(second.strip())))


def timed_readings(lines: Sequence[str], book: Book) -> list[FileReading]:
    """Lines of time, position, reading: `2026-04-18T07:30:00-07:00,A1,-3/8`; blanks or commas between them.

    Raises:
        FileInError: at the first line that is none, is earlier than the one before it, or has a time without its zone.
    """
    found: list[FileReading] = []
    last = max((entry.time for entry in book.entries), default=None)
    for number, line in enumerate(lines, 1):
        text = line.split("#", 1)[0].strip()
        if not text or (number == 1 and text.lower().startswith("time")):
            continue
        parts = [part.strip() for part in re.split(r"[,;\t]", text, maxsplit=2)]
        if len(parts) < 3:
            parts = text.split(None, 2)
        if len(parts) < 3:
            raise at_line(number, say("needs time, position and reading"))
        try:
            time = datetime.fromisoformat(parts[0])
        except ValueError:
            raise at_line(
                number, say("{said} is not a time; say 2026-04-18T07:30:00-07:00", said=repr(parts[0][:30]))
            ) from None
        if time.tzinfo is None:
            raise at_line(number, say("a time needs its offset from UTC: 2026-04-18T07:30:00-07:00"))
        if last is not None and time < last:
            raise at_line(number, say("{time} is earlier than the entry before it", time=parts[0][:30]))
        last = time
        found.append(_checked(book, FileReading(number, parts[1].upper(), parts[2].strip('" '), time)))
    return _some(found)


class _Columns(NamedTuple):
    """Where a table of positions has what is read from it."""

    position: int
    height_mm: int
    width: int


def _columns(lines: Sequence[str]) -> _Columns | None:
    """Of the table that `rodcall export` writes, by its names, or of the sheet's, whose names follow the language."""
    head = next(csv.reader(lines[:1]), [])
    if "position" in head and "height_mm" in head:
        return _Columns(head.index("position"), head.index("height_mm"), len(head))
    if len(head) == 11 and [at for at, cell in enumerate(head) if cell.endswith(" mm")] == [4, 6, 8, 10]:
        return _Columns(2, 4, 11)
    return None


def is_table(lines: Sequence[str]) -> bool:
    """Is it a table of positions that `rodcall export` or `rodcall sheet --to FILE.csv` writes?"""
    return _columns(lines) is not None


def table_readings(lines: Sequence[str], book: Book) -> list[FileReading]:
    """The positions of such a table that have a height.

    Raises:
        FileInError: at the first row that is none.
    """
    found: list[FileReading] = []
    columns = _columns(lines)
    assert columns is not None
    try:
        rows = list(csv.reader(list(lines[1:]), strict=True))
    except csv.Error:
        raise FileInError(say("it is not a table: a quotation mark is not closed")) from None
    for number, row in enumerate(rows, 2):
        if not row:
            continue
        if len(row) != columns.width:
            raise at_line(number, say("{count} columns instead of {wanted}", count=len(row), wanted=columns.width))
        height = row[columns.height_mm]
        if height:
            if not re.fullmatch(r"-?[0-9]{1,6}(?:\.[0-9]{1,6})?", height, re.ASCII):
                raise at_line(number, say("{said} is not a number", said=repr(height[:20])))
            found.append(_checked(book, FileReading(number, row[columns.position].upper(), f"{_signed(height)}mm")))
    return _some(found)


def _signed(number: str) -> str:
    return number if number.startswith("-") or not float(number) else f"+{number}"


def _checked(book: Book, reading: FileReading) -> FileReading:
    try:
        index = book.page.position(reading.position)
        book.page.readings.parse(reading.said, book.job.heights)
    except ValueError as error:
        raise at_line(reading.line, str(error)) from None
    if book.page.not_pad[index]:
        raise at_line(reading.line, say("{position} is not pad", position=reading.position))
    return reading


def _some(found: list[FileReading]) -> list[FileReading]:
    if not found:
        raise FileInError(say("there is no reading in it"))
    if len(found) > MOST_READINGS:
        raise FileInError(say("more than {most} readings", most=MOST_READINGS))
    return found
