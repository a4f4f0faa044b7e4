"""The programs that are measured: how they are started, what they are fed, and where they show it.

What depends on rodcall's own screen is in `RODCALL_SCREEN`; a new layout is followed there and nowhere else.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Final

from tests.terminal.pty_terminal import Terminal
from tests.terminal.screen import Lines

FREE: Final = 60
"""Positions of a pad that are left to be keyed; all others are shot before."""


@dataclass(frozen=True)
class ScreenPlaces:
    """Where on an 80 x 24 screen a program shows what it took."""

    first_line: int
    last_line: int
    """Lines of the plan, the last one not included."""
    last_column: int
    """Column at which the plan ends."""
    average: re.Pattern[str] | None
    """Finds the average, where there is one."""

    def cell(self, lines: Lines, value: str) -> bool:
        """True where a cell of the plan holds the value."""
        return any(value in line[: self.last_column] for line in lines[self.first_line : self.last_line])

    def average_is(self, lines: Lines, value: str) -> bool:
        """True where the average that is shown is this one."""
        assert self.average is not None
        found = self.average.search("\n".join(lines))
        return found is not None and found[1] == value


RODCALL_SCREEN: Final = ScreenPlaces(1, -6, 52, re.compile(r"\baverage +(\S+)"))
YARDSTICK_SCREEN: Final = ScreenPlaces(1, 24, 80, None)

RODCALL: Final = (sys.executable, "-m", "rodcall")
_HERE: Final = Path(__file__).parent
YARDSTICK: Final = (sys.executable, str(_HERE / "datatable_yardstick.py"))
MINIMAL: Final = (sys.executable, str(_HERE / "minimal_app.py"))


@dataclass(frozen=True)
class Pad:
    """A pad in millimetres of which all positions but the first ones in walking order are shot."""

    along: int
    across: int

    @property
    def size(self) -> int:
        """How many positions."""
        return self.along * self.across

    @property
    def free(self) -> int:
        """How many of them are not shot."""
        return min(self.size, FREE)

    def readings(self) -> Iterator[tuple[str, str]]:
        """Each reading for a free position, and the average that must stand on the screen after it."""
        walk = self._walk()
        free, shot = walk[: self.free], walk[self.free :]
        total = sum(self._height(*place) for place in shot)
        # From where the last shot was taken the way turns around.
        for count, place in enumerate(free[::-1] if shot else free, len(shot) + 1):
            reading = self._height(*place)
            total += reading
            yield f"{reading:+d}", f"{round(Fraction(total, count)):+d}"

    def write(self, path: Path, shots: str | None = None) -> None:
        """Write the job to a file, with the program itself; other shots can be given, one a line."""
        size = ("--length=120m", "--width=120m", f"--along={self.along}", f"--across={self.across}")
        _run(path, "new", "--name=Benchmark pad", *size, "--heights=mm", "--step=1mm")
        shot = "".join(f"{_letters(x)}{y + 1} {self._height(x, y):+d}\n" for x, y in self._walk()[self.free :])
        _run(path, "enter", stdin=shot if shots is None else shots)

    def _walk(self) -> list[tuple[int, int]]:
        """Column and line of all positions in walking order: there and back, line by line."""
        lines = [[(x, y) for x in range(self.across)] for y in range(self.along)]
        return [place for y, line in enumerate(lines) for place in (line[::-1] if y % 2 else line)]

    def _height(self, x: int, y: int) -> int:
        """A rough plane in millimetres, which no reading of it is asked about, and each is told from all others.

        So steep that even among 10,000 positions each moves the average by more than its last digit, from the first
        line, where the free ones lie.
        """
        return -29_000 + 500 * y + 37 * x + (7 * x + 5 * y) % 11


@dataclass(frozen=True)
class Program:
    """A program that takes readings into a pad."""

    start: Callable[[Pad, Path], Terminal]
    """Starts it on a pad, and on that pad's job file where it reads one."""
    ready: str
    """What its screen shows once a reading can be keyed."""
    places: ScreenPlaces


def open_job(job: Path) -> Terminal:
    """Start rodcall on a job; what else it writes goes to the job's folder."""
    return Terminal([*RODCALL, job], env=_at_home_in(job.parent))


def _yardstick(pad: Pad, _: Path) -> Terminal:
    """The table, painting as often as rodcall does."""
    return Terminal([*YARDSTICK, str(pad.along), str(pad.across)], env={"TEXTUAL_FPS": "120"})


PROGRAMS: Final = {
    "rodcall": Program(lambda _, job: open_job(job), "next", RODCALL_SCREEN),
    "DataTable": Program(_yardstick, "+0", YARDSTICK_SCREEN),
}


def _run(job: Path, command: str, *options: str, stdin: str = "") -> None:
    env = {**os.environ, **_at_home_in(job.parent)}
    line: list[str | Path] = [*RODCALL, command, job, *options]
    done = subprocess.run(line, input=stdin, env=env, text=True, capture_output=True, check=False)
    if done.returncode:
        raise SystemExit(f"rodcall {command}: {done.stderr}")


def _at_home_in(folder: Path) -> dict[str, str]:
    """A home with everything as it comes."""
    return {"RODCALL_HOME": str(folder)}


def _letters(column: int) -> str:
    return chr(65 + column) if column < 26 else chr(64 + column // 26) + chr(65 + column % 26)
