"""The same screen, to the character, in whatever a terminal says that it is; colours as it can show them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from .crew import Crew, a_file
from .screen import Lines

READINGS = "0\r-1/4\r+2\r-2\r"
"""One out on each side."""
ON_THE_SCREEN = ("+2!", "-2!", "next B2", "average", "target")
COLOUR = re.compile(rb"\x1b\[[0-9;:]*?(?<![0-9])([34]8[;:][25])")
SIXTEEN = re.compile(rb"\x1b\[(?:[0-9]+;)*(?:3[0-7]|4[0-7]|9[0-7]|10[0-7])(?:;[0-9]+)*m")
REVERSE = re.compile(rb"\x1b\[(?:[0-9]+;)*7(?:;[0-9]+)*m")

ENVIRONMENTS = {
    "xterm-256color": {"TERM": "xterm-256color"},
    "true colour": {"TERM": "xterm-256color", "COLORTERM": "truecolor"},
    "xterm": {"TERM": "xterm"},
    "linux": {"TERM": "linux"},
    "screen": {"TERM": "screen"},
    "vt100": {"TERM": "vt100"},
    "no colour": {"TERM": "xterm-256color", "NO_COLOR": "1"},
}


def seen(folder: Path, environment: dict[str, str]) -> tuple[Lines, bytes]:
    """The screen after some readings, as text, and all that was sent for it."""
    folder.mkdir(exist_ok=True)
    # Not set and set to nothing are the same to a terminal's programs.
    with Crew(a_file(folder), env={"COLORTERM": None, **environment}) as crew:
        crew.sees_saved("next A1")
        crew.key(READINGS)
        crew.sees_saved("next B2")
        crew.terminal.settle(0.3)
        lines = crew.terminal.text()
        sent = b"".join(chunk.data for chunk in crew.terminal.received)
        crew.key("q")
        assert crew.ended() == 0
    return lines, sent


@pytest.mark.parametrize("name", ENVIRONMENTS)
def test_each_shows_the_same_characters(tmp_path: Path, name: str) -> None:
    usual, _ = seen(tmp_path / "usual", ENVIRONMENTS["true colour"])
    lines, sent = seen(tmp_path / "here", ENVIRONMENTS[name])
    assert lines == usual
    shown = "\n".join(lines)
    for text in ON_THE_SCREEN:
        assert text in shown
    assert REVERSE.search(sent), "out of tolerance is seen without colour"


@pytest.mark.parametrize("name", ["xterm", "linux", "screen"])
def test_where_there_are_sixteen_colours_no_others_are_sent(tmp_path: Path, name: str) -> None:
    _, sent = seen(tmp_path, ENVIRONMENTS[name])
    assert not COLOUR.search(sent)
    assert SIXTEEN.search(sent)


@pytest.mark.parametrize("name", ["vt100", "no colour"])
def test_where_there_are_none_none_are_sent(tmp_path: Path, name: str) -> None:
    _, sent = seen(tmp_path, ENVIRONMENTS[name])
    assert not COLOUR.search(sent)
    assert not SIXTEEN.search(sent)


def test_the_terminal_with_all_colours_gets_them(tmp_path: Path) -> None:
    """So that the tests above cannot pass by looking for nothing."""
    _, sent = seen(tmp_path, ENVIRONMENTS["true colour"])
    assert COLOUR.search(sent)
