"""The helper's page with the real program in a real terminal, and a real browser where there is one."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

pytest.importorskip("aiohttp", reason="the helper's page is not installed")

import aiohttp
import segno

from tests.helper.chromium import CHROMIUM, chromium

from .crew import PATIENCE, Crew, a_file
from .helper_day import a_day, address_on, sent_from_phones, typed_session
from .test_session import SHOT_GRID

needs_browser = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine: apt-get install chromium")
ME = "a" * 32


def test_a_phone_reads_along_and_sends_a_reading(tmp_path: Path) -> None:
    path = a_file(tmp_path)

    async def day() -> None:
        async with a_day(path) as (cab, address), aiohttp.ClientSession() as session:
            origin = address.rpartition("/")[0]
            async with session.ws_connect(f"{address}/live", origin=origin) as ws:
                await ws.send_json({"hello": ME, "language": "en"})
                view = (await ws.receive_json(timeout=PATIENCE))["view"]
                assert (view["where"]["name"], view["allowed"]) == ("A1", True)
                await ws.send_json({"id": "1" * 32, "turn": view["turn"], "said": "-3/8"})
                while "answer" not in (said := await ws.receive_json(timeout=PATIENCE)):
                    pass
                assert said["answer"] == {"id": "1" * 32, "taken": True, "words": "A1  LOW 3/8  cut 1/8"}
                await cab.sees("next B1")
                await cab.shoot("-1/4", "C1")
                while (said := await ws.receive_json(timeout=PATIENCE)).get("view", view)["where"]["name"] != "C1":
                    pass
                cab.crew.key("q")
                while not ws.closed:
                    await ws.receive(timeout=PATIENCE)
                assert ws.close_code == 4001, "the page ends with the program"
            assert await asyncio.to_thread(cab.crew.ended) == 0

    asyncio.run(day())
    assert sent_from_phones(path) == [("A1", "-3/8")]


def test_from_the_shell_and_the_code_is_the_address(tmp_path: Path) -> None:
    """What the terminal shows, read cell by cell: the modules of the address's code, light on dark ground."""
    with Crew(a_file(tmp_path), "--helper") as crew:
        crew.sees("127.0.0.1")
        while not crew.terminal.cell(*crew.terminal.find("127.0.0.1")).reverse:
            crew.terminal.keys("down")
            crew.terminal.settle(0.1, PATIENCE)
        crew.key("\r")
        crew.sees("y or +")
        crew.key("n")
        crew.sees(lambda lines: address_on(lines) is not None)
        crew.sees("readings: not allowed")
        address = address_on(crew.terminal.text())
        assert address is not None
        [qr] = [segno.make(address.replace("http:", "HTTP:").upper(), error="l", micro=False)]
        size = len(qr.matrix)
        seen = []
        for y in range((size + 9) // 2):
            cells = [crew.terminal.cell(x, y) for x in range(size + 8)]
            assert {(cell.fg, cell.bg) for cell in cells} == {("fefefe", "010101")}
            seen += [[cell.data in "▄ " for cell in cells], [cell.data in "▀ " for cell in cells]]
        quiet = [[False] * (size + 8)] * 4
        wanted = [*quiet, *([False] * 4 + [bool(dark) for dark in row] + [False] * 4 for row in qr.matrix), *quiet]
        assert seen[: size + 8] == wanted
        crew.key("q")
        crew.sees("next A1")
        crew.key("q")
        assert crew.ended() == 0


def test_every_way_out_takes_the_page_down(tmp_path: Path) -> None:
    async def day() -> None:
        async with a_day(a_file(tmp_path)) as (cab, address):
            cab.crew.key("%")
            await cab.sees("readings: allowed")
            cab.crew.key("s")
            await cab.sees("Pick this tablet")
            host, port = address.split("/")[2].split(":")
            with pytest.raises(ConnectionRefusedError):
                await asyncio.open_connection(host, int(port))

    asyncio.run(day())


@needs_browser
def test_cut_and_back_in_a_typed_session(tmp_path: Path) -> None:
    """A few cuts; fifty are `python -m tests.benchmarks.helper_page cuts`."""

    async def day() -> None:
        async with chromium() as browser:
            told = await typed_session(browser, tmp_path, 8)
            assert told["sent"] == 4

    asyncio.run(day())


@needs_browser
def test_script_in_a_name_is_text(tmp_path: Path) -> None:
    name = "<img src=x onerror=alert(1)><script>alert(2)</script>"

    async def day() -> None:
        async with chromium() as browser, a_day(a_file(tmp_path, name=name)) as (_, address):
            phone = await browser.phone()
            await phone.open(address)
            await phone.shows("name", "A1")
            assert await phone.text("job") == name
            assert await phone.js("document.images.length + document.querySelectorAll('#job *').length") == 0
            assert phone.dialogs == 0
            assert set(phone.asked_for) == {address}
            assert phone.complaints == []

    asyncio.run(day())


def test_the_menu_has_it() -> None:
    assert any(action.id == "helper" for action in SHOT_GRID)
