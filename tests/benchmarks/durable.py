"""Prints how long a line takes to be durable: in the journal, beside one write and fsync, and the whole file replaced.

    python -m tests.benchmarks.durable FOLDER

FOLDER lies on the disk in question. The yardstick is one write and fsync of a line as long, on the same disk, in turns
with the program's own and in an order of chance, since a disk is not as quick at every moment. Writing the entry into
the book comes before it and is told by itself.
"""

from __future__ import annotations

import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path

from rodcall.book.storage.opening import JobFile, new_job_file
from rodcall.units import FOOT, Unit
from tests.kit import a_job

SIZES = (12, 1_200, 10_000, 50_000)
LINE = b"x" * 330 + b"\n"
PAD = a_job(Unit.MM, along=100, across=100, length=300 * FOOT, width=300 * FOOT)


def medians(*acts: Callable[[], object], times: int, before: Callable[[], object] = lambda: None) -> list[float]:
    """Milliseconds that each takes, done in turns, in an order of chance; those of `before` come last."""
    taken: list[list[float]] = [[] for _ in (*acts, before)]
    for _ in range(times):
        for at in (len(acts), *random.sample(range(len(acts)), len(acts))):
            began = time.perf_counter()
            (*acts, before)[at]()
            taken[at].append(1000 * (time.perf_counter() - began))
    return [statistics.median(each) for each in taken]


def written(folder: Path, entries: int) -> JobFile:
    file = new_job_file(folder / f"pad-{entries}.json", PAD, "tablet-a")
    for at in range(entries):
        file.book.shoot(PAD.grid.name(at % PAD.grid.size), f"{at * 7 % 60 - 30:+d}")
    file.save()
    return file


def main() -> None:
    with tempfile.TemporaryDirectory(dir=sys.argv[1]) as folder:
        descriptor = os.open(Path(folder, "line"), os.O_CREAT | os.O_WRONLY | os.O_APPEND)

        def one_line() -> None:
            os.write(descriptor, LINE)
            os.fsync(descriptor)

        print("milliseconds, median\n entries  write and fsync  line in the journal  ratio  into the book  whole file")
        for entries in SIZES:
            file, number = written(Path(folder), entries), count()

            def shoot(file: JobFile = file, number: count[int] = number, entries: int = entries) -> None:
                at = next(number)
                file.book.shoot(PAD.grid.name((entries + at) % PAD.grid.size), f"{at % 50:+d}")

            line, appended, shot = medians(one_line, file.append, times=300, before=shoot)
            whole = medians(file.save, times=10)[0]
            ratio = appended / line
            print(f"{entries:>8}  {line:15.3f}  {appended:19.3f}  {ratio:5.2f}  {shot:13.3f}  {whole:10.2f}")
            file.close()
        os.close(descriptor)


if __name__ == "__main__":
    main()
