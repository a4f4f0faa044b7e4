"""The same screen, to the character, in whatever a terminal says that it is; colours as it can show them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from .crew import Crew, a_file
from .pages import pages, without_chart
from .screen import Lines

ON_THE_PAGES = {
    "grid": ("+2!", "-2!", "next B2", "average", "target"),
    "question": ("HIGH or LOW",),
    "call out": ("near left corner", "target height"),
    "target": ("HERE", "cut", "fill", "spare", "spots out"),
    "menu": ("leave out", "check"),
}
COLOUR = re.compile(rb"\x1b\[[0-9;:]*?(?<![0-9])([34]8[;:][25])")
SIXTEEN = re.compile(rb"\x1b\[((?:[0-9]+;)*(?:3[0-7]|4[0-7]|9[0-7]|10[0-7])(?:;[0-9]+)*)m")
REVERSE = re.compile(rb"\x1b\[(?:[0-9]+;)*7(?:;[0-9]+)*m")

ENVIRONMENTS = {
    "xterm-256color": {"TERM": "xterm-256color"},
    "true colour": {"TERM": "xterm-256color", "COLORTERM": "truecolor"},
    "xterm": {"TERM": "xterm"},
    "linux": {"TERM": "linux"},
    "screen": {"TERM": "screen"},
    "vt100": {"TERM": "vt100"},
    "dumb": {"TERM": "dumb", "NO_COLOR": "1"},
    "no colour": {"TERM": "xterm-256color", "NO_COLOR": "1"},
}
NO_BRAILLE = {"linux", "vt100", "dumb"}
"""Where the chart is drawn in letters."""


def seen(folder: Path, environment: dict[str, str]) -> tuple[dict[str, Lines], bytes]:
    """Each page as text, and all that was sent for it."""
    # Not set and set to nothing are the same to a terminal's programs.
    return pages(folder, {"COLORTERM": None, **environment})


@pytest.fixture(scope="module")
def usual(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Lines]:
    """The pages where all colours are shown."""
    folder = tmp_path_factory.mktemp("usual")
    lines, _ = seen(folder, {**ENVIRONMENTS["true colour"], "RODCALL_HOME": str(folder / "home")})
    return lines


@pytest.mark.parametrize("name", ENVIRONMENTS)
def test_each_shows_the_same_characters(tmp_path: Path, usual: dict[str, Lines], name: str) -> None:
    shown, sent = seen(tmp_path, ENVIRONMENTS[name])
    assert without_chart(shown) == without_chart(usual)
    assert ("FFFF" in "".join(shown["target"])) is (name in NO_BRAILLE)
    for page, texts in ON_THE_PAGES.items():
        for text in texts:
            assert text in "\n".join(shown[page])
    assert REVERSE.search(sent), "out of tolerance is seen without colour"


@pytest.mark.parametrize("name", ["xterm", "linux", "screen"])
def test_where_there_are_sixteen_colours_no_others_are_sent(tmp_path: Path, name: str) -> None:
    _, sent = seen(tmp_path, ENVIRONMENTS[name])
    assert not COLOUR.search(sent)
    assert SIXTEEN.search(sent)


@pytest.mark.parametrize("theme", ["day", "sun", "night"])
def test_a_chosen_theme_keeps_to_sixteen_where_there_are_no_more(tmp_path: Path, home: Path, theme: str) -> None:
    """The ground of the sun is bright white (107): ECMA-48, and aixterm's bright colours (MEMORY)."""
    home.mkdir(parents=True)
    (home / "settings.toml").write_text(f'theme = "{theme}"\n', "utf-8")
    with Crew(a_file(tmp_path), env={"COLORTERM": None, "TERM": "linux"}) as crew:
        crew.key("+2\r")
        crew.sees_saved("next B1")
        crew.key("q")
        assert crew.ended() == 0
    sent = b"".join(chunk.data for chunk in crew.terminal.received)
    inks = {int(code) for found in SIXTEEN.findall(sent) for code in found.split(b";") if code}
    grounds = {code for code in inks if 40 <= code <= 47 or code >= 100}
    assert grounds <= ({40, 107} if theme == "sun" else {40, 47, 103, 107})
    assert not COLOUR.search(sent)
    assert 33 not in inks, "yellow on white is not to be read"


@pytest.mark.parametrize("name", ["vt100", "dumb", "no colour"])
def test_where_there_are_none_none_are_sent(tmp_path: Path, name: str) -> None:
    _, sent = seen(tmp_path, ENVIRONMENTS[name])
    assert not COLOUR.search(sent)
    assert not SIXTEEN.search(sent)


def test_the_terminal_with_all_colours_gets_them(tmp_path: Path) -> None:
    """So that the tests above cannot pass by looking for nothing."""
    _, sent = seen(tmp_path, ENVIRONMENTS["true colour"])
    assert COLOUR.search(sent)
