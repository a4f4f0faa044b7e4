"""The helper's page in the cab: what it says where it is not installed, what it asks, and who may send readings."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from rodcall.book.model.entries import Shot
from rodcall.helper import network
from rodcall.helper.desk import HelperDesk
from rodcall.helper.gate import Bucket, Phone
from rodcall.helper.messages import Sent, TakeBack
from rodcall.helper.network import Address
from rodcall.tui.pages import helper as page
from rodcall.tui.pages.helper import HelperScreen
from rodcall.tui.widgets.lines import Lines
from tests.kit import a_book
from tests.tui.kit import Crew, crew

HERE = Address("127.0.0.1", "", only_here=True)
PHONE = Phone("a" * 32, "127.0.0.1", 1, "en", 0.0, Bucket(9, 9, lambda: 0.0))


def an_id(at: int) -> str:
    return f"{at:032x}"


def shown(at: Crew) -> str:
    return at.pilot.app.screen.query_one("#page", Lines).shown


async def until(at: Crew, text: str) -> None:
    """Wait until the page shows it; the server starts beside the keys."""
    async with asyncio.timeout(30):
        while text not in shown(at):
            await at.pilot.pause(0.02)


async def started(at: Crew, answer: str) -> HelperDesk:
    await at.key("%")
    assert isinstance(at.pilot.app.screen, HelperScreen)
    await at.key("\n")
    await until(at, "y or +")
    await at.key(answer)
    desk = at.screen.helper
    assert desk is not None
    return desk


@pytest.fixture(autouse=True)
def only_this_tablet(monkeypatch: pytest.MonkeyPatch) -> None:
    """No test binds an address that others could reach."""
    monkeypatch.setattr(page, "addresses", lambda: (HERE,))


async def test_where_it_is_not_installed_one_line_says_how_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(network, "_NEEDED", ("no_such_library",))
    async with crew(a_book(), tmp_path) as at:
        await at.key("%")
        assert at.pilot.app.screen is at.screen
        assert "pip install 'rodcall[helper]'" in at.prompt
        await at.key("*", "helper")
        assert "Not installed here: pip install 'rodcall[helper]'" in shown(at)


async def test_readings_are_off_until_the_cab_allows_them_and_it_is_asked_once(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        desk = await started(at, "n")
        assert "readings: not allowed" in shown(at)
        assert not desk.take(PHONE, Sent(an_id(1), 1, "-3/8")).taken
        await at.key("s")
        await until(at, "Pick this tablet's address")
        await at.key("\n")
        await until(at, "readings: not allowed")
        assert "y or +" not in shown(at), "asked once a job"
        await at.key("r", "y")
        assert "readings: allowed" in shown(at)
        await at.key("r")
        assert "readings: not allowed" in shown(at)


async def test_the_page_stays_up_behind_the_grid_and_ends_with_the_job(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        desk = await started(at, "y")
        await at.key("q")
        assert at.pilot.app.screen is at.screen
        server = desk.server
        assert server is not None
        assert server.is_up
        await at.key("%")
        assert "readings: allowed" in shown(at)
        await at.key("q", "q")
    assert desk.server is None
    assert not server.is_up


async def test_a_reading_goes_where_the_grid_names_and_says_whose_it_is(tmp_path: Path) -> None:
    async with crew(a_book("A1 0"), tmp_path, size=(80, 24)) as at:
        desk = await started(at, "y")
        grid = desk.inbox._cab
        assert "another page" in desk.take(PHONE, Sent(an_id(1), grid.turn, "-3/8")).words
        await at.key("q")
        answer = desk.take(PHONE, Sent(an_id(2), grid.turn, "-3/8"))
        await at.pilot.pause()
        assert (answer.taken, answer.words.split("  ")[:2]) == (True, ["B1", "LOW 3/8"])
        shot = at.book.entries[-1]
        assert isinstance(shot, Shot)
        assert (shot.position, shot.sent_from) == ("B1", "phone 1")
        assert at.session.read_back.beside == "from phone 1"
        assert "next C1" in at.prompt
        undone = desk.take(PHONE, TakeBack(an_id(3), an_id(2)))
        await at.pilot.pause()
        assert undone.taken
        assert "next B1" in at.prompt
        assert at.on_disk().count("strike") == 1 or at.book.entries[-1].kind == "strike"


async def test_a_phone_that_comes_on_is_told_on_the_grid(tmp_path: Path) -> None:
    async with crew(a_book("A1 0"), tmp_path) as at:
        desk = await started(at, "n")
        await at.key("q")
        assert desk.server is not None
        desk.server.gate.admit("b" * 32, "127.0.0.1", "en")
        desk.phones_changed()
        await at.pilot.pause()
        assert "phone 1 is connected" in at.prompt
        await at.key("-1")
        desk.server.gate.admit("c" * 32, "127.0.0.1", "en")
        desk.phones_changed()
        await at.pilot.pause()
        assert "phone 2" not in at.prompt, "never over what is being typed"


async def test_characters_of_two_who_type_never_mix(tmp_path: Path) -> None:
    async with crew(a_book("A1 0"), tmp_path) as at:
        desk = await started(at, "y")
        await at.key("q")
        turn = desk.inbox._cab.turn
        await at.key("-1")
        answer = desk.take(PHONE, Sent(an_id(1), turn, "-3/8"))
        assert (answer.taken, "the cab is typing" in answer.words) == (False, True)
        await at.key("/4\n")
        assert [(each.position, each.said) for each in at.book.entries if isinstance(each, Shot)] == [
            ("A1", "0"),
            ("B1", "-1/4"),
        ]
        await at.key("1/2\n")
        assert "HIGH or LOW" in at.prompt
        answer = desk.take(PHONE, Sent(an_id(2), desk.inbox._cab.turn, "-3/8"))
        assert (answer.taken, "answering a question" in answer.words) == (False, True)


async def test_an_arrow_in_the_cab_is_moving_on(tmp_path: Path) -> None:
    async with crew(a_book("A1 0"), tmp_path) as at:
        desk = await started(at, "y")
        await at.key("q")
        turn = desk.inbox._cab.turn
        await at.press("up")
        answer = desk.take(PHONE, Sent(an_id(1), turn, "-3/8"))
        assert (answer.taken, "moved on" in answer.words) == (False, True)


async def test_an_unsigned_height_is_never_guessed(tmp_path: Path) -> None:
    async with crew(a_book("A1 0"), tmp_path) as at:
        desk = await started(at, "y")
        await at.key("q")
        answer = desk.take(PHONE, Sent(an_id(1), desk.inbox._cab.turn, "3/8"))
        assert (answer.taken, "high or low" in answer.words) == (False, True)
        assert at.session.line.question is None, "the cab is not asked what the helper meant"


async def test_an_address_that_is_gone_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # 192.0.2.0/24 is nobody's (RFC 5737): it cannot be bound here.
    monkeypatch.setattr(page, "addresses", lambda: (Address("192.0.2.200", "wlan0"), HERE))
    async with crew(a_book(), tmp_path) as at:
        await at.key("%", "\n")
        await until(at, "not started")
        assert "turn the hotspot on" in shown(at)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40), (200, 60)])
async def test_the_code_fits_at_every_size_that_a_screen_has(tmp_path: Path, size: tuple[int, int]) -> None:
    async with crew(a_book(), tmp_path, size=size) as at:
        desk = await started(at, "n")
        server = desk.server
        assert server is not None
        lines = shown(at).splitlines()
        assert sum("█" in line for line in lines) >= 18
        host, secret = server.gate.address.lower().removeprefix("http://").split("/")
        assert [text for text in (f"{host}/", secret[:13], secret[13:]) if text not in shown(at)] == []


def test_the_tablets_own_addresses() -> None:
    found = network.addresses()
    assert found[-1] == HERE
    assert len({each.host for each in found}) == len(found)
    assert not any(each.host.startswith(("0.", "169.254.", "127.")) for each in found[:-1])
