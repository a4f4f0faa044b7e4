"""What comes between: a small screen all day, a half-typed reading left alone, a window closed under the program."""

from __future__ import annotations

import shlex
import shutil
import signal
import sys
from pathlib import Path

import pytest

from .crew import PATIENCE, RODCALL, Crew, a_file, figures, prompt_of_shell, shots, snake

pytestmark = pytest.mark.usefixtures("unasked")

# Eleven readings of -33/8 together, 3/8 low on average, of which the rule of thumb makes a target of 1/2 in low
# (common practice). Within 1/2 in of that are all but C1 (7/8 short), C2 (1 over) and C4 (3/4 over); A1, 1/2 over,
# is on the limit and so inside. A3 is a rut.
# As long as nobody chose that target, none of the three is out of tolerance on the screen (existing ground is
# not judged by a suggestion); the shell lists whatever lies beyond the tolerance of it.
CALLED = ["0", "-1/4", "-1-3/8", "+1/2", "-3/8", "-1/2", "rut", "-1/2", "-5/8", "+1/4", "-3/4", "-1/2"]
FOLDED = "average -3/8  target -1/2 ?  out 0/11  worst C2"
CHOSEN = "average -3/8  target -1/2  out 3/11  worst C2"
TOLD = {
    "counted": 11,
    "average_mm": -9.525,
    "suggested_target_mm": -12.7,
    "outside": ["C1", "C2", "C4"],
    "within_tolerance": 8,
    "left_out": ["A3"],
}
"""The figures of the folded line, from the shell."""


def test_a_day_at_60_by_20(home: Path) -> None:
    with Crew(columns=60, rows=20) as crew:
        crew.sees("No job yet")
        # All of the form at once: the pad is 60 x 40 ft with 4 x 3 shots and a tolerance of 1/2 in.
        crew.key("n\rGreenhouse pad\r\r\r\r60\r40\r4\r3\r\r\r\r1/2\r\r\r\r")
        crew.sees_saved("next A1, the zero")
        for said, then in zip(CALLED, [*snake(4, 3)[1:], "A4"], strict=True):
            if said == "rut":
                crew.key("o")
                crew.answer("1 rut or pile, left out", "1\r")
                crew.sees(f"next {then}")
            else:
                crew.shoot(said, then)
        crew.sees_saved(FOLDED)
        crew.key("q")
        crew.sees("11 of 12")
        crew.key("q")
        assert crew.ended() == 0
    (path,) = (home / "jobs").glob("*.json")
    with Crew(columns=60, rows=20) as crew:
        crew.sees("11 of 12")
        crew.key("\r")
        crew.sees_saved(FOLDED)
        told = figures(path)
        assert {key: told[key] for key in TOLD} == TOLD
        crew.key("t")
        crew.sees("HERE")
        crew.key("\r")
        crew.sees_saved(CHOSEN)
    told = figures(path)
    assert {key: told[key] for key in TOLD} == TOLD
    assert told["target"] == {"offset_mm": -12.7, "along": 0.0, "across": 0.0, "chosen": True}


@pytest.mark.skipif(shutil.which("bash") is None, reason="job control of bash")
def test_a_half_typed_reading_outlives_ctrl_z(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    shell = ("bash", "--noprofile", "--norc", "-i")
    with Crew(command=shell, env={"PS1": "shell>", "HISTFILE": None}) as crew:
        crew.sees(prompt_of_shell)
        crew.key(f"{shlex.join([*RODCALL, str(path)])}\r")
        crew.sees("next A1")
        crew.shoot("-3/8", "B1")
        crew.key("-1")
        crew.sees("from A1 > -1_")
        crew.terminal.keys("ctrl+z")
        crew.sees("Stopped")
        assert not crew.terminal.is_alternate_screen()
        assert shots(path) == [("A1", "-3/8")]
        crew.key("fg\r")
        crew.sees_saved("from A1 > -1_")
        crew.sees("last A1 LOW 3/8   next B1")
        crew.sees("far end")
        crew.shoot("/4", "C1")
        crew.key("q")
        crew.sees(prompt_of_shell)
    assert shots(path) == [("A1", "-3/8"), ("B1", "-1/4")]


def test_a_window_that_is_closed_under_the_program(tmp_path: Path) -> None:
    """Unlike a signal alone this takes the terminal away: nothing can be painted or restored any more."""
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.shoot("-3/8", "B1")
        crew.terminal.hang_up()
        assert crew.terminal.wait_exit(PATIENCE) == 128 + signal.SIGHUP
    assert shots(path) == [("A1", "-3/8")]


WITHOUT_A_SIGNAL = """
import os, signal, sys
signal.signal(signal.SIGHUP, signal.SIG_IGN)
child = os.fork()
if not child:
    os.setsid()
    os.execv(sys.executable, [sys.executable, "-m", "rodcall", *sys.argv[1:]])
sys.exit(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]))
"""
"""Runs the program in a session that has no terminal of its own, so that nobody tells it of a closed window."""


def test_a_window_that_is_closed_without_a_signal(tmp_path: Path) -> None:
    """As where a connection is cut: the program ends, and the job is free for the next one."""
    path = a_file(tmp_path)
    with Crew(path, command=(sys.executable, "-c", WITHOUT_A_SIGNAL)) as crew:
        crew.sees("next A1")
        crew.shoot("-3/8", "B1")
        crew.terminal.hang_up()
        assert crew.terminal.wait_exit(PATIENCE) == 128 + signal.SIGHUP
    assert shots(path) == [("A1", "-3/8")]
