"""What a wait shows: nothing before its time, nothing without a terminal, one line, gone at the end."""

from __future__ import annotations

import io
import threading

import pytest

from rodcall.cli import progress
from rodcall.cli.progress import Waiting


class Terminal(io.StringIO):
    """A terminal that remembers all that was painted, and says when something was."""

    def __init__(self) -> None:
        super().__init__()
        self.painted = threading.Event()
        self.wanted = ""

    def isatty(self) -> bool:
        return True

    def write(self, text: str) -> int:
        written = super().write(text)
        if self.wanted in text:
            self.painted.set()
        return written


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    shown = Terminal()
    monkeypatch.setattr(progress, "TICK_S", 0.001)
    return shown


def test_a_long_wait_shows_what_is_done_and_leaves_an_empty_line(terminal, monkeypatch):
    monkeypatch.setattr(progress, "PATIENCE_S", 0.0)
    terminal.wanted = "joining 25%"
    with Waiting("joining", to=terminal) as waiting:
        waiting.share(0.25)
        assert terminal.painted.wait(60)
    lines = terminal.getvalue().split("\r")
    assert lines[-1] == ""
    assert lines[-2].strip() == ""
    assert len(lines[-2]) >= len("joining 25%")


def test_things_are_counted_as_they_come(terminal, monkeypatch):
    monkeypatch.setattr(progress, "PATIENCE_S", 0.0)
    terminal.wanted = "line 3"
    with Waiting("line", to=terminal) as waiting:
        things = waiting.counted("abc")
        assert [next(things), next(things), next(things)] == ["a", "b", "c"]
        assert terminal.painted.wait(60)


def test_a_short_wait_shows_nothing(terminal, monkeypatch):
    monkeypatch.setattr(progress, "PATIENCE_S", 60.0)
    with Waiting("joining", to=terminal):
        pass
    assert terminal.getvalue() == ""


def test_a_wait_for_a_person_shows_nothing(terminal, monkeypatch):
    monkeypatch.setattr(progress, "PATIENCE_S", 0.0)
    with Waiting("line", shown=False, to=terminal) as waiting:
        assert waiting._thread is None
    assert terminal.getvalue() == ""


def test_an_error_in_the_work_goes_through_and_the_line_is_cleared(terminal, monkeypatch):
    monkeypatch.setattr(progress, "PATIENCE_S", 0.0)
    terminal.wanted = "joining"
    with pytest.raises(KeyError):
        _work_that_fails(terminal)
    assert terminal.getvalue().split("\r")[-2].strip() == ""


def _work_that_fails(terminal: Terminal) -> None:
    with Waiting("joining", to=terminal):
        assert terminal.painted.wait(60)
        raise KeyError
