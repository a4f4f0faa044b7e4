"""Spots that are left out of a round, and spots that are no part of the pad."""

from __future__ import annotations

from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import FEWEST_OF_OUTLINE
from rodcall.book.model.grid import Grid
from rodcall.book.model.own_reasons import OwnReason
from rodcall.book.model.shapes import place_of
from rodcall.i18n import say
from rodcall.tui.shot_grid.commands.asks import Asks, given
from rodcall.tui.shot_grid.session import ShotSession


class LeavingOut:
    """Asks what of the ground under the cursor does not count."""

    def __init__(self, session: ShotSession) -> None:
        self._session = session
        self._asks = Asks(session)

    def leave_out(self) -> None:
        """Leave the cursor's spot out, or mark it, alone or up to another corner, as not pad.

        The numbers are typed text with an Enter, so that a reading typed ahead is never taken for one.
        """
        here = self._session.here

        def take(said: str) -> None:
            match said.strip():
                case "" | "1":
                    self._leave_out(here, OwnReason.RUT)
                case "2":
                    self._asks.text(
                        say("leave out {position}, why?", position=here),
                        lambda why: self._leave_out(here, given(why)),
                        loose=True,
                        about_spot=True,
                    )
                case "3":
                    self._not_pad(here)
                case "4":
                    self._ask_corner(here)
                case "5" | "6" as which:
                    self._ask_outline([], hole=which == "6")
                case _:
                    raise PageError(say("type a number from 1 to 6"))

        numbered = say(
            "1 rut or pile, left out  2 left out, other reason  3 not pad  4 not pad, to another corner  "
            "5 pad's outline  6 a hole"
        )
        self._asks.text(f"{here}: {numbered}", take, loose=True)

    def _leave_out(self, position: str, reason: str) -> None:
        self._session.written(self._session.book.leave_out(position, reason))

    def _ask_corner(self, here: str) -> None:
        grid = self._session.book.job.grid
        name, numbers = grid.name(grid.size - 1), f"{grid.across}.{grid.along}"
        prompt = say(
            "not pad from {position} to which corner? such as {name}, or {numbers}",
            position=here,
            name=name,
            numbers=numbers,
        )
        self._asks.text(
            prompt, lambda said: self._not_pad(here, grid.name(grid.index_said(said.strip()))), about_spot=True
        )

    def _ask_outline(self, corners: list[str], *, hole: bool) -> None:
        """Corner after corner around the pad, or several in one line; Enter alone closes it."""
        session, grid = self._session, self._session.book.job.grid

        def take(said: str) -> None:
            if said.strip():
                self._ask_outline([*corners, *(_corner(grid, each) for each in said.split())], hole=hole)
            elif corners:
                session.written(session.book.outline(corners, hole=hole))

        name, numbers = grid.name(grid.size - 1), f"{grid.across}.{grid.along}"
        if len(corners) < FEWEST_OF_OUTLINE:
            how = say(
                "next corner, such as {name}, {numbers}, or 30ft,12ft out and right of A1", name=name, numbers=numbers
            )
        else:
            how = say("next corner, or Enter closes it")
        what = say("hole") if hole else say("outline")
        self._asks.text(f"{what} {' '.join(corners)}: {how}".replace(" :", ":"), take, about_spot=True)

    def _not_pad(self, position: str, to: str | None = None) -> None:
        """What was read there counts nowhere, in any round, until the line is struck; one shot here needs a reason."""
        grid, here = self._session.book.job.grid, self._session.book.page.round
        spots = grid.rectangle(grid.index(position), grid.index(to or position))
        if any(here.readings_at(spot) for spot in spots):
            name = grid.name(next(int(spot) for spot in spots if here.readings_at(spot)))
            prompt = say("{position} was shot: why is it not pad?", position=name)
            self._asks.text(
                prompt, lambda why: self._write_not_pad(position, to, given(why)), loose=True, about_spot=True
            )
        else:
            self._write_not_pad(position, to)

    def _write_not_pad(self, position: str, to: str | None, why: str = "") -> None:
        self._session.written(self._session.book.not_pad(position, to, why))


def _corner(grid: Grid, said: str) -> str:
    """A corner of an outline: a position by its name or its numbers, or two distances from A1."""
    if "," not in said:
        return grid.name(grid.index_said(said))
    place_of(grid, said)
    return said
