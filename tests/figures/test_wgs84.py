"""Geodesy by closed forms and published numbers; against PROJ see the tests of the GeoJSON export."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodcall.figures.wgs84 import ECCENTRICITY_2, FLATTENING, SEMI_MAJOR_M, _alphas, convergence, longitude_latitude


def test_the_ellipsoid_is_wgs_84():
    """NIMA TR8350.2, table 3.1 and 3.3 (MEMORY): semi-minor axis 6,356,752.3142 m, e2 6.694 379 990 14e-3."""
    assert pytest.approx(6_356_752.3142, abs=1e-4) == SEMI_MAJOR_M * (1 - FLATTENING)
    assert pytest.approx(6.69437999014e-3, rel=1e-12) == ECCENTRICITY_2


@pytest.mark.parametrize(
    ("at", "published", "left_out", "rel"),
    # Krueger's coefficients of WGS 84 to the sixth power or more, as widely printed (MEMORY). Ours end at the fourth;
    # the next terms are 127/288 n^5, 281/630 n^5, 15061/26880 n^5 and 179/168 n^5 (Karney 2011, equation 35).
    [
        (0, 8.377318206244698e-4, -127 / 288, 1e-11),
        (1, 7.608527773572307e-7, 281 / 630, 1e-9),
        (2, 1.197645503329453e-9, 15061 / 26880, 1e-7),
        (3, 2.429170607201359e-12, -179 / 168, 2e-5),
    ],
)
def test_kruegers_coefficients_are_those_published(at, published, left_out, rel):
    n = FLATTENING / (2 - FLATTENING)
    assert _alphas()[at] + left_out * n**5 == pytest.approx(published, rel=rel, abs=0)


def test_there_is_no_convergence_on_the_meridian_or_the_equator():
    assert convergence(46.2, -117.0, -117.0) == 0.0
    assert convergence(0.0, 3.0, 0.0) == pytest.approx(0.0, abs=1e-15)
    assert convergence(46.2, 179.5, -179.5) == -convergence(46.2, 0.5, -0.5), "across the date line"


def test_east_of_the_meridian_grid_north_lies_east_of_true_north():
    """Near the meridian it is the difference in longitude times the sine of the latitude (any text on projections)."""
    found = convergence(46.2, -116.99, -117.0)
    assert found == pytest.approx(0.01 * math.sin(math.radians(46.2)), rel=1e-6)
    assert convergence(46.2, -117.01, -117.0) == pytest.approx(-found)
    assert convergence(-46.2, -116.99, -117.0) == pytest.approx(-found), "south of the equator the other way"


def test_a_metre_north_and_east_by_the_radii_of_curvature():
    """A metre is 1/M of latitude and 1/(N cos) of longitude in radians (any text on geodesy)."""
    latitude = 46.2
    sine = math.sin(math.radians(latitude))
    root = math.sqrt(1 - ECCENTRICITY_2 * sine**2)
    prime_vertical = SEMI_MAJOR_M / root
    meridian = SEMI_MAJOR_M * (1 - ECCENTRICITY_2) / root**3
    origin = latitude, -116.9
    longitudes, latitudes = longitude_latitude(origin, np.array([0.0, 10.0, 0.0]), np.array([0.0, 0.0, 10.0]))
    assert (longitudes[0], latitudes[0]) == pytest.approx((-116.9, latitude), rel=1e-13)
    assert latitudes[1] - latitude == pytest.approx(math.degrees(10 / meridian), rel=1e-5)
    assert longitudes[1] == pytest.approx(-116.9, rel=1e-14)
    east = math.degrees(10 / (prime_vertical * math.cos(math.radians(latitude))))
    assert longitudes[2] + 116.9 == pytest.approx(east, rel=1e-6)
    assert latitudes[2] == pytest.approx(latitude, abs=1e-9)


@pytest.mark.parametrize("longitude", [180.0, -180.0, 179.9999999])
def test_longitudes_run_from_minus_180_up_to_180(longitude):
    found, _ = longitude_latitude((10.0, longitude), np.array([0.0]), np.array([50.0]))
    assert -180.0 <= found[0] < -179.999
