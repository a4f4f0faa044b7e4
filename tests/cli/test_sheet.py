"""`sheet`: what opens in a spreadsheet, and what a person reads."""

from __future__ import annotations

import csv
import os
import re
from fractions import Fraction

import pandas
import pytest

from rodcall.book.storage.opening import open_job
from rodcall.sheets.make import Output, make
from rodcall.units import MM
from tests.cli.kit import NEEDED, figures, on_disk, program, rodcall


@pytest.mark.parametrize("name", ["sheet.csv", "SHEET.TXT"])
def test_a_sheet_is_written_where_told(pad, name):
    told = rodcall("sheet", pad, "--to", pad.parent / name)
    assert (told.status, told.out, told.err) == (0, f"{pad.parent / name}\n", "")
    text = (pad.parent / name).read_text("utf-8-sig")
    assert all(f"{column}{line}" in text for column in "ABC" for line in range(1, 5))


@pytest.mark.parametrize("more", [(), ("--blank",), ("--points",)], ids=["as built", "blank", "points"])
def test_a_sheet_takes_an_older_file_s_place_only_where_told(pad, more):
    """Somebody's pencil may be on it."""
    path = pad.parent / ("sheet.csv" if "--points" in more else "sheet.txt")
    path.write_text("filled in by hand" * 10_000, "utf-8")
    refusal = rodcall("sheet", pad, "--to", path, *more).refusal
    assert refusal == f"{path.name}: already exists; choose another name, or overwrite it with --force"
    assert "filled in by hand" in path.read_text("utf-8")
    assert rodcall("sheet", pad, "--to", path, *more, "--force").status == 0
    assert "filled in by hand" not in path.read_text("utf-8")


@pytest.mark.skipif(os.name == "nt", reason="links need a right there")
def test_a_link_to_nothing_is_a_file_that_is_there(pad):
    path = pad.parent / "sheet.txt"
    path.symlink_to(pad.parent / "nothing")
    assert "already exists; choose another name" in rodcall("sheet", pad, "--to", path).refusal
    assert not (pad.parent / "nothing").exists()


REFUSED_SHEETS = {
    "unknown kind": ("sheet.doc", "sheet.doc: a sheet is"),
    "no kind": ("sheet", "sheet: a sheet is"),
    "no folder": ("none/sheet.csv", "cannot be written"),
    "a folder": ("folder.csv", "folder.csv: is a folder; name a file in it: "),
    "a folder without an ending": ("sheets", "sheets: is a folder; name a file in it: "),
}


@pytest.mark.parametrize(("name", "message"), REFUSED_SHEETS.values(), ids=REFUSED_SHEETS)
def test_a_sheet_that_cannot_be_written(pad, name, message):
    (pad.parent / "folder.csv").mkdir()
    (pad.parent / "sheets").mkdir()
    before = on_disk(pad.parent)
    assert message in rodcall("sheet", pad, "--to", pad.parent / name).refusal
    assert on_disk(pad.parent) == before


@pytest.mark.parametrize("ending", ["txt", "csv", "html", "pdf"])
def test_a_sheet_goes_to_the_standard_output(pad, ending, tmp_path):
    with (tmp_path / "taken").open("wb") as out:
        told = program("sheet", pad, "--to", "-", "--as", ending, stdout=out)
    made = make(open_job(pad, "reader"), f".{ending}", Output.AS_BUILT).content
    assert (told.status, told.err, (tmp_path / "taken").read_bytes()) == (0, "", made)


def test_the_standard_output_needs_a_kind(pad):
    assert "a sheet is" in rodcall("sheet", pad, "--to", "-").refusal
    assert "a sheet is" in rodcall("sheet", pad, "--to", "-", "--as", "doc").refusal


def test_a_sheet_never_takes_the_place_of_the_book(folder):
    book = folder / "pad.txt"
    rodcall("new", book, *NEEDED)
    before = on_disk(folder)
    assert "that is the job file itself" in rodcall("sheet", book, "--to", folder / ".." / "site" / "pad.txt").refusal
    assert on_disk(folder) == before


