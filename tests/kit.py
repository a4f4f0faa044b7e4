"""Small helpers for tests: a job, a book with a clock that ticks, lines dictated into it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

import numpy as np

from rodcall.book.book import Book
from rodcall.book.entry_lines import dictate
from rodcall.book.fold.round_page import Change, Line
from rodcall.book.model.entries import Confirm, Entry, Shot
from rodcall.book.model.job import Job, agree
from rodcall.figures.earthwork.volumes import Earth, Grade, Surface
from rodcall.figures.summary import Summary, summarise
from rodcall.units import FOOT, Unit

CHECKDATA = Path(__file__).parent / "checkdata"
START = datetime(2026, 4, 18, 13, 30, tzinfo=UTC)


def ticking() -> Callable[[], datetime]:
    """A clock that goes on by ten seconds at each look."""
    seconds = count(0, 10)
    return lambda: START + timedelta(seconds=next(seconds))


def a_job(heights: Unit = Unit.IN, along: int = 4, across: int = 3, **known: Any) -> Job:
    """A pad of 60 x 40 ft unless told otherwise."""
    fields = {"name": "Greenhouse pad", "length": 60 * FOOT, "width": 40 * FOOT, **known}
    return Job(id="0" * 32, created=START, **agree(heights, along=along, across=across, **fields))


def a_book(*lines: str, job: Job | None = None) -> Book:
    """A book with these lines dictated into it."""
    book = Book(job or a_job(), "tablet-a", ticking())
    say(book, *lines)
    return book


def say(book: Book, *lines: str) -> None:
    """Dictate lines into a book."""
    dictate(book, lines, lambda: figures(book).suggested)


def older(book: Book, kind: type[Entry], said: str = "", **fields: Any) -> Change:
    """Write an entry as older books have it, which no line and no key writes any more."""
    number = max((entry.number for entry in book.entries), default=0) + 1
    head = {"number": number, "time": book.clock(), "tablet": book.tablet, "said": said}
    return book.take(kind.model_validate({**head, **fields}))


def again(book: Book, position: str, said: str) -> Change:
    """A spot read once more, as older books have it: two that agree keep the first, of more the middle counts."""
    reading = book.page.readings.parse(said, book.job.heights)
    return older(book, Shot, said, position=position, reading_nm=reading, again=True)


def confirm(book: Book, shot: Line, odds: float = 0.0) -> Change:
    """A reading that does not fit and was kept, as older books have it."""
    return older(book, Confirm, confirms=shot.entry.number, written_on=shot.entry.tablet, odds=odds)


def put_right(book: Book, position: str, said: str, mistake: str) -> Change:
    """What was meant in place of what was said, as older books have it."""
    reading = book.page.readings.parse(said, book.job.heights)
    return older(book, Shot, said, position=position, reading_nm=reading, puts_right=mistake)


def figures(book: Book) -> Summary:
    """The summary of a book as it stands."""
    return summarise(book.page)


def cut_and_fill(surface: Surface, grade: Grade) -> Earth:
    """Cut and fill between the ground and a target plane."""
    return surface.over(grade).at(grade.offset)


def volcano() -> np.ndarray:
    """R's open data set `volcano`: 87 x 61 heights in m on a 10 m grid (open data: Auckland's Maunga Whau)."""
    return np.loadtxt(CHECKDATA / "volcano_87x61.csv", delimiter=",", comments="#")
