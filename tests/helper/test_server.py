"""The page as it is served, against those who should not be there: nothing is learned, nothing is written.

All sockets are on loopback addresses of this machine.
"""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from typing import Any

import aiohttp
import pytest

from rodcall.book.model.entries import Shot
from rodcall.helper import server as served
from rodcall.helper.gate import MOST_PHONES
from rodcall.helper.server import HelperServer
from tests.helper.kit import FakeDesk

ME, ELSE = "a" * 32, "b" * 32
HELLO = {"hello": ME, "language": "en"}


class Run:
    """A server that is up, and what a phone, or somebody else, does to it."""

    def __init__(self, server: HelperServer, desk: FakeDesk, session: aiohttp.ClientSession) -> None:
        self.server, self.desk, self.session = server, desk, session
        self.address = server.gate.address
        self.host, _, self.secret = self.address.removeprefix("HTTP://").partition("/")
        self.origin = f"http://{self.host}"

    @property
    def shots(self) -> list[Shot]:
        return [each for each in self.desk.cab.book.entries if isinstance(each, Shot)]

    async def get(self, path: str, **how: Any) -> tuple[int, bytes, dict[str, str]]:
        async with self.session.get(f"{self.origin}{path}", allow_redirects=False, **how) as answer:
            return answer.status, await answer.read(), dict(answer.headers)

    async def raw(self, sent: bytes, *, then: bytes = b"") -> bytes:
        """Bytes to the port, and all that comes back until it is closed."""
        name, port = self.host.split(":")
        reader, writer = await asyncio.open_connection(name, int(port))
        writer.write(sent)
        try:
            return await asyncio.wait_for(reader.read(), 20)
        except ConnectionError:
            return b""
        finally:
            writer.close()

    def live(self, **how: Any) -> Any:
        return self.session.ws_connect(f"{self.origin}/{self.secret}/live", **{"origin": self.origin, **how})

    @asynccontextmanager
    async def phone(self, me: str = ME, language: str = "en") -> AsyncIterator[aiohttp.ClientWebSocketResponse]:
        async with self.live() as ws:
            await ws.send_json({"hello": me, "language": language})
            yield ws


async def hears(ws: aiohttp.ClientWebSocketResponse, what: str, where: Callable[[Any], bool] = lambda _: True) -> Any:
    """Wait for a message of a kind."""
    while True:
        said = json.loads(await ws.receive_str(timeout=20))
        if what in said and where(said[what]):
            return said


def running(do: Callable[[Run], Awaitable[None]], **how: Any) -> None:
    """Do something to a server of this test's own."""

    async def run() -> None:
        desk = FakeDesk(**how)
        server = HelperServer("127.0.0.1", desk)
        await server.start()
        try:
            async with aiohttp.ClientSession() as session:
                await do(Run(server, desk, session))
        finally:
            await server.stop()

    asyncio.run(run())


# -- what a phone gets --------------------------------------------------------------------------------------


def test_the_page_in_the_phones_language() -> None:
    async def do(run: Run) -> None:
        status, english, headers = await run.get(f"/{run.secret}")
        assert status == 200
        assert "Content-Security-Policy" in headers
        _, spanish, _ = await run.get(f"/{run.secret}", headers={"Accept-Language": "es-MX"})
        assert b'lang="en"' in english
        assert b'lang="es"' in spanish

    running(do)


def test_a_view_at_once_a_new_one_at_every_change_and_beats_between() -> None:
    async def do(run: Run) -> None:
        async with run.phone() as ws:
            first = await hears(ws, "view")
            assert first["view"]["where"]["name"] == "A1"
            run.desk.cab.key("-3/8")
            run.server.changed()
            second = await hears(ws, "view")
            assert (second["view"]["back"]["name"], second["view"]["where"]["name"]) == ("A1", "B1")
            await hears(ws, "beat")

    running(do)


def test_each_phone_in_its_own_language() -> None:
    async def do(run: Run) -> None:
        async with run.phone(ME) as one, run.phone(ELSE, "es") as other:
            assert (await hears(one, "view"))["view"]["language"] == "en"
            assert (await hears(other, "view"))["view"]["language"] == "es"

    running(do)


