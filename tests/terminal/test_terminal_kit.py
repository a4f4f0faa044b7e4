"""The kit, held against a small Textual program: what is sent arrives, what is painted is seen."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from .keys import Keypad, keypad, keypad_unlocked, kitty_keys
from .pty_terminal import SYNCHRONIZED, Terminal
from .screen import Lines, ScreenTimeoutError
from .tmux_terminal import Tmux, needs_tmux

REPORTER = [sys.executable, str(Path(__file__).with_name("key_reporter.py"))]


@pytest.fixture
def reporter() -> Iterator[Terminal]:
    with Terminal(REPORTER) as terminal:
        terminal.wait_for("ready 80 x 24")
        yield terminal


def test_wait_for_says_what_the_screen_shows_instead(reporter: Terminal) -> None:
    with pytest.raises(ScreenTimeoutError, match=r"(?s)0\.2 s went by.*'absent'.*\|ready 80 x 24"):
        reporter.wait_for("absent", timeout=0.2)


def test_wait_for_gives_up_at_once_when_the_program_ends() -> None:
    with Terminal(["/bin/sh", "-c", "echo only this; exit 4"]) as terminal:
        with pytest.raises(ScreenTimeoutError, match=r"(?s)the program ended.*only this"):
            terminal.wait_for("absent")
        assert terminal.wait_exit() == 4


def test_wait_for_tells_when_it_was_painted(reporter: Terminal) -> None:
    keyed = reporter.send("x")
    painted = reporter.wait_for("key x")
    assert reporter.sent[-1].at == keyed < painted
    assert painted in [chunk.at for chunk in reporter.received]


@pytest.mark.parametrize("name", ["up", "pagedown", "home", "delete", "tab", "f2", "ctrl+r", "backspace"])
def test_named_keys_arrive(reporter: Terminal, name: str) -> None:
    reporter.keys(name)
    reporter.wait_for(f"key {name} ")


def test_escape_arrives_alone(reporter: Terminal) -> None:
    reporter.keys("escape")
    reporter.wait_for("key escape ")


# What Textual 8.2.8 makes of each keypad key, read in its parser and its tables: under kitty's protocol the
# four signs and the point have names of their own, and no character unless the terminal sends it along.
KITTY_NAMES = {".": "decimal", "/": "divide", "*": "multiply", "-": "subtract", "+": "add", "\r": "enter"}
PLAIN_NAMES = {
    ".": "full_stop", "/": "slash", "*": "asterisk", "-": "minus", "+": "plus", "\r": "enter", ",": "comma",
    "=": "equals_sign",
}  # fmt: skip


def keypad_cases() -> Iterator[tuple[Keypad, str, str]]:
    for character in "0123456789./*-+\r":
        plain = f"{PLAIN_NAMES.get(character, character)} {character!r}"
        named = KITTY_NAMES.get(character, character)
        yield Keypad.PLAIN, character, plain
        yield Keypad.APPLICATION, character, plain if character != "\r" else "enter None"
        yield (
            Keypad.KITTY,
            character,
            f"{named} {character!r}" if character in "0123456789\r" else f"{named} None",
        )
        yield Keypad.KITTY_TEXT, character, f"{named} {character!r}" if character != "\r" else "enter None"
    yield Keypad.PLAIN, ",", "comma ','"
    yield Keypad.KITTY, ",", "separator None"
    yield Keypad.KITTY_TEXT, "=", "equal '='"


def test_keypad_keys_arrive_as_textual_names_them(reporter: Terminal) -> None:
    for encoding, character, expected in keypad_cases():
        reporter.keys("f5")
        reporter.wait_for("key f5 ")
        reporter.keypad(character, encoding)
        reporter.wait_for(f"key {expected}.")


@pytest.mark.parametrize("name", ["left", "up", "pageup", "home", "insert", "delete"])
def test_keypad_without_num_lock_moves(reporter: Terminal, name: str) -> None:
    reporter.send(keypad_unlocked(name))
    reporter.wait_for(f"key {name} ")


def test_keypad_five_without_num_lock_is_begin(reporter: Terminal) -> None:
    reporter.send(keypad_unlocked("begin"))
    reporter.wait_for("key kp_begin ")


@pytest.mark.parametrize("encoding", Keypad)
def test_the_keypad_has_no_letters(encoding: Keypad) -> None:
    with pytest.raises((KeyError, ValueError)):
        keypad("x", encoding)


def test_main_keys_under_kittys_protocol(reporter: Terminal) -> None:
    reporter.send(kitty_keys("-3/8H\r"))
    reporter.wait_for("1 lines, then ''")
    reporter.send("q")
    reporter.wait_exit()
    assert any("taken: -3/8H" in line for line in reporter.text())


def test_readings_typed_ahead_arrive_whole_and_in_order(reporter: Terminal) -> None:
    readings = [f"-{n}/64" for n in range(1, 41)]
    reporter.send("".join(f"{reading}\r" for reading in readings) + "q")
    assert reporter.wait_exit() == 3
    assert "".join(reporter.text()).endswith("taken: " + " ".join(readings))


def test_paste_arrives_in_one_piece(reporter: Terminal) -> None:
    reporter.paste("-3/8\n1/2\n")
    reporter.wait_for(r"paste '-3/8\r1/2\r'.")


def test_click_arrives_at_its_cell(reporter: Terminal) -> None:
    reporter.click(5, 1)
    reporter.wait_for("click 5 1.")


def test_resize_reaches_the_program_and_the_screen(reporter: Terminal) -> None:
    for columns, rows in [(60, 20), (200, 60), (80, 24)]:
        reporter.resize(columns, rows)
        reporter.wait_for(f"ready {columns} x {rows}")
        assert len(reporter.text()) == rows


def test_colours_of_a_cell_are_those_seen(reporter: Terminal) -> None:
    x, y = reporter.find("coloured")
    assert reporter.cell_colours(x, y) == ("000080", "ff8000")
    assert reporter.cell(x, y).data == "c"


def test_a_terminal_with_synchronized_output_is_used_so() -> None:
    with Terminal(REPORTER, replies=SYNCHRONIZED) as terminal:
        terminal.wait_for("ready")
        terminal.send("x")
        terminal.wait_for("key x")
        terminal.settle()
        assert any(b"\x1b[?2026h" in chunk.data for chunk in terminal.received)


def test_settle_waits_for_silence() -> None:
    with Terminal(["/bin/sh", "-c", "for n in 1 2 3 4 5; do echo $n; sleep 0.05; done; read line"]) as terminal:
        terminal.wait_for("1")
        terminal.settle(0.3)
        assert terminal.text()[:5] == ["1", "2", "3", "4", "5"]


def test_environment_and_folder(tmp_path: Path) -> None:
    os.environ["RODCALL_KIT"] = "outer"
    try:
        script = 'echo "$TERM ${RODCALL_KIT-unset} $PWD"; read line'
        with Terminal(
            ["/bin/sh", "-c", script], env={"TERM": "vt100", "RODCALL_KIT": None}, cwd=tmp_path, columns=200
        ) as terminal:
            terminal.wait_for(f"vt100 unset {tmp_path.resolve()}")
    finally:
        del os.environ["RODCALL_KIT"]


# -- ending ----------------------------------------------------------------------------------------------


def test_leaving_gives_status_and_terminal_back(reporter: Terminal) -> None:
    assert reporter.is_alternate_screen()
    assert reporter.left_behind() != []
    reporter.send("q")
    assert reporter.wait_exit() == 3
    assert not reporter.is_alternate_screen()
    assert reporter.left_behind() == []
    assert "ready" not in "".join(reporter.text())


def test_sigterm_handled_by_the_program_restores_the_terminal(reporter: Terminal) -> None:
    reporter.signal(signal.SIGTERM)
    assert reporter.wait_exit() == 128 + signal.SIGTERM
    assert reporter.left_behind() == []


def test_a_program_that_is_killed_leaves_its_marks(reporter: Terminal) -> None:
    reporter.signal(signal.SIGKILL)
    assert reporter.wait_exit() == -signal.SIGKILL
    left = "\n".join(reporter.left_behind())
    for trace in ("alternate screen left on", "cursor left off", "keyboard protocol pushed", "termios local"):
        assert trace in left


def test_a_closed_window_ends_the_program_by_sighup(reporter: Terminal) -> None:
    reporter.hang_up()
    assert reporter.wait_exit() == -signal.SIGHUP


def test_nothing_is_left_running_after_the_context() -> None:
    with Terminal(REPORTER) as terminal:
        terminal.wait_for("ready")
    with pytest.raises(ProcessLookupError):
        os.kill(terminal.process.pid, 0)


@pytest.mark.skipif(shutil.which("bash") is None, reason="job control of bash")
def test_suspend_and_foreground_in_a_shell_with_job_control() -> None:
    shell = ["bash", "--noprofile", "--norc", "-i"]
    with Terminal(shell, env={"PS1": "shell> "}) as terminal:
        terminal.wait_for("shell>")
        terminal.send(f"{shlex.join(REPORTER)}\n")
        terminal.wait_for("ready 80 x 24")
        terminal.keys("ctrl+z")
        terminal.wait_for("Stopped")
        assert not terminal.is_alternate_screen()
        terminal.send("fg\n")
        terminal.wait_for("ready 80 x 24")
        assert terminal.is_alternate_screen()
        terminal.send("q")
        terminal.wait_for(prompt_last)
        terminal.send("echo status $?\n")
        terminal.wait_for("status 3")


def prompt_last(lines: Lines) -> bool:
    written = [line for line in lines if line]
    return len(written) > 1 and written[-1] == "shell>" and any("taken:" in line for line in lines)


# -- tmux ------------------------------------------------------------------------------------------------


@needs_tmux
def test_tmux_keys_paste_and_status() -> None:
    with Tmux(REPORTER) as tmux:
        tmux.wait_for("ready 80 x 24")
        tmux.send("-3/8")
        tmux.keys("enter", "up")
        tmux.wait_for("key up")
        tmux.wait_for("1 lines, then ''")
        tmux.paste("1/2\n1/4")
        tmux.wait_for(r"paste '1/2\r1/4'.")
        with pytest.raises(ScreenTimeoutError, match=re.escape("|ready 80 x 24")):
            tmux.wait_for("absent", timeout=0.1)
        tmux.send("q")
        assert tmux.wait_exit() == 3
        assert any("taken: -3/8" in line for line in tmux.text())


@needs_tmux
def test_tmux_server_is_gone_after_the_context() -> None:
    with Tmux(REPORTER) as tmux:
        tmux.wait_for("ready")
    with pytest.raises(RuntimeError, match="tmux capture-pane"):
        tmux.text()
