"""The ground as LandXML 1.2: the schema's rules, the same surfaces, and points that say which of them are shots."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from datetime import date, datetime, time

import numpy as np
import pytest

from rodcall.book.storage.opening import JobFile
from rodcall.figures.summary import summarise
from rodcall.sheets.exports.export import Kind, export
from rodcall.sheets.exports.landxml import NAMESPACE
from rodcall.sheets.make import Output, SheetError, make
from rodcall.units import M, Unit
from tests.cli.kit import NEEDED, rodcall
from tests.kit import say
from tests.sheets.kit import a_file, figures_of, finished, from_a_rod, shoot, sloped

SPACE = {"l": NAMESPACE}

# What the schema says of the elements that are written here. SEEN in LandXML-1.2.xsd ("Date Posted: 7/29/2008", as
# kept in the public repository bbrangeo/OpenInfraPlatform, schema/). Each rule is put down by hand; the schema itself
# is no part of this project.

Check = Callable[[str], object]


def one_of(*words: str) -> Check:
    def check(said: str) -> None:
        assert said in words

    return check


def positive(said: str) -> None:
    assert int(said) > 0


def doubles(fewest: int, most: int) -> Check:
    def check(said: str) -> None:
        assert fewest <= len([float(each) for each in said.split()]) <= most

    return check


STATE = one_of("abandoned", "destroyed", "existing", "proposed")
POINT = {
    "name": str,
    "desc": str,
    "code": str,
    "state": STATE,
    "DTMAttribute": one_of("determinebyfeature", "donotinclude", "spot", "spotandbreak", "void", "ground"),
    "timeStamp": datetime.fromisoformat,
    "role": one_of("measured", "to stake out", "staked out", "calculated", "user entered point", "control point"),
    "elevationStdError": float,
}
SURVEYED = one_of("monument", "control", "sideshot", "boundary", "natural boundary", "traverse", "reference")
METRIC = {
    "areaUnit": one_of("hectare", "squareMeter", "squareMillimeter", "squareCentimeter"),
    "linearUnit": one_of("millimeter", "centimeter", "meter", "kilometer"),
    "volumeUnit": one_of("cubicMeter", "liter", "hectareMeter"),
    "temperatureUnit": one_of("celsius", "kelvin"),
    "pressureUnit": one_of("HPA", "milliBars", "mmHG", "millimeterHG"),
}
ATTRIBUTES: dict[str, dict[str, Check]] = {
    "LandXML": {"date": date.fromisoformat, "time": time.fromisoformat, "version": one_of("1.2")},
    "Units": {},
    "Metric": METRIC,
    "Project": {"name": str},
    "Application": {"name": str},
    "CgPoints": {"name": str, "desc": str, "state": STATE, "code": str},
    "CgPoint": {**POINT, "pntSurv": SURVEYED},
    "Monuments": {},
    "Monument": {"name": str, "desc": str, "category": one_of("benchmark", "central", "reference", "rural")},
    "Surfaces": {},
    "Surface": {"name": str, "desc": str, "state": STATE},
    "Definition": {"surfType": one_of("TIN", "grid"), "elevMin": float, "elevMax": float},
    "Pnts": {},
    "P": {**POINT, "id": positive},
    "Faces": {},
    "F": {},
}
REQUIRED = {
    "LandXML": {"date", "time", "version"},
    "Metric": set(METRIC),
    "Project": {"name"},
    "Application": {"name"},
    "Monument": {"name"},
    "Surface": {"name"},
    "Definition": {"surfType"},
    "P": {"id"},
}
CHILDREN = {
    "LandXML": r"((Units|Project|Application|CgPoints|Monuments|Surfaces) )+",
    "Units": r"Metric ",
    "CgPoints": r"(CgPoint )*",
    "Monuments": r"(Monument )+",
    "Surfaces": r"(Surface )+",
    "Surface": r"Definition ",
    "Definition": r"Pnts (Faces )+",
    "Pnts": r"(P ){3,}",
    "Faces": r"(F )+",
}
TEXT: dict[str, Check] = {"CgPoint": doubles(2, 3), "P": doubles(3, 3), "F": doubles(3, 3)}
UNIQUE = (("Surfaces/Surface", "name"), ("CgPoints", "name"), ("CgPoints/CgPoint", "name"), ("Monuments/*", "name"))
"""Names that are unique in their parent (`uSrfName`, `uCgPointsName`, `uPntName`, `uMntName`)."""


def bare(tag: str) -> str:
    space, name = re.fullmatch(r"\{(.*)\}(\w+)", tag).groups()
    assert space == NAMESPACE
    return name


def assert_valid(root: ET.Element) -> None:
    for element in root.iter():
        name = bare(element.tag)
        assert REQUIRED.get(name, set()) <= element.attrib.keys() <= ATTRIBUTES[name].keys(), name
        for each, said in element.items():
            ATTRIBUTES[name][each](said)
        assert re.fullmatch(CHILDREN.get(name, ""), "".join(f"{bare(child.tag)} " for child in element)), name
        if name in TEXT:
            TEXT[name](element.text)
        else:
            assert not (element.text or "").strip()
        names = [child.get("name") for child in element if child.get("name") is not None]
        if name != "LandXML":
            assert len(set(names)) == len(names)
    groups = [each.get("name") for each in root.iterfind("l:CgPoints", SPACE)]
    assert len(set(groups)) == len(groups)
    for surface in root.iterfind("l:Surfaces/l:Surface", SPACE):
        ids = [point.get("id") for point in surface.iterfind(".//l:P", SPACE)]
        corners = {corner for face in surface.iterfind(".//l:F", SPACE) for corner in face.text.split()}
        assert len(set(ids)) == len(ids)
        assert corners == set(ids), "every point is used, every corner is a point"


def landxml_of(opened: JobFile, round_number: int | None = None) -> ET.Element:
    return ET.fromstring(export(opened, Kind.LANDXML, round_number))


def surfaces_of(root: ET.Element) -> dict[str, np.ndarray]:
    """Corners of all triangles by the surface's name: (triangles, 3 corners, north east height)."""
    found = {}
    for surface in root.iterfind("l:Surfaces/l:Surface", SPACE):
        at = {p.get("id"): [float(part) for part in p.text.split()] for p in surface.iterfind(".//l:P", SPACE)}
        faces = [face.text.split() for face in surface.iterfind(".//l:F", SPACE)]
        found[surface.get("name")] = np.array([[at[corner] for corner in face] for face in faces])
    return found


