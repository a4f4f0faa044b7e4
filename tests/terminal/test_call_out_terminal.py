"""Two people and one screen: whole lines typed on the call-out of the real program."""

from __future__ import annotations

import json
import os
import shlex
import signal
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rodcall.tui.widgets.block_digits import block_letters

from .crew import PATIENCE, READ_BACK, Crew, a_file, shots, snake
from .screen import Lines

pytestmark = [pytest.mark.terminal, pytest.mark.usefixtures("unasked")]

SAID = ["0", "-3/8", "+1-1/2", "-1/4", "-7/8", "+1/8", "-2", "-1/2", "0", "-5/8", "-1", "+3/4"]


def stands(text: str) -> Callable[[Lines], bool]:
    """True of a screen on which a text stands in letters of any size."""
    sizes = [(tall, wide) for tall in range(1, 6) for wide in range(1, tall + 1)]
    drawn = [[row.rstrip() for row in block_letters(text, *size)] for size in sizes]
    return lambda lines: any(
        all(row in line for row, line in zip(rows, lines[at:], strict=False))
        for rows in drawn
        for at in range(len(lines) - len(rows) + 1)
    )


@pytest.mark.parametrize(("columns", "rows"), [(60, 20), (80, 24)])
def test_a_pad_is_shot_on_the_call_out_and_the_next_round_comes_back(tmp_path: Path, columns: int, rows: int) -> None:
    path = a_file(tmp_path)
    walk = snake(4, 3)
    with Crew(path, columns=columns, rows=rows) as crew:
        crew.sees("next A1")
        crew.key("j")
        crew.sees("^ out, > right")
        crew.key("0\r-3/8\r+1-1/2\r")
        crew.sees(stands("C1 HIGH 1-1/2"))
        crew.sees("next C2")
        for said, following in zip(SAID[3:], [*walk[4:], "A4"], strict=True):
            crew.shoot(said, following)
        crew.sees(stands("ALL SHOT"))
        crew.key("r")
        # -3-1/4 over twelve is -0.27 in on average: the highest half inch 1/8 in or more below that is -1/2.
        crew.answer("target -1/2 is only suggested", "1\r")
        crew.answer("new round", "1\r")
        crew.sees("next A4")
        crew.key("0\r0\r")
        crew.sees("next C4")
        crew.key("j")
        crew.sees("2 of 12" if columns >= 80 else "u undo")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == [*zip(walk, SAID, strict=True), ("A4", "0"), ("B4", "0")]


def test_after_a_stop_the_crew_is_told_where_it_was_and_one_enter_goes_on(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.shoot("0", "B1")
        crew.shoot("-3/8", "C1")
        crew.sees_saved("2 of 12")
        crew.terminal.signal(signal.SIGSTOP)
        crew.terminal.signal(signal.SIGCONT)
        crew.sees("last B1 LOW 3/8   next C1   press Enter")
        crew.key("\r")
        crew.sees(lambda lines: not any("press Enter" in line for line in lines))
        crew.shoot("+1/8", "C2")
        crew.key("q")
        assert crew.ended() == 0
    with Crew(path) as crew:
        crew.sees("last C1 HIGH 1/8   next C2   press Enter")
        crew.shoot("-1/2", "B2")
        crew.key("q")
        assert crew.ended() == 0
    assert [said for _, said in shots(path)] == ["0", "-3/8", "+1/8", "-1/2"]


def test_a_bell_rings_and_a_line_of_readings_is_taken_with_it(tmp_path: Path, home: Path) -> None:
    home.mkdir(parents=True, exist_ok=True)
    (home / "settings.toml").write_text('ask_about_busts = false\nsound = "bell"\n', "utf-8")
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        before = b"".join(chunk.data for chunk in crew.terminal.received).count(b"\a")
        crew.key("0\r-1/8\r-1/4\r")
        crew.sees_saved("3 of 12")
        crew.sees("next C2")
        rung = b"".join(chunk.data for chunk in crew.terminal.received).count(b"\a") - before
        assert rung == 3
        crew.key("q")
        assert crew.ended() == 0


def test_a_speech_program_that_hangs_holds_no_reading_up_and_ends_with_the_job(tmp_path: Path, home: Path) -> None:
    """Lines typed in one go while it hangs; it writes its own number down, and the system says whether it lives."""
    speaks, number = tmp_path / "speaks.py", tmp_path / "number"
    speaks.write_text(
        f"import os, time\nopen({str(number)!r}, 'w').write(str(os.getpid()))\ntime.sleep(1000)\n", "utf-8"
    )
    home.mkdir(parents=True, exist_ok=True)
    command = json.dumps(shlex.join([sys.executable, str(speaks)]))
    (home / "settings.toml").write_text(
        f'ask_about_busts = false\nsound = "command"\nsay_command = {command}\n', "utf-8"
    )
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.key("j" + "".join(f"{said}\r" for said in SAID))
        crew.sees(stands("ALL SHOT"))
        while not (number.exists() and number.read_text("utf-8")):
            crew.terminal.settle(READ_BACK, PATIENCE)
        crew.key("q")
        assert crew.ended() == 0
    assert [said for _, said in shots(path)] == SAID
    with pytest.raises(ProcessLookupError):
        os.kill(int(number.read_text("utf-8")), 0)
