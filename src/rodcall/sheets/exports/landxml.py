"""The ground as LandXML 1.2, an open standard: surfaces as TINs and named points, in metres.

Element rules as the schema has them (LandXML-1.2.xsd, posted 7/29/2008): `P` holds northing, easting and elevation and
needs an `id` above 0; `F` holds three of these ids; `Definition` needs `surfType`; names of surfaces, of groups of
points and of the points in a group are unique; the units of area, length, volume, temperature and pressure are named.
Written line by line: a tree of elements for 10,000 positions takes seconds.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import quoteattr

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints
from rodcall.figures.ground.mesh import Mesh, mesh
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.sheets.content.record import Record
from rodcall.sheets.exports.data_table import iso_time
from rodcall.sheets.exports.named_points import (
    NamedPoint,
    elevation_nm,
    estimates,
    off_the_pad,
    references,
    shots,
    six_decimals,
)
from rodcall.sheets.exports.table import plain_number
from rodcall.wording import words

NAMESPACE = "http://www.landxml.org/schema/LandXML-1.2"
UNITS = {
    "areaUnit": "squareMeter",
    "linearUnit": "meter",
    "volumeUnit": "cubicMeter",
    "temperatureUnit": "celsius",
    "pressureUnit": "HPA",
}
SHOT = {"code": "SHOT", "pntSurv": "sideshot", "role": "measured", "DTMAttribute": "spot"}
ESTIMATE = {"code": "ESTIMATE", "role": "calculated", "DTMAttribute": "donotinclude"}
REFERENCE = {"code": "REFERENCE", "pntSurv": "control", "role": "control point", "DTMAttribute": "donotinclude"}
"""What marks a point as each of them; words of the schema's own lists but for `code`."""


def to_landxml(summary: Summary, record: Record, first: Summary | None = None) -> bytes:
    """The surface of the round out to the pad's edge, the ground before the dig, the target chosen, all points by name.

    Heights are elevations where the datum is known, else above the zero.

    Args:
        summary: Of the round.
        record: Says when the book ends.
        first: Of the existing ground, where the round is a later one.

    Raises:
        ValueError: when nothing is shot yet.
    """
    if summary.dirt is None:
        raise ValueError(say("no shots yet: no surface to write"))
    return "\n".join(_lines(summary, record, first)).encode()


def _lines(summary: Summary, record: Record, first: Summary | None) -> Iterator[str]:
    made, name = record.ended, words.harmless(summary.job.name)
    when = {"date": f"{made:%Y-%m-%d}".zfill(10), "time": f"{made:%H:%M:%S}"}
    yield '<?xml version="1.0" encoding="utf-8"?>'
    yield _tag("LandXML", {"xmlns": NAMESPACE, "version": "1.2", **when})
    yield f"<Units>{_tag('Metric', UNITS, end=True)}</Units>"
    yield _tag("Project", {"name": name}, end=True)
    yield _tag("Application", {"name": "rodcall"}, end=True)
    yield from _points(summary)
    yield from _monuments(summary)
    yield "<Surfaces>"
    yield from _surfaces(summary, first, name)
    yield "</Surfaces>"
    yield "</LandXML>\n"


def _points(summary: Summary) -> Iterator[str]:
    plus_minus, seconds = summary.uncertainty.nm, summary.evidence.seconds

    def of_shot(point: NamedPoint) -> dict[str, str]:
        # A standard deviation is half of plus/minus.
        found = {"elevationStdError": f"{float(plus_minus[point.index]) / 2e9:.6f}"}
        time = iso_time(float(seconds[point.index]))
        return {**found, "timeStamp": time} if time else found

    groups = (
        ("shots", "read on the ground in this round", SHOT, shots(summary)),
        ("not shot", "no reading in this round: heights of the surface there", ESTIMATE, estimates(summary)),
        ("references", "the zero, and references that lie on the pad", REFERENCE, references(summary)),
    )
    for group, told, marks, found in groups:
        points, same = list(found), _told_in(marks)
        if points:
            yield _tag("CgPoints", {"name": group, "desc": told})
            for point in points:
                more = of_shot(point) if marks is SHOT else {}
                height = plain_number(elevation_nm(summary, point.height_nm), 10**9, 9)
                place = f"{six_decimals(point.north_m)} {six_decimals(point.east_m)} {height}"
                own = _told_in({"name": point.name, "desc": point.description, **more})
                yield f"<CgPoint{own}{same}>{place}</CgPoint>"
            yield "</CgPoints>"


