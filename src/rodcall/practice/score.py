"""How a lesson went, by the book and the keys alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from rodcall.book.fold.page import Page
from rodcall.book.fold.round_page import LEFT_OUT, SHOT
from rodcall.frozen import Frozen
from rodcall.i18n import counted, say
from rodcall.practice.lesson import Lesson


class Score(Frozen):
    """What was right and what was not."""

    pad: str
    """Name of the job."""
    positions: int
    shot: int
    planted: int
    """Mistakes in the calls that were taken down."""
    caught: tuple[str, ...]
    """Positions where such a mistake was put right, or left out."""
    missed: tuple[str, ...]
    typing: tuple[str, ...]
    """Positions that were called right and stand wrong in the book."""
    keys: int
    fewest: int
    """Keys that the calls need: their characters and an Enter each, and for each mistake `=` and the reading again."""
    seconds: float

    @property
    def seconds_a_shot(self) -> float:
        """0 before the first one."""
        return self.seconds / self.shot if self.shot else 0.0

    @property
    def perfect(self) -> bool:
        """Everything stands as it is on the ground."""
        return self.shot == self.positions and not self.missed and not self.typing

    def as_json(self) -> dict[str, Any]:
        """For a script."""
        return {**asdict(self), "perfect": self.perfect}


def score_of(lesson: Lesson, page: Page, keys: int, seconds: float) -> Score:
    """Hold a page against the ground.

    Args:
        lesson: What was called.
        page: What is in the book.
        keys: How many keys were pressed.
        seconds: From the first call to the last reading.
    """
    name, here = page.grid.name, page.round
    written = [index for index in range(page.grid.size) if here.state[index] in (SHOT, LEFT_OUT)]
    wrong = [index for index in written if here.height_at(index) not in (None, lesson.calls[index].right_nm)]
    planted = [index for index in written if lesson.calls[index].mistake is not None]
    called = [lesson.calls[index].called for index in written]
    again = [lesson.calls[index].right for index in planted]
    return Score(
        lesson.job.name,
        page.grid.size,
        len(written),
        len(planted),
        tuple(name(index) for index in planted if index not in wrong),
        tuple(name(index) for index in planted if index in wrong),
        tuple(name(index) for index in wrong if index not in planted),
        keys,
        sum(len(said) + 1 for said in called) + sum(1 + len(said) + 1 for said in again),
        seconds,
    )


def score_words(score: Score) -> Iterator[str]:
    """The score, a line each."""
    yield say("{pad}: {shot} of {positions} positions", pad=score.pad, shot=score.shot, positions=score.positions)
    yield say("mistakes called out: {planted}, caught {caught}", planted=score.planted, caught=len(score.caught))
    if score.missed:
        yield say("missed: {positions}", positions=" ".join(score.missed))
    if score.typing:
        yield say("typed wrong: {positions}", positions=" ".join(score.typing))
    yield say("{keys} keys typed, {fewest} needed", keys=score.keys, fewest=score.fewest)
    if score.shot:
        yield say("{seconds:.1f} seconds a shot", seconds=score.seconds_a_shot)
    if score.perfect:
        yield say("every spot is right")
    elif score.missed:
        yield say("watch for READ AGAIN: the rod is still on that spot")
    left = score.positions - score.shot
    if left:
        yield counted(left, "{number} position was not shot", "{number} positions were not shot")
