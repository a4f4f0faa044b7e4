"""A whole pad by the numeric keypad alone, from the empty list to the as-built sheets: no letter, arrow or Esc.

What must come out is worked by hand, in eighths of an inch below the zero (25.4 / 8 = 3.175 mm).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.model.entries import LeaveOut, Reference, Shot, Strike, Target
from rodcall.tui.bindings.actions import NEW_JOB, SHOT_GRID, Action

from .crew import Crew, Hands, entries, figures, shots, snake
from .keys import Keypad

WALK = snake(4, 3)
EXISTING = dict(zip(WALK, (0, 2, 3, 4, None, 1, 2, 2, 5, 6, 3, 2), strict=True))
"""Eighths below the zero; the rut at B2 is left out."""
FINAL = dict(zip(reversed(WALK), (4, 5, 4, 3, 4, 4, 5, 3, 4, 4, 3, 4), strict=True))
"""The second round begins where the helper stands."""
CALLED = ("0", "-1/8", "-1/4", "-3/8", "-1/2", "-5/8", "-3/4")
EIGHTH_MM = 3.175


def command(wanted: str, actions: tuple[Action, ...] = SHOT_GRID) -> str:
    """A command by its number in the menu."""
    return f"*{[action.id for action in actions if action.id != 'menu'].index(wanted) + 1}\r"


def begin_the_job(crew: Crew) -> None:
    """60 x 40 ft, 4 x 3 shots; a length that was mistyped is emptied through the form's menu."""
    crew.sees("No job yet")
    crew.strike("+")
    crew.sees("new job")
    crew.strike("\r\r\r\r\r67" + command("clear", NEW_JOB) + "60\r40\r4\r3\r" + "\r" * 6)
    crew.sees("BEGIN THE JOB_")
    crew.strike("\r")
    crew.sees("next A1")


def write_the_reference(crew: Crew) -> None:
    """BM1, 2 in high, outside of the dig."""
    crew.strike(command("reference"))
    crew.answer("reference: its name", "\r")
    crew.answer("how high above the zero", "+2\r")
    crew.answer("where is it?", "\r")
    crew.sees("next A1")


def check_the_reference(crew: Crew) -> None:
    crew.strike(command("check"))
    crew.answer("(Enter: BM1)", "\r")
    crew.answer("what does the helper call now", "+2\r")
    crew.sees("check good")


def shoot_the_existing_ground(crew: Crew) -> None:
    """One reading mistyped, one undone, one left out, and one a foot off, which is read again."""
    for spot, following in zip(WALK, [*WALK[1:], ""], strict=True):
        eighths = EXISTING[spot]
        if spot == "B1":
            crew.strike("-7/")
            crew.sees("> -7/_")
            crew.strike("*")
            crew.sees("A1 > _")
        if spot == "C1":
            crew.shoot("-9", "C2")
            crew.strike("/")
            crew.sees("next C1")
        if eighths is None:
            crew.strike(command("leave_out"))
            crew.answer("1 rut or pile, left out", "1\r")
            crew.sees(f"next {following}")
        elif spot == "A4":
            crew.strike(f"{CALLED[eighths]}\r")
            crew.sees("ALL SHOT")
        elif spot == "B3":
            crew.shoot("+11-3/4", following)
            crew.strike(command("again"))
            crew.sees("read B3 again")
            crew.shoot(CALLED[eighths], following)
        else:
            crew.shoot(CALLED[eighths], following)
    crew.sees_saved("11 of 12")


def take_the_target_and_look_where_to_dig(crew: Crew) -> None:
    crew.strike(command("target"))
    crew.sees("HERE")
    crew.strike("\r")
    crew.sees_saved('UP 1/2"')
    crew.strike(command("dig"))
    # All of it lies within the tolerance of 1 in.
    crew.sees("nothing to dig")
    crew.strike("-")
    crew.sees("ALL SHOT")