def _monuments(summary: Summary) -> Iterator[str]:
    """References of which only the height is known: the schema's points have a place, its monuments need none."""
    found = off_the_pad(summary)
    if not found:
        return
    yield "<Monuments>"
    for name, height in found.items():
        is_benchmark = name == summary.datum.reference
        told = f"{plain_number(abs(height), 10**9, 9)} m {'below' if height < 0 else 'above'} the zero"
        if is_benchmark:
            told += f", elevation {plain_number(summary.datum.elevation_nm, 10**9, 9)} m"
        category = "benchmark" if is_benchmark else "reference"
        yield _tag("Monument", {"name": name, "desc": told, "category": category}, end=True)
    yield "</Monuments>"


def _surfaces(summary: Summary, first: Summary | None, name: str) -> Iterator[str]:
    """The ground of the round goes first: programs that take one surface take that."""
    assert summary.dirt is not None
    above = "elevations" if summary.datum.zero_nm is not None else "above the zero"
    yield from _tin(summary, mesh(summary.dirt.surface), name, _told(summary, above), "existing")
    if first is not None and first.dirt is not None:
        yield from _tin(first, mesh(first.dirt.surface), f"{name}, before the dig", _told(first, above), "")
    if summary.chosen is not None:
        # A target that is only suggested is no design of anybody's.
        design = mesh(summary.dirt.surface, summary.dirt.grade)
        yield from _tin(summary, design, f"{name}, design", f"the target, {above}", "proposed")


def _told(summary: Summary, above: str) -> str:
    before = int(np.count_nonzero(summary.from_before))
    estimated = summary.positions - summary.counted - before
    of_before = f"{before} of the round before, " if before else ""
    return f"{summary.kind} round, {above}; {summary.counted} shot, {of_before}{estimated} estimated"


def _tin(summary: Summary, ground: Mesh, name: str, told: str, state: str) -> Iterator[str]:
    north, east = summary.datum.coordinates(ground.points[:, 0], ground.points[:, 1])
    level = ground.points[:, 2] + (summary.datum.zero_nm or 0) * 1e-9
    # Adding 0 takes the sign from a zero.
    places = np.stack((north, east, level), axis=1).round(6) + 0.0
    numbered: Floats = np.column_stack((np.arange(1, len(places) + 1), places))
    yield _tag("Surface", {"name": name, "desc": told, **({"state": state} if state else {})})
    yield _tag(
        "Definition", {"surfType": "TIN", "elevMin": six_decimals(level.min()), "elevMax": six_decimals(level.max())}
    )
    yield "<Pnts>"
    yield _each('<P id="%d">%.6f %.6f %.6f</P>', numbered)
    yield "</Pnts>"
    yield "<Faces>"
    yield _each("<F>%d %d %d</F>", ground.faces + 1)
    yield "</Faces>"
    yield "</Definition>"
    yield "</Surface>"


def _each(form: str, rows: Floats | Ints) -> str:
    """A line for each row, in one go: a list of its own for each row keeps the collector of garbage busy."""
    return "\n".join([form] * len(rows)) % tuple(rows.ravel().tolist())


def _tag(name: str, attributes: dict[str, str], *, end: bool = False) -> str:
    return f"<{name}{_told_in(attributes)}{'/' if end else ''}>"


def _told_in(attributes: dict[str, str]) -> str:
    return "".join(f" {each}={quoteattr(value)}" for each, value in attributes.items())
