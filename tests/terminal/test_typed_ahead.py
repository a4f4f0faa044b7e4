"""Keys that come before the program is ready for them: each does what it was meant to, none is guessed or lost."""

from __future__ import annotations

import signal
import sys
import time
from pathlib import Path
from typing import Final

import pytest

from rodcall.book.model.entries import Entry
from rodcall.tui.bindings.actions import SHOT_GRID

from .crew import RODCALL, Crew, a_file, entries, shots, snake

pytestmark = pytest.mark.usefixtures("unasked")

FORTY: Final = [(position, f"{'+' if at % 3 else '-'}{at}/64") for at, position in enumerate(snake(8, 5), 1)]
"""A reading for each of 8 x 5 positions, all different, so that each is known at its place."""

KEY_TO_KEY: Final = 0.03
HOLD_EVERY, HELD_KEYS = 30, 17
"""The program is held at every so many keys, for as many as half a second takes."""

BUSY: Final = """
import signal, time
from rodcall.start import main

def work(*_):
    end = time.perf_counter() + 0.5
    while time.perf_counter() < end:
        pass

signal.signal(signal.SIGUSR1, work)
main()
"""
"""The program, kept from its event loop for half a second by SIGUSR1, while what reads the keys goes on."""


def test_readings_keyed_before_the_first_paint(tmp_path: Path) -> None:
    path = a_file(tmp_path, along=8, across=5)
    with Crew(path) as crew:
        # From here on the program takes keys; it shows nothing yet.
        crew.sees(lambda _: crew.terminal.is_alternate_screen())
        crew.key("".join(f"{said}\r" for _, said in FORTY))
        crew.sees_saved("40 of 40")
    assert shots(path) == FORTY


@pytest.mark.parametrize("how", ["stopped", "busy"])
def test_readings_keyed_while_the_program_is_held_again_and_again(tmp_path: Path, how: str) -> None:
    path = a_file(tmp_path)
    called = [(position, said) for position, (_, said) in zip(snake(4, 3), FORTY, strict=False)]
    with Crew(path, command=RODCALL if how == "stopped" else (sys.executable, "-c", BUSY)) as crew:
        crew.sees_saved("next A1")
        for at, character in enumerate("".join(f"{said}\r" for _, said in called)):
            if at % HOLD_EVERY == 0:
                crew.terminal.signal(signal.SIGSTOP if how == "stopped" else signal.SIGUSR1)
            elif at % HOLD_EVERY == HELD_KEYS:
                crew.terminal.signal(signal.SIGCONT)
            crew.key(character)
            time.sleep(KEY_TO_KEY)
        crew.terminal.signal(signal.SIGCONT)
        crew.sees_saved("12 of 12")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == called


def test_readings_without_a_sign_among_forty_hold_back_the_rest(tmp_path: Path) -> None:
    path = a_file(tmp_path, along=8, across=5)
    letters = {4: "l", 5: "h", 23: "l", 40: "h"}
    called = [(position, said.lstrip("+-") if at in letters else said) for at, (position, said) in enumerate(FORTY, 1)]
    meant = [(position, said + letters.get(at, "")) for at, (position, said) in enumerate(called, 1)]
    with Crew(path) as crew:
        crew.sees_saved("next A1")
        crew.key("".join(f"{said}\r" for _, said in called))
        for at, letter in letters.items():
            position, said = called[at - 1]
            asked = f"{position} {said}: HIGH or LOW?"
            crew.sees_saved(asked)
            assert shots(path) == meant[: at - 1]
            crew.answer(asked, letter)
        crew.sees_saved("40 of 40")
    assert shots(path) == meant


def test_keys_follow_from_page_to_page(tmp_path: Path) -> None:
    """Through the menu, a question, the target page and the help page in one write."""
    path = a_file(tmp_path)
    menu = [action.id for action in SHOT_GRID if action.id != "menu"]
    with Crew(path) as crew:
        crew.sees_saved("next A1")
        crew.key(f"-1\r*{menu.index('leave_out') + 1}\r\r-3/8\rt-1/2\r+1/4\r?x-3/4\r")
        crew.sees_saved("4 of 12")
    assert [told(entry) for entry in entries(path)] == [
        ("shot", "A1", "-1"),
        ("leave out", "B1", ""),
        ("shot", "C1", "-3/8"),
        ("target", "", "-1/2"),
        ("shot", "C2", "+1/4"),
        ("shot", "B2", "-3/4"),
    ]


def told(entry: Entry) -> tuple[str, str, str]:
    """Kind, position and what was said."""
    return entry.kind, getattr(entry, "position", ""), getattr(entry, "said", "")
