"""The real program in a terminal, its helper's page up, and a real browser in the helper's hand."""

from __future__ import annotations

import asyncio
import contextlib
import re
from collections.abc import AsyncIterator
from fractions import Fraction
from pathlib import Path
from time import monotonic

from rodcall.book.model.entries import Shot
from tests.helper.chromium import Browser, Phone
from tests.helper.hotspot import PHONE_SIDE, TABLET, Hotspot

from .crew import PATIENCE, Crew, a_file, entries
from .screen import Lines


def address_on(lines: Lines) -> str | None:
    """The page's address as the cab's screen has it in letters; None where it is not all there."""
    text = "\n".join(lines)
    host = re.search(r"(127\.0\.0\.1:\d+)/", text)
    secret = re.findall(r"(?:^|\s)([a-z2-7]{13})\s*$", text, re.MULTILINE)
    return f"http://{host[1]}/{''.join(secret)}" if host is not None and len(secret) == 2 else None


class Cab:
    """A crew whose waits let a browser run meanwhile."""

    def __init__(self, crew: Crew) -> None:
        self.crew = crew

    async def sees(self, wanted: object) -> float:
        return await asyncio.to_thread(self.crew.terminal.wait_for, wanted, PATIENCE)

    async def shoot(self, said: str, then: str) -> None:
        self.crew.key(f"{said}\r")
        await self.sees(f"next {then}")

    async def starts(self, *, readings: bool) -> str:
        """Start the page at this machine's own address, the last of the list, and read it off the screen."""
        self.crew.key("%")
        await self.sees("127.0.0.1")
        while not self._bar_is_on_the_last():
            self.crew.terminal.keys("down")
            await asyncio.to_thread(self.crew.terminal.settle, 0.1, PATIENCE)
        self.crew.key("\r")
        await self.sees("y or +")
        self.crew.key("y" if readings else "n")
        await self.sees("readings: allowed" if readings else "readings: not allowed")
        address = address_on(self.crew.terminal.text())
        assert address is not None
        return address

    def _bar_is_on_the_last(self) -> bool:
        x, y = self.crew.terminal.find("127.0.0.1")
        return self.crew.terminal.cell(x, y).reverse

    async def back_to_grid(self, then: str) -> None:
        self.crew.key("q")
        await self.sees(f"next {then}")


@contextlib.asynccontextmanager
async def a_day(path: Path, *, readings: bool = True) -> AsyncIterator[tuple[Cab, str]]:
    """The program on a job with its page up, back on the grid; and the page's address."""
    crew = await asyncio.to_thread(Crew, path)
    try:
        cab = Cab(crew)
        await cab.sees("next A1")
        address = await cab.starts(readings=readings)
        await cab.back_to_grid("A1")
        yield cab, address
    finally:
        crew.terminal.close()


def sent_from_phones(path: Path) -> list[tuple[str, str]]:
    """Position and words of each reading in the file that a phone sent."""
    return [(each.position, each.said) for each in entries(path) if isinstance(each, Shot) and each.sent_from]


async def typed_session(browser: Browser, folder: Path, cuts: int) -> dict[str, float]:
    """A session with the connection cut so often: cab and phone both type, and nothing is lost, doubled or misplaced.

    Returns:
        Seconds until the phone said that the cab is lost, at most, and how many readings it sent.
    """
    path = a_file(folder, along=25, across=4)
    spots = [f"{'ABCD'[at if row % 2 else 3 - at]}{row}" for row in range(1, 26) for at in range(4)]
    async with a_day(path) as (cab, address):
        hotspot = Hotspot(int(address.split(":")[2].split("/")[0]))
        await hotspot.start()
        phone = await browser.phone()
        await phone.open(address.replace(TABLET, PHONE_SIDE))
        await phone.shows("name", "A1")
        await phone.tap("#key")
        slowest, expected = 0.0, []
        for at in range(cuts):
            here, then = spots[at], spots[at + 1]
            await phone.shows("name", here)
            how = at % 4
            said = f"-{1 + at // 8}" + (f"-{Fraction(at % 8, 8)}" if at % 8 else "")
            if how in (0, 2):
                # The reading is on its way when the connection goes, before or after it is written.
                await key_parts(phone, said)
                out_of_reach = at % 8 == 0
                began = monotonic()
                if out_of_reach:
                    hotspot.stall()
                elif how == 0:
                    hotspot.cut()
                await phone.tap("#enter")
                if how == 2:
                    hotspot.cut()
                await phone.until("!document.getElementById('gone').hidden")
                slowest = max(slowest, monotonic() - began)
                assert await phone.text("name") == "", "no spot is shown as current"
                hotspot.back()
                expected.append((here, said))
            else:
                # The cab goes on while the phone is away: what it keyed for the old spot is refused.
                if how == 1:
                    await key_parts(phone, said)
                hotspot.cut()
                began = monotonic()
                await phone.until("!document.getElementById('gone').hidden")
                slowest = max(slowest, monotonic() - began)
                assert await phone.text("name") == ""
                await cab.shoot("-1", then)
                hotspot.back()
                await phone.shows("name", then)
                if how == 1:
                    await phone.tap("#enter")
                    await phone.shows("told", "moved on")
                    await phone.tap("#wipe")
            await cab.sees(f"next {then}")
            await phone.shows("name", then)
            await phone.until("!document.getElementById('enter').disabled")
        connections = hotspot.connections
        await phone.close()
        await hotspot.stop()
        cab.crew.key("q")
        await asyncio.to_thread(cab.crew.ended)
    assert sent_from_phones(path) == expected, (sent_from_phones(path), expected)
    written = [each.position for each in entries(path) if isinstance(each, Shot)]
    assert written == spots[:cuts], "each spot once, in order"
    return {"slowest": slowest, "sent": len(expected), "connections": connections}


async def key_parts(phone: Phone, said: str) -> None:
    """Key a reading with a fraction: sign, whole, and the fraction's own key."""
    whole, _, part = said.removeprefix("-").partition("-")
    await phone.tap_key("\u25bc")
    for key in (*whole, *([part] if part else [])):
        await phone.tap_key(key)
