"""The dig page: the moves in order of work, each of them on the plan, and a screen that stays alive meanwhile."""

from __future__ import annotations

import re
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from textual.pilot import Pilot

from rodcall.book.book import Book
from rodcall.figures.earthwork.dig import DigPlan
from rodcall.figures.earthwork.haul import Progress
from rodcall.figures.summary import Summary
from rodcall.tui.pages.dig_page.screen import DigScreen
from rodcall.tui.terminal.colours import fill_style
from rodcall.tui.widgets.lines import Lines
from rodcall.tui.widgets.styles import FAINT
from rodcall.units import FOOT
from rodcall.wording import dig as words_dig
from rodcall.wording import zones as words_zones
from tests.kit import a_book, a_job, figures
from tests.looks.scenes import LANGUAGES, shown, text_of
from tests.tui.kit import Crew, crew, strips

PAD = a_job(along=5, across=3, length=40 * FOOT, width=20 * FOOT)
"""Lines and columns every 10 ft."""


def a_dig(*lines: str) -> Book:
    """The far end an inch high, the near end an inch low, the middle on the target."""
    shots = [f"{name} {said}" for name, said in zip(PAD.grid.names, ["-1"] * 6 + ["0"] * 3 + ["+1"] * 6, strict=True)]
    return a_book(*shots, "target 0", "set lane 20ft", *lines, job=PAD)


@dataclass
class Digger:
    """Somebody who looks at the dig page."""

    at: Crew

    @property
    def pilot(self) -> Pilot[None]:
        return self.at.pilot

    @property
    def screen(self) -> DigScreen:
        screen = self.pilot.app.screen
        assert isinstance(screen, DigScreen)
        return screen

    @property
    def lines(self) -> list[str]:
        return self.screen.query_one(Lines).shown.splitlines()

    @property
    def text(self) -> str:
        return "\n".join(self.lines)

    def marked(self, word: str) -> set[str]:
        """Names of the positions that the plan marks so."""
        heads = next(line for line in self.lines if re.match(r" +A +B", line))
        columns = {heads.index(letter): letter for letter in "ABC"}
        found = set()
        for line in self.lines:
            if row := re.match(r"(\d+) ", line):
                found |= {f"{name}{row[1]}" for x, name in columns.items() if line[x:].startswith(f"{word} ")}
        return found


@asynccontextmanager
async def digging(
    book: Book, folder: Path, size: tuple[int, int] = (80, 24), *, by_move: bool = True
) -> AsyncIterator[Digger]:
    """The dig page, opened by its key from the shot grid, with all worked out: the single moves, or the zones."""
    async with crew(book, folder, size) as at:
        await at.key("d")
        await at.pilot.app.workers.wait_for_complete()
        await at.pilot.pause()
        if by_move:
            await at.press("enter")
        yield Digger(at)


async def test_the_moves_are_those_of_the_shell(tmp_path: Path) -> None:
    book = a_dig()
    summary = figures(book)
    plan = summary.dig()
    assert plan is not None
    assert len(plan.moves) >= 3
    async with digging(book, tmp_path) as dig:
        moves = words_dig.move_lines([words_dig.move_words(summary, move) for move in plan.moves])
        listed = [line for line in dig.lines if re.search(r"\d  \S+ -> ", line)]
        assert [move for move, line in zip(moves, listed, strict=True) if not line.rstrip().endswith(move)] == []
        assert words_dig.total_words(summary, plan) in dig.text
        assert words_dig.end_words(summary, plan) in dig.text
        assert "bank" in dig.lines[0]


async def test_arrows_step_and_the_plan_follows(tmp_path: Path) -> None:
    book = a_dig()
    plan, name = figures(book).dig(), PAD.grid.name
    assert plan is not None
    async with digging(book, tmp_path) as dig:
        for number, move in enumerate(plan.moves, 1):
            assert f"move {number} of {len(plan.moves)}" in dig.lines[0]
            assert dig.marked("cut") == {name(at) for at in move.take}
            assert dig.marked("fill") == {name(at) for at in move.put}
            await dig.at.press("down")
        assert f"move {len(plan.moves)} of {len(plan.moves)}" in dig.lines[0]
        await dig.at.press("home")
        assert "move 1 of" in dig.lines[0]


async def test_the_numeric_pad_steps_and_leaves(tmp_path: Path) -> None:
    async with digging(a_dig(), tmp_path) as dig:
        for keys, number in (("2", 2), ("2", 3), ("8", 2), ("7", 1)):
            await dig.at.key(keys)
            assert f"move {number} of" in dig.lines[0]
        await dig.at.key("-")
        assert dig.pilot.app.screen is dig.at.screen


