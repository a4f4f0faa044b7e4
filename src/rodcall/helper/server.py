"""The helper's page as it is served: one page and one web socket, at one address, in the program's own event loop.

The only file that knows the web library; it is imported when the crew starts the page. Whatever is wrong with a
request, the answer is the same 404 without a word. Nothing here turns a request into a path on the disk.
"""

from __future__ import annotations

import asyncio
import contextlib
import ipaddress
import json
import logging
import socket
from typing import Any, Protocol

from aiohttp import WSMsgType, web

from rodcall.helper.gate import FIRST_REQUEST_S, MOST_MESSAGE, TOO_MANY, Gate, Phone, RefusedError, Wanted
from rodcall.helper.messages import Hello, MalformedError, Sent, TakeBack, parse
from rodcall.helper.page_text import Page, language_of
from rodcall.helper.reading import Answer
from rodcall.i18n import say, speaking

BEAT_S = 1.0
"""Seconds after which a phone hears that the tablet is there, where it heard nothing else."""
PING_S = 4.0
"""Seconds between looks whether a phone is still there; one that does not answer in half of that is gone."""
HELLO_S = 3.0
"""Seconds within which a phone has to say who it is."""

_GONE, _FULL, _POLICY = 4001, 4002, 1008
"""Close codes: 4001 tells our page not to come back, 4002 that enough phones are on."""
_NO_NAME = "-"
"""The library would name itself and its version."""
_SILENT = logging.getLogger("rodcall.helper.web")
_SILENT.addHandler(logging.NullHandler())
_SILENT.propagate = False
# What a stranger sends must not write over the screen.


class Desk(Protocol):
    """What the cab gives and takes."""

    def seen(self, language: str) -> str:
        """The newest view in a language, as JSON."""

    def take(self, phone: Phone, sent: Sent | TakeBack) -> Answer:
        """Write what a phone sent."""

    def can_take_back(self, phone: Phone) -> str:
        """Id of the reading that a phone can undo; empty for none."""

    def phones_changed(self) -> None:
        """A phone came or went."""


