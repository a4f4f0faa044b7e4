"""Inside tmux, whatever TERM says there: the same characters as outside in every theme, and a whole small pad."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from time import sleep

import pytest

from rodcall.tui.terminal.themes import THEMES
from rodcall.units import FOOT

from .crew import PATIENCE, RODCALL, SAME_KEY_AGAIN, Crew, a_file, figures
from .pages import READINGS, choose_target
from .screen import Lines
from .tmux_terminal import Tmux, needs_tmux

pytestmark = needs_tmux

TERMS = ("screen", "screen-256color", "tmux-256color")
OUT = re.compile(r"\x1b\[(?:\d+;)*7(?:;\d+)*m(?:\x1b\[[1-9][\d;:]*m)* *\+2!")
"""A reading out of tolerance, in reverse video."""


def known(term: str) -> bool:
    """Does this machine's terminfo have it?"""
    return shutil.which("infocmp") is None or not subprocess.run(["infocmp", term], capture_output=True).returncode


@pytest.fixture(params=TERMS)
def term(request: pytest.FixtureRequest) -> str:
    """Each value of TERM that tmux is used with."""
    if not known(request.param):
        pytest.skip(f"terminfo has no {request.param}")
    return str(request.param)


@pytest.fixture
def in_order(home: Path) -> Path:
    """The settings file, with the theme that comes first."""
    home.mkdir(parents=True)
    settings = home / "settings.toml"
    settings.write_text('theme = "day"\n', "utf-8")
    return settings


def steps() -> list[str]:
    """The themes as one key steps through them, from day to day."""
    return [*list(THEMES)[1:], "day"]


def outside(path: Path) -> dict[str, Lines]:
    """The whole screen in each theme, in a terminal without tmux."""
    shown = {}
    with Crew(path) as crew:
        crew.key(READINGS)
        crew.sees_saved("next B2")
        choose_target(crew)
        for theme in steps():
            crew.key("f")
            crew.sees_saved(f"colours: {theme}")
            crew.terminal.settle(0.2)
            shown[theme] = crew.terminal.text()
        crew.key("q")
        assert crew.ended() == 0
    return shown


def test_every_theme_shows_the_same_characters(tmp_path: Path, in_order: Path, term: str) -> None:
    usual = outside(a_file(tmp_path))
    in_order.write_text('theme = "day"\n', "utf-8")
    (tmp_path / "inside").mkdir()
    with Tmux([*RODCALL, a_file(tmp_path / "inside")], term=term) as tmux:
        tmux.wait_for("next A1", PATIENCE)
        for key in READINGS:
            tmux.keys("enter") if key == "\r" else tmux.send(key)
        tmux.wait_for("next B2", PATIENCE)
        tmux.send("t")
        tmux.wait_for("HERE", PATIENCE)
        tmux.keys("enter")
        tmux.wait_for("FAIL", PATIENCE)
        for theme in steps():
            # No hand strikes a key twice sooner: the program takes that for a switch that vibrates.
            sleep(SAME_KEY_AGAIN)
            tmux.send("f")
            # The whole screen at once: what differs is in the message, line by line.
            tmux.wait_for(lambda lines, wanted=usual[theme]: lines == wanted, PATIENCE)
            assert OUT.search(tmux.styled()), "out of tolerance is seen in any colours, and in none"
        tmux.send("q")
        assert tmux.wait_exit(PATIENCE) == 0


def test_a_whole_small_pad(tmp_path: Path, term: str) -> None:
    """2 x 2 shots, no farther apart than 50 ft. Worked by hand: the ground at 0, 0, -1/4, -1/4 is 1/8 in low.

    At least 1/8 in lower on a half inch lies -1/2, no more than a quarter inch beyond.
    """
    path = a_file(tmp_path, along=2, across=2, length=40 * FOOT)
    with Tmux([*RODCALL, path], term=term) as tmux:

        def say(text: str, wanted: str) -> None:
            """Key it, and wait for what follows."""
            for at, part in enumerate(text.split("\r")):
                if at:
                    tmux.keys("enter")
                if part:
                    tmux.send(part)
            tmux.wait_for(wanted, PATIENCE)

        tmux.wait_for("next A1", PATIENCE)
        say("b\r", "how high above the zero")
        say("+2\r", "where is it?")
        say("fence post\r", "next A1")
        for reading, following in (("0", "B1"), ("0", "B2"), ("-1/4", "A2"), ("-1/4", "4 of 4")):
            say(f"{reading}\r", following)
        say("t", "HERE")
        say("\r", 'UP 1/2"')
        say("r", "2 final")
        # A question is answered by keys that come once it is seen; here it is.
        say("2\r", "round 2 final")
        for reading in ("-1/2", "-3/8", "-1/2", "-5/8"):
            say(f"{reading}\r", "next")
        say("c", "(Enter: BM1)")
        say("\r", "what does the helper call now")
        say("+2\r", "check good")
        say("a", "PASS")
        say("\r", ".csv")
        tmux.send("*")
        tmux.wait_for("commands: type a number", PATIENCE)
        tmux.send("-")
        tmux.wait_for("4 of 4", PATIENCE)
        tmux.send("q")
        assert tmux.wait_exit(PATIENCE) == 0
    told = figures(path)
    assert (told["kind"], told["shot"], told["outside"], told["verdict"]) == ("final", 4, [], "PASS")
    assert told["target"]["offset_mm"] == -12.7
    assert told["average_mm"] == pytest.approx(-12.7)
    assert path.with_suffix(".pdf").read_bytes().startswith(b"%PDF")
