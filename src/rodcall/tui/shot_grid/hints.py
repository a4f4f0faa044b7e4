"""What to do next on the first job of a tablet, a step at a time, each said once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from rodcall.book.fold.round_page import Change
from rodcall.i18n import say
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.wording.read_back import Call, ReadBack


class Hints:
    """Listens to a session and says the first hint whose time has come, where nothing else is to be said."""

    def __init__(self, session: ShotSession) -> None:
        self._session = session
        self._told: set[str] = set()
        session.acted.append(self._acted)
        self._tell()

    def _acted(self, told: ReadBack, _: Sequence[Change]) -> None:
        if told.call is not Call.LOOK:
            self._tell()

    def _tell(self) -> None:
        session = self._session
        if session.line.message or session.line.question is not None:
            return
        for name, is_due, hint in self._hints():
            if name not in self._told and is_due():
                self._told.add(name)
                session.line.message = hint
                return

    def _hints(self) -> Iterator[tuple[str, Callable[[], bool], str]]:
        """Name, when it is due, and the hint."""
        session = self._session
        summary = session.summary
        counted = summary.counted
        yield (
            "reading",
            lambda: not counted and not session.book.page.needs_setup,
            say("Hint: type the reading with its sign, such as -3/8 or +1/2, and press Enter"),
        )
        yield (
            "setup",
            lambda: session.book.page.needs_setup,
            say("Hint: press b to write a benchmark, then s for the backsight on it"),
        )
        yield "undo", lambda: counted >= 1, say("Hint: u takes the last entry back; the arrows go to another spot")
        yield (
            "rest",
            lambda: counted >= 2,
            say("Hint: * lists all commands, ? explains the keys; practise with rodcall practice"),
        )
        yield (
            "target",
            lambda: bool(counted) and not summary.missing and not summary.chosen,
            say("Hint: all shot. t shows the dirt each target takes; d shows where to dig"),
        )
        yield (
            "proof",
            lambda: summary.chosen is not None and not summary.missing,
            say("Hint: c reads a check shot; Tab lists what is open; a shows the verdict"),
        )
