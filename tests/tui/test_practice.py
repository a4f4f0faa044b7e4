"""Practice on the shot grid: what the helper says at each moment, how answers are scored, and another pad."""

from __future__ import annotations

import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from rodcall.book.storage.opening import JobFile
from rodcall.practice.lesson import Lesson
from rodcall.tablet.paths import jobs_folder
from rodcall.tablet.settings import Settings
from rodcall.tui.app import RodcallApp
from rodcall.tui.shot_grid import practice as practice_grid
from rodcall.tui.shot_grid.practice import PracticeGrid
from rodcall.tui.widgets.lines import Lines
from rodcall.tui.widgets.wanted import JobLeft
from tests.practice.kit import some_pads
from tests.terminal.crew import snake
from tests.tui.kit import SIZE, Crew

WALK = snake(5, 4)
CALLED = "called"
LAST_IS_WRONG = 0
"""Seed of a pad of 5 x 5 whose very last call is wrong by a foot."""


class Practice(Crew):
    """Somebody at the keys of a practice pad."""

    def __init__(self, pilot: Pilot[None], folder: Path) -> None:
        super().__init__(pilot, folder)
        self.folder = folder

    @property
    def grid(self) -> PracticeGrid:
        """The pad that is up."""
        assert isinstance(self.screen, PracticeGrid)
        return self.screen

    @property
    def lesson(self) -> Lesson:
        """What is called there."""
        return self.grid.pad.lesson

    @property
    def helper(self) -> str:
        """What the helper says."""
        return self.shown("helper").strip().removeprefix("helper: ")

    @property
    def page(self) -> list[str]:
        """The lines of the page that lies over the grid."""
        return self.pilot.app.screen.query_one("#page", Lines).shown.splitlines()

    async def type_what_is_called(self) -> bool:
        """Type each call until one is to be read again; False where there is nothing more to type."""
        while not self.helper.startswith("all shot"):
            await self.key(f"{self.helper.split('  ')[1]}\n")
            if "READ AGAIN" in self.said:
                return True
        return False

    async def shoot_all(self, *keys: str) -> int:
        """Shoot the whole pad, and press these keys wherever one is to be read again; returns how often that was.

        CALLED stands for what the helper says then, and Enter.
        """
        shouts = 0
        while await self.type_what_is_called():
            shouts += 1
            for key in keys:
                await self.key(f"{self.helper.split('  ')[1]}\n" if key == CALLED else key)
        return shouts


@asynccontextmanager
async def practice(
    folder: Path, seed: int = 5, settings: Settings | None = None, **known: Any
) -> AsyncIterator[Practice]:
    """The program on a practice pad of which two calls are wrong."""
    pads = some_pads(folder, seed, **known)
    pad = pads.begin()
    app = RodcallApp(pad.file, settings=settings, grid=lambda _: PracticeGrid(pad, pads))
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        yield Practice(pilot, folder)


def names(at: Practice, indices: tuple[int, ...]) -> set[str]:
    return {at.lesson.job.grid.name(index) for index in indices}


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The helper's clock, which stands still but for what a test adds."""
    now = [1000.0]
    monkeypatch.setattr(practice_grid, "monotonic", lambda: now[0])
    return now


# -- what the helper says -----------------------------------------------------------------------------------


async def test_the_helper_walks_before_each_call(tmp_path: Path, clock: list[float]) -> None:
    async with practice(tmp_path, pace_s=3.0) as at:
        first, second = (at.lesson.calls[at.lesson.job.grid.index(name)].called for name in WALK[:2])
        assert at.helper == "walks"
        clock[0] += 2.9
        await at.press("escape")
        assert at.helper == "walks"
        clock[0] += 0.2
        await at.press("escape")
        assert at.helper == f"A1  {first}"
        await at.key(f"{first}\n")
        assert at.helper == "walks"
        clock[0] += 3.0
        await at.press("escape")
        assert at.helper == f"B1  {second}"


async def test_the_call_comes_without_a_key(tmp_path: Path, clock: list[float]) -> None:
    async with practice(tmp_path, pace_s=3.0) as at:
        clock[0] += 3.0
        while at.helper == "walks":
            await at.pilot.pause(practice_grid.TICK)
        assert at.helper.startswith("A1  ")


