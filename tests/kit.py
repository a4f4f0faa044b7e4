"""Small helpers for tests: a job, a book with a clock that ticks, lines dictated into it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

import numpy as np

from rodcall.book.book import Book
from rodcall.book.dictation import dictate
from rodcall.book.job import Job, agree
from rodcall.figures.summary import Summary, summarise
from rodcall.lengths import FOOT, Unit

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


def figures(book: Book) -> Summary:
    """The summary of a book as it stands."""
    return summarise(book.page)


def volcano() -> np.ndarray:
    """R's open data set `volcano`: 87 x 61 heights in m on a 10 m grid (CHECK_VALUES 2.6)."""
    return np.loadtxt(CHECKDATA / "volcano_87x61.csv", delimiter=",", comments="#")
