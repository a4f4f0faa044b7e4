"""Where am I: what the crew is told after an interruption, and that it costs no key."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.figures.next_up import next_up
from rodcall.tui.shot_grid import screen
from rodcall.tui.shot_grid.status_lines import where_lines
from tests.kit import START, a_book, a_job, figures
from tests.tui.kit import crew

BOOK = ("A1 0", "B1 -1/4", "C1 -5/8", "check ZERO 0", "C2 -1-1/2")


def test_all_of_it_is_said_in_whatever_room_there_is() -> None:
    book = a_book(*BOOK)
    summary, last = figures(book), book.page.round.last
    first = next_up(summary, summary.punch_list)[0]
    now = START.timestamp() + 30 + 12 * 60
    for width in (60, 80, 200):
        told = where_lines(summary, last, first, "", now, width)
        assert max(map(len, told)) <= width
        assert (
            " ".join(" ".join(told).split())
            == "last C2 LOW 1-1/2 next B2 round 1 existing check good 12 min press Enter"
        )
    (line,) = where_lines(summary, last, first, "round 1 existing  check good 12 min", now, 80)
    assert "round" not in line


async def test_on_opening_the_crew_is_told_and_one_enter_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(screen, "time", lambda: START.timestamp() + 600)
    async with crew(a_book(*BOOK), tmp_path, (80, 24)) as at:
        told = f"{at.shown('top')} {at.shown('where')}"
        for part in ("Greenhouse", "round 1", "last C2 LOW 1-1/2", "next B2", "check good", "press Enter"):
            assert part in told
        assert at.screen.query_one("#where").size.height == 1
        await at.key("\n")
        assert not at.screen.query_one("#where").display
        assert at.here == "B2", "Enter went on with the work and passed nothing over"
        await at.key("\n")
        assert at.here == "B2", "nor does the next one"
        assert "next is B2" in at.prompt


async def test_a_digit_begins_the_reading_at_once(tmp_path: Path) -> None:
    async with crew(a_book(*BOOK), tmp_path, (80, 24)) as at:
        await at.key("-3/8\n")
        assert not at.screen.query_one("#where").display
        assert at.book.page.round.height_at(at.book.job.grid.index("B2")) is not None


async def test_a_new_job_and_a_new_round_have_nothing_to_go_back_to(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path / "new") as at:
        assert not at.screen.query_one("#where").display
    async with crew(a_book("A1 0", "round working", job=a_job()), tmp_path / "round") as at:
        assert "no shots in this round yet" in at.shown("where")


async def test_after_a_pause_the_crew_is_told_again_on_the_call_out_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = [START.timestamp()]
    monkeypatch.setattr(screen, "time", lambda: clock[0])
    async with crew(a_book(*BOOK), tmp_path, (80, 24)) as at:
        await at.press("j")
        assert not at.screen.query_one("#where").display
        at.screen._look_at_clock()
        assert not at.screen.query_one("#where").display
        clock[0] += screen.AWAY + 1
        at.screen._look_at_clock()
        await at.pilot.pause()
        assert at.screen.query_one("#where").display
        assert at.screen.query_one("#top").display
        assert at.screen.query_one("#call_out").size.height == 20
        assert len(at.shown("call_out").splitlines()) <= 20
        await at.key("\n")
        assert not at.screen.query_one("#top").display
