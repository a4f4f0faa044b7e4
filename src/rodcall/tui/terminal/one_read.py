"""Keys of one read from the terminal bear one time, so that what was typed ahead is not taken for a vibrating switch.

Textual's driver makes each key when the one before is sent on, and while the program works that is milliseconds later:
three zeros that waited together would look like three that came by themselves (`keys.Bounces`).
"""

from __future__ import annotations

import sys
from collections.abc import Iterable

from textual._xterm_parser import XTermParser
from textual.message import Message


class OneRead(XTermParser):
    """Makes all keys of a read before the first is sent."""

    def feed(self, data: str) -> Iterable[Message]:
        """What a read holds, at one time."""
        events = list(super().feed(data))
        for each in events:
            each.time = events[0].time
        return events


def time_by_read() -> None:
    """Let the driver make its keys so."""
    if sys.platform == "win32":
        from textual.drivers import win32 as driver
    else:
        from textual.drivers import linux_driver as driver
    driver.XTermParser = OneRead  # type: ignore[attr-defined]
