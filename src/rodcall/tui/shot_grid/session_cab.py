"""A shot session as phones see it and write into it; between the session and the helper's page. No widget."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import time

from rodcall.figures.next_up import Next
from rodcall.helper.network import is_installed
from rodcall.helper.reading import Turns
from rodcall.helper.view import Shown
from rodcall.i18n import phrase, say
from rodcall.tui.bindings.actions import Action
from rodcall.tui.shot_grid.session import ShotSession

_GET_IT = phrase("Not installed here: pip install 'rodcall[helper]' brings the helper's page.")


def missing() -> str:
    """How to get the helper's page, in one line; empty where it is installed."""
    return "" if is_installed() else say(_GET_IT)


def told_how(actions: tuple[Action, ...]) -> tuple[Action, ...]:
    """The same actions; that of the helper's page says how to get it where it is not installed."""
    if is_installed():
        return actions
    return tuple(replace(each, help=_GET_IT) if each.id == "helper" else each for each in actions)


class SessionCab:
    """A shot session as the helper's page has it (`helper.desk.Grid`).

    Args:
        session: The job as it is worked on.
        on_top: Is the shot grid the page that is up?
        show: Shows the shot grid anew, after a phone wrote something.
        shouts: Is a reading that does not fit reported at once?
    """

    def __init__(
        self, session: ShotSession, on_top: Callable[[], bool], show: Callable[[], None], shouts: Callable[[], bool]
    ) -> None:
        self.sender = ""
        """The phone that sends."""
        self._session = session
        self._on_top = on_top
        self._show = show
        self._shouts = shouts
        self._turns = Turns()

    @property
    def turn(self) -> int:
        """The turn in force: another one whenever something was written, or something else is named."""
        session = self._session
        session.follow()
        return self._turns.of((self.written, session.named))

    @property
    def busy(self) -> str:
        """Why nothing is taken from a phone now."""
        line = self._session.line
        typing = line.question is None and line.text and not line.refused
        return say("the cab is typing") if typing else self._elsewhere

    @property
    def _elsewhere(self) -> str:
        if self._session.line.question is not None:
            return say("the cab is answering a question")
        return "" if self._on_top() else say("the cab has another page open")

    @property
    def written(self) -> int:
        """Entries in the book."""
        return len(self._session.book.entries)

    def take(self, said: str) -> str:
        """Write a reading where the line names it."""
        session = self._session
        named = session.named
        if named is None:
            raise ValueError(say("not written: the cab names no spot"))
        with session.book.sent_from(self.sender):
            session.write_at(named, said)
        return self._told()

    def take_back(self) -> str:
        """Undo the last act."""
        session = self._session
        with session.book.sent_from(self.sender):
            changes = session.book.undo()
        session.written_together(changes)
        return self._told()

    def _told(self) -> str:
        session = self._session
        session.follow()
        told = session.read_back
        came = say("from {sender}", sender=self.sender)
        session.read_back = replace(told, beside=f"{told.beside}, {came}" if told.beside else came)
        self._show()
        return told.spoken

    def phone_came(self, number: int) -> None:
        """Tell the crew that a phone is on, where nothing more urgent is told."""
        line = self._session.line
        if not line.message and not line.text:
            line.message = say("phone {number} is connected: & shows who", number=number)
            self._show()

    @property
    def settled(self) -> bool:
        """False while a reading is written and what follows from it is not worked out yet."""
        return self._session.taken is None

    def shown(self, *, allowed: bool) -> Shown:
        """What the grid shows now."""
        session = self._session
        session.follow()
        named = session.named
        return Shown(
            session.summary,
            session.listed,
            session.queue[0],
            None if named is None else Next(named.do, named.spot, named.reference, named.left),
            session.read_back.spot,
            session.read_back.spoken,
            shouts=self._shouts(),
            way=str(session.book.page.readings),
            turn=self.turn,
            allowed=allowed,
            busy=self._elsewhere,
            now=time(),
        )
