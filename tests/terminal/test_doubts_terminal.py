"""A reading that does not fit among others typed ahead, in a real terminal: each stands where the line named."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.model.entries import Strike

from .crew import Crew, Hands, a_file, entries, shots, snake
from .keys import Keypad

BEFORE = "0\r-1/4\r-3/8\r-1/2\r-3/8\r-1/8\r-1/4\r"
"""A1 to A3 in walking order, as ground lies."""


@pytest.mark.parametrize("keypad", [None, Keypad.PLAIN, Keypad.KITTY])
def test_a_bust_typed_ahead_of_others(tmp_path: Path, keypad: Keypad | None) -> None:
    path = a_file(tmp_path)
    with Crew(path, hands=Hands(keypad=keypad)) as crew:
        crew.sees_saved("next A1")
        crew.key(f"{BEFORE}+11-3/4\r")
        crew.sees("= reads B3 again.  HIGH 11-3/4 does not fit, about LOW 3/8.")
        crew.key("-3/8\r-1/2\r")
        crew.sees_saved("10 of 12")
        crew.key("=")
        crew.sees("read B3 again")
        crew.key("-1/4\r")
        crew.sees("next B4")
        crew.sees_saved("10 of 12")
        crew.terminal.send("q")
        assert crew.ended() == 0
    assert shots(path)[7:] == [("B3", "+11-3/4"), ("C3", "-3/8"), ("C4", "-1/2"), ("B3", "-1/4")]
    assert isinstance(entries(path)[-1], Strike), "the first was struck in the same act"


def test_forty_readings_of_natural_ground_typed_ahead_are_forty_right(tmp_path: Path) -> None:
    """With the shout on: a slope and a little roughness, each reading known at its place."""
    path = a_file(tmp_path, along=8, across=5)
    spots = snake(8, 5)
    called = [
        (spot, f"-{2 + int(spot[1:]) / 4 + 'ABCDE'.index(spot[0]) / 8 + at % 3 / 64:.6f}")
        for at, spot in enumerate(spots)
    ]
    with Crew(path) as crew:
        crew.sees_saved("next A1")
        crew.key("".join(f"{said}\r" for _, said in called))
        crew.sees_saved("40 of 40")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == called
