"""Prints what files for other programs take: 10,000 positions, two rounds, target chosen, each kind by itself.

    python -m tests.benchmarks.exports

Each figure is of a job just opened, in this process, beside opening it; then of the whole process.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from rodcall.book.storage.opening import open_job
from rodcall.sheets.exports.export import Kind, export
from tests.cli.kit import program
from tests.kit import say
from tests.sheets.kit import a_file, shoot

SIDE = 100
PLACED = ("set a1-wgs84 46.2087310,-116.8800000", "set bearing 37.5", "reference BM1 high 24in", "datum BM1 812.40ft")


def a_big_job(path: Path) -> None:
    """Write a job of 100 x 100 positions, shot in two rounds."""
    opened = shoot(a_file(*PLACED, along=SIDE, across=SIDE, length=1000 * 304_800_000, width=1000 * 304_800_000))
    say(opened.book, "target -1/2", "round final")
    shoot(opened, 2)
    opened.path = path
    opened.save()


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "big.json"
        a_big_job(path)
        for kind in Kind:
            began, cpu = time.perf_counter(), time.process_time()
            opened = open_job(path, "reader")
            read, read_cpu = time.perf_counter(), time.process_time()
            content = export(opened, kind)
            made, made_cpu = time.perf_counter(), time.process_time()
            to = Path(folder) / f"out.{kind}"
            before = time.perf_counter()
            told = program("export", path, "--to", to, "--as", kind)
            whole = time.perf_counter() - before
            assert told.status == 0, told
            print(
                f"{kind:8} opened {read - began:.2f} s (cpu {read_cpu - cpu:.2f}), made {made - read:.2f} s "
                f"(cpu {made_cpu - read_cpu:.2f}), {len(content) / 1e6:.1f} MB; whole process {whole:.2f} s"
            )
            sys.stdout.flush()


if __name__ == "__main__":
    main()
