"""Pages over the shot grid, and going to a spot."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rodcall.book.fold.round_page import Change
from rodcall.figures.punch_list import Item, Kind
from rodcall.i18n import say
from rodcall.tui.shot_grid.commands.asks import Asks
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.widgets.wanted import (
    DigWanted,
    LayoutWanted,
    LegendWanted,
    ProofWanted,
    ReadWanted,
    SiteWanted,
    TermsWanted,
    Wanted,
)
from rodcall.wording import punch_list as words_punch
from rodcall.wording import read_back


class Looking:
    """Opens pages about the job, and moves the cursor.

    Args:
        session: The job as it is worked on.
        open: Asks for another page.
        shown_anew: Called when a page that wrote something was closed.
    """

    def __init__(self, session: ShotSession, open: Callable[[Wanted], None], shown_anew: Callable[[], None]) -> None:
        self._session = session
        self._asks = Asks(session)
        self._open = open
        self._shown_anew = shown_anew

    def dig(self) -> None:
        """The order of work."""
        self._open(DigWanted(self._session.summary))

    def layout(self) -> None:
        """All that is taped off and keyed in, for the cursor's position."""
        self._open(LayoutWanted(self._session.summary, self._session.cursor))

    def as_built(self) -> None:
        """The verdict with all that stands behind it; from there the sheets are written."""
        self._open(ProofWanted(self._session.summary, self._session.file, self._session.written))

    def terms(self, at: str = "") -> None:
        """See and set the terms, the bar on one of them."""
        session = self._session
        self._open(TermsWanted(session.book, session.written, self._shown_anew, at))

    def read(self) -> None:
        """Read a file into the job."""
        session = self._session
        self._open(ReadWanted(session.book, session.file.path.parent, self._read_in))

    def _read_in(self, changes: Sequence[Change], source: str) -> None:
        self._session.read_in(changes, source)
        self._shown_anew()

    def site(self) -> None:
        """The pads of this job's site."""
        session = self._session
        self._open(SiteWanted(session.file.path.parent, session.file, session.written, self._shown_anew))

    def legend(self) -> None:
        """Explain the marks."""
        self._open(LegendWanted())

    def next_worst(self) -> None:
        """To the gravest spot on the punch list, then to the next; round again after the last."""
        session = self._session
        steps: dict[int, Item] = {}
        for item in session.listed.items:
            for spot in item.spots if item.kind is not Kind.NOT_SHOT else ():
                steps.setdefault(spot, item)
        if not steps:
            first = session.listed.items[:1]
            told = [words_punch.item_words(session.summary, item) for item in first]
            session.line.message = told[0] if told else say("the punch list is empty")
            return
        spots = list(steps)
        at = (spots.index(session.cursor) + 1 if session.cursor in spots else 0) % len(spots)
        spot = spots[at]
        session.go_to(spot)
        item_words = words_punch.item_words(session.summary, steps[spot])
        order = say("{number} of {total}: {item}", number=at + 1, total=len(spots), item=item_words)
        session.tell(read_back.at_spot(session.summary, spot).ordering(order))

    def go(self) -> None:
        """To a position by its name or its numbers: a numeric pad without arrows has no other way."""
        session, grid = self._session, self._session.book.job.grid

        def to(said: str) -> None:
            if said.strip():
                session.go_to(grid.index_said(said.strip()))

        name, numbers = grid.name(grid.size - 1), f"{grid.across}.{grid.along}"
        self._asks.text(say("go to which position? such as {name}, or {numbers}", name=name, numbers=numbers), to)