def shoot_the_final_round(crew: Crew) -> None:
    """One reading without its sign, which is asked for."""
    crew.strike(command("round"))
    crew.answer("1 working   2 final", "2\r")
    crew.sees("next A4")
    spots = list(FINAL)
    for spot, following in zip(spots, [*spots[1:], "A1"], strict=True):
        if spot == "B2":
            crew.strike("3/8\r")
            crew.answer("HIGH or LOW", "-")
            crew.sees(f"next {following}")
        else:
            crew.shoot(CALLED[FINAL[spot]], following)
    crew.sees_saved("12 of 12")


@pytest.mark.parametrize("keypad", Keypad, ids=lambda keypad: keypad.name)
def test_a_whole_pad(home: Path, keypad: Keypad) -> None:
    with Crew(hands=Hands(keypad=keypad)) as crew:
        begin_the_job(crew)
        write_the_reference(crew)
        shoot_the_existing_ground(crew)
        check_the_reference(crew)
        take_the_target_and_look_where_to_dig(crew)
        shoot_the_final_round(crew)
        check_the_reference(crew)
        crew.strike(command("as_built"))
        crew.sees("PASS")
        crew.strike("\r")
        crew.sees(".csv")
        # From a page straight on to a command: nothing has to be closed first.
        crew.strike(command("leave"))
        crew.sees("12 of 12")
        crew.sees("rodcall: jobs in")
        crew.strike("-")
        assert crew.ended() == 0
    (path,) = (home / "jobs").glob("*.json")
    as_written(path)
    as_figured(path)
    as_on_the_sheets(path)


def as_written(path: Path) -> None:
    """Every reading at its place, the wrong ones too, struck or put right."""
    said = [(at, CALLED[eighths]) for at, eighths in EXISTING.items() if eighths is not None]
    said.insert(2, ("C1", "-9"))
    said.insert([at for at, _ in said].index("B3"), ("B3", "+11-3/4"))
    said += [(at, "3/8l" if at == "B2" else CALLED[eighths]) for at, eighths in FINAL.items()]
    assert shots(path) == said
    written = entries(path)
    struck = [entry.strikes for entry in written if isinstance(entry, Strike)]
    assert [entry.said for entry in written if isinstance(entry, Shot) and entry.number in struck] == ["-9", "+11-3/4"]
    assert [entry.position for entry in written if isinstance(entry, LeaveOut)] == ["B2"]
    assert [entry.name for entry in written if isinstance(entry, Reference)] == ["BM1"]
    assert [entry.offset_nm for entry in written if isinstance(entry, Target)] == [-12_700_000]


def as_figured(path: Path) -> None:
    first, final = figures(path, "--round", "1"), figures(path)
    assert (first["kind"], first["shot"], first["left_out"]) == ("existing", 11, ["B2"])
    # 0+2+3+4+1+2+2+5+6+3+2 = 30 eighths below, over 11.
    assert first["average_mm"] == pytest.approx(-30 / 11 * EIGHTH_MM)
    # The highest half inch that lies at least 1/8 in below -0.341 in: -1/2 in.
    assert final["target"] == {"offset_mm": -12.7, "along": 0.0, "across": 0.0, "chosen": True}
    assert (final["kind"], final["shot"], final["left_out"], final["missing"]) == ("final", 12, [], [])
    assert final["heights_mm"] == pytest.approx({at: -eighths * EIGHTH_MM for at, eighths in FINAL.items()})
    # 4+5+4+3+4+4+5+3+4+4+3+4 = 47 eighths below, over 12.
    assert final["average_mm"] == pytest.approx(-47 / 12 * EIGHTH_MM)
    assert final["deviations_mm"] == pytest.approx({at: (4 - eighths) * EIGHTH_MM for at, eighths in FINAL.items()})
    assert (final["outside"], final["suspect"], final["verdict"]) == ([], [], "PASS")
    assert [(check["reference"], check["state"]) for check in final["checks"]] == [("BM1", "good")] * 2


def as_on_the_sheets(path: Path) -> None:
    sheet = path.with_suffix(".txt").read_text("utf-8")
    for words in ("PASS", "BM1", "-1/2", "-5/8", "final"):
        assert words in sheet
    assert path.with_suffix(".pdf").read_bytes().startswith(b"%PDF")
    assert len(path.with_suffix(".csv").read_text("utf-8").splitlines()) > len(WALK)
