"""Positions that are no part of the pad, on the shot grid: how they look, and what is typed there."""

from __future__ import annotations

from pathlib import Path

from tests.kit import a_book
from tests.tui.kit import crew, painted


async def test_it_has_a_mark_of_its_own_and_is_passed_by(tmp_path: Path) -> None:
    async with crew(a_book("C1 not pad", "B2 not pad stump", "A1 -3/8"), tmp_path) as at:
        seen = painted([at.screen.plan])
        assert seen.count("/ ") >= 2
        assert "not pad" in seen
        await at.key("+1\n")
        assert at.book.job.grid.name(at.session.cursor) == "C2", "B1 was shot; C1 is no pad"
        await at.key("+1\n")
        assert at.book.job.grid.name(at.session.cursor) == "A2"


async def test_a_reading_there_is_refused_with_the_way_out(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8", "B1 not pad"), tmp_path) as at:
        at.session.go_to(at.book.page.position("B1"))
        await at.key("+1\n")
        assert len(at.book.entries) == 2
        assert at.session.line.message == "B1 is not pad; to make it pad again: strike B1"


async def test_undo_on_the_screen_makes_it_pad_again(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8", "B2:C2 not pad"), tmp_path) as at:
        at.session.written_together(at.book.undo())
        assert at.session.summary.not_pad == ()
        assert at.book.job.grid.name(at.session.cursor) == "B2"
        assert "B2:C2 is pad again" in at.session.read_back.text
        at.session.written_together(at.book.redo())
        assert len(at.session.summary.not_pad) == 2
        assert at.session.read_back.text == "B2:C2  NOT PAD"
