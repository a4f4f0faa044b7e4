"""The page that reads a file in: the folder's files, what one would write, what is asked, and all or nothing."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from rodcall.book.book import Book
from rodcall.book.model.entries import Shot, Target
from rodcall.book.storage.opening import open_job
from rodcall.tui.pages.read_file import ReadScreen
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import Unit
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew

POINTS = "1,0,0,0.00,gnd\n2,0,20,0.05,gnd\n3,20,0,-0.10,gnd\n"
"""North 0, 0, 20; east 0, 20, 0, feet; neither order nor unit is said."""


@asynccontextmanager
async def page(book: Book, folder: Path) -> AsyncIterator[Crew]:
    """The page, opened by its key from the shot grid."""
    async with crew(book, folder, (100, 24)) as at:
        await at.key("<")
        assert isinstance(at.pilot.app.screen, ReadScreen)
        yield at


def shown(at: Crew) -> str:
    return at.pilot.app.screen.query_one(Lines).shown


async def worked(at: Crew) -> None:
    """Wait until the page has worked out what a file would write."""
    await at.pilot.app.workers.wait_for_complete()
    await at.pilot.pause()


def shots(book: Book) -> list[str]:
    return [f"{entry.position} {entry.said}" for entry in book.entries if isinstance(entry, Shot)]


async def test_a_file_of_the_folder_is_shown_asked_about_and_written(tmp_path: Path) -> None:
    (tmp_path / "office.csv").write_text(POINTS)
    async with page(a_book(job=a_job(Unit.FT)), tmp_path) as at:
        assert "office.csv" in shown(at)
        await at.key("\n")
        await worked(at)
        assert "in which unit is it?  1 feet  2 metres  3 millimetres" in shown(at)
        await at.key("1")
        await worked(at)
        assert "1 north, then east  2 east, then north" in shown(at)
        await at.key("1")
        await worked(at)
        assert "B1 +0.05" in shown(at)
        assert "Enter writes it" in shown(at)
        assert at.book.entries == []
        await at.key("\n")
        assert isinstance(at.pilot.app.screen, ShotScreen)
        assert shots(at.book) == ["A1 0", "B1 +0.05", "A2 -0.10"]
        assert at.session.read_back.spoken == "READ IN  3 readings"
        await at.settled()
        assert at.here == "A3", "the next spot in walking order after the one read in last"
    assert len(open_job(at.path, "reader").book.entries) == 4


async def test_a_refused_file_says_why_and_the_list_comes_back(tmp_path: Path) -> None:
    (tmp_path / "broken.csv").write_text(POINTS + "4,x,0,0\n")
    async with page(a_book(job=a_job(Unit.FT)), tmp_path) as at:
        await at.key("\n")
        await worked(at)
        await at.key("1")
        await worked(at)
        assert "line 4: 'x' is not a number" in shown(at)
        await at.key("\n", "q")
        assert "broken.csv" in shown(at)
        assert at.book.entries == []
        await at.key("q")
        assert isinstance(at.pilot.app.screen, ShotScreen)


async def test_heights_may_be_the_design_and_a_path_may_be_typed(tmp_path: Path) -> None:
    lines = [
        f"{letter}{line},{20 * (line - 1)},{20 * at},0.{at}" for line in range(1, 5) for at, letter in enumerate("ABC")
    ]
    (tmp_path / "far").mkdir()
    (tmp_path / "far" / "yard.pts").write_text("point,north_ft,east_ft,height_ft\n" + "\n".join(lines))
    async with page(a_book(job=a_job(Unit.FT)), tmp_path) as at:
        assert "No csv, txt or xml file" in shown(at)
        await at.key("u", "u")
        assert "heights are the design to dig to" in shown(at)
        await at.key("p")
        await at.key("far/yard.pts\n")
        await worked(at)
        assert "a design by heights, 12 positions" in shown(at)
        await at.key("\n")
        assert isinstance(at.book.entries[-1], Target)


async def test_what_came_in_meanwhile_is_looked_at_before_anything_is_written(tmp_path: Path) -> None:
    (tmp_path / "office.csv").write_text("point,north_ft,east_ft,height_ft\n" + POINTS.replace(",gnd", ""))
    async with page(a_book(job=a_job(Unit.FT)), tmp_path) as at:
        await at.key("\n")
        await worked(at)
        assert "B1 +0.05" in shown(at)
        at.book.shoot("B1", "+0.04")
        await at.key("\n")
        await worked(at)
        assert "B1 is written in this round already; strike it first" in shown(at)
        assert shots(at.book) == ["B1 +0.04"]