def test_a_reading_is_written_and_answered_and_everybody_sees_it() -> None:
    async def do(run: Run) -> None:
        take = run.desk.cab.take

        def take_and_tell(said: str) -> str:
            words = take(said)
            run.server.changed()
            return words

        run.desk.cab.take = take_and_tell  # type: ignore[method-assign]
        async with run.phone(ME) as one, run.phone(ELSE) as other:
            turn = (await hears(one, "view"))["view"]["turn"]
            await hears(other, "view")
            await one.send_json({"id": "1" * 32, "turn": turn, "said": "-3/8"})
            answer = await hears(one, "answer")
            assert (answer["answer"]["taken"], answer["mine"]) == (True, "1" * 32)
            assert (await hears(other, "view"))["view"]["back"]["height"] == "LOW 3/8"
            assert (await hears(other, "beat")) == {"beat": 1}
            # The same again, as after a lost connection: answered as before, written once.
            await one.send_json({"id": "1" * 32, "turn": turn, "said": "-3/8"})
            assert (await hears(one, "answer"))["answer"]["taken"]
        assert [(shot.position, shot.said, shot.sent_from) for shot in run.shots] == [("A1", "-3/8", "phone 1")]

    running(do)


def test_a_refusal_is_in_the_phones_language() -> None:
    async def do(run: Run) -> None:
        async with run.phone(ME, "es") as ws:
            turn = (await hears(ws, "view"))["view"]["turn"]
            await ws.send_json({"id": "1" * 32, "turn": turn + 1, "said": "-3/8"})
            answer = (await hears(ws, "answer"))["answer"]
            assert (answer["taken"], answer["words"]) == (False, "no escrito: la cabina ya siguió")

    running(do)


def test_phones_are_counted_sent_away_and_told_at_the_end() -> None:
    async def do(run: Run) -> None:
        async with run.phone(ME) as ws:
            await hears(ws, "view")
            [phone] = run.server.gate.phones
            assert (phone.number, phone.peer, run.desk.changes) == (1, "127.0.0.1", 1)
            await run.server.send_away(phone)
            assert (await ws.receive(timeout=20)).type in (aiohttp.WSMsgType.CLOSE, aiohttp.WSMsgType.CLOSED)
            assert ws.close_code == 4001
        assert run.server.gate.phones == ()
        assert await run.raw(f"GET /{run.secret} HTTP/1.1\r\nHost: {run.host}\r\n\r\n".encode()) == b""

    running(do)


def test_one_phone_too_many_is_told_so() -> None:
    async def do(run: Run) -> None:
        # Each from a loopback address of its own: one address has few connections.
        sessions, sockets = [], []
        for at in range(MOST_PHONES + 1):
            connector = aiohttp.TCPConnector(local_addr=(f"127.0.0.{at + 10}", 0))
            sessions.append(aiohttp.ClientSession(connector=connector))
            ws = await sessions[-1].ws_connect(f"{run.origin}/{run.secret}/live", origin=run.origin)
            await ws.send_json({"hello": f"{at:032x}", "language": "en"})
            sockets.append(ws)
            if at < MOST_PHONES:
                await hears(ws, "view")
        await sockets[-1].receive(timeout=20)
        assert sockets[-1].close_code == 4002
        assert len(run.server.gate.phones) == MOST_PHONES
        for session in sessions:
            await session.close()

    running(do)


def test_the_same_phone_on_a_new_connection_takes_the_place_of_its_old_one() -> None:
    async def do(run: Run) -> None:
        async with run.phone(ME) as old, run.phone(ME) as new:
            await hears(new, "view")
            assert len(run.server.gate.phones) == 1
            while not old.closed:
                await old.receive(timeout=20)
            run.desk.cab.key("-1/4")
            run.server.changed()
            await hears(new, "view")
            assert len(run.server.gate.phones) == 1

    running(do)


def test_stopped_it_says_goodbye_and_nothing_listens_any_more() -> None:
    async def do(run: Run) -> None:
        async with run.phone(ME) as ws:
            await hears(ws, "view")
            stopping = asyncio.create_task(run.server.stop())
            while not ws.closed:
                await ws.receive(timeout=20)
            assert ws.close_code == 4001
            await stopping
        with pytest.raises(OSError, match=r".*"):
            await run.raw(b"GET / HTTP/1.1\r\n\r\n")

    running(do)


# -- what everybody else gets -------------------------------------------------------------------------------


def test_bound_to_one_address_and_no_other() -> None:
    async def do(run: Run) -> None:
        port = int(run.host.split(":")[1])
        with pytest.raises(ConnectionRefusedError):
            await asyncio.open_connection("127.0.0.2", port)

    running(do)


@pytest.mark.parametrize("host", ["0.0.0.0", "", "::", "255.255.255.255", "224.0.0.1", "localhost"])
def test_never_bound_to_all(host: str) -> None:
    with pytest.raises(ValueError, match=r".+"):
        HelperServer(host, FakeDesk())


def bare(answer: tuple[int, bytes, dict[str, str]]) -> bool:
    status, body, headers = answer
    names = set(headers) - {"Date"}
    return (status, body, headers["Server"]) == (404, b"", "-") and names <= {
        "Server",
        "Content-Type",
        "Content-Length",
        "Connection",
    }


