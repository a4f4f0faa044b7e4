"""GeoJSON (RFC 7946): read by reference libraries, in WGS 84, and refused where nobody said where the pad lies."""

from __future__ import annotations

import json

import geojson
import numpy as np
import pyproj
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import shape

from rodcall.book.entry_lines import DictationError
from rodcall.book.storage.opening import JobFile
from rodcall.figures.wgs84 import convergence, longitude_latitude
from rodcall.i18n import speaking
from rodcall.sheets.exports.export import ExportError, Kind, export
from tests.kit import a_book, say
from tests.sheets.exports.test_landxml import an_l
from tests.sheets.kit import a_file, figures_of, shoot

A1 = 46.2087310, -116.8800000
HERE = "set a1-wgs84 46.2087310,-116.8800000"


def placed() -> JobFile:
    opened = an_l()
    say(opened.book, HERE)
    return opened


def features(opened: JobFile) -> list[dict]:
    return json.loads(export(opened, Kind.GEOJSON))["features"]


def test_a_reference_library_finds_it_valid():
    read = geojson.loads(export(placed(), Kind.GEOJSON))
    assert isinstance(read, geojson.FeatureCollection)
    assert read.errors() == []
    assert all(feature.is_valid for feature in read["features"])


def test_there_is_no_crs_and_no_third_coordinate():
    """RFC 7946, 4: no `crs` member; 3.1.1: a third coordinate is a height above the ellipsoid, which nobody knows."""
    assert "crs" not in json.loads(export(placed(), Kind.GEOJSON))
    for feature in features(placed()):
        assert {len(place) for place in geojson.utils.coords(feature)} == {2}


def test_the_pads_polygon_has_its_area_and_its_hole():
    """Area on the ellipsoid by PROJ, exterior ring against the clock and holes with it (RFC 7946, 3.1.6)."""
    opened = placed()
    (pad, *_) = features(opened)
    polygon = shape(pad["geometry"])
    assert polygon.is_valid
    assert polygon.exterior.is_ccw
    assert [ring.is_ccw for ring in polygon.interiors] == [False]
    area, _ = pyproj.Geod(ellps="WGS84").geometry_area_perimeter(polygon)
    assert area == pytest.approx(figures_of(opened).outline.area, rel=1e-4)
    for ring in pad["geometry"]["coordinates"]:
        assert ring[0] == ring[-1]


def test_a_shot_lies_where_the_tape_has_it():
    """Distance and azimuth on the ellipsoid from A1 to C4 by PROJ: hypot(60, 40) ft at atan(40/60) right of 37.5."""
    opened = shoot(a_file("set bearing 37.5", HERE))
    at = {each["properties"]["name"]: each["geometry"]["coordinates"] for each in features(opened)[1:]}
    azimuth, _, distance = pyproj.Geod(ellps="WGS84").inv(*at["A1"], *at["C4"])
    assert at["A1"] == [A1[1], A1[0]]
    assert distance == pytest.approx(np.hypot(60, 40) * 0.3048, abs=1e-3)
    assert azimuth == pytest.approx(37.5 + np.degrees(np.arctan2(40, 60)), abs=1e-3)


def test_properties_are_the_figures():
    opened = placed()
    summary = figures_of(opened)
    shots = [each["properties"] for each in features(opened) if each["properties"]["what"] == "shot"]
    assert len(shots) == summary.counted
    for told in shots:
        index = summary.grid.index(told["name"])
        assert told["height_mm"] == int(summary.heights[index]) / 1e6
        assert told["deviation_mm"] == summary.deviation_at(index) / 1e6
        assert told["design_mm"] == pytest.approx(told["height_mm"] - told["deviation_mm"], abs=1e-9)
        assert told["elevation_m"] == pytest.approx((int(summary.heights[index]) + summary.datum.zero_nm) / 1e9)


def test_all_spots_lie_in_the_pad():
    opened = shoot(a_file("set bearing 200.5", HERE, inset=304_800_000))
    pad, *shots = features(opened)
    polygon = shape(pad["geometry"])
    assert len(shots) == 13
    assert all(shapely.contains(polygon, shape(each["geometry"])) for each in shots)


