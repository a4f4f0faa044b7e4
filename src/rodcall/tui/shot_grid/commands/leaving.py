"""Leaves the job; asks only if something is not saved or a check shot is due."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from time import time

from rodcall.book.fold.page import ZERO
from rodcall.book.model.entries import Shot
from rodcall.book.storage.opening import JobFileError
from rodcall.figures.checks.check_shots import Reason
from rodcall.i18n import say
from rodcall.tablet.paths import file_for
from rodcall.tui.shot_grid.commands.asks import Asks, nothing
from rodcall.tui.shot_grid.session import ShotSession


class Leaving:
    """Saves and leaves.

    Args:
        session: The job as it is worked on.
        check: Asks for a check shot.
        gone: Called when the job is left.
    """

    def __init__(self, session: ShotSession, check: Callable[[], None], gone: Callable[[], None]) -> None:
        self._session = session
        self._asks = Asks(session)
        self._check = check
        self._gone = gone

    def leave(self) -> None:
        """Save what is left and leave; ask only where a check is owed or the disk refuses."""
        session = self._session
        kept_references = any(name != ZERO for name in session.book.page.references)
        shot = any(isinstance(entry, Shot) for entry in session.book.entries[session.begun :])
        owed = shot and Reason.LEAVING in session.summary.trust.due(time(), leaving=True)
        if kept_references and owed and session.line.question is None:
            self._asks.choice(
                say("no check shot since the last shot.  c or + checks now, q or Enter leaves"),
                {"c+": self._check, "q-": self._leave},
                enter=self._leave,
            )
            return
        self._leave()

    def _leave(self) -> None:
        kept = self._session.keeper.flush()
        if not kept.trouble:
            self._gone()
            return
        self._asks.choice(
            say("{state}. Leave anyway?  y or + yes, n or - no, e or * save elsewhere", state=kept.words),
            {"y+": self._gone, "n-": nothing, "e*": self._save_elsewhere},
        )

    def _save_elsewhere(self) -> None:
        """Ask where to, and go on there."""
        session = self._session
        customary = file_for(session.book.job.name)

        def save(said: str) -> None:
            path = Path(said.strip()).expanduser() if said.strip() else customary
            path = path if path.suffix.lower() == ".json" else path.with_name(f"{path.name}.json")
            try:
                session.keeper.save_elsewhere(path)
            except (JobFileError, RuntimeError) as error:
                raise ValueError(str(error)) from None
            session.say(say("SAVED"), str(path))

        self._asks.text(say("save as which file? (Enter: {path})", path=customary), save)
