"""What crews really run: whole sessions of the program in a real terminal, keyed as they are called out."""

from __future__ import annotations

import json
import shlex
import signal
import time
from pathlib import Path

import pytest

from rodcall.book.model.entries import LeaveOut, Shot, Strike, Target
from rodcall.tui.bindings.actions import SHOT_GRID
from rodcall.units import INCH, Unit, parse_height, write

from .crew import (
    PATIENCE,
    READ_BACK,
    RODCALL,
    Crew,
    Hands,
    a_file,
    entries,
    figures,
    numbers,
    prompt_of_shell,
    shots,
    snake,
)
from .keys import Keypad
from .screen import Lines
from .tmux_terminal import Tmux, needs_tmux

pytestmark = [pytest.mark.terminal, pytest.mark.usefixtures("unasked")]

MENU = [action.id for action in SHOT_GRID if action.id != "menu"]


def by_pad(keypad: Keypad) -> Hands:
    """A numeric keypad's hands: `+` begins a job, `/` undoes, the menu has the rest by number."""
    number = {action: f"*{MENU.index(action) + 1}\r" for action in ("leave_out", "leave")}
    return Hands("+", "/", number["leave_out"], number["leave"], "-", keypad)


HANDS = {"letters": Hands(), **{keypad.name: by_pad(keypad) for keypad in Keypad}}
CALLED = ["0", "-3/8", "-1/2", "-3/8", "rut", "-1/4", "-1", "-3/4", "+1/8", "-5/8", "-1/2", "0"]
"""What the helper calls, in walking order; the fourth is typed without its sign."""


def new_job(crew: Crew) -> None:
    """Fill in the form: 60 x 40 ft, 4 along, 3 across; the rest has an answer already."""
    crew.sees("No job yet")
    crew.key(crew.hands.new)
    crew.sees("new job")
    crew.key("\r\r\r\r\r60\r40\r4\r3\r" + "\r" * 6)
    crew.sees("BEGIN THE JOB_")
    crew.key("\r")
    crew.sees("next A1")


def shoot_the_pad(crew: Crew) -> None:
    """All twelve spots: one wrong and undone, one unsigned, one rut."""
    walk = [*snake(4, 3), "A4"]
    for at, (said, spot, following) in enumerate(zip(CALLED, walk, walk[1:], strict=False)):
        if spot == "C1":
            crew.shoot("-9", "C2")
            crew.key(crew.hands.undo)
            crew.sees("next C1")
        if said == "rut":
            crew.key(crew.hands.leave_out)
            crew.answer("1 rut or pile, left out", "1\r")
            crew.sees(f"next {following}")
        elif at == 3:
            crew.key(f"{said.lstrip('-')}\r")
            crew.answer("HIGH or LOW", "-")
            crew.sees(f"next {following}")
        else:
            crew.shoot(said, following)


@pytest.mark.parametrize("hands", HANDS.values(), ids=HANDS)
def test_a_pad_from_the_list_to_the_file_and_back(home: Path, hands: Hands) -> None:
    with Crew(hands=hands) as crew:
        new_job(crew)
        shoot_the_pad(crew)
        crew.sees_saved("11 of 12")
        before = crew.numbers
        crew.key(hands.leave_job)
        crew.sees("11 of 12")
        path = next((home / "jobs").glob("*.json"))
        crew.key("\r")
        crew.sees(lambda lines: numbers(lines) == before)
        crew.key(hands.leave_job)
        crew.sees("11 of 12")
        crew.key(hands.leave_list)
        assert crew.ended() == 0
    kinds = [type(entry) for entry in entries(path)]
    assert (kinds.count(Shot), kinds.count(Strike), kinds.count(LeaveOut)) == (12, 1, 1)
    told = figures(path)
    expected = dict(zip(snake(4, 3), CALLED, strict=True))
    assert expected.pop("B2") == "rut"
    assert told["heights_mm"] == {
        at: parse_height(said, Unit.IN) / 1e6 for at, said in sorted(expected.items(), key=lambda each: each[0][::-1])
    }
    # By hand: 34 eighths low over 11 spots. An eighth lower -1 on the half inch is too far down, -3/4 is not.
    assert told["average_mm"] == pytest.approx(-34 / 8 / 11 * 25.4)
    assert told["suggested_target_mm"] == pytest.approx(-0.75 * 25.4)
    assert {"average -3/8", "target -3/4 ?"} <= set(before)
    assert "out of tolerance 0 of 11" in before, "existing ground is out of no suggestion"
    assert told["left_out"] == ["B2"]
    assert told["missing"] == []