# -- in a spreadsheet --------------------------------------------------------------------------------------

HEAD = (
    *("job", "round", "position", "state", "height mm", "height as written (in)"),
    *("target mm", "target as written (in)", "difference mm", "difference as written (in)"),
    "plus/minus mm",
)


def sheet_of(pad, kind: str = ".csv"):
    """The sheet's file."""
    path = pad.with_suffix(kind)
    assert rodcall("sheet", pad, "--to", path).status == 0
    return path


def test_numbers_are_numbers_in_a_column_of_their_own(pad):
    """Read by pandas, as an outside reader of such files: what it takes for numbers is what a spreadsheet sums."""
    rodcall("enter", pad, stdin="C4 out rut\nstrike B4")
    table = pandas.read_csv(sheet_of(pad))
    assert tuple(table.columns) == HEAD, "no byte order mark sticks to the first"
    numbers = table[["height mm", "target mm", "difference mm"]]
    assert all(kind == "float64" for kind in numbers.dtypes)
    assert table["height mm"].count() == 10
    told = figures(pad)
    assert dict(zip(table["position"], table["height mm"], strict=True)).items() >= told["heights_mm"].items()
    assert (numbers["height mm"] - numbers["target mm"] - numbers["difference mm"]).abs().max() < 1e-9


def test_numbers_are_exact_plain_decimals(folder):
    """1/64 in is 0.396875 mm and 0.0001 ft is 0.03048 mm, to the last digit; no exponent, no comma."""
    path = folder / "fine.json"
    rodcall("new", path, *NEEDED, "--step", "1/64in")
    rodcall("enter", path, stdin="A1 -1/64\nB1 -.0001ft\nC1 +100ft\nA2 0\nB2 -0.000001mm")
    rows = read(sheet_of(path))
    assert [row["height mm"] for row in rows][:5] == ["-0.396875", "-0.03048", "30480", "0", "-0.000001"]
    heights = open_job(path, "reader").book.page.round.datum_nm.tolist()
    assert [Fraction(row["height mm"] or 0) * MM for row in rows] == heights


def read(path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize(
    "name", ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0", '"=1"', "a,b\n=1", "\t=1", "\r=1"]
)
def test_no_text_is_a_formula(folder, name):
    """A cell is inert when it begins with none of = + - @, tab or carriage return (OWASP, CSV injection; MEMORY)."""
    path = folder / "pad.json"
    assert rodcall("new", path, *NEEDED, "--name", name).status == 0
    rodcall("enter", path, stdin="A1 -1\nB1 +1\ntarget -1/2in")
    rows = read(sheet_of(path))
    assert len(rows) == 12
    for row in rows:
        for column, cell in row.items():
            assert column.endswith(" mm") or cell[:1] not in ("=", "+", "-", "@", "\t", "\r"), (column, cell)
            assert "\n" not in cell
    assert rows[0]["job"].lstrip("'·") == name.replace("\n", "·").lstrip("\t\r")
    assert rows[0]["height as written (in)"] == "'-1"


def test_states_of_positions(folder):
    path = folder / "pad.json"
    rodcall("new", path, *NEEDED, "--high", "1/2in", "--low", "1in")
    rodcall("enter", path, stdin="A1 0\nB1 +1/8\nC1 -1-5/8\nA2 out rut\ntarget -1/2in")
    assert [row["state"] for row in read(sheet_of(path))][:5] == ["inside", "HIGH", "LOW", "left out", "not shot"]


def test_the_text_holds_every_position(pad):
    rodcall("enter", pad, stdin="B2 out rut")
    text = sheet_of(pad, ".txt").read_text("utf-8")
    rows = [line.split() for line in text.splitlines() if re.match(r" *[A-C][1-4] ", line)]
    told = {row[0]: row[1:4] for row in rows}
    assert told.keys() == {f"{column}{line}" for line in range(1, 5) for column in "ABC"}
    assert told["A1"][:2] == ["0", "+1/2"]
    assert told["B2"][:2] == ["-", "-"]
    assert 'target -1/2" everywhere' in text
    assert "left out" in text
    assert "no licensed survey" in text
