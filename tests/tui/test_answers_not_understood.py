"""Answers that are not understood, and readings called while a question is open: each reading goes where it belongs."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.units import Unit
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew


def written(at: Crew) -> list[tuple[str, str]]:
    """Position and words of each shot in the book."""
    return [(entry.position, entry.said) for entry in at.book.entries if entry.kind == "shot"]


async def test_after_one_refusal_the_line_is_empty_and_the_reason_is_told(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8"), tmp_path) as at:
        await at.key(";zz9\n")
        assert (at.session.line.text, at.session.line.message != "") == ("", True)
        assert at.session.line.message in at.prompt
        await at.key("C3\n")
        assert at.here == "C3"


@pytest.mark.parametrize("keys", ["o", ";", "b", "n", "c"])
async def test_a_reading_typed_to_a_question_is_a_reading_and_told(tmp_path: Path, keys: str) -> None:
    """Leave out, go to, reference, note, check: the helper calls the next reading, and nobody looks at the line."""
    async with crew(a_book("A1 -3/8", "reference BM1 low 2in"), tmp_path) as at:
        here = at.here
        await at.key(f"{keys}-1/2\n")
        assert written(at) == [("A1", "-3/8"), (here, "-1/2")]
        assert at.session.line.question is None
        assert at.session.line.message == f"-1/2 is written at {here}; the question is closed"
        await at.key("-5/8\n")
        assert len(written(at)) == 3


@pytest.mark.parametrize("keys", ["o", ";", "b", "n"])
async def test_so_it_does_where_all_is_typed_ahead(tmp_path: Path, keys: str) -> None:
    async with crew(a_book("A1 -3/8"), tmp_path) as at:
        await at.key(f"{keys}-1/2\n-5/8\n-3/4\n")
        assert [said for _, said in written(at)] == ["-3/8", "-1/2", "-5/8", "-3/4"]


async def test_with_no_spot_named_the_question_stays(tmp_path: Path) -> None:
    """All is shot: a check reading typed one Enter too soon is not written, and its reference is asked on."""
    job = a_job(along=2, across=2)
    book = a_book("A1 0", "B1 -1/4", "A2 -1/2", "B2 -3/8", "target suggested", "reference BM1 +2", job=job)
    async with crew(book, tmp_path, (80, 24)) as at:
        await at.key("c+2\n")
        assert at.session.line.question is not None
        assert "+2 not written: answer first, or Esc cancels" in at.prompt
        assert at.session.line.text == ""
        await at.key("\n+2\n")
        assert at.book.entries[-1].kind == "check"
        assert at.session.line.text == "", "what was refused waits for no Enter"
        assert len(written(at)) == 4


async def test_what_may_be_the_answer_is_one(tmp_path: Path) -> None:
    """A check asks for a reading; a name may begin with H and a number."""
    async with crew(a_book("A1 -3/8", "reference BM1 low 2in"), tmp_path) as at:
        await at.key("cBM1\n-2\n")
        assert [entry.kind for entry in at.book.entries][-1] == "check"
        await at.key("bH1\n-3\n\n")
        assert "H1" in at.book.page.references
        await at.key("n2 in of mud\n")
        assert at.book.entries[-1].kind == "note"
        assert len(written(at)) == 1


async def test_a_bad_check_reading_asks_again_and_takes_the_next_for_its_answer(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8", "reference BM1 low 2in"), tmp_path) as at:
        await at.key("cBM1\n-2-\n")
        assert "check BM1" in at.prompt
        assert at.session.line.text == ""
        await at.key("-2\n")
        assert at.book.entries[-1].kind == "check"


async def test_after_a_refused_position_a_reading_is_asked_where_it_belongs(tmp_path: Path) -> None:
    """The crew meant to go elsewhere: the spot that is named is the wrong one."""
    async with crew(a_book("A1 -3/8"), tmp_path) as at:
        await at.key(";b99\n-1/2\n")
        assert written(at) == [("A1", "-3/8")]
        assert "-1/2: for which position? (Enter: B1)" in at.prompt
        await at.key("B3\n")
        assert written(at) == [("A1", "-3/8"), ("B3", "-1/2")]


async def test_all_that_is_called_meanwhile_waits_for_the_position(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8"), tmp_path) as at:
        await at.key(";b99\n-1/2\n-5/8\n-3/4\n")
        assert "-1/2, -5/8, -3/4: for which position?" in at.prompt
        await at.key("zz\n")
        assert "-1/2, -5/8, -3/4: for which position?" in at.prompt
        await at.key("B1\n")
        assert [said for _, said in written(at)] == ["-3/8", "-1/2", "-5/8", "-3/4"]
        assert written(at)[1][0] == "B1"
        assert at.session.line.question is None


async def test_a_reading_instead_of_the_reason_for_leaving_out_is_asked_where_it_belongs(tmp_path: Path) -> None:
    async with crew(a_book("A1 -3/8"), tmp_path) as at:
        await at.key("o2\n-1/2\n")
        assert "-1/2: for which position?" in at.prompt
        await at.key("\n")
        assert written(at)[-1] == ("B1", "-1/2")
        assert not any(entry.kind == "leave_out" for entry in at.book.entries)


@pytest.mark.parametrize("reading", ["-5/8", "5/8l"])
async def test_a_reading_typed_where_one_key_is_asked_for_is_a_reading(tmp_path: Path, reading: str) -> None:
    """The test of the instruments asks 1, 2 or 3: neither the figures nor the Enter of a reading answer it."""
    async with crew(a_book("A1 -3/8"), tmp_path) as at:
        here = at.here
        await at.key("i")
        assert "1 laser by quarter turns" in at.prompt
        await at.key(f"{reading}\n")
        assert written(at)[-1] == (here, reading)


async def test_a_rod_reading_without_a_sign_is_one_too(tmp_path: Path) -> None:
    book = a_book("reference BM1 +100.0ft", "setup BM1 5.10", "A1 5.20", job=a_job(Unit.FT, readings="rod"))
    async with crew(book, tmp_path) as at:
        here = at.here
        await at.key("o5.31\n")
        assert written(at)[-1] == (here, "5.31")
        await at.key(";2.3\n")
        assert at.here == "B3", "by its numbers that is a position"


async def test_leaving_with_a_check_owed_is_not_answered_by_the_enter_of_a_reading(tmp_path: Path) -> None:
    async with crew(a_book("reference BM1 low 2in", "A1 -3/8"), tmp_path) as at:
        await at.key("-1/2\n", "q")
        assert "no check shot since" in at.prompt
        await at.key("5/8l\n")
        assert written(at)[-1][1] == "5/8l"
        assert at.session.line.question is None
