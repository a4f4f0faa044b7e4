"""Points as survey offices give them: point, north, east, height, description, one a line, with a header or without."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Sequence

import numpy as np

from rodcall.figures.ground.averages import Floats
from rodcall.files_in.text import FileInError, UntoldError, at_line
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.units.quantities import FOOT_M

ORDERS = {"pneh": ("point", "north", "east", "height"), "penh": ("point", "east", "north", "height")}
"""Orders of the first columns where no header tells: point, then north or east first."""
UNITS = {"ft": FOOT_M, "m": 1.0, "mm": 0.001}
SURVEY_FOOT_M = 1200 / 3937
"""The US survey foot (NIST SP 811, appendix B); only LandXML names it."""
MOST_POINTS = 500_000

_NAMES = {
    "point": {"point", "pt", "p", "number", "no", "id", "name", "punto"},
    "north": {"north", "northing", "n", "y", "norte"},
    "east": {"east", "easting", "e", "x", "este"},
    "height": {"height", "h", "z", "altura"},
    "elevation": {"elevation", "elev", "el", "cota"},
    "description": {"description", "desc", "code", "d", "descripción"},
}
_UNIT_WORDS = {"ft": "ft", "feet": "ft", "foot": "ft", "m": "m", "meter": "m", "metre": "m", "metres": "m", "mm": "mm"}
MOST_NUMBER = 1e10
"""Of a coordinate: a country's grid has eight digits in feet."""
_PLAIN = re.compile(r"[0-9.+\- ]*", re.ASCII)
_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})", re.ASCII)


class Points(Frozen, eq=False):
    """Points of a file, metres; arrays of equal length."""

    names: tuple[str, ...]
    first_m: Floats
    """North, or east where the order is not told yet."""
    second_m: Floats
    height_m: Floats
    lines: tuple[int, ...]
    """Where each stands in the file, from 1."""
    order: str
    """A key of `ORDERS`; empty where it cannot be told."""
    is_elevation: bool | None
    """Whether a header says elevations, or heights; None where nothing is said."""
    unit: str

    def ordered(self, order: str) -> tuple[Floats, Floats]:
        """North and east, metres."""
        return (self.second_m, self.first_m) if order == "penh" else (self.first_m, self.second_m)


def parse_points(lines: Sequence[str], order: str = "", unit: str = "") -> Points:
    """The points of a file's lines; `#` begins a comment.

    Args:
        lines: Of the file.
        order: A key of `ORDERS`, where somebody said it.
        unit: A key of `UNITS`, where somebody said it.

    Raises:
        FileInError: at the first line that cannot be read, with its number; `UntoldError` where nothing names the unit.
    """
    numbered = [(at, line) for at, line in enumerate(lines, 1) if line.strip() and not line.lstrip().startswith("#")]
    if not numbered:
        raise FileInError(say("there is no point in it"))
    cut = _cutter(numbered[0][1], numbered[min(1, len(numbered) - 1)][1])
    head = cut(numbered[0][1], numbered[0][0])
    columns = _header(head)
    if columns is not None:
        numbered = numbered[1:]
    if not numbered:
        raise FileInError(say("there is no point in it"))
    if len(numbered) > MOST_POINTS:
        raise FileInError(say("more than {most} points", most=MOST_POINTS))
    known_unit = unit or (columns.unit if columns is not None else "")
    if not known_unit:
        why = say("nothing says whether it is in feet or metres; add --unit ft or --unit m")
        raise UntoldError(why, "unit", tuple(UNITS))
    place = columns.at if columns is not None else (0, 1, 2, 3)
    known_order = "pneh" if columns is not None else order
    rows = [cut(line, number) for number, line in numbered]
    values = _at_once(rows, place, most=None if columns is not None else 5)
    if values is None:
        values = _one_by_one(rows, [number for number, _ in numbered], place, with_header=columns is not None)
    metres = values * UNITS[known_unit]
    elevation = columns.is_elevation if columns is not None else None
    names = tuple(row[place[0]].strip()[:40] for row in rows)
    at_lines = tuple(number for number, _ in numbered)
    north_or_east, other, height = metres[:, 0], metres[:, 1], metres[:, 2]
    return Points(names, north_or_east, other, height, at_lines, known_order, elevation, known_unit)


