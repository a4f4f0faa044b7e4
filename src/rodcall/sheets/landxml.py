"""The ground as LandXML 1.2, an open standard: the triangles of cut and fill as a TIN, in metres.

Element rules as the schema's element documentation has them, read second-hand: `P` holds northing, easting and
elevation and needs an `id` above 0; `F` holds three of these ids; `Definition` needs `surfType`; the units of area,
length, volume, temperature and pressure must be named.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np

from rodcall import words
from rodcall.figures.summary import Summary
from rodcall.language import say
from rodcall.sheets.points import north_east
from rodcall.sheets.record import Record

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
    estimated = summary.grid.size - summary.counted
    told = f"{summary.kind} round, above the zero; {summary.counted} shot, {estimated} estimated"
    tin = ET.SubElement(ET.SubElement(root, "Surfaces"), "Surface", {"name": name, "desc": told})
    heights = surface.nodes
    definition = ET.SubElement(
        tin,
        "Definition",
        {"surfType": "TIN", "elevMin": f"{heights.min():.6f}", "elevMax": f"{heights.max():.6f}"},
    )
    points, faces = ET.SubElement(definition, "Pnts"), ET.SubElement(definition, "Faces")
    centres = (heights[:-1, :-1] + heights[:-1, 1:] + heights[1:, :-1] + heights[1:, 1:]) / 4
    lines, columns = surface.node_along, surface.node_across
    parts = ((lines, columns, heights), (_middles(lines), _middles(columns), centres))
    number = 0
    for along, across, level in parts:
        north, east = north_east(summary, *np.meshgrid(along, across, indexing="ij"))
        for place in zip(north.flat, east.flat, level.flat, strict=True):
            number += 1
            ET.SubElement(points, "P", {"id": str(number)}).text = " ".join(f"{value + 0.0:.6f}" for value in place)
    for face in _faces(*heights.shape):
        ET.SubElement(faces, "F").text = " ".join(map(str, face))
    ET.indent(root)
    content: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return content


def _middles(at: np.ndarray) -> np.ndarray:
    return np.asarray((at[1:] + at[:-1]) / 2)


def _faces(lines: int, columns: int) -> list[tuple[int, int, int]]:
    """Four triangles a square, counter-clockwise from above: corners are numbered first, then middles."""
    told = []
    for line in range(lines - 1):
        for column in range(columns - 1):
            near_left = line * columns + column + 1
            near_right, far_left = near_left + 1, near_left + columns
            middle = lines * columns + line * (columns - 1) + column + 1
            around = (near_left, near_right, far_left + 1, far_left, near_left)
            told += [(one, other, middle) for one, other in pairwise(around)]
    return told
