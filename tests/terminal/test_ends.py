"""However the program ends, the book is saved, the terminal is as it was, and the status says why."""

from __future__ import annotations

import json
import os
import signal
import sys
from pathlib import Path

import pytest

from rodcall.book.storage.lock import Lock
from rodcall.book.storage.opening import open_job, open_to_write
from tests.benchmarks.kill_nine import sitting

from .breaking import BREAKING, SECRET
from .crew import PATIENCE, Crew, a_file, shots

pytestmark = pytest.mark.terminal


def test_an_interrupt_saves_and_leaves_with_130(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.shoot("-1", "B1")
        crew.terminal.signal(signal.SIGINT)
        assert crew.ended() == 130
    assert len(shots(path)) == 1
    assert sorted(name for name in os.listdir(tmp_path) if "pad" in name) == ["pad.json", "pad.json.before"]


def test_a_window_gone_under_the_program_loses_nothing(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.shoot("-1", "B1")
        crew.shoot("-2", "C1")
        crew.terminal.hang_up()
        crew.terminal.process.wait(PATIENCE)
    assert len(shots(path)) == 2
    lock = Lock.take(path)
    lock.release()


def test_as_small_as_a_window_gets(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        for columns, rows in ((1, 1), (2, 1), (1, 40), (300, 1), (1, 1)):
            crew.terminal.resize(columns, rows)
            crew.terminal.settle(0.1, PATIENCE)
        crew.key("-1\r")
        crew.terminal.settle(0.2, PATIENCE)
        crew.terminal.resize(80, 24)
        crew.sees_saved("next B1")
        crew.key("q")
        assert crew.ended() == 0
    assert len(shots(path)) == 1


def test_a_mistake_of_the_program_is_one_line_and_a_report_without_names(tmp_path: Path, home: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path, command=(sys.executable, "-c", BREAKING), columns=200) as crew:
        crew.sees("next A1")
        crew.shoot("-1", "B1")
        crew.shoot("-2", "C1")
        crew.key("-1-3/8\r")
        assert crew.ended() == 70
        said = [line for line in crew.terminal.text() if line.strip()]
    assert len(shots(path)) == 3
    assert any(line.startswith("rodcall: internal error (ZeroDivisionError); everything is saved") for line in said)
    assert not any("Traceback" in line or SECRET in line for line in said)
    (report,) = (home / "reports").iterdir()
    told = report.read_text("utf-8")
    assert "builtins.ZeroDivisionError" in told
    assert "tui/shot_grid/screen.py:" in told
    for secret in (SECRET, "1-3/8", "Greenhouse", str(tmp_path)):
        assert secret not in told


def test_a_second_program_takes_no_readings_and_says_who_has_it(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    held = open_to_write(path, "tablet-a")
    with Crew(path, columns=120) as crew:
        crew.sees(f"is open in process {os.getpid()} on ")
        crew.sees(lambda lines: lines[0].endswith("READ ONLY"))
        crew.key("-1")
        crew.sees("> -1_")
        crew.key("\r")
        crew.sees("read only: 'Greenhouse pad' is open in process")
        crew.terminal.keys("escape")
        crew.sees("the zero > _")
        crew.key("q")
        assert crew.ended() == 0
    held.close()
    assert shots(path) == []


def test_after_a_crash_the_screen_says_what_was_found(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.shoot("-1", "B1")
        crew.sees_saved("next B1")
        crew.terminal.kill()
    with Crew(path, columns=120) as crew:
        crew.sees("the program was cut off; everything saved is here, 1 entry since")
        crew.sees("next B1")


def test_kill_nine_at_random_moments(tmp_path: Path) -> None:
    """A few; tests/benchmarks/kill_nine.py does 1,000."""
    path = a_file(tmp_path, 10, 10)
    saved = [sitting(path, seed) for seed in range(4)]
    assert len(open_job(path, "reader").book.entries) >= max(saved)
    assert json.loads(path.read_bytes())
