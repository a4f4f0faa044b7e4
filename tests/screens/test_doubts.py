"""A reading that does not fit is asked about while the rod still stands there; every answer is in the book."""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from rodcall.book.book import Book
from rodcall.book.file import open_job
from rodcall.figures.summary import Summary
from rodcall.lengths import FOOT, INCH, Unit
from rodcall.screens import doubted, shots
from rodcall.screens.app import RodcallApp
from rodcall.settings import Settings
from tests.kit import a_book, a_job
from tests.screens.kit import Crew, crew, saved

EVEN = ("A1 0", "B1 -1/4", "C1 -3/8", "C2 -1/2", "B2 -3/8", "A2 -1/8")
"""Six that lie as ground does; A3 comes next."""


def said(book: Book) -> list[tuple[str, str]]:
    """Kind and words of what was written after those six."""
    return [(entry.kind, entry.said) for entry in book.entries[len(EVEN) :]]


async def a_foot_off(at: Crew) -> None:
    await at.key("+12\n")
    assert "A3 HIGH 1'0; about -1/4 would fit.  ONE FOOT off?" in at.prompt
    assert "* take 0" in at.prompt


async def test_a_reading_that_fits_is_not_asked_about(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n-1/4\n-3/8\n")
        assert at.screen.line.question is None
        assert at.here == "C3"


async def test_below_six_shots_nothing_is_asked(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN[:4]), tmp_path) as at:
        await at.key("\n+12\n")
        assert at.screen.line.question is None