async def test_a_tap_chooses_a_move(tmp_path: Path) -> None:
    async with digging(a_dig(), tmp_path) as dig:
        y = next(y for y, line in enumerate(dig.lines) if re.search(r" 3 +\w", line) and " -> " in line)
        await dig.pilot.click(Lines, offset=(dig.lines[y].index(" -> "), y))
        assert "move 3 of" in dig.lines[0]


async def test_what_is_done_where_a_move_begins(tmp_path: Path) -> None:
    async with digging(a_dig(), tmp_path) as dig:
        # Far end first: the first stand worked is the far one, its farthest line the fifth.
        assert re.search(r"begin at [ABC]5: cut 1; first to [ABC]\d: fill 1\b", dig.text)


async def test_the_lanes_are_numbered_under_the_plan(tmp_path: Path) -> None:
    async with digging(a_dig("set lane 10ft", "set exit near-left"), tmp_path) as dig:
        heads = next(y for y, line in enumerate(dig.lines) if re.match(r" +A +B", line))
        # The farthest from the exit first: column C, then B, then A.
        assert dig.lines[heads + 1].split()[:3] == ["3", "2", "1"]


async def test_positions_that_take_no_part_are_marked_and_explained(tmp_path: Path) -> None:
    lines = ("B5 out stump", "set margin-near 1ft", "set margin-left 1ft", "strike C1")
    async with digging(a_dig(*lines), tmp_path) as dig:
        assert dig.marked("x") == {"B5", "A1", "C1", "A5", "C5"}
        assert "left as is: B5 (left out), A1 C1 A5 C5 (footprint corner)" in dig.text


async def test_a_position_that_was_not_shot_is_marked_as_a_guess(tmp_path: Path) -> None:
    async with digging(a_dig("strike C4"), tmp_path) as dig:
        assert dig.marked("+?") | dig.marked("cut?") == {"C4"}


async def test_nothing_shot(tmp_path: Path) -> None:
    async with digging(a_book(job=PAD), tmp_path) as dig:
        assert "nothing to dig before the first shot" in dig.text
        await dig.at.press("down", "pagedown", "end", "escape")
        assert dig.pilot.app.screen is dig.at.screen


async def test_nothing_to_move(tmp_path: Path) -> None:
    level = a_book(*(f"{name} 0" for name in PAD.grid.names), "target 0", job=PAD)
    async with digging(level, tmp_path) as dig:
        assert "nothing to move" in dig.text
        assert "at the end even" in dig.text
        await dig.at.press("down", "up")


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (200, 60), (20, 6), (2, 2)])
async def test_every_size_shows_and_steps(size: tuple[int, int], tmp_path: Path) -> None:
    async with digging(a_dig("B3 out rut"), tmp_path, size) as dig:
        await dig.at.press("down", "end", "pageup")
        await dig.pilot.resize_terminal(80, 24)
        await dig.pilot.pause()
        assert " -> " in dig.text
        await dig.at.press("enter")
        assert "zone 1 of" in dig.lines[0]


async def test_at_60_by_20_plan_and_moves_are_both_in_view(tmp_path: Path) -> None:
    async with digging(a_dig(), tmp_path, (60, 20)) as dig:
        assert dig.marked("C")
        assert dig.marked("F")
        assert sum(" -> " in line for line in dig.lines) >= 3
        assert all(len(line.rstrip()) <= 60 for line in dig.lines)


# -- the zones ----------------------------------------------------------------------------------------------


async def test_the_zones_are_those_of_the_shell_numbered_on_the_map(tmp_path: Path) -> None:
    book = a_dig()
    summary = figures(book)
    plan = summary.dig()
    assert plan is not None
    zones = summary.zones(plan)
    assert len(zones.zones) >= 2
    async with digging(book, tmp_path, by_move=False) as dig:
        assert f"zone 1 of {len(zones.zones)}" in dig.lines[0]
        for line in words_zones.zone_list(summary, zones):
            assert any(line in shown for shown in dig.lines)
        for at, zone in enumerate(zones.zones):
            told = words_zones.zone_words(summary, zones, at)
            assert dig.text.count(f"{at + 1} ->" if zone.is_cut else f"{at + 1} <-") >= len(zone.spots)
            assert words_zones.zone_loads(summary, zones, at) in dig.text
            assert told.goes in dig.text
            await dig.at.press("down")


