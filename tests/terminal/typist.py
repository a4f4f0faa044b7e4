"""A typist at a practice pad in the real program: reads off the screen what is called, types it, reads again.

Nothing is known of the lesson here: what the helper says when he looks again decides what was wrong.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from typing import Any, Final

from .crew import PATIENCE, READ_BACK, Crew

CALLED: Final = re.compile(r"^ helper: (?P<position>[A-Z]+\d+)  (?P<said>.+)$")
AGAIN: Final = re.compile(r"^ helper: (?P<position>[A-Z]+\d+) again  (?P<said>.+)$")
DONE: Final = " helper: all shot"
SHOUTED: Final = " again.  "

LEFT_THE_SCREEN: Final = b"\x1b[?1049l"

WIDE: Final = 140
"""Columns in which a whole question stands in one line."""


@dataclass
class Work:
    """What a typist did on one pad."""

    typed: dict[str, str] = field(default_factory=dict)
    """What was called and typed, by position."""
    put_right: dict[str, str] = field(default_factory=dict)
    """What stands there since, where the helper said another reading when he looked again."""
    needless: list[str] = field(default_factory=list)
    """Positions that were shouted back though their reading was right."""
    seconds: list[float] = field(default_factory=list)
    """From the first key of each reading to the screen that shows what comes next: the program's own time."""


class Typist:
    """Works through one pad after the other, and has what is shouted back read again, each time at once.

    Args:
        crew: At the program.
    """

    def __init__(self, crew: Crew) -> None:
        self._crew = crew

    def pad(self) -> Work:
        """Type everything that is called until all is shot."""
        work = Work()
        self._crew.sees(lambda lines: CALLED.match(lines[0]) is not None)
        while not (said := self._heard()).startswith(DONE) or self._shouted:
            if self._shouted:
                self._read_again(work)
            elif called := CALLED.match(said):
                work.typed[called["position"]] = called["said"]
                work.seconds.append(self._type(called["said"]))
        return work

    @property
    def _shouted(self) -> bool:
        """Is the last reading to be read again?"""
        return any(SHOUTED in line for line in self._crew.terminal.text())

    def another(self) -> None:
        """Go on to the next pad."""
        self._crew.key("@")
        self._crew.sees(" helper: A1")

    def _heard(self) -> str:
        """The helper's line once the screen stands still: a question that is painted by then has been seen."""
        self._crew.terminal.settle(READ_BACK, PATIENCE)
        return self._crew.terminal.line(0)

    def _type(self, reading: str) -> float:
        """Type a reading that was called; returns the seconds until the helper's line is another one."""
        before = self._crew.terminal.line(0)
        sent = self._crew.terminal.send(f"{reading}\r")
        return self._crew.terminal.wait_for(lambda lines: lines[0] != before, PATIENCE) - sent

    def _read_again(self, work: Work) -> None:
        """`=`, and what the helper says on looking again; where that is the same, both readings stand."""
        self._crew.key("=")
        self._crew.sees(lambda lines: AGAIN.match(lines[0]) is not None)
        again = AGAIN.match(self._crew.terminal.line(0))
        assert again is not None
        position, right = again["position"], again["said"]
        if right == {**work.typed, **work.put_right}[position]:
            work.needless.append(position)
        else:
            work.put_right[position] = right
        self._type(right)


def told(crew: Crew) -> str:
    """What was printed once the screen was left."""
    received = b"".join(chunk.data for chunk in crew.terminal.received)
    return re.sub(r"\x1b\[[\d;?]*[a-zA-Z]", "", received.rpartition(LEFT_THE_SCREEN)[2].decode())


def scores(crew: Crew) -> list[dict[str, Any]]:
    """The scores that were printed as JSON."""
    return [json.loads(line) for line in told(crew).splitlines() if line.startswith("{")]
