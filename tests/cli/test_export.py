"""`rodcall export`: files for other programs, to a file or to the standard output, nothing written over."""

from __future__ import annotations

import pytest

from rodcall.book.storage.opening import open_job
from rodcall.sheets.exports.export import ENDINGS, Kind, export
from tests.cli.kit import NEEDED, SHOTS, on_disk, program, rodcall


@pytest.fixture
def placed(tmp_path):
    path = tmp_path / "pad.json"
    rodcall("new", path, *NEEDED)
    rodcall("enter", path, "-", stdin=f"{SHOTS}set a1-wgs84 46.2087310,-116.8800000\nset bearing 37.5\n")
    return path


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_file_is_what_its_name_says(placed, ending):
    to = placed.with_name(f"Out{ending.upper()}")
    told = rodcall("export", placed, "--to", to)
    assert (told.status, told.out, told.err) == (0, f"{to}\n", "")
    assert to.read_bytes() == export(open_job(placed, "reader"), ENDINGS[ending])


@pytest.mark.parametrize("kind", Kind)
def test_the_standard_output_takes_each(placed, kind, tmp_path):
    before = on_disk(placed.parent)
    with (tmp_path / "taken").open("wb") as out:
        told = program("export", placed, "--to", "-", "--as", kind, stdout=out)
    assert (told.status, told.err) == (0, "")
    assert (tmp_path / "taken").read_bytes() == export(open_job(placed, "reader"), kind)
    (tmp_path / "taken").unlink()
    assert on_disk(placed.parent) == before


def test_nothing_is_written_over_unless_forced(placed):
    to = placed.with_name("out.csv")
    to.write_text("mine")
    assert "--force" in rodcall("export", placed, "--to", to).refusal
    assert to.read_text() == "mine"
    assert rodcall("export", placed, "--to", to, "--force").status == 0
    assert to.read_bytes() == export(open_job(placed, "reader"), Kind.TABLE)


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--to", "out.doc"), "or say what it is with --as"),
        (("--to", "-"), "or say what it is with --as"),
        (("--to", "out.csv", "--unit", "ft"), "--unit and --header are for points only"),
        (("--to", "out.xml", "--header"), "--unit and --header are for points only"),
        (("--to", "out.txt", "--round", "2"), "there is no round 2"),
        (("--to", "pad.json", "--as", "table"), "that is the job file itself"),
        (("--to", "nowhere/out.csv"), "cannot be written"),
    ],
)
def test_what_cannot_be_done_is_one_line(placed, monkeypatch, words, why):
    monkeypatch.chdir(placed.parent)
    before = on_disk(placed.parent)
    assert why in rodcall("export", placed, *words).refusal
    assert on_disk(placed.parent) == before


def test_a_pad_that_nobody_placed_says_what_to_set(tmp_path):
    path = tmp_path / "pad.json"
    rodcall("new", path, *NEEDED)
    rodcall("enter", path, "-", stdin="A1 0\n")
    refusal = rodcall("export", path, "--to", tmp_path / "pad.geojson").refusal
    assert refusal.startswith("pad.geojson: ")
    assert "set a1-wgs84" in refusal


def test_points_in_another_unit_with_a_header(placed):
    told = rodcall("export", placed, "--to", "-", "--as", "points", "--unit", "m", "--header")
    assert told.out.splitlines()[0] == "point,north_m,east_m,height_m,description"


def test_no_language_changes_a_file(placed, monkeypatch):
    before = [rodcall("export", placed, "--to", "-", "--as", kind).out for kind in Kind]
    monkeypatch.setenv("LANG", "es_ES.UTF-8")
    rodcall("enter", placed, "-", stdin="set sheet-language es\n")
    after = [rodcall("export", placed, "--to", "-", "--as", kind).out for kind in Kind]
    # The table and the points do not name the book's last entry.
    assert before[:2] == after[:2]
