"""One table of all jobs: what stands in it, that no text in it is a formula, and that an engine can go on with it."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from pathlib import Path

import pytest

from rodcall import manual as rodcall_manual
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.figures.summary import summarise
from tests.cli.kit import rodcall
from tests.kit import a_book, a_job

PAGE = Path(rodcall_manual.__file__).parent / "pages" / "figures.md"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "season"
    (place / "archive").mkdir(parents=True)
    tank = a_book("A1 -1", "B1 -2", "round working", "A1 0", job=a_job(name="Tank", place="Juniper Hollow"))
    JobFile(place / "tank.json", tank).save()
    JobFile(place / "archive" / "shed.json", a_book(job=a_job(name="=Shed"))).save()
    (place / "broken.json").write_bytes(b"{")
    return place


def json_lines(folder: Path) -> list[dict]:
    told = rodcall("season", folder, "--jsonl")
    assert told.status == 0
    return [json.loads(line) for line in told.out.splitlines()]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such file")
@pytest.mark.parametrize("name", ["pipe.json", "tank.json.journal", "tank.json.before", "tank.json.lock"])
def test_a_pipe_by_any_name_hangs_nobody(folder, name):
    os.mkfifo(folder / name)
    messages = {Path(row["path"]).name: row["message"] for row in json_lines(folder)}
    if name == "pipe.json":
        assert messages[name] == "pipe.json: cannot be read (not a regular file)"
    assert ("cannot be read" in messages["tank.json"]) == (name == "tank.json.journal")


def test_each_file_is_a_row_in_the_order_of_paths(folder):
    rows = json_lines(folder)
    assert [Path(row["path"]).name for row in rows] == ["shed.json", "broken.json", "tank.json"]
    shed, broken, tank = rows
    assert broken["message"] == "broken.json: line 1: not JSON (Expecting property name enclosed in double quotes)"
    assert broken["area_m2"] is None
    assert (shed["name"], shed["first_day"], shed["shots"], shed["rounds"]) == ("=Shed", None, 0, 1)
    summary = summarise(open_job(folder / "tank.json", "reader").book.page)
    assert tank["area_m2"] == summary.area_m2
    assert (tank["cut_m3"], tank["fill_m3"]) == (summary.dirt.earth.cut, summary.dirt.earth.fill)
    assert tank["verdict"] == str(summary.verdict)
    assert (tank["rounds"], tank["shots"], tank["place"]) == (2, 3, "Juniper Hollow")
    assert tank["first_day"] == tank["last_day"] == "2026-04-18"


def test_the_csv_says_the_same_and_holds_no_formula(folder):
    for words in ((), ("--csv",)):
        told = rodcall("season", folder, *words)
        rows = list(csv.DictReader(io.StringIO(told.out, newline="")))
        assert [row["name"] for row in rows] == ["'=Shed", "", "Tank"]
        for row, other in zip(rows, json_lines(folder), strict=True):
            assert row["cut_m3"] == ("" if other["cut_m3"] is None else str(other["cut_m3"]))


def test_no_folder_is_one_line(tmp_path):
    assert rodcall("season", tmp_path / "nowhere").refusal.endswith("nowhere: not a folder")


def test_an_edited_book_says_so_in_its_row(folder):
    path = folder / "tank.json"
    path.write_text(path.read_text("utf-8").replace("Juniper Hollow", "Elsewhere"), "utf-8")
    assert "entry 1 was edited outside of rodcall" in json_lines(folder)[2]["message"]


def test_the_query_of_the_readme_gives_what_adding_up_gives(folder, tmp_path, monkeypatch):
    """COMPUTED here by hand, beside the engine that the manual names."""
    duckdb = pytest.importorskip("duckdb")
    monkeypatch.chdir(tmp_path)
    (tmp_path / "season.jsonl").write_text(rodcall("season", folder, "--jsonl").out, "utf-8")
    (query,) = re.findall(r"```sql\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)
    found = duckdb.sql(query).fetchall()
    rows = [row for row in json_lines(folder) if row["verdict"]]
    assert len(found) == len({row["verdict"] for row in rows})
    for verdict, jobs, area, cut in found:
        mine = [row for row in rows if row["verdict"] == verdict]
        assert jobs == len(mine)
        assert area == pytest.approx(sum(row["area_m2"] for row in mine), abs=0.06)
        assert cut == pytest.approx(sum(row["cut_m3"] or 0 for row in mine), abs=0.06)