def test_without_the_secret_nothing_is_there() -> None:
    async def do(run: Run) -> None:
        old = HelperServer("127.0.0.1", run.desk)
        await old.start()
        old_secret = old.gate.address.rpartition("/")[2]
        await old.stop()
        paths = [
            "/",
            "/live",
            "/favicon.ico",
            "/robots.txt",
            f"/{old_secret}",
            f"/{run.secret[:-1]}",
            f"/{run.secret}x",
        ]
        paths += [f"/{run.secret}x", f"/{run.secret}/live/x", f"/{run.secret}/page.html", "/page/page.html"]
        assert [path for path in paths if not bare(await run.get(path))] == []

    running(do)


@pytest.mark.parametrize(
    "path",
    [
        "/{secret}/../../../../etc/passwd",
        "/{secret}/%2e%2e/%2e%2e/etc/passwd",
        "/{secret}/..%2f..%2fpage.html",
        "/{secret}/page.html",
        "//{secret}",
        "/%00{secret}",
        "/{secret}%00",
        "/{secret};x",
        "http://evil.example/{secret}",
        "\\{secret}",
    ],
)
def test_no_path_leads_anywhere_else(path: str) -> None:
    async def do(run: Run) -> None:
        line = f"GET {path.format(secret=run.secret)} HTTP/1.1\r\nHost: {run.host}\r\n\r\n"
        answer = await run.raw(line.encode())
        head, _, body = answer.partition(b"\r\n\r\n")
        assert b" 404 " in head.splitlines()[0]
        assert body == b""

    running(do)


def test_foreign_hosts_and_origins_get_nothing() -> None:
    async def do(run: Run) -> None:
        page = f"/{run.secret}"
        assert bare(await run.get(page, headers={"Host": "rebound.example"}))
        assert bare(await run.get(page, headers={"Host": run.host.split(":")[0]}))
        assert bare(await run.get(page, headers={"Origin": "http://evil.example"}))
        for origin in ("http://evil.example", "null", "", run.origin + ".evil.example", "https://" + run.host):
            with pytest.raises(aiohttp.WSServerHandshakeError) as refused:
                await run.live(origin=origin)
            assert refused.value.status == 404
        with pytest.raises(aiohttp.WSServerHandshakeError):
            await run.live(origin=None)
        with pytest.raises(aiohttp.WSServerHandshakeError):
            await run.live(headers={"Host": "rebound.example"})
        assert run.server.gate.phones == ()

    running(do)


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "HEAD", "OPTIONS", "TRACE", "PROPFIND"])
def test_nothing_but_get(method: str) -> None:
    async def do(run: Run) -> None:
        async with run.session.request(method, f"{run.origin}/{run.secret}") as answer:
            assert answer.status == 404
            assert await answer.read() == b""

    running(do)


def malformed(run: Run) -> dict[str, bytes]:
    host, path = f"Host: {run.host}\r\n".encode(), f"/{run.secret}".encode()
    page = b"GET " + path + b" HTTP/1.1\r\n" + host
    live = page.replace(path, path + b"/live")
    return {
        "noise": b"\x00\xff\x16\x03\x01 hello\r\n\r\n",
        "no version": b"GET /\r\n\r\n",
        "long line": b"GET /" + b"a" * 20_000 + b" HTTP/1.1\r\n" + host + b"\r\n",
        "long header": page + b"X: " + b"a" * 50_000 + b"\r\n\r\n",
        "many headers": page + b"X: y\r\n" * 5000 + b"\r\n",
        "two hosts": page + b"Host: evil\r\n\r\n",
        "no host": b"GET " + path + b" HTTP/1.1\r\n\r\n",
        "two lengths": page + b"Content-Length: 1\r\nContent-Length: 2\r\n\r\nx",
        "smuggled": page + b"Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0",
        "a body": page + b"Content-Length: 1000000000\r\n\r\n" + b"x" * 1000,
        "split header": b"GET " + path + b" HTTP/1.1\r\nHost : " + run.host.encode() + b"\r\n\r\n",
        "upgrade to nothing": live + b"Upgrade: h2c\r\nConnection: upgrade\r\n\r\n",
    }


def test_malformed_requests_get_the_same_nothing() -> None:
    async def do(run: Run) -> None:
        for name, sent in malformed(run).items():
            answer = await run.raw(sent)
            head, _, body = answer.partition(b"\r\n\r\n")
            assert b" 404 " in head or not head, name
            assert body == b"", name
            for word in (b"aiohttp", b"Python", b"rodcall", b"Traceback", b"Bad"):
                assert word not in answer, name
        run.desk.cab.inbox.allowed = True
        assert run.shots == []
        status, _, _ = await run.get(f"/{run.secret}")
        assert status == 200, "and the page is still up"

    running(do)


