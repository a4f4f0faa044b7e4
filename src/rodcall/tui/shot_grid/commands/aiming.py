"""Commands for target, zero, the next round, and walking order."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import RoundKind, Walk
from rodcall.book.model.own_reasons import OwnReason
from rodcall.i18n import say
from rodcall.tui.shot_grid.commands.asks import Asks, nothing
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.widgets.wanted import Aim, TargetWanted, Wanted
from rodcall.wording import words


class Aiming:
    """Asks for target, zero, round and walking order.

    Args:
        session: The job as it is worked on.
        open: Asks for another page.
        shown_anew: Called when something has changed after a page was closed.
    """

    def __init__(self, session: ShotSession, open: Callable[[Wanted], None], shown_anew: Callable[[], None]) -> None:
        self._session = session
        self._asks = Asks(session)
        self._open = open
        self._shown_anew = shown_anew

    def zero(self) -> None:
        """Call the cursor's position grade."""
        session, here = self._session, self._session.here
        self._asks.choice(
            say("Make {position} the zero? Heights are measured from it.  y or + yes, n or - no", position=here),
            {"y+": lambda: session.written(session.book.move_zero(here)), "n-": nothing},
        )

    def target(self) -> None:
        """The target page; before the first shot a target can only be typed."""
        session = self._session
        if session.summary.target is None or session.summary.dirt is None:
            self._asks.length(say("target"), self._typed)
        else:
            self._open(TargetWanted(session.summary, self._taken, session.book.design))

    def _typed(self, said: str) -> None:
        if not said.strip():
            raise PageError(say("no target to suggest before the first shot; type one, such as -1/2"))
        self._session.written(self._session.book.aim(said))

    def _taken(self, aim: Aim | None) -> None:
        if aim is not None:
            plane = aim.plane
            self._session.written(
                self._session.book.aim_at(plane.offset_nm, aim.why, plane.along, plane.across, aim.shape)
            )
        self._shown_anew()

    def round(self) -> None:
        """Begin a new round; a target that is only suggested is chosen first, since digging would move it."""
        session = self._session
        suggested = session.summary.suggested_before_dig
        if session.summary.chosen is not None or suggested is None:
            self._which_round()
            return
        take = partial(self._take_suggested, suggested)
        height = words.level(session.summary, suggested)
        self._asks.choice(
            say("target {height} is only suggested:  1 use it   2 choose another", height=height),
            {"1y+": take, "2n-": self.target},
            enter=take,
        )

    def _take_suggested(self, offset_nm: int) -> None:
        along, across = self._session.summary.slopes
        self._session.written(self._session.book.aim_at(offset_nm, OwnReason.SUGGESTED, along, across))
        self._which_round()

    def _which_round(self) -> None:
        book = self._session.book
        self._asks.choice(
            say("new round, all positions again:  1 working   2 final"),
            {
                "1w": lambda: self._asks.write(lambda: book.begin_round(RoundKind.WORKING)),
                "2f": lambda: self._asks.write(lambda: book.begin_round(RoundKind.FINAL)),
            },
        )

    def walk(self) -> None:
        """Change the walking order."""
        book = self._session.book
        self._asks.choice(
            say("walk  1 back and forth   2 every line from the left"),
            {
                "1s": lambda: self._asks.write(lambda: book.walk(Walk.SNAKE)),
                "2l": lambda: self._asks.write(lambda: book.walk(Walk.LINES)),
            },
        )
