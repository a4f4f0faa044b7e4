"""Prints what one Enter costs beside a bare grid of the same size in the same run: processor, and time to the cell.

    python -m tests.benchmarks.enter [--readings 40] [--sizes 12 1200 10000]

Both run on a pseudo-terminal of 80 x 24 and take turns, a reading each, so that slow moments of the machine meet both.
Two ways of keying: Enter once the echo of the digits has settled, and reading and Enter in one write. Processor time is
that of all threads from just before Enter until the screen has been silent for a while, as Linux counts it.
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Final

from tests.benchmarks.latency import PADS, QUIET, p95
from tests.benchmarks.programs import RODCALL_SCREEN, Pad, ScreenPlaces, open_job
from tests.terminal.pty_terminal import Terminal

BARE: Final = ScreenPlaces(0, 20, 52, None)
WAYS: Final = ("settled", "one write")
FIRST: Final = 5
"""Readings of each run that are not counted: modules are loaded on them."""


@dataclass
class Cost:
    """Milliseconds of one reading each."""

    cell: list[float] = field(default_factory=list)
    processor: list[float] = field(default_factory=list)


@dataclass
class Keyed:
    """A program that readings are keyed into."""

    terminal: Terminal
    places: ScreenPlaces
    readings: Iterator[str]
    cost: Cost
    taken: int = 0

    def key(self, way: str) -> None:
        """Key the next reading."""
        reading = next(self.readings)
        if way == "settled":
            self.terminal.send(reading)
        self.terminal.settle(QUIET)
        spent = self._spent()
        entered = self.terminal.send("\r" if way == "settled" else f"{reading}\r")
        self.terminal.settle(QUIET)
        spent = self._spent() - spent
        painted = self.terminal.wait_for(partial(self.places.cell, value=reading))
        self.taken += 1
        if self.taken > FIRST:
            self.cost.cell.append(1000 * (painted - entered))
            self.cost.processor.append(1000 * spent)

    def _spent(self) -> float:
        """Seconds of processor that all threads have used."""
        tasks = Path(f"/proc/{self.terminal.process.pid}/task").iterdir()
        return sum(int((task / "schedstat").read_text().split()[0]) for task in tasks) / 1e9


def measure(pad: Pad, written: Path, way: str, wanted: int) -> tuple[Cost, Cost]:
    """Key into fresh copies of the job, and into bare grids, in turn."""
    ours, theirs = Cost(), Cost()
    run = 0
    while len(ours.cell) < wanted:
        run += 1
        job = Path(shutil.copyfile(written, written.with_name(f"{way.replace(' ', '-')}-{run}.json")))
        bare = [sys.executable, "-m", "tests.benchmarks.bare_grid", str(pad.along), str(pad.across)]
        with open_job(job) as one, Terminal(bare, env={"TEXTUAL_FPS": "120"}) as other:
            one.wait_for("next", timeout=60)
            other.wait_for("average", timeout=60)
            said = [reading for reading, _ in pad.readings()]
            both = (
                Keyed(one, RODCALL_SCREEN, iter(said), ours),
                Keyed(other, BARE, iter(said), theirs),
            )
            for _ in said:
                for each in both:
                    each.key(way)
    return ours, theirs


def told(values: list[float]) -> str:
    return f"{statistics.median(values):6.1f} /{p95(values):6.1f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--readings", type=int, default=40, help="at least so many of each")
    parser.add_argument("--sizes", type=int, nargs="+", choices=list(PADS), default=list(PADS))
    arguments = parser.parse_args()
    print("milliseconds, median / p95; ratio of medians, of p95")
    for size in arguments.sizes:
        with tempfile.TemporaryDirectory() as folder:
            written = Path(folder, "written.json")
            PADS[size].write(written)
            for way in WAYS:
                ours, theirs = measure(PADS[size], written, way, arguments.readings)
                for what in ("processor", "cell"):
                    one, other = getattr(ours, what), getattr(theirs, what)
                    ratio = statistics.median(one) / statistics.median(other), p95(one) / p95(other)
                    figures = f"{told(one)}   bare {told(other)}   {ratio[0]:4.2f} {ratio[1]:4.2f}"
                    print(f"{size:>6}  {way:<9}  {what:<9}  {figures}", flush=True)


if __name__ == "__main__":
    main()
