"""Three whole jobs in a real terminal, from the empty list to PASS and the sheet: an L with a ramp, a crowned yard from
the office's files, and two pads of one site that share a benchmark, a check and dirt.

Each goes by what the screen says only. What must come out is worked out here by hand.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import pytest

from rodcall.book.storage.opening import open_job
from rodcall.tui.pages.facts_form import LABELS

from .crew import Crew, figures
from .days import FIELDS, LETTERS, Day, _is_field, verdict
from .test_crew_days import (
    begin_in_millimetres,
    begin_round,
    check,
    feet,
    millimetres,
    prove_and_leave,
    refer,
    refer_and_check,
)

pytestmark = pytest.mark.terminal

DOWN, TAB = "\x1b[B", "\t"


def sheet(home: Path, stem: str) -> str:
    """The as-built sheet as text, of all that was written beside a job."""
    (page,) = (home / "jobs").rglob(f"{stem}*.html")
    return page.read_text("utf-8")


# -- an L-shaped pad with a ramp ----------------------------------------------------------------------------

L_WALK = ("A1", "B1", "C1", "D1", "D2", "C2", "B2", "A2", "A3", "B3", "C3", "D3", "B4", "A4", "A5", "B5")
"""12 x 9 m, lines and columns 3 m apart; C4 to D5 are off the outline."""
RAMP = {1: 0, 2: 0, 3: 30, 4: 60, 5: 60}
"""Millimetres by line: up 60 mm from line 2 to line 4."""
GROUND = (0, -4, -7, 3, 5, -2, 4, -6, 35, 28, 33, 24, 66, 57, 61, 70)
OFF = (2, -3, 0, 4, -2, 1, 3, -4, 0, 2, -1, -3, 4, 1, -2, 0)
"""How far the final round lies above the ramp, which is 10 mm lower than A1 was."""


def test_an_l_shaped_pad_with_a_ramp(home: Path) -> None:
    with Crew() as crew:
        day = Day(crew, LETTERS)
        begin_in_millimetres(day)
        day.asked("outline", "next A1", day.command["leave_out"])
        day.asked("outline", "A1: 1 rut or pile, left out", "5\r")
        day.asked("outline", "outline: next corner", "a1 d1 d3 b3 b5 a5\r")
        day.asked("outline", "outline A1 D1 D3 B3 B5 A5: next corner, or Enter closes it", "\r")
        day.walk({spot: millimetres(mm) for spot, mm in zip(L_WALK, GROUND, strict=True)})
        day.asked("target", "ALL SHOT   t chooses the target", day.command["target"])
        day.asked_for("Enter uses this")
        day.key("target", "d")
        day.asked_for("design: 1 plane")
        day.key("target", "ramp A2 A4 60mm\r")
        day.asked_for("Enter uses this")
        day.key("target", "-10\r")
        refer_and_check(day, "+150", "post")
        begin_round(day, "ALL SHOT   dig", "2")
        final = {spot: RAMP[int(spot[1:])] - 10 + off for spot, off in zip(L_WALK, OFF, strict=True)}
        back = list(final)[::-1]
        day.walk({spot: millimetres(final[spot]) for spot in back})
        check(day, "+150")
        prove_and_leave(day)
        assert crew.ended() == 0
    (path,) = (home / "jobs").glob("*.json")
    assert verdict(path) == (0, "PASS")
    told = figures(path)
    # 6 x 9 m and 6 x 3 m.
    assert told["area_m2"] == pytest.approx(6 * 9 + 6 * 3)
    assert told["not_pad"] == ["C4", "D4", "C5", "D5"]
    assert told["heights_mm"] == pytest.approx(final)
    assert told["deviations_mm"] == pytest.approx(dict(zip(L_WALK, OFF, strict=True)))
    assert {each["plane"]: round(each["along"], 9) for each in told["planes"]} == {
        "foot of the ramp": 0.0,
        "ramp": 0.01,
        "head of the ramp": 0.0,
    }
    assert "ramp A2 A4 60mm" in sheet(home, path.stem)


# -- a crowned yard from the office's points file -----------------------------------------------------------

YARD_WALK = ("A1", "B1", "C1", "C2", "B2", "A2", "A3", "B3", "C3", "C4", "B4", "A4")
CROWN = {"A": -10, "B": 10, "C": -10}
"""Hundredths of a foot: 1 % from the middle of 40 ft to either side."""
YARD_GROUND = {"A": 0, "B": 16, "C": -3}
YARD_OFF = (1, -2, 0, 2, 1, -1, 0, -2, 1, 2, -1, 0)


def office_files(folder: Path) -> None:
    """The ground and the crown as points, the ground's file the newer one."""
    folder.mkdir(parents=True, exist_ok=True)
    for number, (name, heights) in enumerate((("crown.csv", CROWN), ("ground.csv", YARD_GROUND))):
        lines = ["point,north_ft,east_ft,height_ft,code"]
        for at, spot in enumerate(YARD_WALK):
            along, across = 20 * (int(spot[1]) - 1), 20 * "ABC".index(spot[0])
            lines.append(f"{101 + at},{along}.00,{across}.00,{heights[spot[0]] / 100:.2f},{name[:3]}")
        (folder / name).write_text("\n".join(lines), "utf-8")
        os.utime(folder / name, (1_700_000_000 + number, 1_700_000_000 + number))


