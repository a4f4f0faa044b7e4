"""Prints the time from Enter to the painted cell and average, beside a DataTable of the same size.

    python -m tests.benchmarks.latency [--readings 60] [--sizes 12 1200 10000]

Each program runs on a pseudo-terminal of 80 x 24; a time ends when the bytes have come after which the screen
shows what is expected. Three ways of keying: Enter once the echo of the digits has settled; Enter 0 to 17 ms
after the last digit; the whole reading and Enter in one write. First readings of a run count like any other.
"""

from __future__ import annotations

import argparse
import random
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import count
from pathlib import Path
from typing import Final

from tests.benchmarks.programs import PROGRAMS, Pad, Program
from tests.terminal.pty_terminal import Terminal

PADS: Final = {12: Pad(4, 3), 1200: Pad(40, 30), 10_000: Pad(100, 100)}
QUIET: Final = 0.08
"""Seconds of silence after which a screen counts as settled."""
KEY_TO_KEY: Final = 0.03
"""Seconds between the digits of a quick typist."""
FRAME: Final = 0.017
"""Seconds of one frame at 60 a second."""

Keying = Callable[[Terminal, str], float]
"""Keys a reading; returns when Enter was written."""


def key_settled(terminal: Terminal, reading: str) -> float:
    terminal.send(reading)
    terminal.settle(QUIET)
    return terminal.keys("enter")


def key_close(terminal: Terminal, reading: str) -> float:
    terminal.send(reading[:-1])
    time.sleep(KEY_TO_KEY)
    terminal.send(reading[-1])
    time.sleep(random.uniform(0.0, FRAME))
    return terminal.keys("enter")


def key_at_once(terminal: Terminal, reading: str) -> float:
    return terminal.send(f"{reading}\r")


WAYS: Final[dict[str, Keying]] = {
    "settled": key_settled,
    "0-17 ms": key_close,
    "one write": key_at_once,
}


@dataclass
class Times:
    """Milliseconds from Enter to what was painted, one of each a reading."""

    cell: list[float] = field(default_factory=list)
    both: list[float] = field(default_factory=list)
    """To the later of cell and average."""


def measure(program: Program, pad: Pad, written: Path, keying: Keying, wanted: int) -> Times:
    """Key readings into fresh copies of the written job until there are enough."""
    times = Times()
    for run in count():
        if len(times.cell) >= wanted:
            break
        # A name of its own: the program is killed at the end, and what it kept beside the file stays.
        job = Path(shutil.copyfile(written, written.with_name(f"{program.ready}-{run}-{keying.__name__}.json")))
        with program.start(pad, job) as terminal:
            terminal.wait_for(program.ready, timeout=60)
            for reading, average in pad.readings():
                terminal.settle(QUIET)
                entered = keying(terminal, reading)
                terminal.settle(QUIET)
                painted = terminal.wait_for(partial(program.places.cell, value=reading))
                times.cell.append(1000 * (painted - entered))
                if program.places.average is not None:
                    painted = terminal.wait_for(partial(program.places.average_is, value=average))
                    times.both.append(1000 * (painted - entered))
    return times


def middle_and_p95(values: Sequence[float]) -> str:
    return f"{statistics.median(values):6.1f} /{p95(values):6.1f}"


def p95(values: Sequence[float]) -> float:
    return statistics.quantiles(values, n=20, method="inclusive")[-1]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--readings", type=int, default=60, help="at least so many of each")
    parser.add_argument("--sizes", type=int, nargs="+", choices=list(PADS), default=list(PADS))
    arguments = parser.parse_args()
    print("milliseconds from Enter, median / p95")
    print(f"{'positions':>9}  {'Enter':<9}  {'cell':^14}  {'cell, average':^14}  {'DataTable':^14}  ratio of cells")
    for size in arguments.sizes:
        pad = PADS[size]
        with tempfile.TemporaryDirectory() as folder:
            written = Path(folder, "written.json")
            pad.write(written)
            for way, keying in WAYS.items():
                ours, theirs = (
                    measure(program, pad, written, keying, arguments.readings) for program in PROGRAMS.values()
                )
                ratio = statistics.median(theirs.cell) / statistics.median(ours.cell)
                columns = (ours.cell, ours.both, theirs.cell)
                figures = "  ".join(middle_and_p95(column) for column in columns)
                print(f"{size:>9}  {way:<9}  {figures}  {ratio:5.1f}", flush=True)


if __name__ == "__main__":
    main()
