"""A hotspot between a phone and the tablet that a test can cut, stall and bring back; all of it on loopback.

The page checks which address it was asked for, so the hotspot has the tablet's port on another loopback address of the
same length, and puts the tablet's own into what the phone asks.
"""

from __future__ import annotations

import asyncio
import contextlib

TABLET, PHONE_SIDE = "127.0.0.1", "127.0.0.2"


class Hotspot:
    """Forwards bytes to the tablet's port, or does not."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._writers: set[asyncio.StreamWriter] = set()
        self._stalled = False
        self._is_on = True
        self.connections = 0
        """How many were made through it."""

    async def start(self) -> None:
        self._server = await asyncio.start_server(self._joined, PHONE_SIDE, self._port)

    async def stop(self) -> None:
        self._server.close()
        self.cut()
        await asyncio.sleep(0)

    def cut(self) -> None:
        """Everything breaks off, and nothing can be reached."""
        self._is_on = False
        for writer in self._writers:
            writer.transport.abort()
        self._writers.clear()

    def stall(self) -> None:
        """Out of reach: nothing comes through any more, and nobody is told so."""
        self._stalled = True

    def back(self) -> None:
        """In reach again. What was on its way in a stalled connection is lost with it."""
        if self._stalled:
            self.cut()
        self._is_on, self._stalled = True, False

    async def _joined(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        if not self._is_on:
            writer.transport.abort()
            return
        self.connections += 1
        try:
            to_reader, to_writer = await asyncio.open_connection(TABLET, self._port)
        except OSError:
            writer.transport.abort()
            return
        self._writers |= {writer, to_writer}
        await asyncio.gather(self._forward(reader, to_writer, ours=True), self._forward(to_reader, writer, ours=False))

    async def _forward(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, *, ours: bool) -> None:
        with contextlib.suppress(ConnectionError):
            while data := await reader.read(65536):
                if self._stalled:
                    continue
                one, other = (PHONE_SIDE, TABLET) if ours else (TABLET, PHONE_SIDE)
                writer.write(data.replace(one.encode(), other.encode()))
                await writer.drain()
        writer.close()
