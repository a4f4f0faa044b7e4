"""Points as survey offices take them, and the ground as LandXML: coordinates, element rules, the same surface."""

from __future__ import annotations

import csv
import io
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from rodcall.sheets.exports.landxml import NAMESPACE
from rodcall.sheets.make import Form, SheetError, make
from rodcall.units import FOOT, M, Unit
from tests.cli.kit import NEEDED, rodcall
from tests.kit import say
from tests.sheets.kit import a_file, figures_of, finished, from_a_rod, shoot, sloped

FOOT_M = 0.3048
"""24 FR 5348: the international foot."""


def points_of(opened) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(make(opened, ".csv", Form.POINTS).content.decode("ascii"))))


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


# -- LandXML -------------------------------------------------------------------------------------------------

# Element rules, SEEN second-hand in an audit of the schema file and in units code that quotes it; enumerated words
# of units MEMORY. The schema itself could not be had.
REQUIRED = {
    "LandXML": {"version", "date", "time"},
    "Metric": {"areaUnit", "linearUnit", "volumeUnit", "temperatureUnit", "pressureUnit"},
    "Surface": {"name"},
    "Definition": {"surfType"},
    "P": {"id"},
    "Project": {"name"},
    "Application": {"name"},
}
CHILDREN = {
    "LandXML": ["Units", "Project", "Application", "Surfaces"],
    "Units": ["Metric"],
    "Surfaces": ["Surface"],
    "Surface": ["Definition"],
    "Definition": ["Pnts", "Faces"],
}


def landxml_of(opened) -> ET.Element:
    return ET.fromstring(make(opened, ".xml", Form.AS_BUILT).content)


def tin_of(opened) -> tuple[np.ndarray, np.ndarray]:
    """Corners of all triangles (n, 3 corners, north east height), and the ids they are named by."""
    root, space = landxml_of(opened), {"l": NAMESPACE}
    at = {point.get("id"): [float(part) for part in point.text.split()] for point in root.iterfind(".//l:P", space)}
    faces = [face.text.split() for face in root.iterfind(".//l:F", space)]
    return np.array([[at[corner] for corner in face] for face in faces]), np.array(faces)


@pytest.mark.parametrize("job", [finished, sloped, from_a_rod])
def test_the_elements_are_as_the_schema_wants_them(job):
    root = landxml_of(job())
    for element in root.iter():
        space, name = re.fullmatch(r"\{(.*)\}(\w+)", element.tag).groups()
        assert space == NAMESPACE
        assert element.attrib.keys() >= REQUIRED.get(name, set())
        if name in CHILDREN:
            assert [re.sub(r"\{.*\}", "", child.tag) for child in element] == CHILDREN[name]
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", root.get("date"))
    assert re.fullmatch(r"\d\d:\d\d:\d\d", root.get("time"))
    ids = [int(point.get("id")) for point in root.iter(f"{{{NAMESPACE}}}P")]
    assert len(set(ids)) == len(ids) >= 3
    assert min(ids) > 0
    _, faces = tin_of(job())
    assert faces.shape[1] == 3
    assert {int(corner) for corner in faces.ravel()} == set(ids), "every point is used, every corner is a point"


@pytest.mark.parametrize("job", [finished, sloped, from_a_rod])
def test_the_triangles_are_the_surface_of_cut_and_fill(job):
    """Area and volume over the lowest point, summed over the triangles by themselves."""
    opened = job()
    corners, _ = tin_of(opened)
    (a, b, c) = (corners[:, number, :2] for number in range(3))
    doubled = (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0]) - (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1])
    assert (doubled > 0).all(), "counter-clockwise from above: east is right, north is up"
    summary = figures_of(opened)
    area = doubled.sum() / 2
    assert area == pytest.approx(summary.area_m2, rel=1e-6)
    mean = (doubled / 2 * corners[:, :, 2].mean(axis=1)).sum() / area
    assert mean == pytest.approx(summary.area_average * 1e-9, abs=1e-6)


def test_each_shot_is_a_point_of_the_surface():
    opened = sloped()
    summary = figures_of(opened)
    corners = {tuple(place) for place in tin_of(opened)[0].reshape(-1, 3).round(5).tolist()}
    assert len(points_of(opened)) == 210
    for row in points_of(opened):
        height = round(int(summary.heights[summary.grid.index(row["point"])]) / M, 5)
        assert (float(row["north m"]), float(row["east m"]), height) in corners


def test_names_of_any_origin_make_well_formed_xml():
    opened = shoot(a_file(name='<Pad> & "Sons" \x07\ufffe\u6e29'))
    assert landxml_of(opened).find(f"{{{NAMESPACE}}}Project").get("name") == '<Pad> & "Sons" ··\u6e29'


def test_without_a_shot_there_is_no_surface(tmp_path):
    with pytest.raises(SheetError, match="nothing is shot"):
        make(a_file(heights=Unit.MM), ".xml", Form.AS_BUILT)
    path = tmp_path / "pad.json"
    rodcall("new", path, *NEEDED)
    assert "nothing is shot" in rodcall("sheet", path, "--to", tmp_path / "pad.xml").refusal
    assert not (tmp_path / "pad.xml").exists()


def test_blank_and_points_are_two_sheets(tmp_path):
    path = tmp_path / "pad.json"
    rodcall("new", path, *NEEDED)
    assert rodcall("sheet", path, "--to", tmp_path / "pad.csv", "--blank", "--points").refusal
    assert "a table of points is .csv" in rodcall("sheet", path, "--to", tmp_path / "pad.txt", "--points").refusal


def test_estimates_are_counted_in_the_surface():
    opened = shoot(a_file())
    say(opened.book, "B2 out rut")
    surface = landxml_of(opened).find(f".//{{{NAMESPACE}}}Surface")
    assert surface.get("desc").endswith("11 shot, 1 estimated")