def test_a_slow_request_is_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(served, "FIRST_REQUEST_S", 0.3)

    async def do(run: Run) -> None:
        name, port = run.host.split(":")
        for begun in (b"", b"GET /", f"GET /{run.secret} HTTP/1.1\r\nHost: {run.host}\r\nX: ".encode()):
            reader, writer = await asyncio.open_connection(name, int(port))
            writer.write(begun)
            try:
                assert await asyncio.wait_for(reader.read(), 20) == b""
            except ConnectionResetError:
                continue
            finally:
                writer.close()

    running(do)


def test_a_socket_that_says_nothing_is_no_phone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(served, "HELLO_S", 0.2)

    async def do(run: Run) -> None:
        async with run.live() as ws:
            await ws.receive(timeout=20)
            assert ws.close_code == 1008
        assert run.server.gate.phones == ()

    running(do)


@pytest.mark.parametrize(
    "sent",
    [
        "",
        "x",
        "{}",
        b"\x00\x01",
        json.dumps(HELLO),
        json.dumps({"id": "1" * 32, "turn": 1, "said": "<script>alert(1)</script>"}),
        json.dumps({"id": "1" * 32, "turn": 1, "said": "1" * 5000}),
        "[" * 400,
    ],
    ids=lambda sent: repr(sent)[:40],
)
def test_a_phone_that_says_what_our_page_never_says_is_cut_off_and_nothing_is_written(sent: str | bytes) -> None:
    async def do(run: Run) -> None:
        async with run.phone() as ws:
            await hears(ws, "view")
            await (ws.send_str(sent) if isinstance(sent, str) else ws.send_bytes(sent))
            while not ws.closed:
                await ws.receive(timeout=20)
            assert ws.close_code in (1008, 1009)
        assert run.desk.cab.book.entries == []

    running(do)


def test_a_flood_of_readings_is_cut_off() -> None:
    async def do(run: Run) -> None:
        run.desk.cab.inbox.allowed = False
        async with run.phone() as ws:
            await hears(ws, "view")
            for at in range(100):
                if ws.closed:
                    break
                try:
                    await ws.send_json({"id": f"{at:032x}", "turn": 1, "said": "-1"})
                except ConnectionError:
                    break
            answers = 0
            while not ws.closed:
                message = await ws.receive(timeout=20)
                answers += message.type is aiohttp.WSMsgType.TEXT and "answer" in message.data
            assert answers <= 30
            assert ws.close_code == 1008

    running(do)


def test_a_flood_of_guesses_from_one_address_leaves_a_phone_from_another_alone() -> None:
    async def do(run: Run) -> None:
        connector = aiohttp.TCPConnector(local_addr=("127.0.0.9", 0), force_close=True)
        async with run.phone() as ws, aiohttp.ClientSession(connector=connector) as stranger:
            await hears(ws, "view")
            refused = 0
            for at in range(60):
                try:
                    async with stranger.get(f"{run.origin}/{at:026d}") as answer:
                        assert answer.status == 404
                except (aiohttp.ClientError, OSError):
                    refused += 1
            assert refused > 20, "after some guesses nobody listens any more"
            run.desk.cab.key("-1/4")
            run.server.changed()
            assert (await hears(ws, "view"))["view"]["back"]["name"] == "A1"

    running(do)


def test_nothing_that_a_stranger_sends_is_logged(
    capsys: pytest.CaptureFixture[str], caplog: pytest.LogCaptureFixture
) -> None:
    """A line on the terminal would lie over the shot grid."""

    async def do(run: Run) -> None:
        for sent in malformed(run).values():
            await run.raw(sent)

    with caplog.at_level(logging.DEBUG):
        running(do)
    assert [record for record in caplog.records if record.name.startswith(("aiohttp", "rodcall"))] == []
    assert capsys.readouterr() == ("", "")


def test_a_phone_that_takes_nothing_holds_nobody_up_and_keeps_no_heap_of_views() -> None:
    async def do(run: Run) -> None:
        async with run.phone(ME) as slow, run.phone(ELSE) as quick:
            await hears(quick, "view")
            await hears(slow, "view")
            slow._conn.transport.pause_reading()  # type: ignore[union-attr]
            for at in range(300):
                run.desk.cab.go_to(at % 12)
                run.server.changed()
                await asyncio.sleep(0)
            last = run.desk.cab.turn
            await hears(quick, "view", lambda view: view["turn"] == last)
            waiting = [each.transport.get_write_buffer_size() for each in run.server._web.connections if each.transport]
            assert max(waiting) < 200_000, "at most what one write may hold, not three hundred views"
            slow._conn.transport.resume_reading()  # type: ignore[union-attr]

    running(do)