def area_and_mean(corners: np.ndarray) -> tuple[float, float]:
    """Area and mean height, summed over the triangles by themselves; each goes around against the clock."""
    (a, b, c) = (corners[:, number, :2] for number in range(3))
    doubled = (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0]) - (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1])
    assert (doubled > 0).all(), "counter-clockwise from above: east is right, north is up"
    area = doubled.sum() / 2
    return area, (doubled / 2 * corners[:, :, 2].mean(axis=1)).sum() / area


def an_l() -> JobFile:
    """An outline with a hole, a spot left out, a crown that bends, a datum, a benchmark on the pad and one off it."""
    opened = a_file(
        *("outline A1 C1 C3 B3 B4 A4", "hole 22ft,12ft 22ft,18ft 28ft,14ft", "reference BM1 high 24in"),
        *("reference HUB 0in", "datum BM1 812.40ft", "set a1 5000ft,2000ft", "set bearing 37.5"),
    )
    for step in range(opened.book.job.grid.size):
        index = opened.book.page.walk.at(step)
        if not opened.book.page.not_pad[index]:
            opened.book.shoot(opened.book.job.grid.name(index), str(-(step % 4)) if step % 4 else "0")
    say(opened.book, "strike B2", "B2 out rut", "design crown B1 B4 2%")
    return opened


JOBS = [finished, sloped, from_a_rod, an_l]


@pytest.mark.parametrize("job", JOBS)
def test_every_element_is_as_the_schema_has_it(job):
    assert_valid(landxml_of(job()))


def test_a_wrong_file_is_found_wrong():
    """The rules above can fail."""
    text = export(finished(), Kind.LANDXML).decode()
    for wrong, instead in (
        *(("TIN", "MESH"), ("sideshot", "shot"), ('role="measured"', 'role="read"'), ("<F>1 ", "<F>99 ")),
        *(('<CgPoint name="B1"', '<CgPoint name="A1"'), (' surfType="TIN"', ""), ("</CgPoint>", " 1</CgPoint>")),
    ):
        assert wrong in text
        with pytest.raises(AssertionError):
            assert_valid(ET.fromstring(text.replace(wrong, instead)))


@pytest.mark.parametrize("job", JOBS)
def test_the_ground_comes_first_and_is_the_surface_of_cut_and_fill(job):
    opened = job()
    summary = figures_of(opened)
    name, corners = next(iter(surfaces_of(landxml_of(opened)).items()))
    area, mean = area_and_mean(corners)
    assert name == summary.job.name
    assert area == pytest.approx(summary.area_m2, rel=1e-6)
    assert mean == pytest.approx((summary.area_average + (summary.datum.zero_nm or 0)) * 1e-9, abs=2e-6)


@pytest.mark.parametrize("job", [finished, an_l])
def test_the_design_is_the_target(job):
    """Mean heights differ by cut less fill over the area: (cut - fill) / area."""
    opened = job()
    summary = figures_of(opened)
    found = surfaces_of(landxml_of(opened))
    ground, design = found[summary.job.name], found[f"{summary.job.name}, design"]
    (area, mean), (designed, level) = area_and_mean(ground), area_and_mean(design)
    assert designed == pytest.approx(area, rel=1e-6)
    earth = summary.dirt.earth
    assert (mean - level) * area == pytest.approx(earth.cut - earth.fill, abs=3e-6 * area)


