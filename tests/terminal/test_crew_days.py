"""Three crews' days in a real terminal, with the trouble that a day brings, each to PASS; every key is counted.

Each goes by what the screen says only: a key is struck once the entry line asks for it. What must come out is worked
out here by hand, in marks of the crew's rod.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from .crew import Crew, Hands, figures
from .days import LETTERS, NUMBERS, READINGS, Day, says_pass, verdict
from .keys import Keypad

pytestmark = pytest.mark.terminal
SIZES = pytest.mark.parametrize(("columns", "rows"), [(80, 24), (60, 20)], ids=["80x24", "60x20"])
"""The screen that is designed for, and the smallest that must be legible."""

# -- inches, heights said directly: 4 across, 5 along, three rounds ---------------------------------------------

EXISTING = {
    "A1": 0, "B1": -3, "C1": -4, "D1": -7,
    "D2": -10, "C2": -7, "B2": None, "A2": -4,
    "A3": -6, "B3": -9, "C3": -11, "D3": -12,
    "D4": -16, "C4": -13, "B4": -11, "A4": -10,
    "A5": -13, "B5": -14, "C5": -17, "D5": -18,
}  # fmt: skip
"""Eighths of an inch above the zero as the helper walks: a rut at B2."""
WORKING = {
    "D5": -13, "C5": -12, "B5": -13, "A5": -11,
    "A4": -12, "B4": -11, "C4": -13, "D4": -12,
    "D3": -10, "C3": -12, "B3": -11, "A3": -12,
    "A2": -11, "B2": -11, "C2": -9, "D2": -7,
    "D1": -3, "C1": -7, "B1": -10, "A1": -11,
}  # fmt: skip
"""The second round begins where the helper stands. The rut is filled; the corner at D1 still wants digging."""
FINAL = {
    "A1": -12, "B1": -13, "C1": -12, "D1": -12,
    "D2": -11, "C2": -12, "B2": -12, "A2": -13,
    "A3": -12, "B3": -11, "C3": -12, "D3": -13,
    "D4": -12, "C4": -12, "B4": -11, "A4": -12,
    "A5": -13, "B5": -12, "C5": -12, "D5": -11,
}  # fmt: skip
EIGHTH_MM = Fraction(254, 80)
"""25.4 mm over 8."""
TARGET = -12
"""The highest half inch at least 1/8 in below the average of -185/19 eighths: -10.74, so -1-1/2 in."""


def inches(eighths: int) -> str:
    """A height as it is keyed: `-1-3/8`, `+1/2`, `0`."""
    if eighths == 0:
        return "0"
    whole, rest = divmod(abs(eighths), 8)
    part = str(Fraction(rest, 8)) if rest else ""
    return ("-" if eighths < 0 else "+") + "-".join(filter(None, [str(whole) if whole else "", part]))


def keyed(readings: list[str]) -> int:
    """Characters and one Enter each."""
    return sum(len(said) + 1 for said in readings)


@SIZES
def test_inches_with_a_rut_a_misread_foot_and_a_bumped_tripod(home: Path, columns: int, rows: int) -> None:
    with Crew(columns=columns, rows=rows) as crew:
        day = Day(crew, LETTERS)
        begin_in_inches(day)
        existing_in_inches(day)
        working_in_inches(day)
        final_in_inches(day)
        prove_and_leave(day)
        assert crew.ended() == 0
    (path,) = (home / "jobs").glob("*.json")
    assert verdict(path) == (0, "PASS")
    as_worked_by_hand(path, FINAL, TARGET, EIGHTH_MM)
    existing = [eighths for eighths in EXISTING.values() if eighths is not None]
    assert figures(path, "--round", "1")["average_mm"] == pytest.approx(
        float(sum(existing) * EIGHTH_MM / len(existing))
    )
    rounds = [*existing, *WORKING.values(), *FINAL.values()]
    assert day.keys[READINGS] == keyed([inches(eighths) for eighths in rounds])
    assert day.times[READINGS] == 59
    # `o`, Enter.
    assert day.keys["rut left out"] == 2
    # The wrong reading, and `=`.
    assert day.keys["one foot misread"] == keyed([MISREAD]) + 1
    # `c`, Enter, what BM1 reads; the same again, levelled, good: the line names BM1. Then the first readings of four.
    bumped = [inches(WORKING[spot] + BUMP) for spot in SUSPECTS]
    assert day.keys["bumped tripod"] == 2 + keyed(["+2-3/8", "+2-3/8", "+2"]) + keyed(bumped)
    assert sum(day.keys.values()) == day.pressed
    in_the_table(day.rows("inches, three rounds"))


BUMP = 3
"""Eighths by which all reads higher once the tripod was bumped: more than twice the 1/8 in allowed."""
SUSPECTS = ("A3", "A2", "B2", "C2")
"""Shot between the bump and the check, in the order shot and named."""
MISREAD = "-13-5/8"
"""C4: -1-5/8, a foot lower."""


def begin_in_inches(day: Day) -> None:
    day.asked_for("No job yet")
    day.key("job set up", day.command["new"])
    day.fill_in({"pad length": "40", "pad width": "30", "shots along": "5", "shots across": "4"})


def existing_in_inches(day: Day) -> None:
    for spot, eighths in EXISTING.items():
        if eighths is None:
            day.asked("rut left out", f"next {spot}", day.command["leave_out"])
            day.asked("rut left out", f"{spot}: 1 rut or pile, left out", "\r")
        elif spot == "C4":
            day.shoot(spot, MISREAD, "one foot misread")
            day.told("= reads C4 again.")
            day.key("one foot misread", day.command["again"])
            day.shoot(spot, inches(eighths), prompt="read {spot} again")
        else:
            day.shoot(spot, inches(eighths))
    day.asked("target chosen", "ALL SHOT   t chooses the target", day.command["target"])
    day.asked_for("Enter uses this")
    day.key("target chosen", "\r")
    refer_and_check(day, "+2", "nail in the oak post")


def working_in_inches(day: Day) -> None:
    begin_round(day, "ALL SHOT   dig, worst A1 cut 1-1/2; then r begins a round", "1")
    readings = {spot: inches(eighths) for spot, eighths in WORKING.items()}
    day.walk(readings, end="B3")
    check(day, "+2", prompt="next A3")
    for spot in SUSPECTS:
        day.shoot(spot, inches(WORKING[spot] + BUMP), "bumped tripod")
    day.asked("bumped tripod", "next D2", day.command["check"])
    day.asked("bumped tripod", "check: rod on which reference?", "\r")
    day.asked("bumped tripod", "check BM1: what does the helper call now?", "+2-3/8\r")
    day.asked("bumped tripod", "BAD CHECK: read BM1 again, do not touch the level", "+2-3/8\r")
    day.asked("bumped tripod", "LEVEL IT, then check BM1", "+2\r")
    for at, spot in enumerate(SUSPECTS):
        day.shoot(spot, readings[spot], prompt=f"shoot {{spot}} again, {len(SUSPECTS) - at} suspect left")
    day.walk(readings, start="D2")
    check(day, "+2")


def final_in_inches(day: Day) -> None:
    begin_round(day, "ALL SHOT   dig, worst D1 cut 1-1/8; then r begins a round", "2")
    day.walk({spot: inches(eighths) for spot, eighths in FINAL.items()})
    check(day, "+2")


# -- feet and hundredths, off a plain rod: 3 across, 5 along, a line of levels --------------------------------------

EXISTING_FT = {
    "A1": 0, "B1": -4, "C1": -9,
    "C2": -13, "B2": -11, "A2": -7,
    "A3": -12, "B3": -15, "C3": -20,
    "C4": -23, "B4": -19, "A4": -15,
    "A5": -18, "B5": -23, "C5": -27,
}  # fmt: skip
"""Hundredths of a foot above the zero."""
FINAL_FT = {
    "C5": -21, "B5": -20, "A5": -19,
    "A4": -20, "B4": -22, "C4": -21,
    "C3": -20, "B3": -19, "A3": -20,
    "A2": -18, "B2": -20, "C2": -21,
    "C1": -20, "B1": -19, "A1": -19,
}  # fmt: skip
HUNDREDTH_MM = Fraction(3048, 1000)
TARGET_FT = -20
FIRST, SETTLED, LEVELLED, SECOND = 622, 618, 610, 477
"""Height of the instrument above the zero: BM1 +1.20 and its backsight 5.02; settled by 0.04, twice the 0.01 allowed
and more; levelled anew, backsight 4.90; and after the turning point, 6.10 - 7.35 + 6.02."""
FROM_SETTLED = tuple(FINAL_FT)[:8]
"""Shot before the check found the tripod settled."""


def feet(hundredths: int) -> str:
    """A rod reading as it is keyed: `6.22`."""
    return f"{hundredths / 100:.2f}"


@SIZES
def test_feet_off_a_rod_with_a_settled_tripod_and_a_turning_point(home: Path, columns: int, rows: int) -> None:
    with Crew(columns=columns, rows=rows) as crew:
        day = Day(crew, LETTERS)
        begin_in_feet(day)
        existing_in_feet(day)
        final_in_feet(day)
        prove_and_leave(day)
        assert crew.ended() == 0
    (path,) = (home / "jobs").glob("*.json")
    assert verdict(path) == (0, "PASS")
    as_worked_by_hand(path, FINAL_FT, TARGET_FT, HUNDREDTH_MM)
    told = figures(path)
    # BM2 is +0.85; 4.77 - 3.93 = 0.84.
    (line,) = [run for run in told["levels"] if run["closes_on"] == "BM2"]
    assert line["misclosure_mm"] == pytest.approx(float(-HUNDREDTH_MM))
    assert line["page_check"]
    existing = figures(path, "--round", "1")
    assert existing["average_mm"] == pytest.approx(float(sum(EXISTING_FT.values()) * HUNDREDTH_MM / 15))
    # All are read as four characters and Enter.
    assert day.keys[READINGS] == 30 * 5
    # `c`, Enter, 4.98; the same again; levelled, a backsight: the line names BM1. Then the first readings of eight.
    assert day.keys["settled tripod"] == 2 + 3 * 5 + 8 * 5
    # `b`, TP1, 1 and Enter, what it reads, Enter for no words; the tripod moves; `s`, 1 and Enter, Enter for TP1,
    # what it reads. A digit alone could begin a reading.
    assert day.keys["turning point"] == (1 + 4 + 2 + 5 + 1) + (1 + 2 + 1 + 5)
    # `c`, Enter, what BM2 reads.
    assert day.keys["line closed"] == 2 + 5
    assert sum(day.keys.values()) == day.pressed
    in_the_table(day.rows("feet off a rod, two rounds"))


def begin_in_feet(day: Day) -> None:
    day.asked_for("No job yet")
    day.key("job set up", day.command["new"])
    size = {"pad length": "40", "pad width": "30", "shots along": "5", "shots across": "3"}
    day.fill_in({"heights in": "2", "readings are": "2", **size})
    day.asked("reference", "backsight: rod on ZERO", day.command["reference"])
    refer(day, "BM1", "+1.2", "hydrant")
    day.asked("backsight", "backsight: rod on BM1", "5.02\r")


def existing_in_feet(day: Day) -> None:
    day.walk({spot: feet(FIRST - hundredths) for spot, hundredths in EXISTING_FT.items()})
    day.asked("target chosen", "ALL SHOT   t chooses the target", day.command["target"])
    day.asked_for("Enter uses this")
    day.key("target chosen", "-.2\r")
    check(day, "5.02")


def final_in_feet(day: Day) -> None:
    begin_round(day, "ALL SHOT   dig, worst A1 cut 0.20; then r begins a round", "2")
    for spot in FROM_SETTLED:
        day.shoot(spot, feet(SETTLED - FINAL_FT[spot]), "settled tripod")
    day.asked("settled tripod", "next A3", day.command["check"])
    day.asked("settled tripod", "check: rod on which reference?", "\r")
    day.asked("settled tripod", "check BM1: what does the rod read?", "4.98\r")
    day.asked("settled tripod", "BAD CHECK: read BM1 again, do not touch the level", "4.98\r")
    day.asked("settled tripod", "LEVEL IT, then backsight: rod on BM1", "4.90\r")
    for at, spot in enumerate(FROM_SETTLED):
        left = f"shoot {{spot}} again, {len(FROM_SETTLED) - at} suspect left"
        day.shoot(spot, feet(LEVELLED - FINAL_FT[spot]), prompt=left)
    check(day, "4.90", prompt="next A3")
    day.asked("reference", "next A3", day.command["reference"])
    refer(day, "BM2", "+.85", "corner post", rod=True)
    turn(day)
    for spot in tuple(FINAL_FT)[8:]:
        day.shoot(spot, feet(SECOND - FINAL_FT[spot]))
    day.asked("line closed", "ALL SHOT   c checks BM2", day.command["check"])
    day.asked("line closed", "check: rod on which reference?", "\r")
    day.asked("line closed", "check BM2: what does the rod read?", "3.93\r")
    day.told("BM2 reads 0.01 LOW, good")


def turn(day: Day) -> None:
    """A turning point, and the tripod past it."""
    day.asked("turning point", "next A3", day.command["reference"])
    day.asked("turning point", "reference: its name", "TP1\r")
    day.asked("turning point", "TP1: 1 read it with the rod now   2 type its height", "1\r")
    day.asked("turning point", "TP1: what does the rod read on it now?", "7.35\r")
    day.asked("turning point", "TP1: where is it?", "\r")
    day.asked("turning point", "next A3", day.command["setup"])
    day.asked("turning point", "which rod?  1 plain", "1\r")
    day.asked("turning point", "plain rod: rod on which reference?", "\r")
    day.asked("turning point", "TP1: what does the rod read?", "6.02\r")


# -- millimetres on a slope, an L-shaped pad, the numeric pad alone: 4 across, 5 along ------------------------------

ABOVE_SLOPE = {
    "A1": 0, "B1": -4, "C1": -7, "D1": -9,
    "D2": -12, "C2": -8, "B2": -5, "A2": -3,
    "A3": -2, "B3": -6, "C3": -8, "D3": -11,
    "B4": -7, "A4": -4,
    "A5": -3, "B5": -7,
}  # fmt: skip
"""Existing ground in millimetres above a plane that falls 1 % away from A1; C4 to D5 are no part of the pad."""
FINAL_ABOVE_SLOPE = {
    "B5": -10, "A5": -12,
    "A4": -8, "B4": -10,
    "D3": -9, "C3": -11, "B3": -13, "A3": -10,
    "A2": -9, "B2": -10, "C2": -12, "D2": -10,
    "D1": -8, "C1": -11, "B1": -10, "A1": -9,
}  # fmt: skip
TARGET_MM = -10
"""The highest 10 mm at least 3 mm below the mean above the slope, which is -96/16 = -6."""
FALL_MM = 30
"""From line to line: 12 m in four steps of 3 m, at 1 %."""
BY_MISTAKE = "-2"
"""Typed for D3 and undone: -71 is right, and -2 is plausible to nobody."""


def down_the_slope(above: dict[str, int]) -> dict[str, int]:
    """Heights above the zero from heights above the slope."""
    return {spot: mm - FALL_MM * (int(spot[1:]) - 1) for spot, mm in above.items()}


def millimetres(mm: int) -> str:
    """A height as it is keyed: `-42`."""
    return f"{mm:+d}" if mm else "0"


@SIZES
def test_millimetres_on_a_slope_with_a_corner_that_is_not_pad_by_the_numeric_pad(
    home: Path, columns: int, rows: int
) -> None:
    with Crew(hands=Hands(keypad=Keypad.KITTY), columns=columns, rows=rows) as crew:
        day = Day(crew, NUMBERS)
        begin_in_millimetres(day)
        existing_in_millimetres(day)
        final_in_millimetres(day)
        prove_and_leave(day)
        assert crew.ended() == 0
    (path,) = (home / "jobs").glob("*.json")
    assert verdict(path) == (0, "PASS")
    final = down_the_slope(FINAL_ABOVE_SLOPE)
    as_worked_by_hand(path, final, TARGET_MM, Fraction(1), fall=FALL_MM)
    told, first = figures(path), figures(path, "--round", "1")
    assert (told["target"]["along"], told["target"]["across"]) == (pytest.approx(-0.01), 0.0)
    existing = down_the_slope(ABOVE_SLOPE)
    assert first["average_mm"] == pytest.approx(sum(existing.values()) / len(existing))
    assert told["not_pad"] == ["C4", "D4", "C5", "D5"]
    said = [millimetres(mm) for mm in (*existing.values(), *final.values())]
    # The sign of one is keyed as the answer to a question instead of before it.
    assert day.keys[READINGS] == keyed(said) - 1
    assert day.keys["sign asked for"] == 1
    assert day.keys["mistyped, cleared"] == len("-7/") + 1
    assert day.keys["undone"] == keyed([BY_MISTAKE]) + 1
    # The menu and its number, 4 and Enter, the other corner and Enter.
    assert day.keys["corner not pad"] == len(NUMBERS["leave_out"]) + 2 + 4
    assert sum(day.keys.values()) == day.pressed
    in_the_table(day.rows("millimetres, numeric pad"))


def begin_in_millimetres(day: Day) -> None:
    day.asked_for("No job yet")
    day.key("job set up", day.command["new"])
    day.fill_in({"heights in": "3", "pad length": "12", "pad width": "9", "shots along": "5", "shots across": "4"})


def existing_in_millimetres(day: Day) -> None:
    existing = down_the_slope(ABOVE_SLOPE)
    for spot, mm in existing.items():
        if spot == "B1":
            day.asked("mistyped, cleared", "next B1", "-7/")
            day.asked("mistyped, cleared", "next B1, 3.00 m right from A1 > -7/", "*")
        if spot == "B4":
            day.asked("corner not pad", "next D4", day.command["leave_out"])
            day.asked("corner not pad", "D4: 1 rut or pile, left out", "4\r")
            day.asked("corner not pad", "not pad from D4 to which corner?", "3.5\r")
        if spot == "D3":
            day.shoot(spot, BY_MISTAKE, "undone")
            day.asked("undone", "next D4", day.command["undo"])
        day.shoot(spot, millimetres(mm))
    day.asked("target chosen", "ALL SHOT   t chooses the target", day.command["target"])
    day.asked_for("Enter uses this")
    day.key("target chosen", day.command["slopes"])
    day.asked_for("slope away (Enter +0.00%)")
    day.key("target chosen", "-1/100\r")
    day.asked_for("slope to the right (Enter +0.00%)")
    day.key("target chosen", "\r")
    day.asked_for("Enter uses this")
    day.key("target chosen", "\r")
    refer_and_check(day, "+150", "")


def final_in_millimetres(day: Day) -> None:
    begin_round(day, "ALL SHOT   dig; then r begins a round", "2")
    for spot, mm in down_the_slope(FINAL_ABOVE_SLOPE).items():
        if spot == "C3":
            day.shoot(spot, str(-mm))
            day.asked("sign asked for", f"C3 {-mm}: HIGH or LOW?", "-")
        else:
            day.shoot(spot, millimetres(mm))
    check(day, "+150")


# -- what all three do ------------------------------------------------------------------------------------------


def check(day: Day, said: str, reference: str = "BM1", prompt: str = "ALL SHOT   c checks BM1") -> None:
    """A check shot that finds nothing."""
    day.asked("check", prompt, day.command["check"])
    day.asked("check", "check: rod on which reference?", "\r")
    day.asked("check", f"check {reference}: what ", f"{said}\r")
    day.told(f"{reference} reads true, good")
    day.times["check"] += 1


def refer_and_check(day: Day, height: str, place: str) -> None:
    """BM1 is written as the first reference, where the screen says so, and checked."""
    day.told("b writes a reference off the pad")
    day.key("reference", day.command["reference"])
    refer(day, "BM1", height, place)
    check(day, height)


def refer(day: Day, name: str, height: str, place: str, *, rod: bool = False) -> None:
    """A benchmark of known height; where a rod stands set up, its height is typed and not read."""
    day.asked("reference", f"reference: its name (Enter: {name})", "\r")
    if rod:
        day.asked("reference", f"{name}: 1 read it with the rod now   2 type its height", "2\r")
    day.asked("reference", f"{name}: how high above the zero?", f"{height}\r")
    day.asked("reference", f"{name}: where is it?", f"{place}\r")
    day.times["reference"] += 1


def begin_round(day: Day, prompt: str, kind: str) -> None:
    """A new round, which the line asks for: 1 working, 2 final; Enter tells it from a reading."""
    day.asked("new round", prompt, day.command["round"])
    day.asked("new round", "new round, all positions again:  1 working   2 final", f"{kind}\r")
    day.times["new round"] += 1


def prove_and_leave(day: Day) -> None:
    """The panel says PASS; the sheets are written, and the book is left."""
    day.crew.sees(says_pass)
    day.asked("sheets and out", "ALL SHOT   a writes the as-built sheet", day.command["as_built"])
    day.told("Enter writes, i issues")
    day.key("sheets and out", "\r")
    day.told(".csv")
    day.key("sheets and out", day.command["close"])
    day.asked("sheets and out", "ALL SHOT", day.command["leave"])
    day.asked_for("rodcall: jobs in")
    day.key("sheets and out", day.command["leave_list"])


def as_worked_by_hand(path: Path, final: dict[str, int], target: int, mark_mm: Fraction, fall: int = 0) -> None:
    """The final round's figures from its readings in marks of the rod; nothing of the program works them out.

    Args:
        path: The job's file.
        final: Heights above the zero.
        target: At the zero.
        mark_mm: Millimetres of a mark.
        fall: Of the target from line to line away from the zero.
    """
    told = figures(path)
    assert (told["kind"], told["verdict"], told["punch_list"], told["next"]["do"]) == ("final", "PASS", [], "sign")
    assert told["target"]["chosen"]
    assert told["target"]["offset_mm"] == pytest.approx(float(target * mark_mm))
    assert told["average_mm"] == pytest.approx(float(sum(final.values()) * mark_mm / len(final)))
    assert told["heights_mm"] == pytest.approx({spot: float(marks * mark_mm) for spot, marks in final.items()})
    assert told["deviations_mm"] == pytest.approx(
        {spot: float((marks - target + fall * (int(spot[1:]) - 1)) * mark_mm) for spot, marks in final.items()}
    )
    assert told["outside"] == told["suspect"] == told["missing"] == told["busts"] == []


def in_the_table(rows: list[str]) -> None:
    """Each row stands in tests/benchmarks/FIGURES.md as it was counted."""
    print(*rows, sep="\n")
    page = (Path(__file__).parents[1] / "benchmarks" / "FIGURES.md").read_text("utf-8").splitlines()
    assert [row for row in rows if row not in page] == []
