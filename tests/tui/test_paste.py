"""Pasted text on the shot grid: one line is typing, several are shown before they are taken."""

from __future__ import annotations

from pathlib import Path

from rodcall.tui.widgets.lines import Lines
from rodcall.units import INCH
from tests.kit import a_book
from tests.tui.kit import crew


async def test_one_line_goes_into_the_entry_line_and_waits_for_enter(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("-")
        await at.paste("3/8\n")
        assert at.prompt.splitlines()[0].endswith("> -3/8_")
        assert not at.book.entries
        await at.key("\n")
        assert at.book.entries[0].said == "-3/8"


async def test_several_lines_are_shown_and_taken_with_enter(tmp_path: Path) -> None:
    async with crew(a_book("B1 -1"), tmp_path) as at:
        await at.press("home")
        await at.paste("-3/8\r\n\r\n-1/2\r\n0\r\n")
        assert not at.book.entries[1:]
        assert at.shown("panel").splitlines() == [
            "  A1 -3/8     -3/8",
            "  C1 -1/2     -1/2",
            "  C2 0        0",
        ]
        assert "3 readings for A1 to C2: Enter takes them, n or - drops them" in at.prompt
        await at.press("enter")
        assert {
            at.book.job.grid.name(i): nm for i in (0, 2, 5) if (nm := at.session.summary.height_at(i)) is not None
        } == {
            "A1": -3 * INCH // 8,
            "C1": -INCH // 2,
            "C2": 0,
        }
        assert at.here == "B2"
        assert "average" in at.shown("panel")
        await at.settled()
        assert at.on_disk() == ["shot"] * 4


async def test_lines_are_dropped_when_told_so(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        # A sign may begin a reading, so that as an answer it waits for Enter.
        for keys in (("n",), ("-", "enter"), ("subtract", "enter"), ("escape",), ("backspace",)):
            await at.paste("-1\n-2")
            assert "2 readings" in at.prompt
            await at.press(*keys)
            assert not at.book.entries
            assert "readings" not in at.prompt
            assert "average" in at.shown("panel")


async def test_one_line_that_cannot_be_taken_stops_them_all_and_stands_first(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.paste("-1\n3/8\nwhat now\n-2")
        assert at.shown("panel").splitlines()[:2] == ["  B1 3/8      ! HIGH or LOW?", "  C1 what now ! no reading"]
        assert "2 of 4 lines cannot be taken ('3/8' HIGH or LOW?); Enter drops the paste" in " ".join(
            at.prompt.replace("\n", " ").split()
        )
        await at.press("y")
        assert not at.book.entries
        await at.press("enter")
        assert not at.book.entries
        assert at.session.line.question is None


async def test_more_lines_than_positions_are_refused(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.paste("\n".join(["-1"] * 13))
        assert at.shown("panel").splitlines()[0] == "  -- -1       ! no spot left"
        await at.press("enter")
        assert not at.book.entries


async def test_lines_are_shown_on_a_narrow_screen_too(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (60, 20)) as at:
        panel = at.screen.query_one("#panel", Lines)
        assert not panel.display
        await at.paste("-1\n-2")
        assert panel.display
        assert panel.size.width == 28
        await at.press("n")
        assert not panel.display


async def test_several_lines_into_a_question_become_one(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.press("n")
        await at.paste("wet at the far end\nowner was there")
        await at.press("enter")
        assert at.book.page.notes[0].text == "wet at the far end owner was there"


async def test_a_paste_does_not_answer_high_or_low(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("3/8\n")
        await at.paste("h\nl")
        assert not at.book.entries
        assert at.prompt.splitlines()[0].endswith("> _")
        await at.press("l")
        assert len(at.book.entries) == 1


async def test_a_megabyte_is_cut_off_at_once(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.paste("9" * 2**20)
        assert len(at.session.line.text) == 500
        await at.press("enter")
        assert not at.book.entries
        await at.press("escape")
        await at.paste("-1\n" * 300_000)
        assert "cannot be taken" in at.prompt
        await at.press("enter")
        assert not at.book.entries
