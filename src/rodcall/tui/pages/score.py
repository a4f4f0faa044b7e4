"""How practice goes: this pad in words, and a line for each pad before it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult

from rodcall.i18n import say
from rodcall.practice.score import Score, score_words
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.buttons import Buttons, of_actions
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Lines, fitted
from rodcall.tui.widgets.styles import FAINT, HEAD, PLAIN, STRONG

NAME, NUMBER = 18, 10
"""Columns of a pad's name and of each number: 60 columns hold them."""


class ScoreScreen(KeyScreen[str | None]):
    """Closes with what is to be done next: an action's id, or None to go on as before."""

    CSS = "ScoreScreen { background: #101214; } ScoreScreen #page { width: 100%; height: 100%; }"
    TABLE: ClassVar[str] = "score"

    def __init__(self, here: Score, scores: Sequence[Score]) -> None:
        super().__init__()
        self._here = here
        self._scores = scores
        self._buttons = Buttons()

    def compose(self) -> ComposeResult:
        """One widget for all."""
        yield Lines(id="page")

    def on_resize(self, event: events.Resize) -> None:
        """Break the lines anew."""
        self.show_anew()

    def press(self, key: Stroke) -> None:
        """Only what the table says."""
        action = self.action_of(key)
        if action is not None:
            self.do(action.id)

    def on_click(self, event: events.Click) -> None:
        """A tap on a word of the last line does it."""
        if event.y == self.size.height - 1:
            self.tap(self._buttons.key_at(event.x), event)

    def do_another(self) -> None:
        """Another pad."""
        self.dismiss("another")

    def do_leave(self) -> None:
        """Leave the program."""
        self.dismiss("leave")

    def do_back(self) -> None:
        """Back to the pad."""
        self.dismiss(None)

    def show_anew(self) -> None:
        """This pad, then all of them, the last one first; what has no room is told when the program is left."""
        width, height = self.size
        if not self.is_mounted or width < 2:
            return
        told = [line for said in score_words(self._here) for line in textwrap.wrap(said, max(width - 2, 10))]
        page = [Text(fitted(f" {say('practice')}", width), HEAD), *(Text(f" {line}", STRONG) for line in told)]
        if len(self._scores) > 1:
            page += [Text(""), Text(_heads(), FAINT), *(Text(_row(score), PLAIN) for score in reversed(self._scores))]
        page = [*page, *(Text("") for _ in range(height))][: height - 1]
        foot = Text(self._buttons.line(of_actions(self.actions), width, told=self.swallowed_words), FAINT)
        self.query_one(Lines).show([*page, foot])


def _heads() -> str:
    return _columns(say("pad"), say("missed"), say("keys"), say("fewest"), say("s a shot"))


def _row(score: Score) -> str:
    missed = f"{len(score.missed)}/{score.planted}"
    return _columns(score.pad, missed, str(score.keys), str(score.fewest), f"{score.seconds_a_shot:.1f}")


def _columns(pad: str, *numbers: str) -> str:
    return f" {fitted(pad, NAME)}" + "".join(f"{number:>{NUMBER}}" for number in numbers)
