"""How a pad lies in the drawing's system, as it is said: a benchmark's elevation, A1's coordinates, a bearing."""

from __future__ import annotations

import re

from rodcall.i18n import say
from rodcall.units import M, parse_length

COMPASS_DEGREES = {name: 45.0 * number for number, name in enumerate(("n", "ne", "e", "se", "s", "sw", "w", "nw"))}
"""Degrees from north, clockwise, of the way the far end looks."""

MOST_ELEVATION = 10_000 * M
MOST_COORDINATE = 100_000_000 * M
"""Coordinates of a country's grid have seven or eight digits in metres."""


MOST_LATITUDE = 89.0
"""Degrees: nearer to a pole east and north turn from one end of a pad to the other."""


class DatumError(ValueError):
    """A datum that is not understood; one line with an example."""


def parse_elevation(said: str) -> tuple[str, int]:
    """A reference and its elevation, nanometres: `BM1 812.40ft`.

    Raises:
        DatumError: when it is none.
    """
    name, _, height = said.strip().partition(" ")
    try:
        elevation = _signed(height)
    except ValueError:
        raise DatumError(say("a reference and its elevation with the unit: BM1 812.40ft")) from None
    if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_.-]{0,23}", name) or abs(elevation) > MOST_ELEVATION:
        raise DatumError(say("a reference and its elevation with the unit: BM1 812.40ft"))
    return name.upper() if name.upper() == "ZERO" else name, elevation


def parse_coordinates(said: str) -> tuple[int, int]:
    """North and east, nanometres: `5000.00ft,2000.00ft`.

    Raises:
        DatumError: when they are none.
    """
    parts = said.strip().split(",")
    try:
        if len(parts) != 2:
            raise ValueError
        north, east = (_signed(part.strip(), MOST_COORDINATE) for part in parts)
    except ValueError:
        raise DatumError(say("north, then east, with their units: 5000.00ft,2000.00ft")) from None
    return north, east


def parse_bearing(said: str) -> float:
    """Degrees from north, clockwise, of the way the far end looks: `37.5`, or a point of the compass.

    Raises:
        DatumError: when it is none.
    """
    word = said.strip().lower().removesuffix("°").removesuffix("deg").strip()
    if word in COMPASS_DEGREES:
        return COMPASS_DEGREES[word]
    if not re.fullmatch(r"[0-9]{1,3}(?:[.,][0-9]{1,6})?", word, re.ASCII) or float(word.replace(",", ".")) >= 360:
        raise DatumError(say("degrees from north, clockwise, 0 to 359.99: 37.5"))
    return float(word.replace(",", "."))


def parse_meridian(said: str) -> float:
    """Degrees east of Greenwich of a grid's central meridian: `-117`; west is below 0.

    Raises:
        DatumError: when it is none.
    """
    word = said.strip().removesuffix("°").removesuffix("deg").strip()
    if not re.fullmatch(r"[+-]?[0-9]{1,3}(?:\.[0-9]{1,9})?", word, re.ASCII) or abs(float(word)) > 180:
        raise DatumError(say("degrees east of Greenwich, west below 0: -117"))
    return float(word)


def parse_latitude_longitude(said: str) -> tuple[float, float]:
    """Latitude and longitude, degrees of WGS 84: `46.2087310,-116.8800000`; south and west are below 0.

    Raises:
        DatumError: when they are none, or nearer than a degree to a pole.
    """
    parts = [part.strip() for part in said.split(",")]
    if len(parts) == 2 and all(re.fullmatch(r"[+-]?[0-9]{1,3}\.[0-9]{5,12}", part, re.ASCII) for part in parts):
        latitude, longitude = map(float, parts)
        if abs(latitude) <= MOST_LATITUDE and abs(longitude) <= 180:
            return latitude, longitude
    raise DatumError(say("latitude, then longitude, in degrees with 5 decimals or more: 46.2087310,-116.8800000"))


def _signed(said: str, most: int = MOST_ELEVATION) -> int:
    """A length that may be below 0 and longer than any pad."""
    text = said.strip()
    sign = -1 if text.startswith("-") else 1
    text = text.lstrip("+-")
    match = re.fullmatch(r"([0-9]{1,9})(?:[.]([0-9]{1,9}))? ?(ft|m|')", text, re.ASCII)
    if match is None:
        return sign * parse_length(text)
    # parse_length bounds what a tape measures; a country's coordinates are longer.
    unit = M if match[3] == "m" else parse_length("1ft")
    decimals = (match[2] or "").ljust(9, "0")
    nm = int(match[1]) * unit + int(decimals) * unit // 10**9
    if nm > most:
        raise ValueError
    return sign * nm
