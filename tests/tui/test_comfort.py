"""Copying, opening what was written, a letter O among digits, an outline by its corners, and plain lines."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest

from rodcall.book.storage.opening import open_job, open_to_write
from rodcall.cli.by_line import run
from rodcall.tablet import opener
from rodcall.tui.pages.proof import ProofScreen
from rodcall.tui.widgets.key_screen import refuses_copying
from rodcall.tui.widgets.lines import Lines
from tests.kit import a_book
from tests.tui.kit import crew, saved

FULL = [f"{column}{row} 0" for row in range(1, 5) for column in "ABC"]


# -- copying ------------------------------------------------------------------------------------------------


async def test_what_is_shown_is_copied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    async with crew(a_book("A1 -3/8"), tmp_path, (80, 24)) as at:
        await at.press(">")
        assert "-3/8" in at.pilot.app.clipboard
        assert "A1" in at.pilot.app.clipboard
        assert re.match(r"\d+ lines copied", at.session.line.message)


async def test_a_terminal_that_takes_no_copies_is_told_apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "linux")
    async with crew(a_book("A1 -3/8"), tmp_path) as at:
        await at.press(">")
        assert at.pilot.app.clipboard == ""
        assert "rodcall figures" in at.session.line.message


def test_which_terminals_are_known_to_refuse() -> None:
    assert [refuses_copying({"TERM": each}) for each in ("linux", "dumb", "xterm-256color", "")] == [
        True,
        True,
        False,
        False,
    ]


# -- opening ------------------------------------------------------------------------------------------------


def test_a_file_is_opened_by_the_desktops_own_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ran: list[Sequence[str]] = []
    monkeypatch.setattr(opener.sys, "platform", "linux")
    monkeypatch.setattr(opener.shutil, "which", lambda name, path=None: f"/usr/bin/{name}")
    monkeypatch.setattr(opener.subprocess, "Popen", lambda command, **_: ran.append(command))
    assert opener.open_file(tmp_path / "pad.pdf", {"DISPLAY": ":0"}) == "opened pad.pdf"
    assert ran == [["/usr/bin/xdg-open", str(tmp_path / "pad.pdf")]]
    assert "no desktop" in opener.open_file(tmp_path / "pad.pdf", {})
    monkeypatch.setattr(opener.sys, "platform", "darwin")
    assert opener.opener({}) == "/usr/bin/open"


async def test_a_sheet_is_opened_after_it_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr(
        "rodcall.tui.pages.proof.open_file", lambda path: opened.append(path.name) or f"opened {path.name}"
    )
    async with crew(a_book(*FULL), tmp_path, (80, 24)) as at:
        await at.press("a")
        page = at.pilot.app.screen
        assert isinstance(page, ProofScreen)
        path = at.session.file.path

        def export() -> list[str]:
            path.with_suffix(".pdf").write_text("sheet")
            return ["written"]

        monkeypatch.setattr(page, "_export", export)
        await at.press("enter")
        await at.pilot.app.workers.wait_for_complete()
        await at.pilot.pause()
        shown = page.query_one(Lines).shown
        assert f"opens {path.stem}.pdf" in shown
        await at.press("+")
        assert opened == [f"{path.stem}.pdf"]
        assert f"opened {path.stem}.pdf" in page.query_one(Lines).shown


# -- a letter O ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("typed", "said"), [("-1o", "-10"), ("+.o4ft", "+.04ft"), ("-O.5", "-0.5")])
async def test_a_letter_o_among_digits_is_a_zero(tmp_path: Path, typed: str, said: str) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key(typed)
        assert at.session.line.text == said


async def test_on_an_empty_line_it_is_the_command(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.key("o")
        assert at.session.line.question is not None
        assert at.session.line.text == ""


# -- the outline --------------------------------------------------------------------------------------------


async def test_an_outline_is_given_corner_by_corner(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.key("o", "5\n", "A1\n", "3.1\n", "C3 B3 B4\n", "A4\n", "\n")
        assert at.book.entries[-1].corners == ("A1", "C1", "C3", "B3", "B4", "A4")
        assert at.book.job.grid.name(at.session.summary.not_pad[0]) == "C4"
        assert "/  /" in at.plan, "ground outside is hatched"
        assert "not pad" not in at.plan


async def test_a_corner_that_is_none_is_refused_with_the_reason(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        await at.key("o", "5\n", "Z9\n")
        assert "Z9" in at.session.line.message
        assert at.session.line.text == "", "what is called next is no part of it"
        assert len(at.book.entries) == 0


# -- plain lines --------------------------------------------------------------------------------------------


def by_line(folder: Path, *typed: str) -> tuple[list[str], Path]:
    path = saved(a_book(), folder).path
    told: list[str] = []
    assert run(open_to_write(path, "tablet-a"), typed, told.append) == ""
    return told, path


def test_each_change_is_one_plain_line_and_the_book_is_the_same(tmp_path: Path) -> None:
    told, path = by_line(tmp_path, "-3/8", "h1/2", "B2 -1", "undo", "note wet corner", "quit", "+9")
    book = open_job(path, "reader").book
    assert [entry.kind for entry in book.entries] == ["shot", "shot", "shot", "strike", "note"]
    assert any(line.startswith("A1  LOW 3/8") for line in told)
    assert any(line.startswith("B1  HIGH 1/2") for line in told)
    assert "next B1" in told
    assert all("\n" not in line and "\x1b" not in line for line in told)


def test_a_height_without_a_sign_is_asked_for(tmp_path: Path) -> None:
    told, path = by_line(tmp_path, "3/8", "l")
    assert any("HIGH or LOW" in line for line in told)
    assert [entry.said for entry in open_job(path, "reader").book.entries] == ["3/8l"]


def test_what_is_not_understood_is_told_and_writes_nothing(tmp_path: Path) -> None:
    told, path = by_line(tmp_path, "-3/7", "nonsense", "go Z9", "go C4", "")
    assert len(open_job(path, "reader").book.entries) == 0
    assert any("sevenths" in line for line in told)
    assert "next C4" in told


def test_the_list_is_read_out_and_a_bad_reading_is_called_back(tmp_path: Path) -> None:
    told, _ = by_line(tmp_path, *["-1/8"] * 11, "-60", "list")
    assert any("not shot" in line or "no check shot" in line for line in told)
    assert any("NOT PROVEN: " in line for line in told)