async def test_the_helper_waits_while_something_is_asked(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.key("1/2\n")
        assert "HIGH or LOW" in at.prompt
        assert at.helper == "waits"
        await at.key("l")
        assert at.helper.startswith("B1  ")


async def test_who_passes_a_spot_over_hears_what_is_called_where_the_cursor_is(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.press("right", "right")
        assert at.helper == f"C1  {at.lesson.calls[2].called}"


async def test_a_planted_mistake_is_shouted_and_read_again_it_is_called_right(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        assert await at.type_what_is_called()
        wrong, following = at.book.page.round.last, at.here
        name, call = at.lesson.job.grid.name(wrong), at.lesson.calls[wrong]
        assert wrong in at.lesson.planted
        assert at.said == f"{name}  READ AGAIN"
        assert at.helper.startswith(f"{following}  "), "the helper walks on until somebody says otherwise"
        await at.key("=")
        assert at.helper == f"{name} again  {call.right}" != call.called
        await at.key(f"{call.right}\n")
        assert at.session.summary.height_at(wrong) == call.right_nm
        assert at.here == following
        assert at.helper == f"{following}  {at.lesson.calls[at.session.cursor].called}"


async def test_what_was_struck_is_called_right(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.type_what_is_called()
        asked = at.book.page.round.last
        await at.key("u")
        assert at.helper == f"{at.lesson.job.grid.name(asked)}  {at.lesson.calls[asked].right}"


async def test_the_last_reading_is_read_again_like_any_other(tmp_path: Path) -> None:
    async with practice(tmp_path, LAST_IS_WRONG, across=5) as at:
        while at.book.page.next_after(None) is not None:
            await at.type_what_is_called()
        assert at.said == "E5  READ AGAIN"
        await at.key("=")
        assert at.helper.startswith("E5 again  ")
        await at.key(f"{at.helper.split('  ')[1]}\n")
        assert at.session.summary.height_at(24) == at.lesson.calls[24].right_nm
        assert at.helper == "all shot; Enter shows how it went"


# -- how it is scored ---------------------------------------------------------------------------------------


async def test_reading_again_catches_them_all_with_the_fewest_keys(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        assert await at.shoot_all("=", CALLED) == 2
        score = at.grid.pad.score
        assert set(score.caught) == names(at, at.lesson.planted)
        assert score.perfect
        again = sum(1 + len(at.lesson.calls[index].right) + 1 for index in at.lesson.planted)
        assert score.keys == score.fewest == sum(len(call.called) + 1 for call in at.lesson.calls) + again


async def test_typing_on_misses_them(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        shouts = await at.shoot_all()
        score = at.grid.pad.score
        assert set(score.missed) == names(at, at.lesson.planted)
        assert (score.caught, score.typing) == ((), ())
        assert shouts >= 2
        assert score.keys == sum(len(call.called) + 1 for call in at.lesson.calls), "and no key more: nothing waits"


async def test_leaving_out_catches_them(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.shoot_all("=", "o\n")
        score = at.grid.pad.score
        assert set(score.caught) == names(at, at.lesson.planted)
        assert (score.missed, score.shot) == ((), 20)


async def test_what_is_typed_wrong_is_told_and_every_key_counts(tmp_path: Path) -> None:
    async with practice(tmp_path, mistakes=0) as at:
        wrong = "+1/8" if at.lesson.calls[0].called != "+1/8" else "+1/4"
        await at.key(f"{wrong[:-1]}7")
        await at.press("backspace")
        await at.key(f"{wrong[-1]}\n")
        score = at.grid.pad.score
        assert (score.typing, score.shot) == (("A1",), 1)
        assert score.keys == len(wrong) + 1 + 2


async def test_keys_after_the_last_entry_cost_nothing(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.shoot_all("=", CALLED)
        keys = at.grid.pad.keys
        await at.press("enter", "escape", "#", "escape", "left")
        assert at.grid.pad.keys == keys


async def test_seconds_run_from_the_first_call_to_the_last_entry(tmp_path: Path, clock: list[float]) -> None:
    async with practice(tmp_path, pace_s=3.0, mistakes=0) as at:
        clock[0] += 3.0
        for name, following in pairwise(WALK[:5]):
            await at.press("escape")
            assert at.helper.startswith(f"{name}  ")
            clock[0] += 2.0
            await at.key(f"{at.helper.split('  ')[1]}\n")
            assert at.here == following
            clock[0] += 3.0
        # Two seconds of typing each, and three of walking between two: 4 x 2 + 3 x 3.
        assert at.grid.pad.score.seconds == pytest.approx(17.0)
        assert at.grid.pad.score.seconds_a_shot == pytest.approx(17.0 / 4)


# -- the score on the screen, and another pad ---------------------------------------------------------------


async def test_enter_at_the_end_shows_the_score_and_n_begins_another_pad(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.shoot_all("=", CALLED)
        await at.press("enter")
        assert " PRACTICE 5: 20 of 20 positions" in at.page
        assert " mistakes called out: 2, caught 2" in at.page
        assert f" {at.grid.pad.keys} keys typed, {at.grid.pad.keys} needed" in at.page
        await at.press("n")
        assert at.lesson.job.name == "PRACTICE 6"
        assert (at.grid.pad.keys, at.here, at.book.entries) == (0, "A1", [])
        assert at.helper.startswith("A1  ")
        await at.key("-1/2\n")
        assert at.here == "B1"
        await at.press("#")
        assert [line.split()[:3] for line in at.page if "/" in line] == [
            ["PRACTICE", "6", "0/0"],
            ["PRACTICE", "5", "0/2"],
        ]


async def test_back_from_the_score_nothing_has_changed(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.key("-1/2\n")
        for key in ("enter", "escape", "/"):
            await at.press("#")
            assert " PRACTICE 5: 1 of 20 positions" in at.page
            await at.press("5")
            assert " PRACTICE 5: 1 of 20 positions" in at.page, "no key of the page"
            await at.press(key)
            assert (at.pilot.app.screen, at.here, len(at.book.entries)) == (at.grid, "B1", 1)


async def test_another_pad_is_in_the_menu_by_number_alone(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.key("-1/2\n")
        place = [action.id for action in at.grid.actions if action.id != "menu"].index("another") + 1
        await at.press("*", *str(place), "enter")
        assert at.lesson.job.name == "PRACTICE 6"


async def test_keys_typed_ahead_go_to_the_pad_that_comes(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.key("-1/2\n@-3/8\n+1/4\n")
        await at.pilot.pause()
        assert at.lesson.job.name == "PRACTICE 6"
        assert [entry.said for entry in at.book.entries] == ["-3/8", "+1/4"]


async def test_who_shoots_on_the_call_out_stays_there(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.key("j-1/2\n")
        assert at.helper.startswith("B1  ")
        await at.key("@")
        assert at.grid.has_class("calling")
        assert at.helper == f"A1  {at.lesson.calls[0].called}"


async def test_a_practice_pad_is_laid_out_like_any_other(tmp_path: Path) -> None:
    """What has no room makes way there too, and the call-out takes the screen."""
    async with practice(tmp_path) as at:
        await at.pilot.resize_terminal(60, 20)
        await at.pilot.pause()
        assert at.screen.plan.size.width == 60
        assert at.shown("fold").strip().startswith("NOT PROVEN")
        assert not at.screen.query_one("#panel").display
        assert at.screen.query_one("#read_back").size.height == 1
        await at.press("j")
        assert at.screen.query_one("#call_out").display
        assert not at.screen.query_one("#middle").display


async def test_leaving_from_the_score_page_ends_the_program(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        await at.press("#", "q")
        assert not at.pilot.app.is_running
        assert at.pilot.app.return_code in (0, None)


async def test_a_disk_that_takes_no_other_pad_says_so_and_this_one_goes_on(tmp_path: Path) -> None:
    async with practice(tmp_path) as at:
        (tmp_path / "6.json").write_text("somebody else's")
        await at.press("@")
        assert "the file already exists" in at.prompt
        await at.key("-1/2\n")
        assert (at.lesson.job.name, at.here) == ("PRACTICE 5", "B1")


async def test_a_practice_pad_is_never_rescued_into_the_list_of_jobs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: JobFile) -> int:
        raise OSError(28, os.strerror(28))

    async with practice(tmp_path) as at:
        monkeypatch.setattr(JobFile, "append", full)
        await at.key("-1/2\n")
        await at.settled()
        assert "NOT SAVED" in at.shown("top")
        at.grid.open(JobLeft())
        assert at.pilot.app.parting == ""
    assert not jobs_folder().exists() or list(jobs_folder().iterdir()) == []


async def test_a_key_that_the_crew_bound_on_the_shot_grid_keeps_its_meaning(tmp_path: Path) -> None:
    async with practice(tmp_path, settings=Settings(vibration_ms=0, keys={"shots.note": "#"})) as at:
        await at.press("#")
        assert "note" in at.prompt
