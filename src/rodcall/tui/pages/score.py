"""The score of practice: this pad in words, and a line for each pad before it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual import events

from rodcall.i18n import say
from rodcall.practice.score import Score, score_words
from rodcall.tui.pages.base import Page
from rodcall.tui.widgets.block_digits import as_large
from rodcall.tui.widgets.lines import fitted, wrapped
from rodcall.tui.widgets.styles import ACCENT, FAINT, PLAIN, STRONG

NAME, NUMBER = 18, 10
"""Columns of a pad's name and of each number: 60 columns hold them."""

ROOM_FOR_LARGE = 30
"""Lines from which the pad's name is in large letters."""


class ScoreScreen(Page[str | None]):
    """Closes with what is to be done next: an action's id, or None to go on as before."""

    TABLE: ClassVar[str] = "score"

    def __init__(self, here: Score, scores: Sequence[Score]) -> None:
        super().__init__()
        self._here = here
        self._scores = scores

    def do_another(self) -> None:
        """Another pad."""
        self.dismiss("another")

    def do_leave(self) -> None:
        """Leave the program."""
        self.dismiss("leave")

    def do_back(self) -> None:
        """Back to the pad."""
        self.dismiss(None)

    def wheel(self, key: str, event: events.MouseEvent) -> None:
        """There is nothing to scroll."""

    def drawn(self, width: int, height: int) -> list[Text]:
        """This pad, then all of them, the last one first; what has no room is told when the program is left."""
        told = [line for said in score_words(self._here) for line in wrapped(said, width, STRONG)]
        page = [self.head(say("practice"), width)]
        if height >= ROOM_FOR_LARGE:
            name = as_large(self._here.pad, width - 2, height // 4)
            page += [*(Text(f" {row}", ACCENT) for row in ("", *name, ""))]
        page += told
        if len(self._scores) > 1:
            page += [Text(""), Text(_heads(), FAINT), *(Text(_row(score), PLAIN) for score in reversed(self._scores))]
        return [*self.filled(page, height - 1), self.foot(width)]


def _heads() -> str:
    return _columns(say("pad"), say("missed"), say("keys"), say("fewest"), say("s a shot"))


def _row(score: Score) -> str:
    missed = f"{len(score.missed)}/{score.planted}"
    return _columns(score.pad, missed, str(score.keys), str(score.fewest), f"{score.seconds_a_shot:.1f}")


def _columns(pad: str, *numbers: str) -> str:
    return f" {fitted(pad, NAME)}" + "".join(f"{number:>{NUMBER}}" for number in numbers)
