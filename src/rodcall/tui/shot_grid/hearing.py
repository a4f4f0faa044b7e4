"""When the shot grid is heard: after a reading, at a question, and where a reading was not taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rodcall.book.fold.round_page import Change
from rodcall.tablet.settings import Settings
from rodcall.tui.shot_grid.sound import Heard, Sounds, Speaker
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.entry_line import Question

if TYPE_CHECKING:
    from textual.timer import Timer

    from rodcall.tui.shot_grid.screen import ShotScreen

BELLS_APART = 0.25
"""Seconds between bells, so that they can be counted."""


class Hearing:
    """Lets the crew hear what the shot grid shows.

    Args:
        screen: The shot grid.
        settings: What is set, `sound` not being off.
    """

    def __init__(self, screen: ShotScreen, settings: Settings) -> None:
        self._screen = screen
        self._to_come: list[Timer] = []
        speaks = settings.sound == "command"
        self._sounds = Sounds(self._ring, Speaker(settings.say_command, self._silent) if speaks else None)

    def written(self, change: Change, *, alarm: bool = False) -> None:
        """Something was written: taken, out of tolerance, or to be looked at (`alarm`)."""
        index = change.line.index
        if alarm:
            self._sounds.heard(Heard.ASKED, self._screen.read_back)
            return
        outside = not change.undone and index >= 0 and self._screen.summary.out_mask[index]
        self._sounds.heard(Heard.OUTSIDE if outside else Heard.TAKEN, self._screen.read_back)

    def pressed(self, key: Stroke, before: Question | None) -> None:
        """A key was worked off: a new question, or a reading that was not taken.

        Args:
            key: The key.
            before: The question that was open before it.
        """
        line = self._screen.line
        if line.question is not None and line.question is not before:
            self._sounds.heard(Heard.ASKED, line.question.prompt)
        elif key.name == "enter" and line.message:
            self._sounds.heard(Heard.ASKED, line.message)

    def close(self) -> None:
        """Nothing is heard of a job that was left."""
        self._sounds.close()

    def _ring(self, times: int) -> None:
        """So many bells; those of the last time that are still to come are dropped."""
        for timer in self._to_come:
            timer.stop()
        bell = self._screen.app.bell
        bell()
        self._to_come = [self._screen.set_timer(BELLS_APART * each, bell) for each in range(1, times)]

    def _silent(self, why: str) -> None:
        """On the speaker's thread: messages are the one thing that may cross over."""
        self._screen.post_message(self._screen.Silent(why))
