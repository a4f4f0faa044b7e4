"""What is heard: bells to be counted, words through the crew's command, and never a key that waits for either."""

from __future__ import annotations

import shlex
import sys
import threading
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.tablet.settings import Settings
from rodcall.tui.app import RodcallApp
from rodcall.tui.shot_grid import sound
from rodcall.tui.shot_grid.sound import Speaker
from rodcall.units import INCH, Unit, in_words
from rodcall.wording.read_back import Call
from rodcall.wording.speech import spoken
from tests.kit import a_book
from tests.tui.kit import SIZE, Crew, saved

# -- how it is said -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shown", "said"),
    [
        # Common practice: how a crew calls these out.
        ("B3  LOW 1-3/8  fill 7/8", "B 3, low 1 and 3 eighths, fill 7 eighths"),
        ("AA12  HIGH 1/2", "A A 12, high 1 half"),
        ("C1  ON GRADE  on target", "C 1, on grade, on target"),
        ("A1  LOW 0.04  (was +0.02, 0.06 lower)", "A 1, low 0.04"),
        ("A1  LOW 4' 3-3/8\"", "A 1, low 4 feet 3 and 3 eighths"),
        ("A1 3/8: HIGH or LOW?  + or h, - or l", "A 1 3 eighths: high or low?"),
        ('TARGET -1/2  receiver UP 1/2"', "target minus 1 half, receiver up 1 half"),
        ("A1  LOW 1/3", "A 1, low 1/3"),
        ("new round:  1 working   2 final", "new round: 1 working, 2 final"),
    ],
)
def test_what_is_shown_is_spoken_as_a_crew_says_it(shown: str, said: str) -> None:
    assert spoken(shown) == said


PARTS = {"half": 2, "quarter": 4, "eighth": 8, "sixteenth": 16, "thirty-second": 32, "sixty-fourth": 64}