def _at_once(rows: list[list[str]], place: tuple[int, int, int, int], most: int | None) -> Floats | None:
    """The numbers of all rows, (rows, 3); None where one of them is not as it should be."""
    lengths = set(map(len, rows))
    if min(lengths) <= max(place) or (most is not None and max(lengths) > most):
        return None
    columns = [[row[at] for row in rows] for at in place[1:]]
    if not all(_PLAIN.fullmatch("".join(column)) for column in columns):
        return None
    try:
        values = np.array([list(map(float, column)) for column in columns]).T
    except ValueError:
        return None
    return values if float(np.abs(values).max()) < MOST_NUMBER else None


def _one_by_one(
    rows: list[list[str]], numbers: list[int], place: tuple[int, int, int, int], *, with_header: bool
) -> Floats:
    """The same row by row, up to the first that is not as it should be."""
    values = []
    for cells, number in zip(rows, numbers, strict=True):
        if len(cells) <= max(place):
            raise at_line(number, say("{count} columns; needs point, north, east, height", count=len(cells)))
        if not with_header and len(cells) > 5:
            raise at_line(number, say("{count} columns; more than five need a header", count=len(cells)))
        row = [cells[at].strip() for at in place[1:]]
        for cell in row:
            if not _NUMBER.fullmatch(cell) or abs(float(cell)) >= MOST_NUMBER:
                raise at_line(number, say("{said} is not a number", said=repr(cell[:20])))
        values.append(tuple(map(float, row)))
    return np.array(values, np.float64)


class _Columns(Frozen):
    at: tuple[int, int, int, int]
    """Point, north, east, height."""
    unit: str
    is_elevation: bool


def _header(cells: Sequence[str]) -> _Columns | None:
    """What the first line says of the columns, or None where it is a point."""
    if len(cells) >= 4 and all(_NUMBER.fullmatch(cell.strip()) for cell in cells[1:4]):
        return None
    found: dict[str, tuple[int, str]] = {}
    for at, cell in enumerate(cells):
        words = re.split(r"[\s_(),]+", cell.strip().lower().strip('"'))
        unit = next((_UNIT_WORDS[word] for word in words[1:] if word in _UNIT_WORDS), "")
        for name, known in _NAMES.items():
            if words[0] in known and name not in found:
                found[name] = at, unit
    height = found.get("elevation") or found.get("height")
    missing = [name for name in ("point", "north", "east") if name not in found]
    if missing or height is None:
        if not any(any(char.isdigit() for char in cell) for cell in cells[1:4]):
            missing += [] if height is not None else ["height"]
            raise at_line(1, say("the header names no column {names}", names=" ".join(missing)))
        return None
    units = {found["north"][1], found["east"][1], height[1]}
    if len(units) > 1:
        raise at_line(1, say("the columns are not in one unit"))
    places = found["point"][0], found["north"][0], found["east"][0], height[0]
    return _Columns(places, units.pop(), "elevation" in found)


def _cutter(first: str, second: str) -> Callable[[str, int], list[str]]:
    """How a line is cut into cells, by what stands between those of the first; the second tells of decimal commas."""
    mark = next((each for each in ("\t", ";", ",") if first.count(each) >= 3), None)
    if mark is None:
        return lambda line, number: line.split(None, 4)
    decimal_comma = mark != "," and re.search(r"[0-9],[0-9]", second) is not None

    def cut(line: str, number: int) -> list[str]:
        if '"' in line:
            try:
                cells = next(csv.reader([line], delimiter=mark, strict=True))
            except (csv.Error, StopIteration):
                raise at_line(number, say("a quotation mark is not closed")) from None
        else:
            cells = line.split(mark)
        return [cell.replace(",", ".") for cell in cells] if decimal_comma else cells

    return cut
