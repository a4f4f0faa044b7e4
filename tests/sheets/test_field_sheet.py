"""The blank sheet: in the order of the helper's feet, and what is pencilled in goes back in."""

from __future__ import annotations

import re

import pytest

from rodcall.book.model.entries import Readings, Walk
from rodcall.sheets.make import Output, SheetError, kind_of, make
from rodcall.units import INCH, MM, M, Unit
from tests.cli.kit import figures, on_disk, rodcall
from tests.sheets.kit import a_file, pdf, text_of

LINE = re.compile(r"^([A-Z]+\d+) ____ +# (\d+): (.*) out, (.*) right$", re.MULTILINE)


def lines_of(opened) -> str:
    return make(opened, ".txt", Output.BLANK).content.decode()


def test_positions_stand_in_walking_order_with_distances_to_tape():
    told = LINE.findall(lines_of(a_file(along=3, across=3)))
    assert [name for name, *_ in told] == ["A1", "B1", "C1", "C2", "B2", "A2", "A3", "B3", "C3"]
    assert [int(turn) for _, turn, *_ in told] == list(range(1, 10))
    # 60 x 40 ft: lines 30 ft apart, columns 20 ft.
    assert told[3][2:] == ("30' 0\"", "40' 0\"")


def test_the_pencilled_sheet_goes_back_in(tmp_path):
    """Every blank filled in with a reading, on another day, gives that reading at that position."""
    path = tmp_path / "pad.json"
    rodcall("new", path, "--name", "Pad", "--length", "60ft", "--width", "40ft", "--along", "4", "--across", "3")
    assert rodcall("sheet", path, "--to", tmp_path / "blank.txt", "--blank").status == 0
    blank = (tmp_path / "blank.txt").read_text("utf-8")
    readings = iter(range(1, 13))
    filled = re.sub("____", lambda _: f"{next(readings)}/16 l", blank)
    (tmp_path / "filled.txt").write_text(filled, "utf-8")
    assert rodcall("enter", path, tmp_path / "filled.txt").out == "12 entries written\n"
    heights = figures(path)["heights_mm"]
    order = [name for name, *_ in LINE.findall(blank)]
    assert heights == {name: -number * INCH / 16 / MM for number, name in enumerate(order, 1)}


def test_a_sheet_that_was_not_filled_in_is_refused_with_its_line(tmp_path):
    path = tmp_path / "pad.json"
    rodcall("new", path, "--name", "Pad", "--length", "60ft", "--width", "40ft", "--along", "4", "--across", "3")
    rodcall("sheet", path, "--to", tmp_path / "blank.txt", "--blank")
    before = on_disk(tmp_path)
    number = 1 + (tmp_path / "blank.txt").read_text("utf-8").splitlines().index(
        next(line for line in (tmp_path / "blank.txt").read_text("utf-8").splitlines() if line.startswith("A1 ____"))
    )
    assert rodcall("enter", path, tmp_path / "blank.txt").refusal.startswith(f"line {number}: ")
    assert on_disk(tmp_path) == before


def test_no_name_of_a_job_becomes_an_entry(tmp_path):
    """A name with a line feed in it stays in its comment."""
    opened = a_file(name="Pad\nA1 +9", place="\rA1 +9")
    entries = [line for line in lines_of(opened).splitlines() if not line.startswith("#")]
    assert len(entries) == 12
    assert all("____" in line for line in entries)


def test_a_rod_is_asked_for_its_backsight_and_no_sign():
    opened = a_file("reference BM1 +1", readings=Readings.ROD, heights=Unit.FT)
    assert "setup" in lines_of(opened)
    text = text_of(pdf(opened, Output.BLANK))
    assert "backsight" in text
    assert "high low" not in text
    assert "high low" in text_of(pdf(a_file(), Output.BLANK))


def test_lines_walked_from_the_left_each_stand_so():
    opened = a_file(along=2, across=3)
    opened.book.walk(Walk.LINES)
    assert [name for name, *_ in LINE.findall(lines_of(opened))] == ["A1", "B1", "C1", "A2", "B2", "C2"]


@pytest.mark.parametrize(("along", "across"), [(4, 3), (40, 30)])
def test_the_pdf_has_every_position_in_its_turn(along, across):
    opened = a_file(along=along, across=across)
    text = text_of(pdf(opened, Output.BLANK))
    grid, walk = opened.book.job.grid, opened.book.page.walk
    assert all(re.search(rf"\b{turn + 1} {grid.name(walk.at(turn))}\b", text) for turn in range(grid.size))
    assert "2026-04-18" not in text, "no date is printed where one is to be written"


def test_metres_are_taped_in_metres():
    assert "20.00 m" in lines_of(a_file(heights=Unit.MM, length=60 * M, width=40 * M, along=4, across=3))


@pytest.mark.parametrize("name", ["blank.csv", "blank.xml", "blank"])
def test_a_blank_sheet_is_for_paper(name, tmp_path):
    with pytest.raises(SheetError, match=r"a blank sheet is \.pdf or \.txt"):
        kind_of(tmp_path / name, Output.BLANK)
