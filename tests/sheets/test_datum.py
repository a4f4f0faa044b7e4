"""A datum: a benchmark's elevation, A1's coordinates and a bearing; heights as elevations, points as in the drawing."""

from __future__ import annotations

import csv
import io
import math
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.entry_lines import DictationError
from rodcall.book.model.datum import parse_coordinates
from rodcall.figures.datum import Datum
from rodcall.sheets.exports.figures_json import figures as figures_json
from rodcall.sheets.exports.landxml import NAMESPACE
from rodcall.sheets.exports.table import figures_text
from rodcall.sheets.make import Output, make
from rodcall.units import FOOT
from rodcall.wording import words
from rodcall.wording.read_back import at_spot
from tests.kit import a_book, figures, say
from tests.sheets.kit import a_file, figures_of, shoot


def test_the_zero_has_the_benchmarks_elevation_less_its_height() -> None:
    book = a_book("reference BM1 high 24in", "datum BM1 812.40ft", "A1 0", "B2 -6")
    datum = figures(book).datum
    assert datum.zero_nm == round(810.40 * FOOT)
    say(book, "zero B2")
    # The ground has not moved: BM1 keeps its elevation, B2 lies half a foot below where the zero was.
    assert figures(book).datum.zero_nm == round(809.90 * FOOT)


def test_before_the_reference_has_a_height_no_elevation_is_told() -> None:
    book = a_book("datum BM1 812.40ft", "set heights-as elevation", "A1 0")
    assert figures(book).datum.zero_nm is None
    assert words.level(figures(book), 0) == "0"


def test_the_switch_tells_elevations_and_leaves_differences_and_signs() -> None:
    book = a_book("reference BM1 0in", "datum BM1 812.40ft", "A1 0", "B2 -6", "target -3")
    low = book.job.grid.index("B2")
    assert at_spot(figures(book), low).spoken == "B2  LOW 6  fill 3"
    before = figures_json(figures(book))
    say(book, "set heights-as elevation")
    summary = figures(book)
    assert at_spot(summary, low).spoken == "B2  811.90  fill 3"
    text = figures_text(summary)
    assert "811.90 at B2" in text
    assert "812.15" in text
    after = figures_json(summary)
    assert after["deviations_mm"] == before["deviations_mm"]
    assert after["heights_mm"] == before["heights_mm"]
    assert after["datum"]["zero_elevation_mm"] == pytest.approx(812.40 * 304.8)


def test_the_sheet_tells_the_datum_and_elevations() -> None:
    opened = shoot(a_file("reference BM1 high 24in", "datum BM1 812.40ft", "set a1 5000ft,2000ft", "set bearing 90"))
    plain = make(opened, ".txt", Output.AS_BUILT).content.decode()
    assert "BM1 812.40 ft; the zero 810.40 ft; A1 north 5000.00 ft, east 2000.00 ft" in " ".join(plain.split())
    say(opened.book, "set heights-as elevation")
    plain = make(opened, ".txt", Output.AS_BUILT).content.decode()
    first = next(line for line in plain.splitlines() if line.lstrip().startswith("A1 "))
    assert "81" in first


def test_points_and_the_surface_lie_in_the_drawings_system() -> None:
    """Bearing 90: away from the near edge is east, to the right is south."""
    opened = shoot(a_file("reference BM1 high 24in", "datum BM1 812.40ft", "set a1 5000ft,2000ft", "set bearing 90"))
    rows = {
        row["point"]: row for row in csv.DictReader(io.StringIO(make(opened, ".csv", Output.POINTS).content.decode()))
    }
    assert (rows["A1"]["north ft"], rows["A1"]["east ft"]) == ("5000.00000", "2000.00000")
    assert (rows["C4"]["north ft"], rows["C4"]["east ft"]) == ("4960.00000", "2060.00000")
    height = figures_of(opened).heights[opened.book.job.grid.index("C4")] / FOOT
    assert float(rows["C4"]["elevation ft"]) == pytest.approx(810.40 + height, abs=1e-5)
    root = ET.fromstring(make(opened, ".xml", Output.AS_BUILT).content)
    places = np.array([[float(each) for each in p.text.split()] for p in root.iter(f"{{{NAMESPACE}}}P")]) / 0.3048
    assert places[:, 0].min() == pytest.approx(4960, abs=1e-5)
    assert places[:, 1].max() == pytest.approx(2060, abs=1e-5)
    assert abs(places[:, 2] - 810.40).max() < 2


def test_bearing_goes_before_the_points_of_the_compass() -> None:
    assert figures(a_book("set north e")).datum.bearing == 90
    assert figures(a_book("set north e", "set bearing 37.5")).datum.bearing == 37.5


@given(*(st.floats(-1e6, 1e6) for _ in range(2)), st.floats(0, 359.99), *(st.floats(-500, 500) for _ in range(2)))
def test_there_and_back_is_the_same_place(
    north: float, east: float, bearing: float, along: float, right: float
) -> None:
    datum = Datum(north_m=north, east_m=east, bearing=bearing)
    there = datum.coordinates(np.array([along]), np.array([right]))
    back = datum.on_pad(*there)
    assert back[0][0] == pytest.approx(along, abs=1e-6)
    assert back[1][0] == pytest.approx(right, abs=1e-6)
    assert math.hypot(there[0][0] - north, there[1][0] - east) == pytest.approx(math.hypot(along, right), abs=1e-6)


@pytest.mark.parametrize(
    "line",
    [
        *("datum", "datum BM1", "datum BM1 812", "datum 812ft", "datum BM1 812yd", "datum BM1 99999m", "set a1 5000ft"),
        *("set a1 5000,2000", "set a1 5000ft,2000ft,1ft", "set a1 x,y", "set bearing 360", "set bearing -5"),
        *("set bearing NaN", "set bearing 1e2", "set heights-as sea", "set a1 9999999999m,1m"),
    ],
)
def test_what_is_no_datum_is_refused(line: str) -> None:
    with pytest.raises(DictationError):
        a_book(line)


def test_coordinates_of_a_countrys_grid_are_exact() -> None:
    assert parse_coordinates("4834567.123456789m,-500000.5m") == (4834567123456789, -500000500000000)
    assert parse_coordinates("5000.25ft,0ft") == (5000 * FOOT + FOOT // 4, 0)
