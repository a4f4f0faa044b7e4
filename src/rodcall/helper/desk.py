"""The helper's page as the cab runs it: up and down, what phones are shown and when, and who may send readings.

Nothing is sent before a key's cell is painted, and several changes at once are sent as one.
"""

from __future__ import annotations

import asyncio
import gc
from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING, Protocol

from rodcall.helper.gate import Phone
from rodcall.helper.messages import Sent, TakeBack
from rodcall.helper.reading import Answer, Cab, Inbox
from rodcall.helper.view import Shown, as_json, view
from rodcall.i18n import speaking

if TYPE_CHECKING:
    from rodcall.helper.server import HelperServer

AFTER_PAINT = 0.015
"""Seconds after a change until phones get it: by then the cell is on its way to the eye."""


class Grid(Cab, Protocol):
    """The shot grid: what takes readings, and what is shown."""

    sender: str
    """The phone that sends what is taken next."""

    @property
    def settled(self) -> bool:
        """Has everything followed that follows from what was written?"""

    def shown(self, *, allowed: bool) -> Shown:
        """What it shows now."""

    def phone_came(self, number: int) -> None:
        """Tell the crew that a phone is on."""


class HelperDesk:
    """Shows a grid to phones and hands it their readings.

    Args:
        grid: The shot grid.
    """

    def __init__(self, grid: Grid) -> None:
        self.inbox = Inbox(grid)
        self.asked = False
        """The crew was asked whether phones may send readings; once a job."""
        self.server: HelperServer | None = None
        """While the page is up."""
        self.changed_phones: Callable[[], None] = lambda: None
        """Told when a phone came or went."""
        self._grid = grid
        self._due: asyncio.TimerHandle | None = None
        self._on: set[int] = set()
        """Numbers of the phones that are on."""
        self._last: Shown | None = None
        """What phones were told of last."""

    # -- up and down ----------------------------------------------------------------------------------------

    async def start(self, host: str) -> None:
        """Put the page up at one of the tablet's addresses.

        Raises:
            OSError, ValueError: when it cannot be bound.
        """
        # On a thread: loading the web library takes longer than a key may wait.
        served = await asyncio.to_thread(import_module, "rodcall.helper.server")
        server: HelperServer = served.HelperServer(host, self)
        await server.start()
        self.server = server
        # As after the first screen: what was loaded now stays, and the collector need not look at it again.
        gc.freeze()

    async def stop(self) -> None:
        """Take the page down; every phone is told."""
        server, self.server = self.server, None
        if self._due is not None:
            self._due.cancel()
            self._due = None
        if server is not None:
            await server.stop()

    @property
    def phones(self) -> tuple[Phone, ...]:
        """Those that are connected."""
        return self.server.gate.phones if self.server is not None else ()

    def allow(self, allowed: bool) -> None:
        """Let phones send readings for this job, or not."""
        self.asked, self.inbox.allowed = True, allowed
        self.changed()

    # -- what phones are shown ------------------------------------------------------------------------------

    def changed(self) -> None:
        """The grid may show something else: phones get it after the paint."""
        if self.server is not None and self._due is None:
            self._due = asyncio.get_running_loop().call_later(AFTER_PAINT, self._send)

    def _send(self) -> None:
        self._due = None
        if self.server is None:
            return
        if not self._grid.settled:
            self.changed()
            return
        shown = self._grid.shown(allowed=self.inbox.allowed)
        if self._last is None or not shown.looks_like(self._last):
            self._last = shown
            self.server.changed()

    def seen(self, language: str) -> str:
        """The newest view in a language, as JSON."""
        with speaking(language):
            shown = self._grid.shown(allowed=self.inbox.allowed)
        return as_json(view(shown, language))

    # -- what phones send -----------------------------------------------------------------------------------

    def take(self, phone: Phone, sent: Sent | TakeBack) -> Answer:
        """Write what a phone sent, each thing once."""
        self._grid.sender = f"phone {phone.number}"
        return self.inbox.take(phone.me, sent)

    def can_take_back(self, phone: Phone) -> str:
        """Id of the reading that a phone can undo; empty for none."""
        return self.inbox.can_take_back(phone.me)

    def phones_changed(self) -> None:
        """A phone came or went: nobody reads along unseen."""
        before, self._on = self._on, {phone.number for phone in self.phones}
        for number in sorted(self._on - before):
            self._grid.phone_came(number)
        self.changed_phones()