def test_a_crowned_yard_from_the_offices_points_files(home: Path) -> None:
    office_files(home / "jobs")
    with Crew() as crew:
        day = Day(crew, LETTERS)
        day.asked_for("No job yet")
        day.key("job set up", day.command["new"])
        size = {"pad length": "60", "pad width": "40", "shots along": "4", "shots across": "3"}
        day.fill_in({"heights in": "2", **size})
        day.asked("files", "next A1", "<")
        day.asked_for("heights are readings of this round")
        day.told("ground.csv")
        day.key("files", "\r")
        day.asked_for("12 readings from ground.csv")
        day.key("files", "\r")
        day.asked("files", "ALL SHOT   t chooses the target", "<")
        day.asked_for("heights are readings of this round")
        day.key("files", "u")
        day.asked_for("heights are the existing ground")
        day.key("files", "u")
        day.asked_for("heights are the design to dig to")
        day.key("files", DOWN)
        day.told(">crown.csv")
        day.key("files", "\r")
        day.asked_for("target: a design by heights, 12 positions")
        day.key("files", "\r")
        refer_and_check(day, "+1.50", "hydrant")
        begin_round(day, "ALL SHOT   dig", "2")
        final = {spot: CROWN[spot[0]] + off for spot, off in zip(YARD_WALK, YARD_OFF, strict=True)}
        day.walk({spot: f"{final[spot] / 100:+.2f}" if final[spot] else "0" for spot in list(final)[::-1]})
        check(day, "+1.50")
        prove_and_leave(day)
        assert crew.ended() == 0
    (path,) = (home / "jobs").glob("*.json")
    assert verdict(path) == (0, "PASS")
    told, first = figures(path), figures(path, "--round", "1")
    assert first["heights_mm"] == pytest.approx({spot: YARD_GROUND[spot[0]] * 3.048 for spot in YARD_WALK})
    assert told["deviations_mm"] == pytest.approx(
        {spot: off * 3.048 for spot, off in zip(YARD_WALK, YARD_OFF, strict=True)}
    )
    assert told["design_mm"] == pytest.approx({spot: CROWN[spot[0]] * 3.048 for spot in YARD_WALK})
    assert told["design_ponds"] == []
    assert "read in from ground.csv as readings" in sheet(home, path.stem)


# -- two pads on one site -----------------------------------------------------------------------------------

CORNERS = ("A1", "B1", "B2", "A2")
SHED, TANK = (20, 22, 18, 20), (-20, -18, -21, -19)
"""Hundredths of a foot above a target of 0: dirt over here is short there."""
INSTRUMENT = 622
"""BM1 is 1.20 above the zero and its backsight 5.02."""
SIZE = {"pad length": "20", "pad width": "20", "shots along": "2", "shots across": "2"}
LIKE_FIELDS = (*FIELDS[:4], "site", *FIELDS[4:])


