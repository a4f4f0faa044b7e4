"""The page of settings: what is changed is in the file and in force at once; what is wrong in the file is told."""

from __future__ import annotations

from pathlib import Path

from rodcall.i18n import spoken
from rodcall.tablet.settings import SETTINGS, read, settings_file
from rodcall.tui.app import RodcallApp
from rodcall.tui.pages.menu import MenuScreen
from rodcall.tui.pages.settings import SettingsScreen
from tests.kit import a_book
from tests.tui.kit import Crew, crew, saved, send


def shown(at: Crew) -> str:
    return at.pilot.app.screen.query_one("#page").shown


async def to(at: Crew, name: str) -> None:
    """Open the page and go to a setting."""
    await at.press("m")
    assert isinstance(at.pilot.app.screen, SettingsScreen)
    await at.press(*["down"] * list(SETTINGS).index(name))


async def test_every_setting_has_a_line(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.press("m")
        for name in SETTINGS:
            assert name in shown(at)


async def test_a_choice_is_stepped_and_in_force_at_once(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await to(at, "language")
        await at.press("right")
        assert read()[0].language == "es"
        assert spoken() == "es"
        await at.press("right")
        assert spoken() == "en"


async def test_the_theme_changes_while_one_looks(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await to(at, "theme")
        await at.press("right", "right")
        assert at.pilot.app.wears == read()[0].theme == "sun"


async def test_a_truth_is_stepped_and_a_number_typed(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await to(at, "ask_about_busts")
        await at.press("right")
        assert read()[0].ask_about_busts is False
        await at.press("escape")
        await to(at, "vibration_ms")
        await at.key("35\n")
        assert read()[0].vibration_ms == 35
        assert at.pilot.app.bounces.limit_ms == 35


async def test_a_number_that_cannot_be_is_told_and_not_written(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await to(at, "vibration_ms")
        await at.key("9999\n")
        assert "between 0 and 500" in shown(at)
        assert not settings_file().exists()


async def test_wrong_lines_of_the_file_are_listed_with_their_places(tmp_path: Path, home: Path) -> None:
    home.mkdir(parents=True, exist_ok=True)
    settings_file().write_text('theme = "pink"\nnonsense\n', "utf-8")
    settings, wrong = read()
    app = RodcallApp(saved(a_book(), tmp_path), settings=settings, wrong=wrong)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "settings, line 1: theme" in app.screen.query_one("#entry").shown
        await send(pilot, "m")
        page = app.screen.query_one("#page").shown
        assert "line 1" in page
        assert "line 2" in page


async def test_a_disk_that_refuses_is_told(tmp_path: Path, home: Path) -> None:
    async with crew(a_book(), tmp_path / "job", (80, 24)) as at:
        await to(at, "sound")
        settings_file().mkdir(parents=True)
        await at.press("right")
        assert "settings.toml" in shown(at) or "cannot" in shown(at)


# -- the menu as a palette, and words that can be tapped ------------------------------------------------------


async def test_a_few_letters_find_a_command_and_enter_does_it(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1"), tmp_path, (80, 24)) as at:
        await at.press("*")
        await at.key("undo")
        lines = shown(at).splitlines()
        assert "undo" in lines[1]
        await at.press("enter")
        assert at.session.summary.counted == 0


async def test_letters_that_find_nothing_are_told_and_esc_closes(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.press("*")
        await at.key("xyzzy")
        assert "no such command" in shown(at)
        await at.press("escape")
        assert not isinstance(at.pilot.app.screen, MenuScreen)


async def test_a_word_of_the_footer_does_its_key(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1"), tmp_path, (80, 24)) as at:
        column = at.shown("foot").index("undo")
        await at.pilot.click("#foot", offset=(column, 0))
        await at.pilot.pause()
        assert at.session.summary.counted == 0


async def test_an_answer_is_tapped(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.key("1/2\n")
        assert "HIGH or LOW?" in at.prompt
        await at.pilot.pause()
        foot = at.shown("foot")
        await at.pilot.click("#foot", offset=(foot.index("LOW"), 0))
        await at.pilot.pause()
        assert at.book.entries[-1].said == "1/2l"
