"""Points as survey offices take them: columns, coordinates, heights."""

from __future__ import annotations

import csv
import io

import pytest

from rodcall.sheets.make import Output, make
from rodcall.units import FOOT
from tests.cli.kit import NEEDED, rodcall
from tests.sheets.kit import a_file, figures_of, finished, shoot, sloped

FOOT_M = 0.3048
"""24 FR 5348: the international foot."""


def points_of(opened) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(make(opened, ".csv", Output.POINTS).content.decode("ascii"))))


def test_points_have_the_columns_in_the_order_offices_expect():
    """Point, north, east, height, description (common practice)."""
    assert list(points_of(finished())[0]) == [
        *("point", "north ft", "east ft", "height ft", "description"),
        *("north m", "east m", "height m"),
    ]
    assert list(points_of(sloped())[0]) == ["point", "north m", "east m", "height m", "description"]


def test_only_what_was_shot_is_a_point():
    opened = a_file("A1 -1/2", "B1 out rut", "C1 +3/8")
    assert [row["point"] for row in points_of(opened)] == ["A1", "C1"]
    assert points_of(a_file()) == []


def test_north_is_away_and_east_to_the_right_where_nobody_said():
    rows = {row["point"]: row for row in points_of(shoot(a_file()))}
    assert (rows["A1"]["north ft"], rows["A1"]["east ft"]) == ("0.00000", "0.00000")
    assert (rows["C4"]["north ft"], rows["C4"]["east ft"]) == ("60.00000", "40.00000")
    for row in rows.values():
        for way in ("north", "east", "height"):
            assert float(row[f"{way} m"]) == pytest.approx(float(row[f"{way} ft"]) * FOOT_M, abs=1e-5)


@pytest.mark.parametrize(
    ("term", "far_left", "near_right"),
    [
        ("n", (60, 0), (0, 40)),
        ("e", (0, 60), (-40, 0)),
        ("s", (-60, 0), (0, -40)),
        ("w", (0, -60), (40, 0)),
        ("ne", (42.42641, 42.42641), (-28.28427, 28.28427)),
    ],
)
def test_a_pad_is_turned_as_it_lies(term, far_left, near_right):
    """60 ft away and 40 ft right of A1, by the compass: looking east, right is south (60 / sqrt 2 = 42.42641)."""
    rows = {row["point"]: row for row in points_of(shoot(a_file(f"set north {term}")))}
    for name, place in (("A4", far_left), ("C1", near_right)):
        assert tuple(float(rows[name][f"{way} ft"]) for way in ("north", "east")) == pytest.approx(place, abs=1e-5)


def test_heights_are_those_of_the_book():
    opened = finished()
    summary = figures_of(opened)
    for row in points_of(opened):
        index = summary.grid.index(row["point"])
        assert float(row["height ft"]) == pytest.approx(int(summary.heights[index]) / FOOT, abs=1e-5)
        assert "-0.00000" not in row.values()


def test_no_description_is_a_formula():
    for row in points_of(finished()):
        assert row["description"][:1] not in ("=", "+", "-", "@")


def test_blank_and_points_are_two_sheets(tmp_path):
    path = tmp_path / "pad.json"
    rodcall("new", path, *NEEDED)
    assert rodcall("sheet", path, "--to", tmp_path / "pad.csv", "--blank", "--points").refusal
    assert "a table of points is .csv" in rodcall("sheet", path, "--to", tmp_path / "pad.txt", "--points").refusal
