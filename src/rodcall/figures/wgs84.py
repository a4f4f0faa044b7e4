"""Longitude and latitude of places on the pad, in WGS 84.

The pad's plane is taken as touching the ellipsoid at A1, height 0. WGS 84: a = 6,378,137 m, 1/f = 298.257223563
(NIMA TR8350.2, table 3.1). Into earth-centred coordinates and back by the formulas of any text on geodesy; back by
Bowring's (Survey Review 23, 1976), whose error near the ellipsoid is far below a micrometre.
"""

from __future__ import annotations

import math

import numpy as np

from rodcall.figures.ground.averages import Floats

SEMI_MAJOR_M = 6_378_137.0
FLATTENING = 1 / 298.257223563
ECCENTRICITY_2 = FLATTENING * (2 - FLATTENING)
"""The first eccentricity, squared."""


def convergence(latitude: float, longitude: float, meridian: float) -> float:
    """How far grid north lies east of true north in a transverse Mercator grid, degrees.

    Krueger's series in the third flattening n, to n^4, as Karney has it (J. Geodesy 85, 2011, 475-485, equations 7 to
    12, 24 and 25; MEMORY, held against PROJ by test): below a millionth of a degree within 40 degrees of the meridian.

    Args:
        latitude: Degrees.
        longitude: Degrees.
        meridian: Longitude of the grid's central meridian, degrees.
    """
    east = math.radians((longitude - meridian + 180) % 360 - 180)
    tangent, eccentricity = math.tan(math.radians(latitude)), math.sqrt(ECCENTRICITY_2)
    sine = tangent / math.hypot(1.0, tangent)
    sigma = math.sinh(eccentricity * math.atanh(eccentricity * sine))
    conformal = tangent * math.hypot(1.0, sigma) - sigma * math.hypot(1.0, tangent)
    xi = math.atan2(conformal, math.cos(east))
    eta = math.asinh(math.sin(east) / math.hypot(conformal, math.cos(east)))
    real, imaginary = 1.0, 0.0
    for j, alpha in enumerate(_alphas(), 1):
        real += 2 * j * alpha * math.cos(2 * j * xi) * math.cosh(2 * j * eta)
        imaginary += 2 * j * alpha * math.sin(2 * j * xi) * math.sinh(2 * j * eta)
    spherical = math.atan2(conformal * math.tan(east), math.hypot(1.0, conformal))
    return math.degrees(spherical + math.atan2(imaginary, real))


def _alphas() -> tuple[float, float, float, float]:
    """Krueger's coefficients to the fourth power of the third flattening."""
    n = FLATTENING / (2 - FLATTENING)
    return (
        n / 2 - 2 * n**2 / 3 + 5 * n**3 / 16 + 41 * n**4 / 180,
        13 * n**2 / 48 - 3 * n**3 / 5 + 557 * n**4 / 1440,
        61 * n**3 / 240 - 103 * n**4 / 140,
        49561 * n**4 / 161280,
    )


def longitude_latitude(origin: tuple[float, float], north_m: Floats, east_m: Floats) -> tuple[Floats, Floats]:
    """Where places beside a known one lie, degrees.

    Args:
        origin: Latitude and longitude of the known place, degrees.
        north_m: Metres towards true north.
        east_m: Metres towards true east.

    Returns:
        Longitudes and latitudes; longitudes from -180 up to, but not including, 180.
    """
    latitude, longitude = np.radians(origin)
    sin, cos = np.sin(latitude), np.cos(latitude)
    normal = SEMI_MAJOR_M / np.sqrt(1 - ECCENTRICITY_2 * sin**2)
    # In the plane of the origin's meridian: out from the axis, to the east, and along the axis.
    outward = normal * cos - sin * north_m
    axial = normal * (1 - ECCENTRICITY_2) * sin + cos * north_m
    distance = np.hypot(outward, east_m)
    semi_minor = SEMI_MAJOR_M * (1 - FLATTENING)
    reduced = np.arctan2(axial * SEMI_MAJOR_M, distance * semi_minor)
    found = np.arctan2(
        axial + ECCENTRICITY_2 / (1 - ECCENTRICITY_2) * semi_minor * np.sin(reduced) ** 3,
        distance - ECCENTRICITY_2 * SEMI_MAJOR_M * np.cos(reduced) ** 3,
    )
    turned = np.degrees(longitude + np.arctan2(east_m, outward))
    return (turned + 180) % 360 - 180, np.degrees(found)
