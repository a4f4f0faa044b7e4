"""Works off schedules of chance against the storage for so long, and prints how many lost a reading: run by hand.

    python -m tests.benchmarks.storage_faults [SECONDS [FIRST SEED]]

Sessions of two programs, kills, locks that fail or are taken away, calls that are refused or write half (see
`tests.book.storage_model`).
"""

from __future__ import annotations

import sys
import tempfile
import time
from itertools import count
from pathlib import Path

from tests.book.storage_model import schedule


def main() -> None:
    """One schedule after the other; the first that loses a reading ends it with an error."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 3600.0
    until = time.monotonic() + seconds
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    for number in count(first):
        if time.monotonic() > until:
            break
        with tempfile.TemporaryDirectory() as folder:
            schedule(Path(folder), number)
        print(f"\r{number - first + 1} schedules, nothing lost", end="", flush=True)
    print()


if __name__ == "__main__":
    main()
