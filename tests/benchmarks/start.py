"""Prints the time from start to first paint of a job of twelve shots, beside a minimal Textual program.

    python -m tests.benchmarks.start [--runs 20]

The whole process counts, from before it is started until the bytes have come after which its screen is there.
The two take turns, so that a slow minute of the machine meets both. Both run compiled, as an installed program does,
whatever the shell says of bytecode: the first turn writes it and is not counted.
"""

from __future__ import annotations

import argparse
import os
import statistics
import tempfile
from pathlib import Path
from typing import Final

from tests.benchmarks.programs import MINIMAL, RODCALL_SCREEN, Pad, open_job
from tests.terminal.pty_terminal import Terminal
from tests.terminal.screen import Lines, Wanted

QUIET: Final = 0.6
"""Seconds of silence after which a program has painted: longer than any is silent before."""
SHOTS: Final = "A1 0\nB1 +1\nC1 +2\nC2 +3\nB2 +4\nA2 +5\nA3 +6\nB3 +7\nC3 +8\nC4 +9\nB4 +10\nA4 +11\n"
"""Twelve heights in mm; the last but one of them is looked for on the plan."""


def job_is_painted(lines: Lines) -> bool:
    return RODCALL_SCREEN.cell(lines, "+10") and RODCALL_SCREEN.average_is(lines, "+6")


def first_paint(started: Terminal, wanted: Wanted) -> float:
    """Milliseconds."""
    with started as terminal:
        terminal.settle(QUIET)
        return 1000 * (terminal.wait_for(wanted) - terminal.started)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=20, help="of each")
    runs: int = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as folder:
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.environ["PYTHONPYCACHEPREFIX"] = str(Path(folder, "compiled"))
        job = Path(folder, "job.json")
        Pad(4, 3).write(job, SHOTS)
        ours, theirs = [], []
        for run in range(runs + 1):
            pair = first_paint(open_job(job), job_is_painted), first_paint(Terminal(MINIMAL), "minimal, numpy")
            if run:  # the first one reads the disk, and compiles
                ours.append(pair[0])
                theirs.append(pair[1])
    print("milliseconds from start to first paint, median (least)")
    print(f"rodcall, 12 shots   {statistics.median(ours):6.0f} ({min(ours):.0f})")
    print(f"minimal program     {statistics.median(theirs):6.0f} ({min(theirs):.0f})")
    by_turn = statistics.median(one / other for one, other in zip(ours, theirs, strict=True))
    print(f"ratio of medians {statistics.median(ours) / statistics.median(theirs):.2f}, of the least", end="")
    print(f" {min(ours) / min(theirs):.2f}, median of the turns {by_turn:.2f}")


if __name__ == "__main__":
    main()
