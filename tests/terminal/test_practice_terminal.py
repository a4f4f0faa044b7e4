"""Practice on the real screen: what is called is typed, mistakes are caught, and nothing stays behind at the end."""

from __future__ import annotations

import os
import re
import signal
import sys
from pathlib import Path

import pytest

from tests.practice.kit import a_lesson

from .breaking import BREAKING, SECRET
from .crew import PATIENCE, Crew, snake
from .typist import WIDE, Typist, Work, scores, told

CLEAN, NEEDLESS = 1, 66
"""Seeds of pads where only what was called wrong is shouted back, and where one right reading is as well."""


def practising(seed: int, *words: str) -> Crew:
    return Crew("practice", "--seed", seed, "--pace", "0", *words, columns=WIDE)


def planted(seed: int) -> list[str]:
    """Positions that are called wrong, in the order in which they are walked."""
    lesson = a_lesson(seed)
    return [name for name in snake(5, 4) if lesson.job.grid.index(name) in lesson.planted]


def again(work: Work) -> int:
    """Keys of what was read again: `=`, the reading and Enter each."""
    needless = [work.put_right.get(position, work.typed[position]) for position in work.needless]
    return sum(1 + len(said) + 1 for said in [*work.put_right.values(), *needless])


def left_behind(home: Path) -> list[str]:
    return os.listdir(home / "practice")


# -- keys ---------------------------------------------------------------------------------------------------


def test_a_shot_costs_its_characters_and_enter_and_a_mistake_the_reading_again() -> None:
    with practising(CLEAN, "--json") as crew:
        work = Typist(crew).pad()
        keyed = crew.bytes_sent
        crew.key("q")
        assert crew.ended() == 0
        (score,) = scores(crew)
    assert (list(work.put_right), work.needless) == (planted(CLEAN), [])
    assert (score["shot"], score["missed"], score["typing"]) == (20, [], [])
    assert keyed == sum(len(said) + 1 for said in work.typed.values()) + again(work)
    assert score["keys"] == score["fewest"] == keyed


def test_a_needless_shout_costs_a_second_reading_that_agrees() -> None:
    with practising(NEEDLESS, "--json") as crew:
        work = Typist(crew).pad()
        keyed = crew.bytes_sent
        crew.key("q")
        assert crew.ended() == 0
        (score,) = scores(crew)
    assert sorted(work.put_right) == sorted(planted(NEEDLESS))
    assert len(work.needless) == 1
    assert keyed == sum(len(said) + 1 for said in work.typed.values()) + again(work)
    assert score["keys"] == keyed > score["fewest"]
    assert (score["missed"], score["typing"]) == ([], [])


def test_where_nothing_is_shouted_all_are_missed(unasked: None) -> None:
    with practising(CLEAN, "--json") as crew:
        work = Typist(crew).pad()
        keyed = crew.bytes_sent
        crew.key("q")
        assert crew.ended() == 0
        (score,) = scores(crew)
    assert (work.put_right, work.needless) == ({}, [])
    assert keyed == sum(len(said) + 1 for said in work.typed.values())
    assert sorted(score["missed"]) == sorted(planted(CLEAN))


def test_another_pad_without_leaving_and_every_score_at_the_end() -> None:
    with practising(CLEAN) as crew:
        typist = Typist(crew)
        typist.pad()
        crew.key("\r")
        crew.sees("PRACTICE 1: 20 of 20 positions")
        crew.sees("mistakes called out: 2, caught 2")
        crew.key("n")
        crew.sees("helper: A1")
        typist.pad()
        crew.key("#")
        crew.sees(lambda lines: any(re.search(r"PRACTICE 1 +0/2 +(\d+) +\1 ", line) for line in lines))
        crew.key("q")
        assert crew.ended() == 0
        lines = told(crew).splitlines()
    assert [line for line in lines if "positions" in line] == [
        "PRACTICE 1: 20 of 20 positions",
        "PRACTICE 2: 20 of 20 positions",
    ]
    assert lines.count("mistakes called out: 2, caught 2") == 2


def test_what_is_typed_ahead_of_the_next_pad_goes_there() -> None:
    with practising(CLEAN, "--json") as crew:
        Typist(crew).pad()
        crew.key("#n-1/2\r+3/8\r")
        crew.sees("PRACTICE 2")
        crew.sees(lambda lines: lines[0].startswith(" helper: C1"))
        crew.key("q")
        assert crew.ended() == 0
        assert [score["shot"] for score in scores(crew)] == [20, 2]


# -- ends ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP], ids=lambda number: number.name)
def test_a_signal_ends_practice_as_it_ends_the_program(number: signal.Signals, home: Path) -> None:
    with practising(CLEAN) as crew:
        crew.sees("helper: A1")
        crew.key("-1/2\r")
        crew.sees("helper: B1")
        assert len(left_behind(home)) == 2, "the folder and its lock"
        crew.terminal.signal(number)
        assert crew.ended() == 128 + number
        assert "positions" not in told(crew)
    assert left_behind(home) == []


def test_a_window_gone_under_practice_leaves_nothing_behind(home: Path) -> None:
    with practising(CLEAN) as crew:
        crew.sees("helper: A1")
        crew.key("-1/2\r")
        crew.sees("helper: B1")
        crew.terminal.hang_up()
        assert crew.terminal.process.wait(PATIENCE) == 128 + signal.SIGHUP
    assert left_behind(home) == []


def test_a_mistake_of_the_program_is_one_line_and_a_report(home: Path) -> None:
    words = ("practice", "--seed", CLEAN, "--pace", "0")
    with Crew(*words, command=(sys.executable, "-c", BREAKING), columns=200) as crew:
        for position in ("A1", "B1", "C1"):
            crew.sees(f"helper: {position}")
            crew.key("-1/2\r")
        assert crew.ended() == 70
        lines = told(crew).splitlines()
    assert [line for line in lines if line.startswith("rodcall: internal error (ZeroDivisionError)")]
    assert not any("Traceback" in line or SECRET in line for line in lines)
    (report,) = (home / "reports").iterdir()
    assert "builtins.ZeroDivisionError" in report.read_text("utf-8")
    assert left_behind(home) == []


def test_what_a_kill_left_behind_goes_with_the_next_practice_and_what_is_in_use_stays(home: Path) -> None:
    with practising(CLEAN) as killed:
        killed.sees("helper: A1")
        killed.terminal.kill()
    abandoned = set(left_behind(home))
    assert len(abandoned) == 2
    with practising(CLEAN) as first, practising(NEEDLESS) as second:
        first.sees("helper: A1")
        second.sees("helper: A1")
        assert len(left_behind(home)) == 4
        assert not abandoned & set(left_behind(home))
        second.key("q")
        assert second.ended() == 0
        first.key("-1/2\r")
        first.sees("helper: B1")
        assert len(left_behind(home)) == 2
        first.key("q")
        assert first.ended() == 0
    assert left_behind(home) == []
