"""Kills a typed session at random moments, and prints how many entries that it had called saved were lost.

    python -m tests.benchmarks.kill_nine [TIMES]

Each sitting goes on with the file that the last one left. Readings are keyed without a pause; the moment of the kill is
chance. What the screen said last, `saved` and so many shots, is held against the file.
"""

from __future__ import annotations

import random
import re
import sys
import tempfile
import time
from pathlib import Path

from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.opening import new_job_file, open_job
from tests.kit import a_job
from tests.terminal.pty_terminal import Terminal

LONGEST = 0.5
"""Seconds from the first key to the kill, at most."""


def sitting(path: Path, seed: int) -> int:
    """Key readings until the kill comes; returns how many entries the screen had called saved.

    Raises:
        AssertionError: when one of those is not in the file, or a reading is not what was keyed.
    """
    chance = random.Random(seed)
    before = len(open_job(path, "reader").book.entries)
    with Terminal([sys.executable, "-m", "rodcall", path], columns=80, rows=24) as terminal:
        terminal.wait_for(" saved", 60)
        until = time.perf_counter() + chance.uniform(0, LONGEST)
        while time.perf_counter() < until:
            terminal.send(f"-{chance.randrange(1, 9)}\r")
            time.sleep(chance.uniform(0, 0.02))
        terminal.kill()
        terminal.hang_up()
        saved = called_saved(terminal)
    found = open_job(path, "reader")
    assert len(found.book.entries) >= max(before, saved), (seed, before, saved, len(found.book.entries))
    assert found.broken_seals == ()
    return saved


def called_saved(terminal: Terminal) -> int:
    """The shots on the last screen whose top line says `saved`; 0 where that says something else."""
    lines = terminal.text()
    count = next((found for line in lines if (found := re.search(r"\bshot +(\d+) of \d+", line))), None)
    return int(count[1]) if count is not None and lines[0].endswith(" saved") else 0


def main() -> None:
    """Sit down so many times, with a new pad whenever the last one is full."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    saved = in_journal = 0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "none")
        for number in range(times):
            if number % 20 == 0:
                path = Path(folder, f"pad-{number}.json")
                new_job_file(path, a_job(along=100, across=100), "tablet-a").close()
            saved = max(saved, sitting(path, number))
            in_journal += bool(journals_of(path))
            print(f"\r{number + 1} kills, {in_journal} with a journal left, none lost", end="", flush=True)
    print(f"\nmost entries called saved in one file: {saved}")


if __name__ == "__main__":
    main()
