"""The shot grid with a helper who calls: everything else is as on a real pad."""

from __future__ import annotations

from time import monotonic

from textual.app import ComposeResult

from rodcall.book.file import JobFile
from rodcall.book.round_page import SHOT, Change
from rodcall.language import say
from rodcall.practice.lesson import Lesson
from rodcall.screens import shot_lines
from rodcall.screens.keys import Stroke
from rodcall.screens.lines import Lines
from rodcall.screens.shots import ShotScreen

TICK = 0.1
"""Seconds between looks at the clock."""


class PracticeGrid(ShotScreen):
    """Shows what the helper calls, at a set pace, and counts keys and time."""

    CSS = ShotScreen.CSS + "#helper { height: 1; }"

    def __init__(self, file: JobFile, lesson: Lesson) -> None:
        super().__init__(file)
        self.lesson = lesson
        self.keys = 0
        """Keys pressed so far."""
        self._began = self._next = monotonic() + lesson.pace_s
        self._ended = self._began

    @property
    def seconds(self) -> float:
        """From the first call to the last reading."""
        return max(self._ended - self._began, 0.0)

    def compose(self) -> ComposeResult:
        """The helper's line above the grid."""
        yield Lines(id="helper", style=shot_lines.LARGE)
        yield from super().compose()

    def on_mount(self) -> None:
        """The helper begins."""
        super().on_mount()
        self.set_interval(TICK, self._call)
        self._call()

    def press(self, key: Stroke) -> None:
        """Every key counts."""
        self.keys += 1
        super().press(key)
        self._call()

    def written(self, change: Change) -> None:
        """The helper goes on after each reading."""
        super().written(change)
        self._ended = monotonic()
        self._next = self._ended + self.lesson.pace_s

    def _call(self) -> None:
        self.query_one("#helper", Lines).show([f" {self._called()}"])

    def _called(self) -> str:
        """What is called now: again and right while a spot is read once more."""
        page, name = self.book.page, self.book.job.grid.name
        question = self.line.question
        again = self.doubts.reading if "doubts" in self.__dict__ else None
        if again is not None:
            right = self.lesson.calls[self.book.job.grid.index(again)].right
            return say("helper: {position}  {called}", position=again, called=right)
        if page.next_after(None) is None:
            return say("helper: all shot; q shows how it went")
        if question is not None and question.choices:
            return say("helper: waits")
        if monotonic() < self._next:
            return say("helper: walks")
        call = self.lesson.calls[self.cursor]
        told = call.right if page.round.state[self.cursor] == SHOT else call.called
        return say("helper: {position}  {called}", position=name(self.cursor), called=told)
