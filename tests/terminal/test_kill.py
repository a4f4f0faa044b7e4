"""Killed with no warning: at most the reading whose Enter was not yet painted is missing, and none is altered.

The benchmark `tests.benchmarks.kill_nine` does it at a thousand random moments, against what was called saved.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rodcall.book.storage.opening import open_job

from .crew import PATIENCE, Crew, a_file, shots, snake
from .screen import Lines

WALK = snake(8, 5)
CALLED = [(position, f"-{2 + at % 3 / 8:.3f}") for at, position in enumerate(WALK)]
"""Readings that lie as ground does, so that nothing is shouted over them."""


def painted(lines: Lines) -> int:
    """How many shots the numbers beside the plan say."""
    found = next((found for line in lines if (found := re.search(r"\bshot +(\d+) of \d+", line))), None)
    return int(found[1]) if found else 0


def left_after(crew: Crew, path: Path) -> int:
    """Kill the program; how many readings are missing of those whose Enter was painted."""
    crew.terminal.kill()
    crew.terminal.hang_up()
    seen = painted(crew.terminal.text())
    there = shots(path)
    assert there == CALLED[: len(there)], "what is there is what was typed, at its place"
    assert open_job(path, "reader").broken_seals == ()
    return seen - len(there)


@pytest.mark.parametrize("readings", [1, 2, 7, 20])
def test_right_after_the_paint_of_an_enter(tmp_path: Path, readings: int) -> None:
    path = a_file(tmp_path, along=8, across=5)
    with Crew(path) as crew:
        crew.sees_saved("next A1")
        for at, (_, said) in enumerate(CALLED[:readings], 1):
            crew.key(f"{said}\r")
            crew.sees(f"next {WALK[at]}")
        assert left_after(crew, path) <= 0


@pytest.mark.parametrize("seen", [1, 5, 11, 19])
def test_in_the_middle_of_twenty_typed_ahead(tmp_path: Path, seen: int) -> None:
    path = a_file(tmp_path, along=8, across=5)
    with Crew(path) as crew:
        crew.sees_saved("next A1")
        crew.key("".join(f"{said}\r" for _, said in CALLED[:20]))
        crew.terminal.wait_for(lambda lines: painted(lines) >= seen, PATIENCE)
        assert left_after(crew, path) <= 0
