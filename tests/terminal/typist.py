"""A typist at a practice pad in the real program: reads off the screen what is called, types it, answers questions.

Nothing is known of the lesson here: what the helper says when he looks again decides how a question is answered.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from typing import Any, Final

from .crew import PATIENCE, READ_BACK, Crew
from .screen import Lines

CALLED: Final = re.compile(r"^ helper: (?P<position>[A-Z]+\d+)  (?P<said>.+)$")
AGAIN: Final = re.compile(r"^ helper: (?P<position>[A-Z]+\d+) again  (?P<said>.+)$")
WAITS: Final = " helper: waits"
DONE: Final = " helper: all shot"
OFFERED: Final = re.compile(r"  \* take (?P<said>.+?)  / keep")

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
    """Positions that were asked about though their reading was right; empty for a question about a line."""
    seconds: list[float] = field(default_factory=list)
    """From the first key of each reading to the screen that shows what comes next: the program's own time."""


class Typist:
    """Works through one pad after the other, without a pause but for those after which a question can be answered.

    Args:
        crew: At the program.
        read_again: Have what does not fit read beside until two readings agree, instead of taking what is offered.
    """

    def __init__(self, crew: Crew, *, read_again: bool = False) -> None:
        self._crew = crew
        self._read_again = read_again

    def pad(self) -> Work:
        """Type everything that is called until all is shot."""
        work = Work()
        self._crew.sees(lambda lines: CALLED.match(lines[0]) is not None)
        while not (said := self._heard()).startswith(DONE):
            if called := CALLED.match(said):
                work.typed[called["position"]] = called["said"]
                work.seconds.append(self._type(called["said"]))
            else:
                self._answer(said, work)
        return work

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

    def _key(self, characters: str) -> None:
        """Key an answer, and see that something came of it."""
        before = self._crew.terminal.text()
        self._crew.key(characters)
        self._crew.sees(lambda lines: lines != before)

    def _answer(self, said: str, work: Work) -> None:
        """One key; or, where that is wanted, the spot read beside it as often as it takes."""
        doubted = AGAIN.match(said)
        position, right = (doubted["position"], doubted["said"]) if doubted else ("", "")
        if not doubted or right == {**work.typed, **work.put_right}[position]:
            work.needless.append(position)
            self._key("/")
            return
        work.put_right[position] = right
        if not self._read_again:
            self._key("*" if offered(self._crew.terminal.text()) == right else "o")
            return
        self._key("b")
        while AGAIN.match(self._heard()):
            self._key(f"{right}\r")


def offered(lines: Lines) -> str:
    """The reading that one key takes instead of the doubted one; empty where none is offered."""
    found = OFFERED.search("\n".join(lines))
    return found["said"] if found else ""


def told(crew: Crew) -> str:
    """What was printed once the screen was left."""
    received = b"".join(chunk.data for chunk in crew.terminal.received)
    return re.sub(r"\x1b\[[\d;?]*[a-zA-Z]", "", received.rpartition(LEFT_THE_SCREEN)[2].decode())


def scores(crew: Crew) -> list[dict[str, Any]]:
    """The scores that were printed as JSON."""
    return [json.loads(line) for line in told(crew).splitlines() if line.startswith("{")]
