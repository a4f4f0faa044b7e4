"""How a pad lies in the drawing's system: elevation of the zero, coordinates of A1, bearing of the far end."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from rodcall.book.model.datum import COMPASS_DEGREES, parse_coordinates, parse_elevation, parse_latitude_longitude
from rodcall.book.model.terms import Terms
from rodcall.figures.ground.averages import Floats
from rodcall.figures.wgs84 import convergence, longitude_latitude
from rodcall.frozen import Frozen


class Datum(Frozen):
    """The drawing's system, told from the pad's own: distances from A1, heights above the zero.

    The far end looks along a bearing b, so a metre away is (cos b, sin b) north and east, and one to the right is
    (-sin b, cos b).
    """

    reference: str = ""
    """Whose elevation is known; empty where none is."""
    elevation_nm: int = 0
    """Of that reference."""
    zero_nm: int | None = None
    """Elevation of the zero in force; None where it is not known, as before the reference has a height."""
    north_m: float = 0.0
    """Of A1, or of the spot that was A1 when its coordinates were said (`spot_m`)."""
    east_m: float = 0.0
    bearing: float = 0.0
    """Degrees from north, clockwise, of the way the far end looks."""
    knows_bearing: bool = False
    has_coordinates: bool = False
    tells_elevations: bool = False
    """Heights are to be told as elevations."""

    latitude_longitude: tuple[float, float] | None = None
    """Of A1 in WGS 84, degrees; None where nobody said."""
    spot_m: tuple[float, float] = (0.0, 0.0)
    """The spot whose coordinates were said as A1's, metres out from A1 and right: A1 moves where lines are added."""
    grid_meridian: float | None = None
    """Central meridian of the drawing's grid, degrees east; None where the bearing counts from true north."""
    spot_wgs84_m: tuple[float, float] = (0.0, 0.0)
    """Likewise of latitude and longitude."""

    @property
    def told_from_nm(self) -> int | None:
        """What is added to a height that is told; None where heights are told above the zero."""
        return self.zero_nm if self.tells_elevations else None

    def coordinates(self, along_m: Floats, across_m: Floats) -> tuple[Floats, Floats]:
        """North and east of places on the pad, metres.

        Args:
            along_m: Distances from A1 away from the near edge.
            across_m: Distances to the right.
        """
        north, east = _turned(along_m - self.spot_m[0], across_m - self.spot_m[1], self.bearing)
        return self.north_m + north, self.east_m + east

    @property
    def a1(self) -> tuple[float, float]:
        """North and east of A1 as it is now, metres."""
        north, east = self.coordinates(np.zeros(1), np.zeros(1))
        return float(north[0]), float(east[0])

    def longitude_latitude(self, along_m: Floats, across_m: Floats) -> tuple[Floats, Floats] | None:
        """Degrees of WGS 84 of places on the pad; None where A1's are not known, or the bearing is not.

        The bearing counts from true north here, or from the north of the drawing's grid where its meridian was said.
        """
        if self.latitude_longitude is None or not self.knows_bearing:
            return None
        along, across = self.spot_wgs84_m
        from_spot = along_m - along, across_m - across
        return longitude_latitude(self.latitude_longitude, *_turned(*from_spot, self.bearing + self.convergence))

    @property
    def convergence(self) -> float:
        """How far the north of the drawing's grid lies east of true north at the pad, degrees; 0 where not known."""
        if self.grid_meridian is None or self.latitude_longitude is None:
            return 0.0
        return convergence(*self.latitude_longitude, self.grid_meridian)

    def on_pad(self, north_m: Floats, east_m: Floats) -> tuple[Floats, Floats]:
        """Distances from A1 away and to the right of places by their coordinates, metres."""
        cos, sin = _cos_sin(self.bearing)
        north, east = north_m - self.north_m, east_m - self.east_m
        return north * cos + east * sin + self.spot_m[0], east * cos - north * sin + self.spot_m[1]


def _turned(along_m: Floats, across_m: Floats, bearing: float) -> tuple[Floats, Floats]:
    """Metres north and east, of metres away and to the right."""
    cos, sin = _cos_sin(bearing)
    return along_m * cos - across_m * sin, along_m * sin + across_m * cos


def _cos_sin(bearing: float) -> tuple[float, float]:
    angle = math.radians(bearing)
    return round(math.cos(angle), 15), round(math.sin(angle), 15)


def datum_of(terms: Terms, references: Mapping[str, int]) -> Datum:
    """The datum that the terms say.

    Args:
        terms: In force.
        references: Height of each above the zero in force, nanometres.
    """
    said = terms.said
    name, elevation = parse_elevation(str(said["datum"])) if "datum" in said else ("", 0)
    north, east = parse_coordinates(str(said["a1"])) if "a1" in said else (0, 0)
    compass = COMPASS_DEGREES.get(str(said.get("north", "")))
    bearing = said.get("bearing", compass)
    return Datum(
        reference=name,
        elevation_nm=elevation,
        zero_nm=elevation - references[name] if name in references else None,
        north_m=north * 1e-9,
        east_m=east * 1e-9,
        bearing=float(bearing) if isinstance(bearing, int | float) else 0.0,
        knows_bearing=bearing is not None,
        has_coordinates="a1" in said,
        latitude_longitude=parse_latitude_longitude(str(said["a1-wgs84"])) if "a1-wgs84" in said else None,
        tells_elevations=said.get("heights-as") == "elevation",
        grid_meridian=float(meridian) if isinstance(meridian := said.get("grid-meridian"), int | float) else None,
        spot_m=_metres(terms.of_a1.get("a1")),
        spot_wgs84_m=_metres(terms.of_a1.get("a1-wgs84")),
    )


def _metres(place: tuple[int, int] | None) -> tuple[float, float]:
    return (0.0, 0.0) if place is None else (place[0] * 1e-9, place[1] * 1e-9)
