"""The helper's page in the cab: what it says where it is not installed, what it asks, and who may send readings."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.model.entries import Shot
from rodcall.helper import network
from rodcall.helper.messages import Sent
from rodcall.helper.network import Address
from rodcall.tui.pages.helper import HelperScreen
from tests.terminal.crew import a_file
from tests.tui.kit import Crew, crew

ID = "1" * 32
HERE = Address("127.0.0.1", "", only_here=True)


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    return a_file(tmp_path)


async def open_page(at: Crew) -> HelperScreen:
    await at.key("&")
    page = at.pilot.app.screen
    assert isinstance(page, HelperScreen)
    return page


@pytest.mark.anyio
async def test_where_it_is_not_installed_one_line_says_how_to_get_it(pad: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(network, "_NEEDED", ("no_such_library",))
    async with crew(pad) as at:
        await at.key("&")
        assert at.pilot.app.screen is at.screen
        assert "pip install 'rodcall[helper]'" in at.session.line.message
        await at.key("*", "helper")
        assert "pip install 'rodcall[helper]'" in at.pilot.app.screen.query_one("#page").shown


def test_the_readings_of_phones_are_off_at_first() -> None:
    from rodcall.helper.desk import HelperDesk
    from tests.helper.kit import FakeCab

    assert not HelperDesk(FakeCab(allowed=False)).inbox.allowed  # type: ignore[arg-type]
