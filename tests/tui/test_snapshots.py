"""How the screens look, to the character and colour: what changes on purpose is looked at and kept anew.

Run `pytest tests/tui/test_snapshots.py --snapshot-update` after such a change, and look at the pictures.
"""

from __future__ import annotations

import os
from collections.abc import Awaitable, Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from rodcall.book.book import Book
from rodcall.book.storage.opening import JobFile
from rodcall.tablet.paths import jobs_folder
from rodcall.tablet.settings import Settings
from rodcall.tui.app import RodcallApp
from rodcall.tui.pages import settings as settings_page
from rodcall.tui.pages.begin import form, jobs
from rodcall.tui.shot_grid import practice, screen
from rodcall.tui.shot_grid.practice import PracticeGrid
from rodcall.tui.terminal.themes import THEMES
from rodcall.units import FOOT, Unit
from tests.kit import START, a_book, a_job
from tests.looks.scenes import IN_PROGRESS, OUT_OF_TOLERANCE, PROVEN
from tests.practice.kit import some_pads
from tests.tui.kit import Crew, saved, send

Look = Callable[..., None]

SMALL, DESIGN, LARGE = (60, 20), (80, 24), (200, 60)
SIZES = pytest.mark.parametrize("size", [SMALL, DESIGN, LARGE], ids=["60x20", "80x24", "200x60"])

PAGES = {
    "target": ("t",),
    "terms": ("e", "down"),
    "dig": ("d",),
    "lay out": ("p",),
    "proof": ("a",),
    "legend": ("k",),
    "worst": ("!",),
}
"""Pages over the shot grid, by the keys that open them."""