def test_a_target_that_nobody_chose_is_no_design():
    assert list(surfaces_of(landxml_of(shoot(a_file())))) == ["Greenhouse pad"]


def test_a_design_that_bends_has_its_crease():
    opened = an_l()
    corners = surfaces_of(landxml_of(opened))["Greenhouse pad, design"].reshape(-1, 3)
    along, across = summarise(opened.book.page).datum.on_pad(corners[:, 0], corners[:, 1])
    ridge = np.abs(across - 20 * 0.3048) < 1e-5
    summary = figures_of(opened)
    top = summary.target_heights[summary.grid.index("B1")] + summary.datum.zero_nm
    assert corners[ridge, 2] == pytest.approx(top * 1e-9, abs=2e-6)
    assert corners[~ridge, 2].max() < top * 1e-9
    assert along.min() == pytest.approx(0, abs=1e-5)


def test_the_ground_before_the_dig_is_the_existing_round():
    opened = finished()
    found = surfaces_of(landxml_of(opened))
    before = summarise(opened.book.page, 1)
    area, mean = area_and_mean(found["Greenhouse pad, before the dig"])
    assert mean == pytest.approx(before.area_average * 1e-9, abs=2e-6)
    moved = figures_of(opened).moved_since_first
    after = area_and_mean(found["Greenhouse pad"])[1]
    assert (mean - after) * area == pytest.approx(moved.cut - moved.fill, abs=3e-6 * area)
    assert list(surfaces_of(landxml_of(opened, 1))) == ["Greenhouse pad", "Greenhouse pad, design"]


def group(root: ET.Element, name: str) -> dict[str, ET.Element]:
    return {point.get("name"): point for point in root.iterfind(f"l:CgPoints[@name='{name}']/l:CgPoint", SPACE)}


def test_points_say_which_are_shots():
    opened = an_l()
    root, summary = landxml_of(opened), figures_of(opened)
    shots, others = group(root, "shots"), group(root, "not shot")
    assert list(shots) == [summary.grid.name(int(index)) for index in np.flatnonzero(summary.counts)]
    assert list(others) == ["B2"]
    assert {each.get("role") for each in shots.values()} == {"measured"}
    assert others["B2"].get("role") == "calculated"
    for name, point in shots.items():
        height = int(summary.heights[summary.grid.index(name)]) + summary.datum.zero_nm
        assert float(point.text.split()[2]) == height / M
        assert datetime.fromisoformat(point.get("timeStamp")).utcoffset().total_seconds() == 0


def test_the_zero_and_references_are_named():
    opened = an_l()
    say(opened.book, "reference HUB2 high 1in")
    root = landxml_of(opened)
    # A1 was read at the zero's own height: its point says so.
    assert group(root, "shots")["A1"].get("desc").endswith(", the zero")
    assert group(root, "references") == {}
    monuments = {each.get("name"): each for each in root.iterfind("l:Monuments/l:Monument", SPACE)}
    assert list(monuments) == ["BM1", "HUB", "HUB2"]
    assert monuments["BM1"].get("category") == "benchmark"
    assert monuments["BM1"].get("desc") == "0.6096 m above the zero, elevation 247.61952 m"
    after = landxml_of(finished())
    assert group(after, "references")["ZERO"].text == "0.000000 0.000000 0"


def test_each_shot_is_a_point_of_the_surface():
    root = landxml_of(sloped())
    corners = {tuple(place) for place in surfaces_of(root)["Greenhouse pad"].reshape(-1, 3).tolist()}
    shots = group(root, "shots")
    assert len(shots) == 210
    assert {tuple(map(float, shot.text.split())) for shot in shots.values()} <= corners


def test_names_of_any_origin_make_well_formed_xml():
    opened = shoot(a_file(name='<Pad> & "Sons" \x07\ufffe\u6e29'))
    root = landxml_of(opened)
    assert root.find("l:Project", SPACE).get("name") == '<Pad> & "Sons" ··\u6e29'
    assert_valid(root)


def test_without_a_shot_there_is_no_surface(tmp_path):
    with pytest.raises(SheetError, match="no shots"):
        make(a_file(heights=Unit.MM), ".xml", Output.AS_BUILT)
    path = tmp_path / "pad.json"
    rodcall("new", path, *NEEDED)
    for command in ("sheet", "export"):
        assert "no shots" in rodcall(command, path, "--to", tmp_path / "pad.xml").refusal
    assert not (tmp_path / "pad.xml").exists()


def test_estimates_are_counted_in_the_surface():
    opened = shoot(a_file())
    say(opened.book, "B2 out rut")
    assert landxml_of(opened).find(".//l:Surface", SPACE).get("desc").endswith("11 shot, 1 estimated")


def test_a_sheet_and_an_export_are_the_same_file():
    opened = finished()
    assert make(opened, ".xml", Output.AS_BUILT).content == export(opened, Kind.LANDXML)
