"""Prints the cost of one more entry on a page that holds ever more of them.

    python -m tests.benchmarks.fold

A hundred by hundred grid is shot over and over. `fold` is the page alone, given an entry; `write` is what
Enter costs in the book: reading what was said, the entry, and the fold.
"""

from __future__ import annotations

import statistics
from datetime import UTC, datetime
from time import perf_counter_ns
from typing import Final

from rodcall.book.book import Book
from rodcall.book.model.entries import Shot
from rodcall.book.model.job import Job
from rodcall.units import MM, M, Unit

COUNTS: Final = (12, 1_000, 10_000, 50_000)
SIDE: Final = 100
REPEATS: Final = 300


def pad() -> Job:
    now = datetime.now(UTC)
    return Job(
        id="0" * 32, created=now, name="Benchmark pad", length=120 * M, width=120 * M, along=SIDE,
        across=SIDE, heights=Unit.MM, step=MM, tolerance_high=25 * MM, tolerance_low=25 * MM, goal=10 * MM,
        round_to=10 * MM, least_drop=3 * MM,
    )  # fmt: skip


def fill(book: Book, count: int) -> None:
    """Write until the book holds so many entries."""
    names = book.job.grid.names
    while len(book.entries) < count:
        at = len(book.entries)
        book.shoot(names[at % len(names)], f"{at % 40 - 20:+d}")


def microseconds_to_write(book: Book) -> float:
    spent = []
    for at in range(REPEATS):
        name, said = book.job.grid.names[at % 12], f"{at % 40 - 20:+d}"
        begun = perf_counter_ns()
        book.shoot(name, said)
        spent.append(perf_counter_ns() - begun)
    return statistics.median(spent) / 1000


def microseconds_to_fold(book: Book) -> float:
    spent = []
    last = book.entries[-1]
    assert isinstance(last, Shot)
    for at in range(1, REPEATS + 1):
        entry = last.model_copy(update={"number": last.number + at})
        begun = perf_counter_ns()
        book.page.add(entry)
        spent.append(perf_counter_ns() - begun)
    return statistics.median(spent) / 1000


def main() -> None:
    print(f"microseconds for one entry more, median of {REPEATS}")
    print(f"{'entries':>9} {'fold':>8} {'write':>8}")
    for count in COUNTS:
        book = Book(pad(), "benchmark")
        fill(book, count)
        write = microseconds_to_write(book)
        print(f"{count:>9,} {microseconds_to_fold(book):8.1f} {write:8.1f}", flush=True)


if __name__ == "__main__":
    main()