def fill_in(day: Day, fields: tuple[str, ...], answers: Mapping[str, str]) -> None:
    """Go through a form, Enter where nothing is typed."""
    for label in fields:
        day.crew.sees(lambda lines, label=label: any(_is_field(line, label) for line in lines))
        day.key("job set up", answers.get(label, "") + "\r")


def name_the_site(day: Day) -> None:
    """On the facts page, by two keys in turn: one and the same within no time is taken for a vibrating switch."""
    day.asked("site", "next A1", "e")
    day.asked_for("terms of the job")
    day.key("site", "f")
    day.asked_for("facts of the job")
    names = [*LABELS, "write"]
    for _ in range(names.index("site")):
        step(day)
    day.key("site", "Juniper farm")
    for _ in range(names.index("site"), len(names) - 1):
        step(day)
    day.told("WRITE THE CHANGES_")
    day.key("site", "\r")
    day.asked_for("terms of the job")
    day.key("site", "q")


def step(day: Day) -> None:
    day.steps = TAB if getattr(day, "steps", TAB) == DOWN else DOWN
    day.key("site", day.steps)


def existing(day: Day, above: tuple[int, ...]) -> None:
    day.walk({spot: feet(INSTRUMENT - each) for spot, each in zip(CORNERS, above, strict=True)})
    day.asked("target", "ALL SHOT   t chooses the target", day.command["target"])
    day.asked_for("Enter uses this")
    day.key("target", "0\r")


def final(day: Day, above: tuple[int, ...]) -> None:
    begin_round(day, "ALL SHOT   ", "2")
    day.walk({spot: feet(INSTRUMENT - each) for spot, each in zip(CORNERS[::-1], above[::-1], strict=True)})


def leave(day: Day) -> None:
    day.asked("out", "ALL SHOT", day.command["leave"])
    day.asked("out", "no check shot since the last shot", "q")
    day.asked_for("rodcall: jobs in")


def test_two_pads_share_a_benchmark_a_check_and_dirt(home: Path) -> None:
    with Crew() as crew:
        day = Day(crew, LETTERS)
        day.asked_for("No job yet")
        day.key("job set up", day.command["new"])
        fill_in(day, FIELDS, {"name": "Shed", "heights in": "2", "readings are": "2", **SIZE})
        day.asked("reference", "backsight: rod on ZERO", day.command["reference"])
        refer(day, "BM1", "+1.2", "hydrant")
        day.asked("backsight", "backsight: rod on BM1", "5.02\r")
        name_the_site(day)
        existing(day, SHED)
        leave(day)
        # The second pad begins like the first: its benchmark and the set-up that stands are there already.
        day.key("job set up", "l")
        day.told("new job like Shed")
        fill_in(day, LIKE_FIELDS, {"name": "Tank", **SIZE})
        existing(day, TANK)
        day.asked("site", "ALL SHOT", ":")
        day.told("site Juniper farm")
        day.told("BM1 +1.20: Shed, Tank")
        day.told("from Shed to Tank")
        day.key("site", "q")
        final(day, (1, -1, 0, 1))
        leave(day)
        day.told("NOT PROVEN, 1")
        day.key("jobs", DOWN + "\r")
        day.crew.sees(lambda lines: "Shed      round 1 existing" in lines[0])
        final(day, (0, 1, -1, 0))
        check(day, "5.02")
        # One check proves both: the site's page writes it into the other pad's book.
        day.asked("site", "ALL SHOT", ":")
        day.told("serves Tank too")
        day.key("site", "\r")
        day.told("1 check written")
        day.told("proves Shed, Tank")
        day.key("site", "q")
        prove_and_leave(day)
        assert crew.ended() == 0
    paths = {open_job(path, "reader").book.job.name: path for path in (home / "jobs").glob("*.json")}
    assert {name: verdict(path) for name, path in paths.items()} == {"Shed": (0, "PASS"), "Tank": (0, "PASS")}
    shed, tank = (open_job(paths[name], "reader").book for name in ("Shed", "Tank"))
    assert shed.job.site == tank.job.site == "Juniper farm"
    assert shed.page.references == tank.page.references
    assert tank.page.checks[0].entry.time == shed.page.checks[0].entry.time
    assert "PASS" in sheet(home, paths["Shed"].stem)
