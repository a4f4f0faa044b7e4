"""What comes right behind a reading, before anything followed from it, goes where the reading leaves the line."""

from __future__ import annotations

from pathlib import Path

from textual.events import Key, Paste
from textual.message import Message

from rodcall.tui.shot_grid.plan import Plan
from tests.kit import a_book
from tests.tui.kit import Crew, crew, send


async def at_once(at: Crew, reading: str, then: Message) -> None:
    """A reading with its Enter, and something else right behind it in the screen's queue."""
    await send(at.pilot, *reading)
    at.screen.post_message(Key("enter", None))
    at.screen.post_message(then)
    await at.pilot.pause()


def shot(at: Crew) -> list[tuple[str, str]]:
    return [(entry.position, entry.said) for entry in at.book.entries if entry.kind == "shot"]


async def test_a_reading_pasted_right_behind_another_goes_to_the_next_spot(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at_once(at, "-1", Paste("-1/2"))
        await at.key("\n")
        assert shot(at) == [("A1", "-1"), ("B1", "-1/2")]


async def test_a_spot_tapped_right_behind_a_reading_is_the_one_named(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        tapped = at.book.job.grid.index("C3")
        await at_once(at, "-1", Plan.Tapped(tapped))
        await at.key("-1/2\n")
        assert shot(at) == [("A1", "-1"), ("C3", "-1/2")]


async def test_readings_held_back_behind_a_question_go_to_the_spots_behind_it(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("3/8\n-1/2\n+1\n")
        assert "A1 3/8: HIGH or LOW?" in at.prompt
        assert shot(at) == []
        await at.key("h")
        assert shot(at) == [("A1", "3/8h"), ("B1", "-1/2"), ("C1", "+1")]
