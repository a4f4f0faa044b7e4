"""How the screens look, to the character and colour: what changes on purpose is looked at and kept anew.

Run `pytest tests/screens/test_snapshots.py --snapshot-update` after such a change, and look at the pictures.
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
from rodcall.book.file import JobFile
from rodcall.book.places import jobs_folder
from rodcall.lengths import FOOT, Unit
from rodcall.screens import form, jobs, shots
from rodcall.screens.app import RodcallApp
from tests.kit import START, a_book, a_job
from tests.screens.kit import Crew, saved

Look = Callable[..., None]

SMALL, DESIGN, LARGE = (60, 20), (80, 24), (200, 60)
SIZES = pytest.mark.parametrize("size", [SMALL, DESIGN, LARGE], ids=["60x20", "80x24", "200x60"])
WORK = pytest.mark.parametrize("size", [SMALL, DESIGN], ids=["60x20", "80x24"])

IN_PROGRESS = ("A1 -3/8", "B1 -1/4", "C1 -5/8", "C2 -1/2", "B2 -1/8", "A2 out stump", "A3 -3/4", "A3 -7/8")
OUT_OF_TOLERANCE = ("A1 -1-7/8", "B1 +1-1/4", "C1 -1/2", "C2 -3/8", "B2 -1/2", "A2 +1/8", "A3 -2-1/2", "target -1/2")


@pytest.fixture
def look(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Look:
    """Compares the shot grid on a book, after some keys, with its picture, ten minutes after the first entry."""
    monkeypatch.setattr(shots, "time", lambda: START.timestamp() + 600)

    def compare(book: Book, size: tuple[int, int], *keys: str) -> None:
        async def before(pilot: Pilot[None]) -> None:
            at = Crew(pilot, tmp_path)
            await at.press(*keys)
            await at.settled()

        _compare(snap_compare, RodcallApp(saved(book, tmp_path)), size, before)

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


@WORK
def test_out_of_tolerance(look: Look, size: tuple[int, int]) -> None:
    look(a_book(*OUT_OF_TOLERANCE), size)


def test_rod_with_a_question(look: Look) -> None:
    book = a_book("setup ZERO 4.28", "A1 4.30", job=a_job(Unit.FT, readings="rod"))
    look(book, DESIGN, "s")


@WORK
def test_overview(look: Look, size: tuple[int, int]) -> None:
    job = a_job(along=30, across=20, length=300 * FOOT, width=200 * FOOT)
    shots = [f"{name} {'-+'[at % 3 == 0]}{at % 7}/8" for at, name in enumerate(job.grid.names[:333]) if at % 7]
    look(a_book(*shots, job=job), size, "v")


@SIZES
def test_call_out(look: Look, size: tuple[int, int]) -> None:
    look(a_book(*IN_PROGRESS), size, "j", "-", "3")


@WORK
def test_menu(look: Look, size: tuple[int, int]) -> None:
    look(a_book(), size, "*", "5")


def test_help(look: Look) -> None:
    look(a_book(), SMALL, "?", "down")


def test_not_understood(look: Look) -> None:
    look(a_book("A1 -3/8"), SMALL, "3", "/", "7", "enter")


@WORK
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
    monkeypatch.setattr(jobs, "jobs_folder", lambda: Path("jobs"))

    async def before(pilot: Pilot[None]) -> None:
        await pilot.pause()

    _compare(snap_compare, RodcallApp(None), size, before)


@WORK
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
