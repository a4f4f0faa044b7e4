"""Seconds and memory that a whole `rodcall sheet` takes, start to file: python -m tests.benchmarks.sheets

Bars of the certificate: 12 spots within 1 s, 1,200 within 3 s. Beside each stands `rodcall verdict` of the same job,
which looks for readings that do not fit as the sheet does: the rest is the sheet's own.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.sheets.kit import a_file, shoot

RUNS = 5


def cost(*words: object) -> tuple[float, float, float]:
    """Of the quickest of some runs, each a process of its own: seconds, seconds of the processor, MB at most."""
    taken = []
    for _ in range(RUNS):
        began = time.perf_counter()
        process = subprocess.Popen([sys.executable, "-m", "rodcall", *map(str, words)], stdout=subprocess.DEVNULL)
        # Only POSIX says what one process took.
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        seconds = time.perf_counter() - began
        taken.append((seconds, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024))
    return min(taken)


def main() -> None:
    """Print a line for each size and kind."""
    with tempfile.TemporaryDirectory() as folder:
        for along, across in ((4, 3), (20, 10), (40, 30)):
            job = Path(folder) / f"{along * across}.json"
            job.write_bytes(shoot(a_file(along=along, across=across)).content())
            runs = {
                f"sheet {kind}": ("sheet", job, "--force", "--to", job.with_suffix(f".{kind}"))
                for kind in ("pdf", "html")
            }
            runs |= {
                "blank pdf": ("sheet", job, "--force", "--to", job.with_suffix(".pdf"), "--blank"),
                "verdict": ("verdict", job),
            }
            for name, words in runs.items():
                seconds, processor, memory = cost(*words)
                print(f"{along * across:>6} {name:<10} {seconds:.2f} s, processor {processor:.2f} s, {memory:.0f} MB")


if __name__ == "__main__":
    main()
