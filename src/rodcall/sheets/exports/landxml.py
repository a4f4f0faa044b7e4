"""The ground as LandXML 1.2, an open standard: the triangles of cut and fill as a TIN, in metres.

Element rules as the schema's element documentation has them, read second-hand: `P` holds northing, easting and
elevation and needs an `id` above 0; `F` holds three of these ids; `Definition` needs `surfType`; the units of area,
length, volume, temperature and pressure must be named.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET

import numpy as np

from rodcall.figures.ground.mesh import mesh
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.sheets.content.record import Record
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
    heights = "above the zero" if summary.datum.zero_nm is None else "elevations"
    told = f"{summary.kind} round, {heights}; {summary.counted} shot, {of_before}{estimated} estimated"
    tin = ET.SubElement(ET.SubElement(root, "Surfaces"), "Surface", {"name": name, "desc": told})
    ground = mesh(surface)
    north, east = summary.datum.coordinates(ground.points[:, 0], ground.points[:, 1])
    level = ground.points[:, 2] + (summary.datum.zero_nm or 0) * 1e-9
    extent = {"surfType": "TIN", "elevMin": f"{level.min():.6f}", "elevMax": f"{level.max():.6f}"}
    definition = ET.SubElement(tin, "Definition", extent)
    points, faces = ET.SubElement(definition, "Pnts"), ET.SubElement(definition, "Faces")
    for number, place in enumerate(zip(north, east, level, strict=True), 1):
        ET.SubElement(points, "P", {"id": str(number)}).text = " ".join(f"{value + 0.0:.6f}" for value in place)
    for face in ground.faces + 1:
        ET.SubElement(faces, "F").text = " ".join(map(str, face.tolist()))
    ET.indent(root)
    content: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return content
