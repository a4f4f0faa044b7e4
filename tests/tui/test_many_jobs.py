"""Many jobs: found as one types, moved out of the way, listed before all were looked into; and a refusing disk."""

from __future__ import annotations

import errno
from dataclasses import replace
from itertools import takewhile
from pathlib import Path

import pytest

from rodcall.book.storage import atomic_write
from rodcall.book.storage.opening import open_job
from rodcall.figures.summary import summarise
from rodcall.tablet.job_index import Index
from rodcall.tablet.paths import jobs_folder
from rodcall.tui.pages.begin import jobs as jobs_screen
from rodcall.tui.pages.begin import verdicts
from rodcall.tui.pages.begin.jobs import JobsScreen
from rodcall.tui.pages.begin.new_job import NewJobScreen
from rodcall.tui.pages.begin.verdicts import Verdicts
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
    """Of the jobs that are listed, above the picture of one."""
    return [line.split("  ")[0].strip() for line in takewhile(str.strip, lines[2:-2])]


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


async def test_a_big_pads_verdict_comes_from_a_process_of_its_own(jobs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Here every pad is big. It is kept in the index, so that it is worked out once."""
    monkeypatch.setattr(verdicts, "LARGEST", 0)
    async with morning() as at:
        assert all(line.rstrip().endswith("...") for line in at.lines[2:5])
        await at.pilot.app.workers.wait_for_complete()
        await at.pilot.pause()
        for line, name in zip(at.lines[2:5], ("tank", "arena", "long-shed"), strict=True):
            listed = summarise(open_job(jobs / f"{name}.json", "reader").book.page).punch_list
            assert line.rstrip().endswith(f"- {listed.verdict}, {listed.open}")
    monkeypatch.setattr(Verdicts, "of", None)
    async with morning() as at:
        assert "NOT PROVEN" in at.lines[2], "read from the index"


def test_what_was_stopped_has_no_verdict(jobs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (job, *_) = Index(jobs).glances
    monkeypatch.setattr(verdicts, "LARGEST", 0)
    asked = Verdicts()
    asked.stop()
    assert asked.of(job) is None


def test_a_file_that_is_gone_has_no_verdict(jobs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    index = Index(jobs)
    index.look()
    job = replace(index.glances[0], path=jobs / "gone.json")
    assert Verdicts().of(job) is None
    monkeypatch.setattr(verdicts, "LARGEST", 0)
    assert Verdicts().of(job) is None


@pytest.mark.parametrize(("count", "drawn"), [(3, True), (10, True), (15, False)])
async def test_the_pad_under_the_bar_is_drawn_where_no_row_is_hidden_for_it(
    home: Path, count: int, drawn: bool
) -> None:
    for number in range(count):
        put(home / "jobs", f"job{number}", a_book("A1 -1", job=a_job(name=f"Job {number:02}")), age=number)
    async with morning((80, 24)) as at:
        await at.pilot.app.workers.wait_for_complete()
        await at.pilot.pause()
        assert sum("of 12" in line for line in at.lines) == count
        assert any("far end" in line for line in at.lines) is drawn


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
