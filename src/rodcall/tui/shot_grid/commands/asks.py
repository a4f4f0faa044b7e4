"""How commands ask in the entry line and write what was answered."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from string import digits

from rodcall.book.fold.page import PageError
from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import Readings
from rodcall.i18n import say
from rodcall.tui.shot_grid.session import SIGNS, ShotSession
from rodcall.tui.widgets.entry_line import Question

Answer = Callable[[], None]
BEGINS = {Readings.HEIGHT: SIGNS + digits, Readings.ROD: digits, Readings.DIRECT_ROD: SIGNS + digits}
"""What a whole reading begins with, by the way of reading."""


class Asks:
    """Questions about one session, and writing with its refusals."""

    def __init__(self, session: ShotSession) -> None:
        self._session = session

    def write(self, entry: Callable[[], Change]) -> None:
        """Write an entry; a refusal is shown where the crew looks."""
        try:
            self._session.written(entry())
        except ValueError as error:
            self._session.line.message = str(error)

    def write_together(self, entries: Callable[[], list[Change]]) -> None:
        """Write what one answer takes back or brings back, one entry or several."""
        try:
            self._session.written_together(entries())
        except ValueError as error:
            self._session.line.message = str(error)

    def length(self, prompt: str, take: Callable[[str], None]) -> None:
        """Ask for a length, or what only looks like one: every text is its answer."""
        self._session.line.ask(Question(prompt, take))

    def text(self, prompt: str, take: Callable[[str], None], *, loose: bool = False, about_spot: bool = False) -> None:
        """Ask for words, a name or a number, and Enter; a reading typed instead is the next reading.

        Args:
            prompt: The question.
            take: The answer.
            loose: Whether a reading without a sign is not an answer either.
            about_spot: Whether the answer may change where a reading belongs.
        """
        is_reading = partial(self._session.is_reading, loose=loose)
        self._session.line.ask(Question(prompt, take, is_reading=is_reading, about_spot=about_spot))

    def choice(self, prompt: str, answers: dict[str, Answer], enter: Answer | None = None) -> None:
        """Ask for one key; each answer lists the characters that give it.

        Those that begin a reading in this job wait for Enter: a reading typed too soon is never an answer.
        """
        choices = {character: answer for characters, answer in answers.items() for character in characters}
        if enter is not None:
            choices["enter"] = enter
        is_reading = partial(self._session.is_reading, loose=True)
        waits = BEGINS[self._session.book.page.readings]
        self._session.line.ask(Question(prompt, choices=choices, is_reading=is_reading, waits=waits))


def nothing() -> None:
    """The answer that does nothing."""


def given(reason: str) -> str:
    """A reason that was typed.

    Raises:
        PageError: when none was.
    """
    if not reason.strip():
        raise PageError(say("type the reason"))
    return reason
