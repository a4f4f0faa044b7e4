"""Pasted lines, written as readings once the crew confirms."""

from __future__ import annotations

from rodcall.i18n import say
from rodcall.tui.shot_grid.commands.asks import Asks
from rodcall.tui.shot_grid.paste import lay_out
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.wording import words


class Pasting:
    """Offers several lines as readings for the next positions."""

    def __init__(self, session: ShotSession) -> None:
        self._session = session
        self._asks = Asks(session)

    def offer(self, lines: list[str]) -> None:
        """Show pasted lines as readings for the next positions, and take them when told to."""
        session = self._session
        session.pasted = offered = lay_out(session.book, session.named_spot, lines)

        def drop() -> None:
            session.pasted = None

        def take() -> None:
            session.pasted = None
            for line in offered.lines:
                session.shot(session.book.job.grid.index(line.position), line.said)

        first, last = offered.lines[0], offered.lines[-1]
        if offered.refused:
            bad = next(line for line in offered.lines if not line.good)
            why = f"{words.harmless(bad.said, 12)!r} {bad.shown}"
            self._asks.choice(
                say(
                    "{refused} of {lines} lines cannot be taken ({why}); Enter drops the paste",
                    refused=offered.refused,
                    lines=len(lines),
                    why=why,
                ),
                {"n-": drop},
                enter=drop,
            )
            return
        self._asks.choice(
            say(
                "{lines} readings for {first} to {last}: Enter takes them, n or - drops them",
                lines=len(lines),
                first=first.position,
                last=last.position,
            ),
            {"y+": take, "n-": drop},
            enter=take,
        )
