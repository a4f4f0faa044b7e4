"""The list of jobs and the form for a new one, as a crew meets them in the morning."""

from __future__ import annotations

import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from itertools import takewhile
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.pilot import Pilot

from rodcall.book.book import Book
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.figures.summary import summarise
from rodcall.tablet.job_index import Index
from rodcall.tablet.paths import tablet_name
from rodcall.tablet.samples import samples
from rodcall.tui.app import RodcallApp
from rodcall.tui.bindings.actions import JOB_LIST, SHOT_GRID
from rodcall.tui.pages.begin.jobs import JobsScreen
from rodcall.tui.pages.begin.new_job import NewJobScreen
from rodcall.tui.pages.help import HelpScreen
from rodcall.tui.shot_grid.practice import PracticeGrid
from rodcall.tui.shot_grid.screen import ShotScreen
from rodcall.tui.widgets.lines import Lines
from rodcall.units import FOOT
from tests.kit import a_book, a_job
from tests.tui.kit import send, strips

NOON = 1_776_513_600


class Morning:
    """Somebody at the list of jobs."""

    def __init__(self, pilot: Pilot[None]) -> None:
        self.pilot = pilot

    async def press(self, *keys: str) -> None:
        for key in keys:
            await send(self.pilot, key)

    async def tap(self, y: int) -> None:
        await self.pilot.click(offset=(4, y))
        await self.pilot.pause()

    @property
    def screen(self) -> object:
        return self.pilot.app.screen

    @property
    def lines(self) -> list[str]:
        return self.pilot.app.screen.query_one(Lines).shown.splitlines()

    @property
    def job(self) -> str:
        """Name of the job that is open."""
        assert isinstance(self.screen, ShotScreen)
        return self.screen.session.book.job.name

    @property
    def bar(self) -> str:
        """The line that is painted in reverse."""
        (line,) = [line for line in strips(self.pilot.app.screen.query_one(Lines)) if line[0].style.reverse]
        return "".join(part.text for part in line).strip()


@asynccontextmanager
async def morning(size: tuple[int, int] = (80, 24)) -> AsyncIterator[Morning]:
    async with RodcallApp(None).run_test(size=size) as pilot:
        await pilot.pause()
        yield Morning(pilot)


@pytest.fixture
def jobs(home: Path) -> Path:
    return home / "jobs"


