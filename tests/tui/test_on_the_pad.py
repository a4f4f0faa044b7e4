"""What a numeric pad alone needs beside readings: every page and every question has a way on and a way out."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.model.grid import GridError
from rodcall.tui.app import RodcallApp
from rodcall.tui.bindings.actions import NEW_JOB, SHOT_GRID, Action
from rodcall.tui.pages.base import TextPage
from rodcall.tui.pages.begin.jobs import JobsScreen
from rodcall.tui.pages.begin.new_job import NewJobScreen
from rodcall.tui.pages.menu import MenuScreen
from rodcall.tui.widgets.lines import Lines
from tests.kit import a_book, a_job

from .kit import crew, send


def number(actions: tuple[Action, ...], wanted: str) -> str:
    """The keys that do an action by its number in the menu."""
    return f"*{[action.id for action in actions if action.id != 'menu'].index(wanted) + 1}\n"


@pytest.mark.parametrize(("said", "name"), [("1.1", "A1"), ("3.2", "C2"), ("2,4", "B4"), ("b3", "B3")])
async def test_to_any_position_by_its_numbers(tmp_path: Path, said: str, name: str) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key(number(SHOT_GRID, "go"), f"{said}\n")
        assert f"next {name}" in at.prompt
        await at.key("-1\n")
        assert at.book.entries[-1].position == name


@pytest.mark.parametrize("said", ["0.1", "4.1", "1.5", "900.1", "1.0", "1.", ".1", "99999.1", "1.2.3", "-1.1", "7"])
def test_a_position_off_the_grid_is_refused(said: str) -> None:
    with pytest.raises(GridError, match="C4"):
        a_job(along=4, across=3).grid.index_said(said)


@pytest.mark.parametrize("page", ["help", "legend", "layout", "as_built"])
async def test_from_a_page_the_star_goes_on_to_the_menu(tmp_path: Path, page: str) -> None:
    async with crew(a_book("A1 -1", "B1 -1/2", "C1 0"), tmp_path) as at:
        await at.key(number(SHOT_GRID, page))
        assert isinstance(at.pilot.app.screen, TextPage)
        await at.key("*")
        assert isinstance(at.pilot.app.screen, MenuScreen)
        await at.key("-")
        assert at.pilot.app.screen is at.screen


async def test_typed_ahead_the_star_and_its_number_go_the_same_way(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key(number(SHOT_GRID, "legend") + number(SHOT_GRID, "leave_out") + "\n")
        assert list(at.session.summary.left_out) == [0]


async def test_what_was_looked_for_is_let_go(home: Path) -> None:
    async with RodcallApp(None).run_test(size=(80, 24)) as pilot:
        await send(pilot, "/", "7")
        assert "find: 7_" in pilot.app.screen.query_one(Lines).shown
        await send(pilot, "*")
        assert isinstance(pilot.app.screen, JobsScreen)
        assert "find:" not in pilot.app.screen.query_one(Lines).shown


async def test_a_field_of_the_form_is_emptied_and_left(home: Path) -> None:
    async with RodcallApp(None).run_test(size=(80, 24)) as pilot:
        await send(pilot, "+", *["enter"] * 5, *"67", *_names(number(NEW_JOB, "clear")), *"60", "enter")
        await pilot.pause()
        form = pilot.app.screen
        assert isinstance(form, NewJobScreen)
        assert form.form.rows()[5].text == "60"
        await send(pilot, *_names(number(NEW_JOB, "previous")), *_names(number(NEW_JOB, "clear")))
        await pilot.pause()
        assert form.form.rows()[5].text == ""
        await send(pilot, *"Shed", "*")
        assert pilot.app.screen is form, "who types letters means the star"
        assert form.form.rows()[5].text == "Shed*"
        await send(pilot, "escape")
        await pilot.pause()
        assert isinstance(pilot.app.screen, JobsScreen)


def _names(text: str) -> list[str]:
    return ["enter" if character == "\n" else character for character in text]


@pytest.mark.parametrize(("typed", "called"), [("pnch", "punch list"), ("lvout", "leave out"), ("asblt", "as-built")])
async def test_the_menu_finds_what_is_typed_with_letters_missing(tmp_path: Path, typed: str, called: str) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("*", typed)
        first = at.pilot.app.screen.query_one(Lines).shown.splitlines()[1]
        assert called in first