def test_a_normal_shot_costs_its_characters_and_one_enter(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    walk = snake(4, 3)
    said = ["-3/8", "+1-1/2", "0", "-.5", "h1/4", "g", "-1-3/8", "-12mm", "+2", "-1/8", "-1", "0"]
    with Crew(path, columns=60, rows=20) as crew:
        crew.sees("next A1")
        sent = crew.bytes_sent
        for reading, following in zip(said, walk[1:], strict=False):
            crew.shoot(reading, following)
        crew.key(f"{said[-1]}\r")
        assert crew.bytes_sent - sent == sum(map(len, said)) + len(said)
        crew.sees_saved("ALL SHOT")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == list(zip(walk, said, strict=False))


def test_forty_readings_typed_ahead_are_forty_right(tmp_path: Path) -> None:
    path = a_file(tmp_path, along=8, across=5)
    said = [f"{'-' if at % 3 else '+'}{at}-3/8" for at in range(1, 41)]
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.terminal.send("".join(f"{reading}\r" for reading in said))
        crew.sees_saved("40 of 40")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == list(zip(snake(8, 5), said, strict=True))


def test_what_is_typed_ahead_of_a_question_does_not_answer_it(tmp_path: Path) -> None:
    """`3/8` has no sign; the `-` of the next reading must not become its answer."""
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.terminal.send("3/8\r-1/2\r+1\r")
        crew.answer("HIGH or LOW", "h")
        crew.sees_saved("next C2")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == [("A1", "3/8h"), ("B1", "-1/2"), ("C1", "+1")]


HELD = """
import sys, time
from rodcall.tui import show
from rodcall.tui.shot_grid.session import ShotSession
written = ShotSession.written
def hold(session, change, *others, **named):
    answer = written(session, change, *others, **named)
    if change.line.index == 2:
        time.sleep(0.5)
    return answer
ShotSession.written = hold
sys.exit(show(sys.argv[1]))
"""
"""The program, whose event loop stands still for half a second once the third reading is written."""


def test_twelve_readings_while_the_program_is_held_are_twelve_right(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    said = [f"-{at}-1/8" for at in range(1, 13)]
    with Crew(path, command=(RODCALL[0], "-c", HELD)) as crew:
        crew.sees("next A1")
        for character in "".join(f"{reading}\r" for reading in said):
            crew.terminal.send(character)
            time.sleep(0.03)
        crew.sees_saved("12 of 12")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == list(zip(snake(4, 3), said, strict=True))


def test_suspended_and_brought_back(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    shell = ("bash", "--norc", "--noprofile", "-i")
    with Crew(command=shell, env={"PS1": "shell>", "HISTFILE": None}) as crew:
        crew.sees(prompt_of_shell)
        crew.terminal.send(f"{shlex.join([*RODCALL, str(path)])}\r")
        crew.sees("next A1")
        crew.shoot("-1/2", "B1")
        crew.terminal.send("\x1a")
        crew.sees(prompt_of_shell)
        crew.terminal.send("fg\r")
        crew.sees("next B1")
        crew.shoot("-1/4", "C1")
        crew.key("q")
        crew.sees(prompt_of_shell)
        crew.terminal.send("exit\r")
        assert crew.ended() == 0
    assert shots(path) == [("A1", "-1/2"), ("B1", "-1/4")]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_closed_window_saves_and_restores_the_terminal(tmp_path: Path, number: signal.Signals) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.shoot("-1/2", "B1")
        crew.terminal.signal(number)
        assert crew.ended() == 128 + number
    assert shots(path) == [("A1", "-1/2")]


def test_what_was_called_saved_is_there_after_kill_nine(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.key("-1/2\r")
        crew.sees_saved("next B1")
        crew.terminal.kill()
    with Crew(path) as crew:
        crew.sees("next B1")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == [("A1", "-1/2")]


def test_the_target_page_the_grid_the_shell_and_the_file_agree(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.terminal.send("".join(f"-{at}/8\r" for at in (1, 3, 5, 7, 1, 3, 5, 7, 1, 3, 5, 7)))
        crew.sees("12 of 12")
        crew.key("t")
        crew.sees("HERE")
        # The average is 1/2 in low, and 1/8 in lower at least lies -3/4; the steps from there are the halves.
        crew.terminal.keys("down", "down")
        crew.sees('UP 1-1/2"')
        crew.terminal.settle(READ_BACK, PATIENCE)
        page = crew.terminal.text()
        crew.key("\r")
        crew.sees_saved("verdict")
        shown = crew.numbers
        crew.terminal.kill()
    [target] = [entry for entry in entries(path) if isinstance(entry, Target)]
    told = figures(path)
    assert target.offset_nm == round(told["target"]["offset_mm"] * 1e6)
    assert told["target"]["chosen"]
    # The spots 1/8 and 3/8 in low are more than the tolerance of 1 in above it, in each of three runs.
    assert (target.offset_nm, len(told["outside"])) == (-INCH * 3 // 2, 6)
    assert f"target {write(target.offset_nm, Unit.IN)}" in shown
    assert f"out of tolerance {len(told['outside'])} of {told['counted']}" in shown
    cut, fill = (told[key] / 0.764554857984 for key in ("cut_m3", "fill_m3"))
    assert f"cut / fill {cut:.1f} / {fill:.1f} yd3" in shown
    assert {label: here(page, label) for label in ("height", "spots out", "cut", "fill")} == {
        "height": write(target.offset_nm, Unit.IN),
        "spots out": str(len(told["outside"])),
        "cut": f"{cut:.1f} yd3",
        "fill": f"{fill:.1f} yd3",
    }


def here(page: Lines, label: str) -> str:
    """What the target page says of the target where it is now: its last column."""
    (row,) = [row for row in page if row.startswith(f" {label}  ")]
    return " ".join(row.split("  ")[-1].split())


def test_resized_at_any_moment(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.terminal.send("-1")
        for columns, rows in ((60, 20), (1, 1), (2, 3), (200, 60), (20, 5), (80, 24)):
            crew.terminal.resize(columns, rows)
            crew.terminal.settle(0.15, PATIENCE)
        crew.sees("next A1, the zero > -1_")
        crew.shoot("/2", "B1")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == [("A1", "-1/2")]


@pytest.mark.parametrize("term", ["xterm-256color", "xterm", "linux", "screen", "vt100", "dumb", "NO_COLOR"])
def test_terminals_of_every_kind(tmp_path: Path, term: str) -> None:
    path = a_file(tmp_path)
    env = {"TERM": "xterm", "NO_COLOR": "1"} if term == "NO_COLOR" else {"TERM": term, "COLORTERM": None}
    with Crew(path, env=env) as crew:
        crew.sees("next A1")
        crew.shoot("-1/2", "B1")
        crew.sees_saved("average")
        crew.key("q")
        assert crew.terminal.wait_exit(PATIENCE) == 0
    assert shots(path) == [("A1", "-1/2")]


def test_five_pasted_lines_are_offered_and_taken(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Crew(path) as crew:
        crew.sees("next A1")
        crew.terminal.paste("-1/2\n-1/4\n0\n+1/8\n-1\n")
        crew.answer("5 readings for A1 to B2", "\r")
        crew.sees_saved("next A2")
        crew.key("q")
        assert crew.ended() == 0
    assert [said for _, said in shots(path)] == ["-1/2", "-1/4", "0", "+1/8", "-1"]


@needs_tmux
def test_inside_tmux(tmp_path: Path) -> None:
    path = a_file(tmp_path)
    with Tmux([*RODCALL, str(path)]) as tmux:
        tmux.wait_for("next A1", PATIENCE)
        tmux.send("-1/2")
        tmux.keys("Enter")
        tmux.wait_for("next B1", PATIENCE)
        tmux.send("q")
        assert tmux.wait_exit(PATIENCE) == 0
    assert shots(path) == [("A1", "-1/2")]


def test_a_job_that_cannot_be_opened_is_one_line(tmp_path: Path) -> None:
    path = tmp_path / "broken.json"
    path.write_text(json.dumps({"format": "something"}))
    with Crew(path) as crew:
        crew.sees("not a job file")
        assert crew.terminal.wait_exit(PATIENCE) == 2
