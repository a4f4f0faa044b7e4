"""Longitude and latitude of places on the pad, in WGS 84.

The pad's plane is taken as touching the ellipsoid at A1, height 0. WGS 84: a = 6,378,137 m, 1/f = 298.257223563
(NIMA TR8350.2, table 3.1). Into earth-centred coordinates and back by the formulas of any text on geodesy; back by
Bowring's (Survey Review 23, 1976), whose error near the ellipsoid is far below a micrometre.
"""

from __future__ import annotations

import numpy as np

from rodcall.figures.ground.averages import Floats

SEMI_MAJOR_M = 6_378_137.0
FLATTENING = 1 / 298.257223563
ECCENTRICITY_2 = FLATTENING * (2 - FLATTENING)
"""The first eccentricity, squared."""


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
