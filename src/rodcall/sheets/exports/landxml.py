"""The ground as LandXML 1.2, an open standard: the triangles of cut and fill as a TIN, in metres.

Element rules as the schema's element documentation has them, read second-hand: `P` holds northing, easting and
elevation and needs an `id` above 0; `F` holds three of these ids; `Definition` needs `surfType`; the units of area,
length, volume, temperature and pressure must be named.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np

from rodcall.figures.ground.averages import Ints
from rodcall.figures.ground.pad_squares import RING, WHOLE, Squares
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.sheets.content.record import Record
from rodcall.sheets.exports.points import north_east
from rodcall.wording import words

NAMESPACE = "http://www.landxml.org/schema/LandXML-1.2"
UNITS = {
    "areaUnit": "squareMeter",
    "linearUnit": "meter",
    "volumeUnit": "cubicMeter",
    "temperatureUnit": "celsius",
    "pressureUnit": "HPA",
}


def to_landxml(summary: Summary, record: Record) -> bytes:
    """The surface of the round out to the pad's edge; heights above the zero.

    Raises:
        ValueError: when nothing is shot yet.
    """
    if summary.dirt is None:
        raise ValueError(say("there is no surface yet: nothing is shot"))
    surface, made = summary.dirt.surface, record.ended
    root = ET.Element(
        "LandXML",
        {"xmlns": NAMESPACE, "version": "1.2", "date": f"{made:%Y-%m-%d}", "time": f"{made:%H:%M:%S}"},
    )
    ET.SubElement(ET.SubElement(root, "Units"), "Metric", UNITS)
    name = words.harmless(summary.job.name)
    ET.SubElement(root, "Project", {"name": name})
    ET.SubElement(root, "Application", {"name": "rodcall"})
    before = int(np.count_nonzero(summary.from_before))
    estimated = summary.positions - summary.counted - before
    of_before = f"{before} of the round before, " if before else ""
    told = f"{summary.kind} round, above the zero; {summary.counted} shot, {of_before}{estimated} estimated"
    tin = ET.SubElement(ET.SubElement(root, "Surfaces"), "Surface", {"name": name, "desc": told})
    heights, squares = surface.nodes, surface.squares
    corners = np.full(tuple(size - 1 for size in heights.shape), WHOLE) if squares is None else squares.corners_on_pad
    used = np.ones(heights.shape, np.bool_) if squares is None else squares.node_weights > 0.0
    definition = ET.SubElement(
        tin,
        "Definition",
        {"surfType": "TIN", "elevMin": f"{heights[used].min():.6f}", "elevMax": f"{heights[used].max():.6f}"},
    )
    points, faces = ET.SubElement(definition, "Pnts"), ET.SubElement(definition, "Faces")
    centres = (heights[:-1, :-1] + heights[:-1, 1:] + heights[1:, :-1] + heights[1:, 1:]) / 4
    lines, columns = surface.node_along, surface.node_across
    parts = ((lines, columns, heights, used), (_middles(lines), _middles(columns), centres, corners == WHOLE))
    numbers, last = [], 0
    for along, across, level, wanted in parts:
        # Points are numbered from 1 on; what no triangle stands on has no number.
        numbers.append(np.where(wanted, wanted.cumsum().reshape(wanted.shape) + last, 0))
        last += int(np.count_nonzero(wanted))
        north, east = north_east(summary, *np.meshgrid(along, across, indexing="ij"))
        for number, *place in zip(numbers[-1].flat, north.flat, east.flat, level.flat, strict=True):
            if number:
                text = " ".join(f"{value + 0.0:.6f}" for value in place)
                ET.SubElement(points, "P", {"id": str(number)}).text = text
    for face in _faces(numbers[0], numbers[1], squares):
        ET.SubElement(faces, "F").text = " ".join(map(str, face))
    ET.indent(root)
    content: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return content


def _middles(at: np.ndarray) -> np.ndarray:
    return np.asarray((at[1:] + at[:-1]) / 2)


def _faces(nodes: Ints, middles: Ints, squares: Squares | None) -> list[tuple[int, int, int]]:
    """Four triangles a whole square, and one where a corner is no pad, counter-clockwise from above.

    Args:
        nodes: Numbers of the corners, 0 for none.
        middles: Numbers of the squares' middles, 0 for a square that is not whole.
        squares: What is pad; None where all is.
    """
    told = []
    for line, column in np.argwhere(middles):
        around = [int(nodes[line + away, column + right]) for away, right in (*RING, RING[0])]
        told += [(one, other, int(middles[line, column])) for one, other in pairwise(around)]
    if squares is not None:
        triangles = squares.triangles
        ends = nodes[triangles.lines[:-1], triangles.columns[:-1]]
        told += [(int(one), int(other), int(last)) for one, other, last in ends.T]
    return told
