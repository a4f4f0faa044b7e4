"""How a pad lies in the drawing's system, worked by hand on right angles, and what is not known told as unknown."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.figures.datum import Datum
from rodcall.figures.wgs84 import convergence, longitude_latitude
from rodcall.units import FOOT, MM, Unit
from tests.kit import a_book, a_job, figures, say


def one(*values: float) -> tuple[np.ndarray, ...]:
    return tuple(np.array([value]) for value in values)


@pytest.mark.parametrize(
    ("bearing", "north", "east"),
    # 3 m away and 1 m to the right of a spot at 100 north, 50 east; the far end looks north, east, south, west.
    [(0.0, 103, 51), (90.0, 99, 53), (180.0, 97, 49), (270.0, 101, 47)],
)
def test_coordinates_and_back(bearing, north, east):
    datum = Datum(north_m=100.0, east_m=50.0, bearing=bearing)
    found = datum.coordinates(*one(3.0, 1.0))
    assert (found[0][0], found[1][0]) == (north, east), "exact on right angles"
    assert [float(each[0]) for each in datum.on_pad(*one(north, east))] == [3.0, 1.0]
    assert datum.a1 == (100.0, 50.0)


@pytest.mark.parametrize(
    ("bearing", "north", "east"), [(0.0, 101, 46), (90.0, 104, 51), (180.0, 99, 54), (270.0, 96, 49)]
)
def test_coordinates_that_were_said_of_another_a1(bearing, north, east):
    """What was A1 lies 2 m out and 5 m right of the A1 of now: 3 m away and 1 m right is 1 m on and 4 m back of it."""
    datum = Datum(north_m=100.0, east_m=50.0, bearing=bearing, spot_m=(2.0, 5.0))
    found = datum.coordinates(*one(3.0, 1.0))
    assert (found[0][0], found[1][0]) == (north, east)
    assert [float(each[0]) for each in datum.on_pad(*one(north, east))] == [3.0, 1.0]


def test_degrees_count_from_the_spot_that_was_a1_and_from_true_north():
    origin = (46.2, -116.9)
    datum = Datum(latitude_longitude=origin, knows_bearing=True, bearing=90.0, spot_wgs84_m=(2.0, 5.0))
    found = datum.longitude_latitude(*one(3.0, 1.0))
    # 1 m on is 1 m east, 4 m to the left of it 4 m north.
    wanted = longitude_latitude(origin, *one(4.0, 1.0))
    assert found[0][0] == pytest.approx(wanted[0][0], rel=1e-14)
    assert found[1][0] == pytest.approx(wanted[1][0], rel=1e-14)


def test_a_bearing_from_grid_north_is_turned_by_the_convergence():
    """East of its meridian grid north lies east of true north: the way north in the grid goes a little east."""
    origin, turn = (46.2, -116.0), convergence(46.2, -116.0, -117.0)
    datum = Datum(latitude_longitude=origin, knows_bearing=True, grid_meridian=-117.0)
    assert datum.convergence == turn > 0.7
    found = datum.longitude_latitude(*one(100.0, 0.0))
    east, north = 100 * np.sin(np.radians(turn)), 100 * np.cos(np.radians(turn))
    wanted = longitude_latitude(origin, *one(north, east))
    assert (found[0][0], found[1][0]) == (
        pytest.approx(wanted[0][0], rel=1e-13),
        pytest.approx(wanted[1][0], rel=1e-13),
    )
    assert found[0][0] > -116.0


def test_what_is_not_known_is_not_told():
    at = one(0.0, 0.0)
    assert Datum(knows_bearing=True).longitude_latitude(*at) is None
    assert Datum(latitude_longitude=(46.2, -116.9)).longitude_latitude(*at) is None
    assert Datum(latitude_longitude=(46.2, -116.9)).convergence == 0.0
    assert Datum(grid_meridian=-117.0).convergence == 0.0
    assert Datum(zero_nm=5).told_from_nm is None
    assert Datum(zero_nm=5, tells_elevations=True).told_from_nm == 5
    assert Datum(tells_elevations=True).told_from_nm is None


def test_what_the_terms_say():
    """BM1 stands 1.00 ft above the zero and at 812.40 ft: the zero is at 811.40 ft."""
    book = a_book(job=a_job(Unit.FT, step=FOOT // 100))
    nothing = figures(book).datum
    assert nothing == Datum()
    say(book, "datum BM1 812.40ft", "set a1 5000.00ft,2000.00ft", "set bearing 37.5", "set north NE")
    told = figures(book).datum
    assert (told.reference, told.elevation_nm, told.zero_nm) == ("BM1", 81240 * FOOT // 100, None)
    assert (told.north_m, told.east_m) == pytest.approx((5000 * 0.3048, 2000 * 0.3048), rel=1e-15)
    assert (told.bearing, told.knows_bearing, told.has_coordinates, told.tells_elevations) == (37.5, True, True, False)
    say(book, "reference BM1 +1.00", "set heights-as elevation", "set a1-wgs84 46.20873,-116.88000")
    say(book, "set grid-meridian -117")
    told = figures(book).datum
    assert told.told_from_nm == told.zero_nm == 81140 * FOOT // 100
    assert (told.latitude_longitude, told.grid_meridian) == ((46.20873, -116.88), -117.0)
    assert (told.spot_m, told.spot_wgs84_m) == ((0.0, 0.0), (0.0, 0.0))
    say(book, "zero B2")
    assert figures(book).datum.zero_nm == 81140 * FOOT // 100, "no shot there: the zero's level stays"


def test_a_point_of_the_compass_is_a_bearing():
    told = figures(a_book("set north NE")).datum
    assert (told.bearing, told.knows_bearing) == (45.0, True)


def test_lines_added_before_a1_leave_its_coordinates_where_they_were():
    """One line 5 m nearer and one column 7 m to the left: what was A1 is B2 now and keeps its coordinates."""
    job = a_job(Unit.MM, 4, 3, length=60_000 * MM, width=40_000 * MM)
    book = a_book("set a1 100m,50m", "set a1-wgs84 46.20873,-116.88000", "set bearing 90", job=job)
    say(book, "fact add-lines-near 5m", "fact add-columns-left 7m")
    told = figures(book).datum
    assert told.spot_m == pytest.approx((5.0, 7.0))
    assert told.spot_wgs84_m == pytest.approx((5.0, 7.0))
    assert told.a1 == pytest.approx((107.0, 45.0)), "5 m short of it and 7 m to its left: west and north"