def put(folder: Path, name: str, book: Book | None = None, age: int = 0, content: bytes = b"") -> Path:
    """A job's file, or a broken one, written so many hours before noon."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{name}.json"
    if book is None:
        path.write_bytes(content)
    else:
        JobFile(path, book).save()
    os.utime(path, (NOON - 3600 * age, NOON - 3600 * age))
    return path


def three(folder: Path) -> None:
    put(folder, "shed", a_book(job=a_job(name="Shed", place="Juniper Hollow")), age=5)
    put(folder, "tank", a_book("A1 -1", "B1 -1", job=a_job(name="Tank")), age=1)
    put(folder, "arena", a_book("A1 -1", "round final", job=a_job(name="Arena")), age=3)


# -- the list -----------------------------------------------------------------------------------------------


async def test_an_empty_list_says_what_to_do(jobs: Path) -> None:
    async with morning() as at:
        assert f"~{os.sep}home{os.sep}jobs" in at.lines[0]
        begin = next(place for place, line in enumerate(at.lines) if "Three ways to begin" in line)
        ways = at.lines[begin + 2 : begin + 5]
        assert [line.split()[0] for line in ways] == ["Enter", "p", "s"], "a new pad, practice, samples"
        assert "rodcall practice" in ways[1]
        await at.press("enter")
        assert isinstance(at.screen, NewJobScreen)


async def test_newest_first_with_name_place_shots_and_state(jobs: Path) -> None:
    three(jobs)
    async with morning() as at:
        assert at.lines[1].split() == ["job", "place", "shots", "state", "verdict,", "open"]
        assert [line.split()[0] for line in at.lines[2:5]] == ["Tank", "Arena", "Shed"]
        assert "2 of 12  18 Apr" in at.lines[2]
        assert "0 of 12  18 Apr" in at.lines[3]
        assert "Shed" in at.lines[4]
        assert "Juniper Hollow" in at.lines[4]


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_the_jobs_that_are_seen_have_their_verdict_and_how_much_is_open(
    jobs: Path, size: tuple[int, int]
) -> None:
    """As `figures` has it; worked out on a thread, and kept until the file changes."""
    three(jobs)
    async with morning(size) as at:
        await at.pilot.app.workers.wait_for_complete()
        await at.pilot.pause()
        for line, name in zip(at.lines[2:5], ("tank", "arena", "shed"), strict=True):
            listed = summarise(open_job(jobs / f"{name}.json", "reader").book.page).punch_list
            assert line.rstrip().endswith(f"- {listed.verdict}, {listed.open}")
    known = {glance.name: glance.verdict for glance in Index().glances}
    assert known == {"Tank": "NOT PROVEN", "Arena": "NOT PROVEN", "Shed": "NOT PROVEN"}


async def test_a_broken_file_is_listed_with_its_message_and_stops_nothing(jobs: Path) -> None:
    three(jobs)
    broken = put(jobs, "broken", age=2, content=b'{"format": "rodcall job"')
    async with morning() as at:
        assert "broken.json: line 1: not JSON" in at.lines[3]
        await at.press("down", "enter")
        assert isinstance(at.screen, JobsScreen)
        assert "broken.json: line 1: not JSON" in at.lines[-2]
        assert broken.read_bytes() == b'{"format": "rodcall job"'
        await at.press("down", "enter")
        assert at.job == "Arena"


async def test_the_bar_is_painted_where_it_goes_and_keeps_to_the_list(jobs: Path) -> None:
    three(jobs)
    async with morning() as at:
        seen = [at.bar.split()[0]]
        for key in ("down", "j", "2", "up", "k", "8"):
            await at.press(key)
            seen.append(at.bar.split()[0])
        assert seen == ["Tank", "Arena", "Shed", "Shed", "Arena", "Tank", "Tank"]


async def test_moving_the_bar_repaints_both_lines(jobs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    three(jobs)
    async with morning((80, 14)) as at:
        repainted: list[int] = []
        page = at.pilot.app.screen.query_one(Lines)
        monkeypatch.setattr(page.screen, "refresh", lambda *regions, **_: repainted.extend(each.y for each in regions))
        await at.press("down")
        assert sorted({y - page.region.y for y in repainted}) == [2, 3]


async def test_more_jobs_than_lines_scroll_with_the_bar(jobs: Path) -> None:
    for number in range(20):
        put(jobs, f"job{number}", a_book(job=a_job(name=f"Job {number:02}")), age=number)
    async with morning((60, 20)) as at:
        await at.press(*["2"] * 19)
        assert at.bar.startswith("Job 19")
        await at.press(*["8"] * 19)
        assert at.bar.startswith("Job 00")


async def test_the_numeric_pad_alone_opens_begins_and_leaves(jobs: Path) -> None:
    three(jobs)
    async with morning() as at:
        await at.press("2", "2", "enter")
        assert at.job == "Shed"
        await at.press("*", *str(len(SHOT_GRID) - 1), "enter")
        assert isinstance(at.screen, JobsScreen)
        await at.press("add")
        assert isinstance(at.screen, NewJobScreen)
        menu = [action.id for action in JOB_LIST if action.id != "menu"]
        await at.press("escape", "multiply", str(menu.index("sample") + 1), "enter")
        assert at.lines[-2].strip() == f"{len(samples())} sample jobs written"
        await at.press("subtract")
        assert at.pilot.app.return_code == 0


async def test_taps_move_the_bar_and_open(jobs: Path) -> None:
    three(jobs)
    async with morning() as at:
        await at.tap(4)
        assert at.bar.startswith("Shed")
        await at.tap(12)
        assert at.bar.startswith("Shed")
        await at.tap(4)
        assert at.job == "Shed"


async def test_what_was_shot_shows_when_the_crew_comes_back(jobs: Path) -> None:
    three(jobs)
    async with morning() as at:
        await at.press("enter", "-", "1", "enter", "q")
        assert "3 of 12" in at.lines[2]
        assert at.bar.startswith("Tank")


async def test_samples_open(jobs: Path) -> None:
    async with morning() as at:
        await at.press("s")
        assert len(list(takewhile(str.strip, at.lines[2:-2]))) == len(samples()) >= 3
        await at.press("s")
        assert at.lines[-2].strip() == "0 sample jobs written"
        for number in range(len(samples())):
            await at.press(*["2"] * number, "enter")
            assert isinstance(at.screen, ShotScreen)
            await at.press("q")
            if isinstance(at.screen, ShotScreen):
                # The sample that is half shot asks for its check first.
                await at.press("q")
            assert isinstance(at.screen, JobsScreen)
            await at.press(*["8"] * number)


async def test_samples_that_cannot_be_written_say_so(home: Path) -> None:
    home.write_text("a file where the folder should be")
    async with morning() as at:
        await at.press("s")
        assert "the samples cannot be written: " in at.lines[-2]


async def test_help_and_keys_that_mean_nothing(jobs: Path) -> None:
    async with morning() as at:
        await at.press("?")
        assert isinstance(at.screen, HelpScreen)
        await at.press("x", "f9", "w")
        assert isinstance(at.screen, JobsScreen)


@pytest.mark.parametrize("key", ["q", "escape", "ctrl+q"])
async def test_leaving(jobs: Path, key: str) -> None:
    async with morning() as at:
        await at.press(key)
        assert at.pilot.app.return_code == 0


@pytest.mark.parametrize("size", [(1, 1), (60, 20), (200, 60)])
async def test_hostile_names_stay_in_their_columns(jobs: Path, size: tuple[int, int]) -> None:
    for number, name in enumerate(("日本語" * 20, "[red]x[/]", "\x1b[31mred", "\u202eltr", "x" * 400)):
        put(jobs, f"job{number}", a_book(job=a_job(name=name, place=name)), age=number)
    put(jobs, "broken [b]\u202e", content=b"\x1b[2J", age=9)
    async with morning(size) as at:
        page = at.pilot.app.screen.query_one(Lines)
        assert all(sum(cell_len(part.text) for part in line) == size[0] for line in strips(page))
        assert "\x1b" not in "".join(part.text for line in strips(page) for part in line)
        if size[0] > 1:
            columns = {cell_len(line[: line.index(" of 12")]) for line in at.lines if " of 12" in line}
            assert len(columns) == 1


# -- the form -----------------------------------------------------------------------------------------------


async def test_a_new_job_is_its_size_and_enter(jobs: Path) -> None:
    async with morning() as at:
        await at.press("n", *"60x40", "down", *"Shed", *["down"] * 14, "enter")
        assert at.job == "Shed"
        (path,) = jobs.glob("*.json")
        job = open_job(path, "reader").book.job
        assert (path.name, job.length, job.width, job.along, job.across) == ("shed.json", 60 * FOOT, 40 * FOOT, 7, 5)
        await at.press("-", "1", "enter", "q")
        assert isinstance(at.screen, JobsScreen)
        assert "Shed" in at.lines[2]
        assert "1 of 35" in at.lines[2]
        assert open_job(path, "reader").book.entries[0].tablet == tablet_name()


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_an_error_is_legible_whole_while_one_types(jobs: Path, size: tuple[int, int]) -> None:
    async with morning(size) as at:
        await at.press("n", *["down"] * 5, *"3", "/", *"7")
        assert at.lines[-1].strip().startswith('"3/7" - no rod is marked in sevenths')
        await at.press(*["backspace"] * 3, *"60", *["down"] * 12, "enter")
        assert at.lines[-1].strip() == "pad width: required"
        assert not jobs.exists()


async def test_giving_up_writes_nothing(jobs: Path) -> None:
    for key in ("escape", "ctrl+q"):
        async with morning() as at:
            await at.press("n", "down", *"Shed", key)
            assert isinstance(at.screen, JobsScreen)
            assert not jobs.exists()


async def test_a_form_is_tapped_through(jobs: Path) -> None:
    async with morning() as at:
        await at.press("n")
        await at.tap(6)
        await at.press(*"60")
        await at.tap(7)
        await at.press(*"40")
        await at.tap(16)
        assert isinstance(at.screen, NewJobScreen)
        await at.tap(16)
        assert isinstance(at.screen, ShotScreen)


async def test_the_form_scrolls_where_it_does_not_fit(jobs: Path) -> None:
    async with morning((60, 8)) as at:
        await at.press("n", *["down"] * 15)
        assert any("BEGIN THE JOB" in line for line in at.lines)
        await at.press(*["up"] * 15)
        assert "pad size" in at.lines[1]


async def test_two_jobs_of_one_name_are_two_files(jobs: Path) -> None:
    put(jobs, "shed", a_book(job=a_job(name="Shed")))
    async with morning() as at:
        await at.press("n", "down", *"Shed", *["down"] * 4, *"60", "enter", *"40", *["enter"] * 10)
        assert at.job == "Shed"
    assert sorted(path.name for path in jobs.glob("*.json")) == ["shed-2.json", "shed.json"]


async def test_a_job_that_the_disk_refuses_keeps_the_form(home: Path) -> None:
    home.mkdir()
    (home / "jobs").write_text("a file where the folder should be")
    async with morning() as at:
        await at.press("n", *["down"] * 5, *"60", "enter", *"40", *["enter"] * 10)
        assert isinstance(at.screen, NewJobScreen)
        assert "cannot be written" in at.lines[-1]


async def test_the_first_wrong_line_of_the_settings_is_told(jobs: Path) -> None:
    async with RodcallApp(None, wrong=("settings, line 2: not understood", "another")).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "settings, line 2: not understood" in pilot.app.screen.query_one(Lines).shown


# -- the first five minutes ---------------------------------------------------------------------------------


async def test_from_the_list_to_the_first_written_shot_in_five_enters_and_the_size(jobs: Path) -> None:
    keys = ["enter", *"60x30ft 4x5", "enter", "enter", *"-3/8", "enter"]
    assert keys.count("enter") <= 5
    async with morning() as at:
        await at.press(*keys)
        assert isinstance(at.screen, ShotScreen)
        book = at.screen.session.book
        assert (book.job.length, book.job.width, book.job.along, book.job.across) == (60 * FOOT, 30 * FOOT, 4, 5)
        assert [entry.said for entry in book.entries] == ["-3/8"]


async def test_the_first_job_has_a_hint_a_step_each_said_once(jobs: Path) -> None:
    async with morning() as at:
        await at.press("enter", *"60x30", "enter", "enter")
        line = at.screen.session.line
        assert line.message.startswith("Hint: type the reading")
        seen = []
        for said in ("-1", "-2", "-1"):
            await at.press(*said, "enter")
            seen.append(line.message)
        assert seen[0].startswith("Hint: u ")
        assert seen[1].startswith("Hint: * ")
        assert seen[2] == ""


async def test_a_second_job_has_no_hints(jobs: Path) -> None:
    three(jobs)
    async with morning() as at:
        await at.press("n", *"60x30", "enter", "enter")
        assert at.screen.session.line.message == ""


async def test_practice_begins_from_the_list_and_leaves_nothing(jobs: Path) -> None:
    async with morning() as at:
        await at.press("p")
        assert isinstance(at.screen, PracticeGrid)
        file = at.screen.session.file.path
        assert file.is_relative_to(jobs) is False
    assert not file.exists()
    assert not list(jobs.glob("*.json"))


async def test_customer_and_verdict_have_columns_where_there_is_room(jobs: Path) -> None:
    put(jobs, "shed", a_book(job=a_job(name="Shed", place="Juniper Hollow", customer="Juniper Nursery")))
    async with morning((120, 24)) as at:
        await at.pilot.app.workers.wait_for_complete()
        await at.pilot.pause()
        assert "Juniper Nursery" in at.lines[2]
        assert "- NOT PROVEN" in at.lines[2]


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40), (200, 60)])
async def test_the_form_echoes_what_follows_and_draws_the_pad(jobs: Path, size: tuple[int, int]) -> None:
    """By hand: 60 ft in four lines are 20 ft apart, 30 ft in five columns 7 ft 6 in."""
    async with morning(size) as at:
        await at.press("enter", *"60x30ft 4x5")
        told = at.lines[-1].strip()
        assert told.startswith("20 shots: 4 lines 20' 0\" apart, 5 in each, 7' 6\" apart"[: size[0] - 2])
        if size[0] >= 110:
            assert sum(line.count("+") for line in at.lines) >= 20
