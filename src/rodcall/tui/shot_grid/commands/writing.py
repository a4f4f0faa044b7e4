"""Undo and strike, reading a spot again, and notes."""

from __future__ import annotations

from rodcall.figures.next_up import Do
from rodcall.figures.punch_list import Kind
from rodcall.i18n import say
from rodcall.tui.shot_grid.commands.asks import Asks
from rodcall.tui.shot_grid.session import ShotSession


class Writing:
    """What is done to entries that are written, and words that are."""

    def __init__(self, session: ShotSession) -> None:
        self._session = session
        self._asks = Asks(session)

    def undo(self) -> None:
        """Strike the last entry, or all that one answer wrote."""
        self._asks.write_together(self._session.book.undo)

    def redo(self) -> None:
        """Take back what was struck last."""
        self._asks.write_together(self._session.book.redo)

    def strike(self) -> None:
        """Strike the last thing written at the cursor."""
        self._asks.write(lambda: self._session.book.strike_last(self._session.here))

    def note(self) -> None:
        """Write a note."""
        session = self._session
        self._asks.text(say("note"), lambda text: session.written(session.book.note(text)))

    def photo(self) -> None:
        """Keep a photo with the job."""
        session = self._session
        self._asks.text(say("photo: its file, and a spot"), lambda text: session.written(session.book.photo(text)))

    def again(self) -> None:
        """Name a spot to be read again: the cursor's, else the next that does not fit, else the one read last."""
        session = self._session
        round_page = session.book.page.round
        doubtful = [
            spot
            for kind in (Kind.DOES_NOT_FIT, Kind.READINGS_DISAGREE, Kind.TABLETS_DISAGREE)
            for item in session.listed.of(kind)
            for spot in item.spots
        ]
        named = session.named_spot
        if session.named is not None and session.named.do is Do.READ_AGAIN and doubtful:
            at = doubtful.index(named) + 1 if named in doubtful else 0
            spot: int | None = doubtful[at % len(doubtful)]
        elif named is not None and round_page.readings_at(named):
            spot = named
        else:
            last = round_page.last
            latest = last if last is not None and round_page.readings_at(last) else None
            spot = latest if latest in doubtful or not doubtful else doubtful[-1]
        if spot is None:
            session.line.message = say("nothing is shot yet that could be read again")
            return
        session.read_again(spot)
