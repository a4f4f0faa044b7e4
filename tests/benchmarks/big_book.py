"""Prints what a book of 50,000 entries on 10,000 positions takes: opening, memory, the list of 5,000 jobs.

    python -m tests.benchmarks.big_book

Each figure is of a fresh program, with the screen's modules loaded.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.durable import written

JOBS = 5000

OPENING = """
import gc, sys, time
from pathlib import Path
import rodcall.tui.app
from rodcall.book.storage.opening import open_job
from rodcall.figures.summary import summarise
path = Path(sys.argv[1])
began = time.perf_counter()
opened = open_job(path, "reader")
summarise(opened.book.page).average
print(f"{time.perf_counter() - began:.2f} s to open, {peak():.0f} MB at most")
"""
LISTING = """
import sys, time
from pathlib import Path
from rodcall.tablet.job_index import Index
began = time.perf_counter()
jobs = Index(Path(sys.argv[1]))
listed = time.perf_counter() - began
jobs.look()
print(f"{1000 * listed:.0f} ms to list {len(jobs.glances)} jobs, {time.perf_counter() - began:.1f} s to see all")
"""
PEAK = """
def peak():
    try:
        import resource
    except ImportError:
        return float("nan")
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (2**20 if sys.platform == "darwin" else 2**10)
"""


def run(code: str, path: Path, home: Path) -> str:
    """What a program of its own prints."""
    environment = {"RODCALL_HOME": str(home), "PYTHONPATH": "src"}
    return subprocess.run(
        [sys.executable, "-c", PEAK + code, str(path)], env=environment, capture_output=True, text=True, check=True
    ).stdout.strip()


def main() -> None:
    """A big book, then many small ones, with and without an index."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        big = written(folder, 50_000)
        big.close()
        print("50,000 entries on 10,000 positions:", run(OPENING, big.path, folder))
        small = written(folder, 12)
        small.close()
        jobs = folder / "jobs"
        jobs.mkdir()
        for number in range(JOBS):
            shutil.copyfile(small.path, jobs / f"job-{number}.json")
        print("without an index:", run(LISTING, jobs, folder))
        print("with it:         ", run(LISTING, jobs, folder))


if __name__ == "__main__":
    main()
