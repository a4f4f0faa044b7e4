"""What was agreed of a pad among the figures as JSON, and in the season's table."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
import shapely

from rodcall.book.storage.opening import JobFile, open_job
from rodcall.sheets.content.record import record_of
from rodcall.sheets.exports.figures_json import KEYS, figures
from tests.cli.kit import figures as figures_in
from tests.cli.kit import rodcall
from tests.kit import a_book, a_job
from tests.sheets.exports.test_landxml import an_l
from tests.sheets.kit import INCHES, a_file, figures_of, finished, shoot, sloped

SAMPLES = Path(__file__).parents[3] / "sample_jobs"


def test_every_key_is_explained():
    for opened in (finished(), an_l(), a_file()):
        assert sorted(figures(figures_of(opened), record_of(opened))) == sorted(KEYS)


def test_limits_are_those_in_force():
    opened = a_file("A1 0", "set tolerance-high 3/4in", "set drift 1/4in because wind", **INCHES)
    told = figures(figures_of(opened))["limits"]
    # 3/4 in, 1 in, 3/8 in and 1/4 in; 25.4 mm an inch (24 FR 5348).
    assert told == {"high_mm": 19.05, "low_mm": 25.4, "crew_mm": 9.525, "drift_mm": 6.35}


def test_the_pad_is_told_with_its_edge():
    told = figures(figures_of(sloped()))["pad"]
    assert (told["length_mm"], told["width_mm"], told["inset_mm"], told["zero"]) == (60000, 27000, 1000, "A1")
    assert (len(told["spacing_along_mm"]), len(told["spacing_across_mm"])) == (told["along"] - 1, told["across"] - 1)
    assert sum(told["spacing_along_mm"]) == pytest.approx(58000)
    assert told["outline_mm"] == [[[-1000, -1000], [-1000, 26000], [59000, 26000], [59000, -1000]]]


def test_an_outline_is_told_with_its_holes():
    opened = an_l()
    told = figures(figures_of(opened))
    edge, *holes = told["pad"]["outline_mm"]
    assert shapely.Polygon(edge, holes).area / 1e6 == pytest.approx(told["area_m2"], rel=1e-9)
    assert set(told["design_mm"]) == {f"{c}{r}" for c in "ABC" for r in range(1, 5)} - {"C4", "A4"} | {"A4"}


def test_the_design_is_height_less_deviation():
    told = figures(figures_of(finished()))
    for at, deviation in told["deviations_mm"].items():
        assert told["heights_mm"][at] - told["design_mm"][at] == pytest.approx(deviation, abs=1e-9)
    assert figures(figures_of(a_file()))["design_mm"] == {}


def test_earth_moved_is_between_the_rounds():
    """A pad of one height, dug by 100 mm everywhere: 60 x 40 ft x 0.1 m."""
    opened = a_file(*(f"{c}{r} 0" for c in "ABC" for r in range(1, 5)), "round final")
    assert figures(figures_of(opened))["moved_m3"] == {"cut": 0.0, "fill": 0.0}
    for spot in (f"{c}{r}" for c in "ABC" for r in range(1, 5)):
        opened.book.shoot(spot, "-100mm")
    told = figures(figures_of(opened))["moved_m3"]
    assert told == {"cut": pytest.approx(18.288 * 12.192 * 0.1), "fill": 0.0}
    assert figures(figures_of(shoot(a_file())))["moved_m3"] is None


@pytest.fixture
def on_disk(tmp_path: Path) -> Path:
    book = a_book("A1 -1", "B1 -2", "round working", "A1 0", job=a_job(name="Tank", customer="the dairy"))
    JobFile(tmp_path / "tank.json", book).save()
    return tmp_path / "tank.json"


def test_the_digest_is_the_one_that_verify_takes(on_disk):
    told = figures_in(on_disk)
    assert told["digest"] == open_job(on_disk, "reader").seal
    assert told["seals"] == {"state": "whole", "edited": [], "damaged": []}
    assert rodcall("verify", told["digest"], on_disk).status == 0
    assert (told["customer"], told["place"]) == ("the dairy", "")


def test_certificates_that_were_issued_are_listed():
    """The sample that was issued: its last entry is the certificate, on the book before it."""
    opened = open_job(SAMPLES / "nursery-slab.json", "reader")
    (issued,) = figures(figures_of(opened), record_of(opened))["issued"]
    assert (issued["revision"], issued["digest"]) == (1, opened.seals[-2])
    assert issued["verdict"] == str(figures_of(opened).verdict)
    assert figures(figures_of(a_file()))["issued"] == []


def test_an_edited_book_says_so(on_disk):
    on_disk.write_text(on_disk.read_text("utf-8").replace("the dairy", "the creamery"), "utf-8")
    told = json.loads(rodcall("figures", on_disk, "--json").out)
    assert told["seals"]["state"] == "edited"
    assert told["seals"]["edited"] == [1]


def test_the_season_has_the_same(on_disk):
    (row,) = map(json.loads, rodcall("season", on_disk.parent, "--jsonl").out.splitlines())
    told = figures_in(on_disk)
    assert row["customer"] == told["customer"]
    assert (row["limit_high_mm"], row["limit_low_mm"]) == (told["limits"]["high_mm"], told["limits"]["low_mm"])
    assert row["outside"] == len(told["outside"])
    assert (row["moved_cut_m3"], row["moved_fill_m3"]) == (told["moved_m3"]["cut"], told["moved_m3"]["fill"])
    assert row["digest"] == told["digest"]
    (line,) = csv.DictReader(io.StringIO(rodcall("season", on_disk.parent).out, newline=""))
    assert list(line) == list(row)
    assert {key: value for key, value in line.items() if value} == {
        key: str(value) for key, value in row.items() if value not in (None, "")
    }