class HelperServer:
    """Serves the page at one address until it is stopped.

    Args:
        host: The tablet's own address that the crew picked.
        desk: The cab.

    Raises:
        ValueError: when the host is no single address.
    """

    def __init__(self, host: str, desk: Desk) -> None:
        address = ipaddress.IPv4Address(host)
        if address.is_unspecified or address.is_multicast or address == ipaddress.IPv4Address("255.255.255.255"):
            raise ValueError(say("{address} is not one address of this tablet", address=host))
        self._host = host
        self._desk = desk
        self._page = Page()
        self._news: dict[Phone, asyncio.Event] = {}
        self._sockets: dict[Phone, web.WebSocketResponse] = {}
        self._seen: dict[str, str] = {}
        self._waiting: dict[asyncio.BaseTransport, asyncio.TimerHandle] = {}
        self._accepting: asyncio.Task[None] | None = None

    async def start(self) -> None:
        """Bind, and let phones in.

        Raises:
            OSError: when the address cannot be bound, as when the hotspot is off.
        """
        self._listening = listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):
                # On Windows another program could otherwise take the same port.
                listening.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
            listening.bind((self._host, 0))
            listening.listen(16)
            listening.setblocking(False)
        except OSError:
            listening.close()
            raise
        self.gate = Gate(self._host, listening.getsockname()[1])
        self._web = web.Server(self._answer)
        self._accepting = asyncio.create_task(self._accept(), name="helper's page")

    async def stop(self) -> None:
        """Say good-bye to every phone and take the address down."""
        if self._accepting is None:
            return
        self._accepting.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await self._accepting
        self._accepting = None
        self._listening.close()
        for handle in self._waiting.values():
            handle.cancel()
        with contextlib.suppress(asyncio.TimeoutError):
            await asyncio.wait_for(asyncio.gather(*map(self._part, tuple(self._sockets))), 1.0)
        await self._web.shutdown(0.2)

    @property
    def is_up(self) -> bool:
        """Are phones let in?"""
        return self._accepting is not None

    def changed(self) -> None:
        """The cab shows something else: every phone gets it, or what is newest once it has taken what it was sent."""
        self._seen.clear()
        for news in self._news.values():
            news.set()

    async def send_away(self, phone: Phone) -> None:
        """Send a phone away for as long as the page is up."""
        self.gate.send_away(phone)
        await self._part(phone)
        self._desk.phones_changed()

    async def _part(self, phone: Phone) -> None:
        ws = self._sockets.get(phone)
        if ws is not None:
            with contextlib.suppress(ConnectionError, asyncio.TimeoutError):
                await asyncio.wait_for(ws.close(code=_GONE), 1.0)

    # -- connections ----------------------------------------------------------------------------------------

    async def _accept(self) -> None:
        """Take connections in one by one, no faster than the gate says; the others wait in the system."""
        loop = asyncio.get_running_loop()
        while True:
            while pause := self.gate.pause:
                await asyncio.sleep(pause)
            try:
                connection, (peer, *_) = await loop.sock_accept(self._listening)
            except OSError:
                await asyncio.sleep(0.1)
                continue
            there = [each for each in self._web.connections if each.transport is not None]
            of_peer = sum(1 for each in there if _peer(each.transport) == peer)
            if not self.gate.lets_connect(peer, of_peer, len(there)):
                connection.close()
                continue
            with contextlib.suppress(OSError):
                transport, _ = await loop.connect_accepted_socket(self._protocol, connection)
                self._waiting[transport] = loop.call_later(FIRST_REQUEST_S, self._out_of_time, transport)

    def _protocol(self) -> web.RequestHandler:
        return _Quiet(
            self._web,
            self.gate,
            loop=asyncio.get_running_loop(),
            keepalive_timeout=0,
            logger=_SILENT,
            access_log=None,
            max_line_size=1024,
            max_field_size=4096,
            max_headers=64,
            lingering_time=0,
            auto_decompress=False,
        )

    def _out_of_time(self, transport: asyncio.Transport) -> None:
        del self._waiting[transport]
        transport.abort()

    # -- requests -------------------------------------------------------------------------------------------

    async def _answer(self, request: web.BaseRequest) -> web.StreamResponse:
        transport, peer = request.transport, _peer(request.transport)
        if transport is not None and (waiting := self._waiting.pop(transport, None)) is not None:
            waiting.cancel()
        wanted = self.gate.wanted(request.raw_path)
        host, origin = request.headers.getall("Host", []), request.headers.getall("Origin", [])
        plain = request.method == "GET" and len(host) == 1 and len(origin) <= 1 and not request.body_exists
        if wanted is None or not plain or not self.gate.is_ours(host[0], origin[0] if origin else None, wanted):
            self.gate.wrong(peer)
            return nothing()
        if wanted is Wanted.PAGE:
            text = self._page.text(language_of(request.headers.get("Accept-Language", "")))
            return _bare(
                200, text, {"Content-Type": "text/html; charset=utf-8", **self._page.headers(self.gate.origin)}
            )
        try:
            return await self._live(request, peer)
        except (web.HTTPException, MalformedError):
            self.gate.wrong(peer)
            return nothing()

    async def _live(self, request: web.BaseRequest, peer: str) -> web.StreamResponse:
        ws = web.WebSocketResponse(timeout=1.0, heartbeat=PING_S, compress=False, max_msg_size=MOST_MESSAGE)
        ws.headers["Server"] = _NO_NAME
        await ws.prepare(request)
        try:
            phone = await self._greet(ws, peer)
        except (TimeoutError, MalformedError, TypeError):
            await ws.close(code=_POLICY)
            self.gate.wrong(peer)
            return ws
        except RefusedError as refused:
            await ws.close(code=_FULL if str(refused) == TOO_MANY else _GONE)
            return ws
        await self._let_in(ws, phone)
        return ws

    async def _greet(self, ws: web.WebSocketResponse, peer: str) -> Phone:
        hello = parse(await ws.receive_str(timeout=HELLO_S))
        if not isinstance(hello, Hello):
            raise MalformedError
        return self.gate.admit(hello.me, peer, "es" if hello.language == "es" else "en")

    async def _let_in(self, ws: web.WebSocketResponse, phone: Phone) -> None:
        before = self._sockets.get(phone)
        news = asyncio.Event()
        news.set()
        self._sockets[phone], self._news[phone] = ws, news
        if before is not None:
            # The same page again, before it was known that its old connection is dead.
            before_task = asyncio.create_task(before.close(code=_POLICY))
            before_task.add_done_callback(lambda task: task.cancelled() or task.exception())
        self._desk.phones_changed()
        sending = asyncio.create_task(self._send(ws, phone, news))
        try:
            await self._listen(ws, phone)
        finally:
            sending.cancel()
            if self._sockets.get(phone) is ws:
                del self._sockets[phone], self._news[phone]
                self.gate.left(phone)
                self._desk.phones_changed()

    async def _send(self, ws: web.WebSocketResponse, phone: Phone, news: asyncio.Event) -> None:
        """Send what is newest whenever there is something, else a beat; a slow one skips what was between."""
        with contextlib.suppress(ConnectionError):
            while not ws.closed:
                try:
                    await asyncio.wait_for(news.wait(), BEAT_S)
                except TimeoutError:
                    await ws.send_str('{"beat":1}')
                    continue
                news.clear()
                await ws.send_str(f'{{"view":{self._view(phone)},"mine":"{self._desk.can_take_back(phone)}"}}')

    def _view(self, phone: Phone) -> str:
        seen = self._seen.get(phone.language)
        if seen is None:
            seen = self._seen[phone.language] = self._desk.seen(phone.language)
        return seen

    async def _listen(self, ws: web.WebSocketResponse, phone: Phone) -> None:
        async for message in ws:
            try:
                if message.type is not WSMsgType.TEXT or not phone.said.take():
                    raise MalformedError
                sent = parse(message.data)
                if isinstance(sent, Hello):
                    raise MalformedError
            except MalformedError:
                self.gate.wrong(phone.peer)
                await ws.close(code=_POLICY)
                return
            with speaking(phone.language):
                answer = self._desk.take(phone, sent)
            mine = self._desk.can_take_back(phone)
            await ws.send_str(_dumps({"answer": vars(answer), "mine": mine}))


class _Quiet(web.RequestHandler):
    """Answers what cannot be read as it answers everything else, and tells no log."""

    def __init__(self, server: web.Server, gate: Gate, **how: Any) -> None:
        super().__init__(server, **how)
        self._gate = gate

    def handle_error(
        self,
        request: web.BaseRequest,
        status: int = 500,
        exc: BaseException | None = None,
        message: str | None = None,
    ) -> web.StreamResponse:
        """Nothing."""
        self._gate.wrong(_peer(self.transport))
        self.close()
        return nothing()


def nothing() -> web.Response:
    """What everybody gets who is not let in."""
    return _bare(404, b"", {"Content-Type": "text/plain"})


def _bare(status: int, body: bytes, headers: dict[str, str]) -> web.Response:
    response = web.Response(status=status, body=body, headers={"Server": _NO_NAME, **headers})
    response.force_close()
    return response


def _peer(transport: Any) -> str:
    name = transport.get_extra_info("peername") if transport is not None else None
    return str(name[0]) if name else ""


def _dumps(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
