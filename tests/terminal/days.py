"""A crew's whole day at the real program: it keys what the screen asks for; each key is counted with its purpose."""

from __future__ import annotations

import subprocess
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from rodcall.tui.bindings.actions import SHOT_GRID, TARGET_PAGE, Action

from .crew import PATIENCE, READ_BACK, RODCALL, Crew, Hands
from .screen import Lines

READINGS: Final = "readings that count"
"""Their characters and one Enter each: what a pad without trouble costs."""


FIELDS: Final = (
    "pad size",
    "name",
    "customer",
    "place",
    "heights in",
    "pad length",
    "pad width",
    "shots along",
    "shots across",
    "inset",
    "smallest mark",
    "readings are",
    "tolerance",
    "crew tolerance",
    "zero at",
    "BEGIN THE JOB",
)
"""Lines of the form of a new job."""


class Day:
    """Keys at the program, counted by what they are for.

    Args:
        crew: At the program.
        page: How each command is keyed: letters, or the menu and a number on a numeric pad.
    """

    def __init__(self, crew: Crew, page: Mapping[str, str]) -> None:
        self.crew = crew
        self.command = page
        self.keys: Counter[str] = Counter()
        """Keys pressed, by what they are for."""
        self.times: Counter[str] = Counter()
        """How often each of these came."""

    # -- keying ---------------------------------------------------------------------------------------------

    def key(self, what: str, characters: str) -> None:
        r"""Press keys in one write, `\r` being Enter, and count them."""
        self.keys[what] += len(characters)
        self.crew.key(characters)

    def fill_in(self, answers: Mapping[str, str]) -> None:
        """Go through the form of a new job, Enter where nothing is typed, and begin the job."""
        for label in FIELDS:
            self.crew.sees(lambda lines, label=label: any(_is_field(line, label) for line in lines))
            self.key("job set up", answers.get(label, "") + "\r")

    def asked(self, what: str, prompt: str, characters: str) -> None:
        """Answer what the entry line asks, once that is seen."""
        self.prompted(prompt)
        self.crew.terminal.settle(READ_BACK, PATIENCE)
        self.key(what, characters)

    def shoot(self, spot: str, said: str, what: str = READINGS, prompt: str = "next {spot}") -> None:
        """Type a reading where the line names its spot."""
        self.prompted(prompt.format(spot=spot))
        self.key(what, f"{said}\r")
        self.times[what] += 1

    def walk(self, readings: Mapping[str, str], start: str | None = None, end: str | None = None) -> None:
        """Type readings in the order in which the line must name their spots."""
        spots = list(readings)
        first = spots.index(start) if start else 0
        last = spots.index(end) + 1 if end else len(spots)
        for spot in spots[first:last]:
            self.shoot(spot, readings[spot])

    # -- seeing ---------------------------------------------------------------------------------------------

    def prompted(self, prompt: str) -> None:
        """Wait until the entry line begins with this."""
        wanted = " ".join(prompt.split())
        self.crew.sees(lambda lines: entry_line(lines).startswith(wanted))

    def asked_for(self, words: str) -> None:
        """Wait until a page that has no entry line says this, and is still."""
        self.crew.sees(words)
        self.crew.terminal.settle(READ_BACK, PATIENCE)

    def told(self, words: str) -> None:
        """Wait until the screen says this."""
        self.crew.sees(words)

    # -- afterwards -----------------------------------------------------------------------------------------

    @property
    def pressed(self) -> int:
        """Keys that went over the wire, counted there: each key of the keypad is one sequence."""
        sent = b"".join(chunk.data for chunk in self.crew.terminal.sent)
        return sent.count(b"\x1b[") if self.crew.hands.keypad is not None else len(sent)

    def rows(self, day: str) -> list[str]:
        """The table of this day: what the keys were for, how often, and how many."""
        return [f"| {day} | {what} | {self.times[what] or 1} | {keys} |" for what, keys in self.keys.items()]


def _is_field(line: str, label: str) -> bool:
    """Does the form stand at this field? The cursor is an underline behind its answer."""
    return line.strip().startswith(label) and "_" in line


def entry_line(lines: Lines) -> str:
    """What is asked and typed, with single spaces: one of the two lines above the footer, or both of a long prompt."""
    first, second = (" ".join(line.split()) for line in lines[-3:-1])
    return f"{first} {second}" if second.endswith("_") and " > " in f" {second}" else first


def says_pass(lines: Lines) -> bool:
    """Do the numbers say PASS: beside the plan, or in the one line that they fold into?"""
    return any(line.strip().startswith("PASS ") or line.endswith(f"verdict{'PASS':>20}") for line in lines)


def verdict(path: Path) -> tuple[int, str]:
    """Exit status and first line of `rodcall verdict`."""
    told = subprocess.run([*RODCALL, "verdict", path], capture_output=True, text=True, check=False)
    return told.returncode, told.stdout.splitlines()[0]


MAIN_KEYS: Final = Hands()
LETTERS: Final = {
    "leave_out": "o",
    "again": "=",
    "check": "c",
    "reference": "b",
    "setup": "s",
    "target": "t",
    "round": "r",
    "as_built": "a",
    "close": "\x1b",
    "leave": "q",
    "leave_list": "q",
    "new": "n",
}
"""Commands as letters, for a crew with a keyboard."""


def by_number(wanted: str, actions: tuple[Action, ...] = SHOT_GRID) -> str:
    """A command by its number in the menu, as a numeric pad keys it."""
    return f"*{[action.id for action in actions if action.id != 'menu'].index(wanted) + 1}\r"


NUMBERS: Final = {
    **{id: by_number(id) for id in LETTERS if id in {action.id for action in SHOT_GRID}},
    "slopes": by_number("slopes", TARGET_PAGE),
    "undo": "/",
    "close": "/",
    "leave_list": "-",
    "new": "+",
}
"""Commands as a numeric pad has them: a few keys of their own, else the menu, a number and Enter."""