def test_where_nobody_said_what_to_set_is_said():
    with pytest.raises(ExportError, match="set a1-wgs84 46"):
        export(shoot(a_file("set bearing 37.5")), Kind.GEOJSON)
    with pytest.raises(ExportError, match=r"set bearing 37\.5$"):
        export(shoot(a_file(HERE)), Kind.GEOJSON)


def test_no_language_changes_a_byte():
    opened = placed()
    with speaking("es"):
        spanish = export(opened, Kind.GEOJSON)
    assert spanish == export(opened, Kind.GEOJSON)


@pytest.mark.parametrize(
    "said",
    ["46,-116", "46.2,-116.8", "46.20873", "89.500001,0.000001", "46.20873,180.00001", "46.20873,-116.88000,3", "x,y"],
)
def test_what_is_no_place_on_the_earth_is_refused(said):
    with pytest.raises(DictationError, match="latitude, then longitude"):
        a_book(f"set a1-wgs84 {said}")


@settings(max_examples=200, deadline=None)
@given(st.floats(-89, 89), st.floats(-180, 179.9), st.floats(-500, 500), st.floats(-500, 500))
def test_places_are_those_of_proj(latitude, longitude, north, east):
    """PROJ's `topocentric`, the same plane by another hand: within a hundredth of a millimetre."""
    there = pyproj.Transformer.from_pipeline(
        "+proj=pipeline +step +inv +proj=topocentric +ellps=WGS84 "
        f"+lat_0={latitude:.12f} +lon_0={longitude:.12f} +h_0=0 "
        "+step +inv +proj=cart +ellps=WGS84 +step +proj=unitconvert +xy_in=rad +xy_out=deg"
    )
    wanted = there.transform(east, north, 0.0)
    origin = float(f"{latitude:.12f}"), float(f"{longitude:.12f}")
    found = longitude_latitude(origin, np.array([north]), np.array([east]))
    metre = 1 / 111_000
    assert found[1][0] == pytest.approx(wanted[1], abs=1e-5 * metre)
    turned = (found[0][0] - wanted[0] + 180) % 360 - 180
    assert turned * np.cos(np.radians(latitude)) == pytest.approx(0, abs=1e-5 * metre)


@settings(max_examples=200, deadline=None)
@given(st.floats(-88, 88), st.floats(-180, 179.9), st.floats(-40, 40))
def test_convergence_is_that_of_proj(latitude, meridian, off):
    """PROJ's meridian convergence of its transverse Mercator projection (COMPUTED, pyproj)."""
    longitude = (meridian + off + 180) % 360 - 180
    grid = pyproj.Proj(f"+proj=tmerc +lat_0=0 +lon_0={meridian:.12f} +k=0.9996 +x_0=500000 +ellps=WGS84")
    wanted = grid.get_factors(longitude, latitude, errcheck=True).meridian_convergence
    found = convergence(latitude, longitude, float(f"{meridian:.12f}"))
    assert (found - wanted + 180) % 360 - 180 == pytest.approx(0, abs=3e-8), "PROJ takes differences"


def test_a_bearing_from_grid_north_is_turned_by_the_convergence():
    """C4 by its coordinates in UTM zone 11 (EPSG:32611) and by GeoJSON: one place, but for the grid's scale."""
    opened = shoot(a_file("set bearing 37.5", HERE, "set grid-meridian -117"))
    at = {each["properties"]["name"]: each["geometry"]["coordinates"] for each in features(opened)[1:]}
    to_utm = pyproj.Transformer.from_crs("EPSG:4326", "EPSG:32611", always_xy=True)
    (e0, n0), (e1, n1) = (to_utm.transform(*at[name]) for name in ("A1", "C4"))
    bearing = np.degrees(np.arctan2(e1 - e0, n1 - n0))
    assert bearing == pytest.approx(37.5 + np.degrees(np.arctan2(40, 60)), abs=1e-4)
    true = shoot(a_file("set bearing 37.5", HERE))
    other = {each["properties"]["name"]: each["geometry"]["coordinates"] for each in features(true)[1:]}
    assert other["C4"] != at["C4"]


@pytest.mark.parametrize("said", ["181", "x", "-117W", "", "1e2"])
def test_what_is_no_meridian_is_refused(said):
    with pytest.raises(DictationError):
        a_book(f"set grid-meridian {said}")
