"""Prints how long an entry takes to be on the disk: its line in the journal, beside the whole file replaced.

    python -m tests.benchmarks.durable FOLDER

FOLDER lies on the disk in question. The yardstick is one write and fsync of a line as long, on the same disk, each time
just before the program's own, since a disk is not as quick at every moment.
"""

from __future__ import annotations

import os
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
PAD = a_job(Unit.MM, along=100, across=100, length=300 * FOOT, width=300 * FOOT)


def medians(*acts: Callable[[], object], times: int) -> list[float]:
    """Milliseconds that each takes, done in turns."""
    taken: list[list[float]] = [[] for _ in acts]
    for _ in range(times):
        for act, each in zip(acts, taken, strict=True):
            began = time.perf_counter()
            act()
            each.append(1000 * (time.perf_counter() - began))
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
            os.write(descriptor, b"x" * 250)
            os.fsync(descriptor)

        print("milliseconds, median\n entries  write and fsync  line in the journal  whole file replaced")
        for entries in SIZES:
            file, number = written(Path(folder), entries), count()

            def append(file: JobFile = file, number: count[int] = number) -> None:
                file.book.shoot("A1", f"{next(number) % 50:+d}")
                file.append()

            line, appended = medians(one_line, append, times=300)
            (whole,) = medians(file.save, times=10)
            print(f"{entries:>8}  {line:15.2f}  {appended:19.2f}  {whole:19.2f}")
            file.close()
        os.close(descriptor)


if __name__ == "__main__":
    main()
