"""Seconds that a whole `rodcall sheet` takes, start to file: python -m tests.benchmarks.sheets

Bars of the as-built sheet: 12 shots within 1 s, 1,200 within 5 s.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.sheets.kit import a_file, shoot

RUNS = 5


def seconds(job: Path, *more: str) -> float:
    """The quickest of some runs, each a process of its own."""
    command = [sys.executable, "-m", "rodcall", "sheet", str(job), "--to", str(job.with_suffix(".pdf")), *more]
    taken = []
    for _ in range(RUNS):
        began = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        taken.append(time.perf_counter() - began)
    return min(taken)


def main() -> None:
    """Print one line a size."""
    with tempfile.TemporaryDirectory() as folder:
        for along, across in ((4, 3), (20, 10), (40, 30)):
            job = Path(folder) / f"{along * across}.json"
            job.write_bytes(shoot(a_file(along=along, across=across)).content())
            built, blank = seconds(job), seconds(job, "--blank")
            print(f"{along * across:>6} positions: as-built {built:.2f} s, blank {blank:.2f} s")


if __name__ == "__main__":
    main()