async def test_one_key_takes_what_was_meant_and_both_are_in_the_book(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        assert said(at.book) == [("shot", "+12")], "nothing is lost by asking"
        await at.key("*")
        assert said(at.book) == [("shot", "+12"), ("shot", "0")]
        assert at.book.entries[-1].puts_right == "one foot"
        assert (at.screen.summary.height_at(6), at.here) == (0, "B3")
        assert at.screen.line.question is None
        await at.press("u")
        assert at.screen.summary.height_at(6) == FOOT


async def test_one_key_keeps_it_and_it_is_not_asked_about_again(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        await at.key("/")
        assert said(at.book) == [("shot", "+12"), ("confirm", "")]
        assert "KEPT" in at.said
        assert at.here == "B3"
        await at.key("-1/4\n")
        assert "A3" not in at.prompt


async def test_what_was_kept_stays_kept_after_a_restart(tmp_path: Path) -> None:
    book = a_book(*EVEN, "A3 +12")
    book.confirm(book.page.round.readings_at(6)[-1], odds=50.0)
    async with crew(book, tmp_path) as at:
        await at.key("\n-1/4\n")
        assert at.screen.line.question is None
        assert at.here == "C3"


async def test_a_kept_reading_that_new_shots_speak_against_is_asked_about_again(tmp_path: Path) -> None:
    book = a_book(*EVEN, "A3 +12")
    book.confirm(book.page.round.readings_at(6)[-1], odds=-2.0)
    async with crew(book, tmp_path) as at:
        await at.key("\n-1/4\n-3/8\n-3/8\n-1/2\n")
        assert at.screen.line.question is None, "not at once"
        await at.key("-3/8\n")
        assert "A3 HIGH 1'0" in at.prompt


async def test_one_key_leaves_it_out(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        await at.key("o")
        assert said(at.book) == [("shot", "+12"), ("leave out", "")]
        assert at.book.entries[-1].reason == "rut or pile"
        assert at.here == "B3"


async def test_the_numeric_pad_has_all_four_answers(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        await at.press("enter")
        assert "* leave out, rut or pile  / shoot beside" in at.prompt
        await at.press("enter")
        assert "* take 0" in at.prompt, "and round again"
        await at.press("enter", "multiply")
        assert said(at.book)[-1][0] == "leave out"


async def test_shooting_beside_it_settles_it(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        await at.key("b")
        assert at.prompt.startswith(" A3, a foot beside > ")
        await at.key("-1/8\n")
        assert "A3: 1' 1/8\" apart, read it a third time" in at.prompt
        await at.key("0\n")
        assert at.screen.summary.height_at(6) == 0
        assert [entry.again for entry in at.book.entries[-3:]] == [False, True, True]
        assert at.here == "B3"
        assert at.screen.line.question is None, "two of the three agree"


async def test_the_same_read_again_stands(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        await at.key("b", "+12\n")
        assert at.screen.summary.height_at(6) == FOOT
        assert at.screen.line.question is None


async def test_readings_typed_without_looking_wait_whole(tmp_path: Path) -> None:
    """A slash within a reading is no answer, and an Enter by habit answers nothing."""
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        await at.key("-3/8\n-1/4\n")
        assert "(10 keys typed ahead wait)" in at.prompt
        assert said(at.book) == [("shot", "+12")]
        await at.key("*")
        assert said(at.book) == [("shot", "+12"), ("shot", "0"), ("shot", "-3/8"), ("shot", "-1/4")]


async def test_esc_forgets_the_reading_that_was_begun(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        await at.key("-3/")
        await at.press("escape")
        assert "typed ahead" not in at.prompt
        assert "* take 0" in at.prompt
        await at.key("/")
        assert said(at.book)[-1][0] == "confirm"


async def test_nothing_is_asked_where_the_crew_does_not_want_it(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        at.pilot.app.settings = replace(at.pilot.app.settings, ask_about_busts=False)
        await at.key("\n+12\n")
        assert at.screen.line.question is None


async def test_a_bust_among_the_first_is_found_once_there_are_enough(tmp_path: Path) -> None:
    book = a_book("A1 0", "B1 +11-3/4", "C1 -3/8", "C2 -1/2", "B2 -3/8", "A2 -1/8", "A3 -1/4", "B3 -3/8")
    async with crew(book, tmp_path) as at:
        await at.key("\n-3/8\n-1/2\n")
        assert "B1 HIGH 11-3/4" in at.prompt
        await at.key("*")
        assert at.book.entries[-1].position == "B1"
        assert abs(at.screen.summary.height_at(1)) < INCH


async def test_a_doubted_reading_is_marked_until_it_is_answered(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await a_foot_off(at)
        assert "~ +1'0!" in at.plan
        await at.key("*")
        assert "~" not in at.plan
        await at.press("u")
        assert "~ +1'0!" in at.plan, "it is in doubt again"
        await at.press("escape")
        at.screen.cursor = 6
        await at.key("+12\n", "/")
        assert "k +1'0!" in at.plan
        assert "~" not in at.plan
        await at.press("u")
        assert "~ +1'0!" in at.plan


async def test_what_was_kept_and_what_nobody_answered_is_marked_when_a_job_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(doubted, "IDLE", 0.001)
    book = a_book(*EVEN, "A3 +12", "B3 -1/4", "C3 -3/8", "C4 -1/2", "B4 -12", "A4 -1/8")
    book.confirm(book.page.round.readings_at(6)[-1], odds=50.0)
    async with crew(book, tmp_path) as at:
        assert "k +1'0!" in at.plan
        while "~" not in at.plan:
            await at.pilot.pause(0.01)
        assert "~ -1'0!" in at.plan
        assert at.plan.count("~") == 1
        assert "1 reading does not fit those around it: ~ marks it" in at.prompt
        at.screen.cursor = 10
        await at.key("-1/4\n")
        assert "~" not in at.plan, "it was shot again"


async def test_nothing_is_searched_where_the_crew_does_not_want_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(doubted, "IDLE", 0.001)
    monkeypatch.setattr(shots, "FIRST_LOOK", 0.001)
    judged: list[Summary] = []
    monkeypatch.setattr(Summary, "search_busts", lambda summary: judged.append(summary) or iter(()))
    file = saved(a_book(*EVEN, "A3 +12", "B3 -1/4"), tmp_path)
    for wanted in (True, False):
        settings = Settings(ask_about_busts=wanted, vibration_ms=0)
        async with RodcallApp(file, settings=settings).run_test(size=(80, 24)) as pilot:
            await pilot.pause(0.5)
        assert bool(judged) is wanted
        judged.clear()


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (200, 60)])
async def test_a_doubt_is_never_without_its_mark(tmp_path: Path, size: tuple[int, int]) -> None:
    """Also where the number takes all the room that a cell has."""
    job = a_job(across=6, along=4)
    even = [f"{name}{row} 0" for row in (1, 2) for name in "ABCDEF"]
    book = a_book(*even, "B3 -11-7/8", "C3 +1-7/8", job=job)
    for index in (13, 14):
        book.confirm(book.page.round.readings_at(index)[-1])
    async with crew(book, tmp_path, size) as at:
        assert at.plan.count("k") == 2


LOW = ("-5", "-5-1/4", "-5-1/2", "-5-3/8", "-5-1/8")
"""How each line of a pad of four lines reads."""


@asynccontextmanager
async def third_line(tmp_path: Path, readings: Sequence[str]) -> AsyncIterator[Crew]:
    """Two lines that lie as `LOW` says, and a third that is keyed so; only that line as a whole is asked about."""
    job = a_job(Unit.IN, along=4, across=5, length=40 * FOOT, width=40 * FOOT)
    shot = [f"{name}{row} {reading}" for row in (1, 2) for name, reading in zip("ABCDE", LOW, strict=True)]
    async with crew(a_book(*shot, job=job), tmp_path) as at:
        at.pilot.app.settings = replace(at.pilot.app.settings, ask_about_busts=False)
        await at.key("\n")
        for name, reading in zip("ABCDE", readings, strict=True):
            at.screen.cursor = job.grid.index(f"{name}3")
            if name == "E":
                at.pilot.app.settings = replace(at.pilot.app.settings, ask_about_busts=True)
            await at.key(f"{reading}\n")
        while at.screen.line.question is not None and "line 3" not in at.prompt:
            await at.key("/")
        yield at


def heights(at: Crew, row: int) -> list[int | None]:
    """Heights of a line, A to E; None where nothing is shot."""
    return [at.screen.summary.height_at(index) for index in range(5 * (row - 1), 5 * row)]


async def test_signs_flipped_along_a_line_are_one_question_one_undo_and_one_redo(tmp_path: Path) -> None:
    async with third_line(tmp_path, [f"+{reading[1:]}" for reading in LOW]) as at:
        read = heights(at, 3)
        assert "line 3 would fit better: all signs the other way." in at.prompt
        await at.key("*")
        assert heights(at, 3) == heights(at, 1)
        assert "LINE 3 PUT RIGHT" in at.said
        assert at.here == "E4", "on to the next line"
        await at.press("u")
        assert heights(at, 3) == read
        assert "LINE 3 AS IT WAS READ" in at.said
        assert at.here == "E4"
        await at.press("y")
        assert heights(at, 3) == heights(at, 1)
        assert "LINE 3 PUT RIGHT" in at.said
        assert at.screen.line.question is None, "it is not asked about once more"
        await at.settled()
        again = open_job(at.path, "reader").book
        again.undo()
        assert [again.page.round.height_at(index) for index in range(10, 15)] == read, "also tomorrow"


async def test_the_end_that_a_shift_leaves_open_comes_next_and_undo_closes_it(tmp_path: Path) -> None:
    """One reading was missed: each belongs one position on, and nobody knows the first."""
    steep = ("-1", "-3", "-5", "-7", "-9")
    async with third_line(tmp_path, LOW) as at:
        book = at.book
        changes = book.put_all_right(
            [(f"{name}3", reading) for name, reading in zip("BCDE", steep, strict=False)], "shifted", ["A3"]
        )
        at.screen.written_together(changes)
        assert at.here == "A3"
        assert heights(at, 3) == [None, -INCH, -3 * INCH, -5 * INCH, -7 * INCH]
        await at.press("u")
        assert heights(at, 3) == heights(at, 1)
        assert at.here == "E4"
        await at.press("y")
        assert at.here == "A3"


async def test_pasted_readings_are_doubted_one_after_another(tmp_path: Path) -> None:
    async with crew(a_book(*EVEN), tmp_path) as at:
        await at.key("\n")
        await at.paste("+12\n-3/8\n+11-1/2\n")
        await at.press("enter")
        assert "A3 HIGH 1'0" in at.prompt
        await at.key("*")
        assert "C3 HIGH" in at.prompt
        await at.key("*")
        assert at.screen.line.question is None


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_every_answer_is_in_view(tmp_path: Path, size: tuple[int, int]) -> None:
    async with crew(a_book(*EVEN), tmp_path, size) as at:
        await at.key("\n")
        await a_foot_off(at)
        for word in ("* take 0", "/ keep", "o rut", "b beside", "Enter more"):
            assert word in at.prompt
        assert all(len(line) <= size[0] for line in at.prompt.splitlines())


async def test_a_spot_is_read_once_more_by_hand(tmp_path: Path) -> None:
    async with crew(a_book("A1 -1"), tmp_path) as at:
        await at.press("=")
        assert at.prompt.startswith(" A1 once more > ")
        await at.key("-1-1/8\n")
        assert at.screen.summary.height_at(0) == -INCH
        assert at.here == "B1"


async def test_nothing_can_be_read_again_before_the_first_shot(tmp_path: Path) -> None:
    async with crew(a_book(), tmp_path) as at:
        await at.press("=")
        assert "nothing is shot here that could be read again" in at.prompt


def test_the_fewest_shots_are_those_of_the_figures() -> None:
    from rodcall.figures import busts

    assert shots.FEWEST_SHOTS == busts.FEWEST_SHOTS
