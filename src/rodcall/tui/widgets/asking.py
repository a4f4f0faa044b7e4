"""How the shot grid's commands ask in the entry line and write what was answered."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from rodcall.book.fold.round_page import Change
from rodcall.tui.widgets.entry_line import Question

if TYPE_CHECKING:
    from rodcall.tui.shot_grid.screen import ShotScreen

Answer = Callable[[], None]


class Asking:
    """What all commands need: the screen, the position they are about, questions, and writing with its refusals."""

    def __init__(self, screen: ShotScreen) -> None:
        self._screen = screen

    @property
    def _here(self) -> str:
        return self._screen.book.job.grid.name(self._screen.cursor)

    def _write(self, entry: Callable[[], Change]) -> None:
        """Write an entry; a refusal is shown where the crew looks."""
        try:
            self._screen.written(entry())
        except ValueError as error:
            self._screen.line.message = str(error)

    def _write_together(self, entries: Callable[[], list[Change]]) -> None:
        """Write what one answer takes back or brings back, one entry or several."""
        try:
            self._screen.written_together(entries())
        except ValueError as error:
            self._screen.line.message = str(error)

    def _ask(self, prompt: str, take: Callable[[str], None]) -> None:
        """Ask for text and Enter."""
        self._screen.line.ask(Question(prompt, take))

    def _ask_text(self, prompt: str, write: Callable[[str], Change], said: str = "") -> None:
        """Ask for text that makes one entry."""

        def take(text: str) -> None:
            self._screen.written(write(text))
            if said:
                self._screen.say(said)

        self._ask(prompt, take)

    def _ask_choice(self, prompt: str, answers: dict[str, Answer], enter: Answer | None = None) -> None:
        """Ask for one key; each answer lists the characters that give it."""
        choices = {character: answer for characters, answer in answers.items() for character in characters}
        if enter is not None:
            choices["enter"] = enter
        self._screen.line.ask(Question(prompt, choices=choices))


def nothing() -> None:
    """The answer that does nothing."""
