"""A crew at the real program: what it keys, what it reads off the screen, and what the file then holds."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic, sleep
from typing import Any, Final

from rodcall.book.model.entries import Entry, Shot
from rodcall.book.storage.opening import new_job_file, open_job
from tests.kit import a_job

from .keys import Keypad
from .pty_terminal import Terminal
from .screen import Lines, Wanted, shows

RODCALL: Final = (sys.executable, "-m", "rodcall")
PATIENCE: Final = 20.0
"""Seconds until a text is given up: the machine may be busy, and no time is judged here."""
READ_BACK: Final = 0.2
"""Seconds of silence after which a question that is painted is known to be seen, so that a key answers it."""

SAME_KEY_AGAIN: Final = 0.08
"""Seconds: no finger strikes one key again sooner, and what does is taken for a vibrating switch."""


@dataclass(frozen=True)
class Hands:
    """The same commands as this crew keys them: letters, or what a numeric keypad has instead."""

    new: str = "n"
    undo: str = "u"
    leave_out: str = "o"
    leave_job: str = "q"
    leave_list: str = "q"
    keypad: Keypad | None = None
    """How the keypad sends its keys; None for the main keys."""


class Crew:
    """Somebody at the keys of rodcall, in a terminal of its own.

    Args:
        words: What stands behind `rodcall` on the command line.
        hands: Which keys are used.
        command: The program, where it is not rodcall alone.
        options: Passed on to the terminal.
    """

    def __init__(
        self,
        *words: object,
        hands: Hands | None = None,
        command: Sequence[str] = RODCALL,
        env: Mapping[str, str | None] | None = None,
        columns: int = 80,
        rows: int = 24,
    ) -> None:
        self.hands = hands or Hands()
        self.terminal = Terminal([*command, *map(str, words)], env=env, columns=columns, rows=rows)
        self._last_key, self._struck = "", monotonic()

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, *_: object) -> None:
        self.terminal.close()

    # -- keying ---------------------------------------------------------------------------------------------

    def key(self, characters: str) -> None:
        r"""Press keys in one write, `\r` being Enter."""
        if characters.startswith(self._last_key):
            sleep(max(0.0, self._struck + SAME_KEY_AGAIN - monotonic()))
        self._last_key, self._struck = characters[-1:], monotonic()
        if self.hands.keypad is None:
            self.terminal.send(characters)
        else:
            self.terminal.keypad(characters, self.hands.keypad)

    def strike(self, characters: str) -> None:
        """Press keys as fingers do, none twice in no time: read late, it would be a vibrating switch's."""
        for run in _as_struck(characters):
            self.key(run)

    def shoot(self, said: str, then: str) -> None:
        """Say a reading, and see the program go on to the next position."""
        self.key(f"{said}\r")
        self.sees(f"next {then}")

    def answer(self, prompt: str, characters: str) -> None:
        """Answer a question once it is seen: a key that came before is not an answer."""
        self.sees(prompt)
        self.terminal.settle(READ_BACK, PATIENCE)
        self.key(characters)

    @property
    def bytes_sent(self) -> int:
        """How much was keyed so far."""
        return sum(len(chunk.data) for chunk in self.terminal.sent)

    # -- seeing ---------------------------------------------------------------------------------------------

    def sees(self, wanted: Wanted) -> None:
        """Wait until it is on the screen."""
        self.terminal.wait_for(wanted, PATIENCE)

    def sees_saved(self, wanted: str) -> None:
        """Wait until the top line says that all is on the disk, with this on the screen too."""
        self.sees(lambda lines: lines[0].endswith(" saved") and shows(wanted, lines))

    @property
    def numbers(self) -> list[str]:
        """The numbers beside the plan, once nothing changes any more."""
        self.terminal.settle(READ_BACK, PATIENCE)
        return numbers(self.terminal.text())

    # -- ending ---------------------------------------------------------------------------------------------

    def ended(self) -> int:
        """Wait for the end; the terminal must be as it was before. Returns the exit status."""
        status = self.terminal.wait_exit(PATIENCE)
        assert self.terminal.left_behind() == []
        return status


def _as_struck(characters: str) -> list[str]:
    """Keys in runs without the same one twice in a row."""
    runs = [""]
    for character in characters:
        if runs[-1].endswith(character) and runs[-1]:
            runs.append("")
        runs[-1] += character
    return runs


def numbers(lines: Lines) -> list[str]:
    """The numbers beside the plan at 80 x 24, a label and its value each, with single spaces."""
    return [" ".join(line[52:].split()) for line in lines[1:-6]]


# -- what is on the disk ------------------------------------------------------------------------------------


def a_file(folder: Path, along: int = 4, across: int = 3, **known: Any) -> Path:
    """A new job in inches, of 60 x 40 ft unless told otherwise, that nothing was shot of."""
    begun = new_job_file(folder / "pad.json", a_job(along=along, across=across, **known), "tablet-a")
    begun.close()
    return begun.path


def entries(path: Path) -> list[Entry]:
    """What stands in a job's file, checked as at every opening."""
    return open_job(path, "reader").book.entries


def shots(path: Path) -> list[tuple[str, str]]:
    """Position and what was said there, of all shots in a job's file, oldest first."""
    return [(entry.position, entry.said) for entry in entries(path) if isinstance(entry, Shot)]


def figures(path: Path, *options: str) -> dict[str, Any]:
    """What `rodcall figures --json` says, as a program of its own."""
    told = subprocess.run([*RODCALL, "figures", os.fspath(path), "--json", *options], capture_output=True, check=True)
    return json.loads(told.stdout)


def snake(along: int, across: int) -> list[str]:
    """Positions as the helper walks them: each line back from where the one before ended."""
    columns = [chr(ord("A") + column) for column in range(across)]
    return [f"{name}{row + 1}" for row in range(along) for name in (columns if row % 2 == 0 else columns[::-1])]


def prompt_of_shell(lines: Lines) -> bool:
    """True where a shell waits for a command."""
    return [line for line in lines if line][-1:] == ["shell>"]
