"""Pads for the punch list: begun and shot through the shell, and honest from the first reading to the last check."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

from rodcall.book.book import Book
from rodcall.book.entry_lines import dictate
from rodcall.book.model.job import Job
from rodcall.book.storage.opening import JobFile
from tests.cli.kit import rodcall
from tests.kit import START, a_job

NAMES = tuple(f"{column}{row}" for row in (1, 2, 3, 4) for column in "ABC")
HEIGHTS = ("0", "-1/8", "+1/8", "0", "+1/8", "0", "-1/8", "0", "+1/8", "0", "-1/8", "0")
"""Inches, read on a finished pad of 4 x 3 spots at a target of 0."""
AGREED = ("reference BM1 high 4", "target 0", "round final")
SHOTS = tuple(f"{name} {height}" for name, height in zip(NAMES, HEIGHTS, strict=True))
CHECK = "check BM1 +4"
WITHOUT_B2 = tuple(shot for shot in SHOTS if not shot.startswith("B2"))
HONEST = (*AGREED, *SHOTS, CHECK)

ROD = ("--heights", "ft", "--readings", "rod")
ROD_AGREED = ("reference BM1 high 2.00", "target 0", "round final", "setup BM1 4.00")
ROD_SHOTS = tuple(f"{name} 6.0{at % 3}" for at, name in enumerate(NAMES))
"""By a level at 6.00 ft over the zero: the pad lies within 0.02 ft of it."""
ROD_CHECK = "check BM1 4.00"


def begin(folder: Path, *lines: str, new: tuple[str, ...] = ()) -> Path:
    """A pad of 60 x 40 ft with 4 x 3 spots, and these lines entered."""
    path = folder / "pad.json"
    needed = {"--name": "Pad", "--length": "60ft", "--width": "40ft", "--along": "4", "--across": "3"}
    needed.update(zip(new[::2], new[1::2], strict=True))
    told = rodcall("new", path, *(word for pair in needed.items() for word in pair))
    assert told.status == 0, told
    return enter(path, *lines)


def enter(path: Path, *lines: str) -> Path:
    """Enter lines, all of which must be taken."""
    if lines:
        told = rodcall("enter", path, stdin="\n".join(lines))
        assert told.status == 0, told
    return path


def figures(path: Path) -> dict[str, Any]:
    """What `figures --json` prints; of a book that was edited outside it says so beside that."""
    told = rodcall("figures", path, "--json")
    assert told.status == 0, told
    data: dict[str, Any] = json.loads(told.out)
    return data


def verdict(path: Path) -> str:
    """What `rodcall verdict` says, which the exit status and `figures --json` have to say too."""
    told = rodcall("verdict", path)
    first, *listed = told.out.splitlines()
    assert told.status == {"PASS": 0, "FAIL": 1, "NOT PROVEN": 3}[first], told
    data = figures(path)
    assert data["verdict"] == first
    assert len(listed) == len(data["punch_list"]) == len(data["reasons"])
    for line, item, reason in zip(listed, data["punch_list"], data["reasons"], strict=True):
        assert line == f"  {reason}  ({item['clears']})"
    return first


def items(path: Path) -> dict[str, dict[str, Any]]:
    """The punch list by what each item is; no kind may be on it twice here."""
    listed = figures(path)["punch_list"]
    kinds = [each["item"] for each in listed]
    assert len(set(kinds)) == len(kinds), kinds
    return {each["item"]: each for each in listed}


def kinds(path: Path) -> list[str]:
    """What is on the punch list, in its order."""
    return [each["item"] for each in figures(path)["punch_list"]]


class Site:
    """A book with a clock of its own, for what the clock of `enter` cannot tell: days, and a clock set back."""

    def __init__(self, path: Path, tablet: str = "tablet-a", job: Job | None = None) -> None:
        self.now = START
        self.file = JobFile(path, Book(job or a_job(), tablet, self._tick))

    def _tick(self) -> datetime:
        self.now += timedelta(seconds=10)
        return self.now

    def write(self, *lines: str, later: timedelta = timedelta()) -> Path:
        """Write lines so much later, and save."""
        self.now += later
        dictate(self.file.book, lines, lambda: None)
        self.file.save()
        return self.file.path


def ticks(start: datetime = START) -> Callable[[], datetime]:
    """A clock that goes on by ten seconds at each look, from any time."""
    seconds = count(10, 10)
    return lambda: start + timedelta(seconds=next(seconds))
