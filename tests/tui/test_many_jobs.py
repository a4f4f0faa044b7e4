"""Many jobs: found as one types, moved out of the way, listed before all were looked into; and a refusing disk."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from rodcall.book.storage import atomic_write
from rodcall.book.storage.opening import open_job
from rodcall.tablet.paths import jobs_folder
from rodcall.tui.pages.begin import jobs as jobs_screen
from rodcall.tui.pages.begin.jobs import JobsScreen
from rodcall.tui.pages.begin.new_job import NewJobScreen
from tests.kit import a_book, a_job
from tests.tui.kit import crew
from tests.tui.test_jobs import morning, put


@pytest.fixture
def jobs(home: Path) -> Path:
    folder = home / "jobs"
    for age, (name, place) in enumerate((("Tank", "Hill"), ("Arena", "Valley"), ("Long shed", "Valley"))):
        put(folder, name.lower().replace(" ", "-"), a_book(job=a_job(name=name, place=place)), age=age)
    return folder


def names(lines: list[str]) -> list[str]:
    return [line.split("  ")[0].strip() for line in lines[2:-2] if line.strip()]


async def test_jobs_are_found_as_one_types(jobs: Path) -> None:
    async with morning() as at:
        await at.press("f")
        await at.press(*"valley")
        assert names(at.lines) == ["Arena", "Long shed"]
        assert "find: valley_" in at.lines[-2]
        await at.press("space", *"sh")
        assert names(at.lines) == ["Long shed"]
        await at.press("x")
        assert "No job with that" in at.lines[3]
        await at.press("backspace")
        await at.press("enter")
        assert at.job == "Long shed"
        await at.press("q")
        await at.press("escape")
        assert names(at.lines) == ["Long shed", "Tank", "Arena"] or len(names(at.lines)) == 3


async def test_letters_that_are_commands_are_typed_while_finding(jobs: Path) -> None:
    async with morning() as at:
        await at.press("f", *"nsqk")
        assert isinstance(at.screen, JobsScreen)
        assert "find: nsqk_" in at.lines[-2]
        await at.press("escape", "n")
        assert isinstance(at.screen, NewJobScreen)


async def test_a_job_is_moved_out_of_the_list(jobs: Path) -> None:
    async with morning() as at:
        await at.press("down", "a")
        assert "moved to " in at.lines[-2]
        assert names(at.lines) == ["Tank", "Long shed"]
        await at.press("a", "a", "a")
        assert any("No job yet" in line for line in at.lines)
    assert len(list((jobs / "archive").glob("*.json"))) == 3


async def test_an_archived_job_is_brought_back(jobs: Path) -> None:
    async with morning() as at:
        await at.press("a", "a", "v")
        assert names(at.lines) == ["Tank", "Arena"]
        await at.press("down", "a")
        assert names(at.lines) == ["Tank"]
        await at.press("v")
        assert names(at.lines) == ["Arena", "Long shed"]
        await at.press("v", "a")
        assert "No job is archived" in at.lines[3]


async def test_the_list_stands_before_all_files_were_looked_into(jobs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs_screen, "PATIENCE", 0.001)
    async with morning() as at:
        for _ in range(50):
            if "0 of 12" in at.lines[4]:
                break
            await at.pilot.pause(0.01)
        assert names(at.lines) == ["Tank", "Arena", "Long shed"]
        assert all("0 of 12" in line for line in at.lines[2:5])


async def test_a_book_that_the_disk_refuses_is_saved_elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async with crew(a_book(), tmp_path / "stick") as at:
        sync = atomic_write.sync

        def full(descriptor: int) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

        monkeypatch.setattr(atomic_write, "sync", full)
        await at.key("-1\n")
        await at.settled()
        await at.press("q", "e")
        assert "save as which file?" in at.prompt.replace("\n", " ")
        await at.press("enter")
        assert "cannot be written (no space left on device)" in at.prompt
        monkeypatch.setattr(atomic_write, "sync", sync)
        await at.press("enter")
        assert at.shown("top").endswith("  saved ")
        await at.key("-2\n")
        await at.press("q")
        assert at.pilot.app.return_code == 0
    (saved,) = jobs_folder().glob("*.json")
    assert len(open_job(saved, "reader").book.entries) == 2


async def test_a_book_that_could_be_saved_nowhere_at_the_end_goes_to_the_folder_of_jobs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with crew(a_book(), tmp_path / "stick") as at:
        monkeypatch.setattr(at.screen.session.file, "append", _pulled)
        await at.key("-1\n")
        await at.settled()
        await at.press("q", "y")
        assert at.pilot.app.return_code == 0
        assert "the whole book is in " in at.pilot.app.parting
    (saved,) = jobs_folder().glob("*.json")
    assert len(open_job(saved, "reader").book.entries) == 1


def _pulled() -> int:
    raise OSError(errno.EIO, "Input/output error")