@given(st.integers(1, 12 * 64 - 1))
def test_every_64th_that_is_spoken_is_the_length_it_was(parts: int) -> None:
    """Read back by the dictionary's words for parts (MEMORY), with Python's own fractions."""
    heard = spoken(in_words(-parts * INCH // 64, Unit.IN)).removeprefix("low ").replace("halves", "half").split(" and ")
    length = Fraction(0)
    for piece in heard:
        number, _, part = piece.partition(" ")
        length += Fraction(int(number), PARTS[part.removesuffix("s")] if part else 1)
    assert length == Fraction(parts, 64)


# -- a command that speaks ----------------------------------------------------------------------------------


class Told:
    """Collects what is told from another thread."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self._came = threading.Event()

    def __call__(self, line: str) -> None:
        self.lines.append(line)
        self._came.set()

    def wait(self) -> None:
        assert self._came.wait(20)


def script(folder: Path, body: str) -> str:
    """A command line for a program that begins with `heard = the words it was given`."""
    path = folder / "speaks.py"
    path.write_text(f"import os, sys, time\nfolder = {str(folder)!r}\nheard = sys.argv[1:]\n{body}\n", "utf-8")
    return shlex.join([sys.executable, str(path)])


RECORD = "open(os.path.join(folder, 'heard'), 'a').write(repr(heard) + '\\n')"


def heard(folder: Path) -> list[list[str]]:
    """What the command was given, each time."""
    path = folder / "heard"
    lines = path.read_text("utf-8").splitlines() if path.exists() else []
    return [eval(line) for line in lines]


def until(true: Callable[[], object]) -> None:
    """Wait until it is so; given up after a while that nobody measures."""
    pause = threading.Event()
    for _ in range(400):
        if true():
            return
        pause.wait(0.05)
    raise AssertionError("it never came")


def test_the_words_are_one_argument_and_no_shell_sees_them(tmp_path: Path) -> None:
    told = Told()
    speaker = Speaker(script(tmp_path, RECORD), told)
    speaker.say('- -x; touch $(pwd)/gone `id` "B 3" > a | b')
    until(lambda: heard(tmp_path))
    speaker.close()
    assert heard(tmp_path) == [['x; touch $(pwd)/gone `id` "B 3" > a | b']]
    assert told.lines == []


def test_while_one_is_spoken_only_the_newest_of_the_rest_waits(tmp_path: Path) -> None:
    slow = f"{RECORD}\nwhile not os.path.exists(os.path.join(folder, 'go')): time.sleep(0.01)"
    speaker = Speaker(script(tmp_path, slow), Told())
    speaker.say("first")
    until(lambda: heard(tmp_path))
    for number in range(50):
        speaker.say(f"number {number}")
    (tmp_path / "go").touch()
    until(lambda: len(heard(tmp_path)) == 2)
    speaker.close()
    assert heard(tmp_path) == [["first"], ["number 49"]]


def test_a_command_that_never_ends_is_ended_with_what_it_started_and_the_next_words_are_spoken(tmp_path: Path) -> None:
    told = Told()
    speaker = Speaker(script(tmp_path, f"{RECORD}\ntime.sleep(1000)"), told, longest=0.5)
    speaker.say("one")
    until(lambda: heard(tmp_path))
    speaker.say("two")
    until(lambda: len(heard(tmp_path)) == 2)
    speaker.close()
    assert told.lines == []


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("/nowhere/speech", "say_command: no such file or directory; nothing more is spoken"),
        ("'unbalanced", "say_command: No closing quotation; nothing more is spoken"),
        ("", "say_command: none is set; nothing more is spoken"),
        ("FAILS", "say_command: it ended with 3; nothing more is spoken"),
    ],
)
def test_a_command_that_fails_is_told_once_and_then_silent(tmp_path: Path, command: str, why: str) -> None:
    told = Told()
    speaker = Speaker(script(tmp_path, f"{RECORD}\nsys.exit(3)") if command == "FAILS" else command, told)
    speaker.say("one")
    told.wait()
    speaker.say("two")
    speaker.close()
    assert told.lines == [why]
    assert len(heard(tmp_path)) == (command == "FAILS")


# -- on the shot grid ---------------------------------------------------------------------------------------


@asynccontextmanager
async def hearing(folder: Path, settings: Settings, *lines: str) -> AsyncIterator[Crew]:
    """The shot grid with these settings."""
    file = saved(a_book(*lines), folder)
    async with RodcallApp(file, settings=settings).run_test(size=SIZE) as pilot:
        await pilot.pause()
        yield Crew(pilot, file.path)


async def test_one_two_and_three_bells(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rung: list[str] = []
    monkeypatch.setattr(RodcallApp, "bell", lambda _: rung.append("bell"))
    monkeypatch.setattr("rodcall.tui.shot_grid.sound.BELLS_APART", 0.001)
    async with hearing(tmp_path, Settings(sound="bell"), "target 0") as at:
        for keyed, bells in (("0\n", 1), ("3/8\n", 2), ("-", 1), ("-9\n", 3), ("3/7\n", 2)):
            rung.clear()
            await at.key(keyed)
            await at.pilot.pause(0.2)
            assert len(rung) == bells, keyed


async def test_off_by_default_and_then_nothing_is_heard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rung: list[str] = []
    monkeypatch.setattr(RodcallApp, "bell", lambda _: rung.append("bell"))
    async with hearing(tmp_path, Settings(), "target 0") as at:
        await at.key("0\n", "-9\n", "3/8\n")
        assert (rung, at.screen.hearing) == ([], None)


async def test_the_read_back_the_question_and_what_lies_outside_are_spoken(tmp_path: Path) -> None:
    settings = Settings(sound="command", say_command=script(tmp_path, RECORD))
    async with hearing(tmp_path, settings, "target 0") as at:
        for keyed, said in (
            ("-3/8\n", "A 1, low 3 eighths, fill 3 eighths"),
            ("1/2\n", "B 1 1 half: high or low?"),
            ("-", "B 1, low 1 half, fill 1 half"),
            ("+2\n", "out of tolerance, C 1, high 2, cut 2"),
        ):
            before = len(heard(tmp_path))
            await at.key(keyed)
            while len(heard(tmp_path)) == before:
                await at.pilot.pause(0.02)
            assert heard(tmp_path)[-1] == [said]


async def test_keys_do_not_wait_for_a_command_that_hangs_and_leaving_ends_it(tmp_path: Path) -> None:
    settings = Settings(sound="command", say_command=script(tmp_path, f"{RECORD}\ntime.sleep(1000)"))
    async with hearing(tmp_path, settings) as at:
        await at.key("0\n", "-1/4\n", "-1/2\n", "+1/8\n")
        assert at.book.page.round.shots == 4
        assert at.here == "B2"


async def test_a_command_that_fails_is_told_in_the_entry_line(tmp_path: Path) -> None:
    async with hearing(tmp_path, Settings(sound="command", say_command="/nowhere/speech")) as at:
        await at.key("0\n")
        while "say_command" not in at.prompt:
            await at.pilot.pause(0.02)
        await at.key("-1/4\n")
        assert "say_command" not in at.prompt
        assert at.book.page.round.shots == 2


def test_words_from_a_file_are_short_and_one_line(tmp_path: Path) -> None:
    speaker = sound.Sounds(lambda _: None, Speaker(script(tmp_path, RECORD), Told()))
    speaker.heard(Call.LOOK, "--help\x1b[2J\n" + "x" * 1000)
    until(lambda: heard(tmp_path))
    speaker.close()
    (words,) = heard(tmp_path)[0]
    assert words.startswith("help")
    assert len(words) == sound.MOST_CHARACTERS
    assert words.isprintable()