async def test_the_chosen_zone_is_framed_and_what_is_done_is_dim(tmp_path: Path) -> None:
    async with digging(a_dig(), tmp_path, (120, 40), by_move=False) as dig:
        assert "[" in dig.text.split("far end")[1].split("[ ] this zone")[0]
        rows = strips(dig.screen.query_one(Lines))
        done = [part for line in rows for part in line if part.text.strip() == "ok"]
        assert len(done) == 3, "the middle line is on the target"
        assert {part.style.color for part in done} == {FAINT.color}


async def test_at_200_by_60_the_map_covers_half_of_the_screen(tmp_path: Path) -> None:
    async with digging(a_dig(), tmp_path, (200, 60), by_move=False) as dig:
        fills = {fill_style(level, False).bgcolor for level in range(-4, 5)}
        covered = sum(
            len(part.text)
            for line in strips(dig.screen.query_one(Lines))
            for part in line
            if part.style.bgcolor in fills or part.text.strip() == "ok"
        )
        assert covered >= 0.3 * 200 * 60


async def test_a_tap_chooses_a_zone(tmp_path: Path) -> None:
    async with digging(a_dig(), tmp_path, by_move=False) as dig:
        y = next(y for y, line in enumerate(dig.lines) if re.match(r"  2  (cut|fill)", line.lstrip(">")[0:20]))
        await dig.pilot.click(Lines, offset=(6, y))
        assert "zone 2 of" in dig.lines[0]


async def test_ground_outside_of_the_outline_is_hatched(tmp_path: Path) -> None:
    async with digging(a_dig("outline A1 C1 C4 B4 B5 A5"), tmp_path, by_move=False) as dig:
        far = next(line for line in dig.lines if line.startswith("5 "))
        assert far.rstrip().endswith("/")


# -- while it is worked out ---------------------------------------------------------------------------------


@dataclass
class SlowWork:
    """A solver that goes on only when it is told to."""

    step: threading.Semaphore
    ended: threading.Event
    cancelled: bool = False

    def dig(self, _: Summary, progress: Progress) -> DigPlan | None:
        try:
            for percent in range(0, 101, 10):
                assert self.step.acquire(timeout=20)
                progress(percent / 100)
        except BaseException:
            self.cancelled = True
            raise
        finally:
            self.ended.set()
        return None


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> SlowWork:
    work = SlowWork(threading.Semaphore(0), threading.Event())
    monkeypatch.setattr(Summary, "dig", lambda summary, progress: work.dig(summary, progress))
    return work


async def _until(dig: Digger, text: str) -> None:
    for _ in range(500):
        if text in dig.text:
            return
        await dig.pilot.pause(0.01)
    raise AssertionError(f"{text!r} never showed:\n{dig.text}")


async def test_progress_shows_and_keys_are_answered_meanwhile(slow: SlowWork, tmp_path: Path) -> None:
    async with crew(a_dig(), tmp_path) as at:
        await at.key("d")
        dig = Digger(at)
        await _until(dig, "least haul: 0%")
        for _ in range(4):
            slow.step.release()
        await _until(dig, "least haul: 30%")
        await at.press("down")
        await dig.pilot.resize_terminal(60, 20)
        await _until(dig, "least haul: 30%")
        assert not slow.ended.is_set()
        for _ in range(7):
            slow.step.release()
        await _until(dig, "nothing to dig")


async def test_leaving_the_page_cancels_the_work(slow: SlowWork, tmp_path: Path) -> None:
    async with crew(a_dig(), tmp_path) as at:
        await at.key("d")
        await _until(Digger(at), "least haul")
        await at.press("escape")
        assert at.pilot.app.screen is at.screen
        slow.step.release()
        assert slow.ended.wait(20)
        assert slow.cancelled
        await at.press("home")
        await at.key("-1\n")
        assert at.book.entries[-1].said == "-1"


@pytest.mark.parametrize("language", LANGUAGES)
async def test_each_spot_of_a_zone_says_what_is_to_be_done_there(tmp_path: Path, home: Path, language: str) -> None:
    """In Spanish, the words of a fill have less room than those of a cut: none goes without."""
    async with shown("cider-dig", (120, 40), language, tmp_path) as pilot:
        lines = text_of(pilot.app)
        heads = [line for line in lines if "1 <- 2" in line]
        told = "\n".join(lines)
        letters = ("F", "fill") if language == "en" else ("R", "rellenar")
        assert sum(line.count("1 <- 2") for line in heads) == 5
        assert max(len(re.findall(rf"\b{word} \d\.\d\d\?? ", told)) for word in letters) >= 5
