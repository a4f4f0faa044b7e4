"""The dig page of a big pad in a real terminal: keys are answered while the moves are worked out."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from rodcall.book.storage.opening import JobFile
from rodcall.units import FOOT
from tests.kit import a_book, a_job

from .crew import READ_BACK
from .pty_terminal import Terminal
from .screen import Lines

PAD = a_job(along=40, across=30, length=400 * FOOT, width=300 * FOOT)
PATIENCE = 30.0


def shot_grid(lines: Lines) -> bool:
    """True on the shot grid, whatever its footer has room for; no other page tells what is saved."""
    return lines[0].endswith(" saved")


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    """The program on a pad of 30 x 40: the far half high, the near half low, so that all dirt goes a long way."""
    heights = np.random.default_rng(5).integers(1, 60, PAD.grid.size)
    heights[: PAD.grid.size // 2] *= -1
    shots = (f"{name} {height:+d}mm" for name, height in zip(PAD.grid.names, heights, strict=True))
    path = tmp_path / "pad.json"
    JobFile(path, a_book(*shots, "target 0", job=PAD)).save()
    with Terminal([sys.executable, "-m", "rodcall", path]) as program:
        program.wait_for(shot_grid, PATIENCE)
        yield program


def received(terminal: Terminal) -> str:
    """All that the program wrote so far."""
    return b"".join(chunk.data for chunk in terminal.received).decode("utf-8", "replace")


def test_a_key_is_answered_while_the_moves_are_worked_out(terminal: Terminal) -> None:
    terminal.keys("d")
    terminal.wait_for("working out the least haul", PATIENCE)
    terminal.keys("q")
    terminal.wait_for(shot_grid, PATIENCE)
    # Back on the shot grid before there was a move to show: the key did not wait for the work.
    assert "order of work, zone" not in received(terminal)
    # All is shot and nothing named: a spot is named first.
    terminal.keys("home")
    terminal.wait_for("next A1", PATIENCE)
    terminal.send("-1\r")
    # It does not agree with the reading before, which is shouted and holds nothing up.
    terminal.wait_for("= reads A1 again", PATIENCE)
    terminal.keys("d")
    terminal.wait_for("zone 1 of ", PATIENCE)
    terminal.keys("down")
    terminal.wait_for("zone 2 of ", PATIENCE)
    terminal.keys("q")
    terminal.wait_for(shot_grid, PATIENCE)
    # The same key at once would be a vibrating switch's.
    terminal.settle(READ_BACK)
    terminal.keys("q")
    assert terminal.wait_exit() == 0