@pytest.fixture
def look(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Look:
    """Compares the shot grid on a book, after some keys, with its picture, ten minutes after the first entry."""
    monkeypatch.setattr(screen, "time", lambda: START.timestamp() + 600)

    def compare(book: Book, size: tuple[int, int], *keys: str, settings: Settings | None = None) -> None:
        async def before(pilot: Pilot[None]) -> None:
            at = Crew(pilot, tmp_path)
            await at.press(*keys)
            await at.settled()

        _compare(snap_compare, RodcallApp(saved(book, tmp_path), settings=settings), size, before)

    return compare


def _compare(
    snap_compare: Any, app: RodcallApp, size: tuple[int, int], before: Callable[[Pilot[None]], Awaitable[None]]
) -> None:
    assert snap_compare(app, terminal_size=size, run_before=before)


@SIZES
def test_empty(look: Look, size: tuple[int, int]) -> None:
    look(a_book(), size)


@SIZES
def test_in_progress(look: Look, size: tuple[int, int]) -> None:
    look(a_book(*IN_PROGRESS), size, "-", "1", "/", "2", "enter", "-", "3")


@SIZES
def test_out_of_tolerance(look: Look, size: tuple[int, int]) -> None:
    look(a_book(*OUT_OF_TOLERANCE), size)


@SIZES
def test_round_before(look: Look, size: tuple[int, int]) -> None:
    look(a_book(*PROVEN[:13], "round working", "A1 -1/2", "B1 0", "C1 out rut"), size)


@SIZES
def test_rod_with_a_question(look: Look, size: tuple[int, int]) -> None:
    book = a_book("setup ZERO 4.28", "A1 4.30", job=a_job(Unit.FT, readings="rod"))
    look(book, size, "s")


@SIZES
def test_overview(look: Look, size: tuple[int, int]) -> None:
    job = a_job(along=30, across=20, length=300 * FOOT, width=200 * FOOT)
    screen = [f"{name} {'-+'[at % 3 == 0]}{at % 7}/8" for at, name in enumerate(job.grid.names[:333]) if at % 7]
    look(a_book(*screen, job=job), size, "v")


@SIZES
def test_call_out(look: Look, size: tuple[int, int]) -> None:
    look(a_book(*IN_PROGRESS), size, "j", "-", "3")


@SIZES
def test_menu(look: Look, size: tuple[int, int]) -> None:
    look(a_book(), size, "*", "5")


@SIZES
def test_help(look: Look, size: tuple[int, int]) -> None:
    look(a_book(), size, "?", "down")


@SIZES
def test_not_understood(look: Look, size: tuple[int, int]) -> None:
    look(a_book("A1 -3/8"), size, "3", "/", "7", "enter")


@SIZES
@pytest.mark.parametrize("page", PAGES)
def test_page(look: Look, size: tuple[int, int], page: str) -> None:
    look(a_book(*PROVEN), size, "enter", *PAGES[page])


@SIZES
def test_a_reading_that_does_not_fit(look: Look, size: tuple[int, int]) -> None:
    look(a_book("A1 0", "B1 -1/4", "C1 -3/8", "C2 -1/2", "B2 -3/8", "A2 -1/8"), size, "enter", "+", "1", "2", "enter")


@pytest.mark.parametrize("theme", ["sun", "night", "sixteen", "none"])
def test_theme(look: Look, theme: str) -> None:
    look(a_book(*OUT_OF_TOLERANCE), DESIGN, *["f"] * list(THEMES).index(theme))


@SIZES
def test_in_spanish(look: Look, size: tuple[int, int], home: Path) -> None:
    look(a_book(*OUT_OF_TOLERANCE), size, settings=Settings(language="es", vibration_ms=0))


@SIZES
def test_settings(look: Look, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(settings_page, "settings_file", lambda: Path("settings.toml"))
    look(a_book(), size, "m", "down")


@SIZES
def test_practice(snap_compare: Any, size: tuple[int, int], tmp_path: Path) -> None:
    pads = some_pads(tmp_path)
    pad = pads.begin()

    async def before(pilot: Pilot[None]) -> None:
        await send(pilot, *"-1/2", "enter")
        await pilot.pause(0.3)

    _compare(snap_compare, RodcallApp(pad.file, grid=lambda _: PracticeGrid(pad, pads)), size, before)


@SIZES
def test_score(snap_compare: Any, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int], tmp_path: Path) -> None:
    # Seconds a shot would differ from run to run.
    monkeypatch.setattr(practice, "monotonic", lambda: 1000.0)
    pads = some_pads(tmp_path)
    pad = pads.begin()

    async def before(pilot: Pilot[None]) -> None:
        await send(pilot, *"-1/2", "enter", *"-5/8", "enter", "@")
        await send(pilot, *"+1/4", "enter", "#")
        await pilot.pause(0.3)

    _compare(snap_compare, RodcallApp(pad.file, grid=lambda _: PracticeGrid(pad, pads)), size, before)


@SIZES
def test_jobs(snap_compare: Any, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]) -> None:
    folder = jobs_folder()
    folder.mkdir(parents=True)
    pads = {
        "greenhouse": a_book(*IN_PROGRESS, job=a_job(name="Seedling greenhouse pad", place="Juniper Hollow")),
        "shed": a_book(*OUT_OF_TOLERANCE, "round final", job=a_job(name="Cider shed slab", place="Lower orchard")),
    }
    for name, book in pads.items():
        JobFile(folder / f"{name}.json", book).save()
    (folder / "broken.json").write_text('{"format": "rodcall job", "version": 9, "job": {}, "entries": []}')
    for hour, name in enumerate(("shed", "broken", "greenhouse"), 7):
        then = datetime(2026, 4, 18, hour, 30).timestamp()
        os.utime(folder / f"{name}.json", (then, then))
    # The folder's name is on the screen, and differs from run to run.
    monkeypatch.chdir(folder.parent)
    monkeypatch.setattr(jobs, "jobs_folder", lambda: Path("jobs"))

    async def before(pilot: Pilot[None]) -> None:
        await pilot.pause()

    _compare(snap_compare, RodcallApp(None), size, before)


@SIZES
def test_form(snap_compare: Any, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]) -> None:
    class Day(date):
        @classmethod
        def today(cls) -> date:
            return cls(2026, 4, 18)

    monkeypatch.setattr(form, "date", Day)

    async def before(pilot: Pilot[None]) -> None:
        await pilot.press("n", *["down"] * 4, *"60", "enter", *"40", "slash", *["down"] * 6, *"1/3")
        await pilot.pause()

    _compare(snap_compare, RodcallApp(None), size, before)
