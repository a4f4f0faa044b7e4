"""A surface out of a LandXML 1.2 file (open standard): corner points and triangles, metres.

Read with a plain parser that builds no tree; a document type declaration is refused, and with it every entity that
could grow. Element rules as in `sheets.exports.landxml`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.parsers import expat

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints
from rodcall.files_in.points import SURVEY_FOOT_M
from rodcall.files_in.text import FileInError, UntoldError
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.units.quantities import FOOT_M

LINEAR_UNITS = {
    "meter": 1.0,
    "millimeter": 0.001,
    "centimeter": 0.01,
    "foot": FOOT_M,
    "USSurveyFoot": SURVEY_FOOT_M,
    "inch": FOOT_M / 12,
}
"""Metres in each `linearUnit` of LandXML that a pad may be drawn in."""
MOST_POINTS = 500_000
DEEPEST = 64


class Tin(Frozen, eq=False):
    """One surface: corners (north, east, elevation in metres) and triangles by index."""

    name: str
    corners: Floats
    faces: Ints


@dataclass
class _Surface:
    name: str
    state: str = ""
    ids: dict[str, int] = field(default_factory=dict)
    corners: list[tuple[float, float, float]] = field(default_factory=list)
    faces: list[tuple[str, str, str]] = field(default_factory=list)


class _Reader:
    """What is kept of a file while it is read."""

    def __init__(self) -> None:
        self.metres: float | None = None
        self.surfaces: list[_Surface] = []
        self.path: list[str] = []
        self.text: list[str] = []
        self.id = ""
        self.hidden = False
        self.in_leaf = False
        self.parser = expat.ParserCreate()
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self.start
        self.parser.EndElementHandler = self.end
        self.parser.CharacterDataHandler = self.characters
        self.parser.StartDoctypeDeclHandler = self.doctype

    def doctype(self, *_: object) -> None:
        raise FileInError(say("a document type declaration is not taken; a LandXML file needs none"))

    def start(self, name: str, attributes: dict[str, str]) -> None:
        name = name.rpartition(":")[2] if ":" in name else name
        if name in ("P", "F") and self.path:
            self.text, self.in_leaf = [], True
            self.id = attributes.get("id", "")
            # An edge of a hole: `i="1"` marks a face that is not part of the surface.
            self.hidden = attributes.get("i") == "1"
            return
        if not self.path and name != "LandXML":
            raise FileInError(say("it is not LandXML: its first element is {name}", name=repr(name[:24])))
        self.path.append(name)
        if len(self.path) > DEEPEST:
            raise FileInError(say("nested too deep"))
        match name:
            case "Metric" | "Imperial":
                unit = attributes.get("linearUnit", "")
                if unit not in LINEAR_UNITS:
                    raise FileInError(say("linear unit {unit} is not known", unit=repr(unit[:24])))
                self.metres = LINEAR_UNITS[unit]
            case "Surface":
                self.surfaces.append(_Surface(attributes.get("name", "")[:80], attributes.get("state", "")))

    def characters(self, data: str) -> None:
        if self.in_leaf:
            self.text.append(data)

    def end(self, name: str) -> None:
        name = name.rpartition(":")[2] if ":" in name else name
        if name not in ("P", "F"):
            self.path.pop()
            return
        self.in_leaf = False
        if not self.surfaces or self.path[-1] not in ("Pnts", "Faces"):
            return
        line = self.parser.CurrentLineNumber
        words, surface = "".join(self.text).split(), self.surfaces[-1]
        if name == "P":
            place = _numbers(words)
            if place is None or not self.id or self.id in surface.ids:
                raise FileInError(say("line {number}: a point needs an id of its own and three numbers", number=line))
            if len(surface.corners) >= MOST_POINTS:
                raise FileInError(say("more than {most} points", most=MOST_POINTS))
            surface.ids[self.id] = len(surface.corners)
            surface.corners.append(place)
        elif not self.hidden:
            if len(words) != 3:
                raise FileInError(say("line {number}: a face has three corners", number=line))
            if len(surface.faces) >= 2 * MOST_POINTS:
                raise FileInError(say("more than {most} points", most=MOST_POINTS))
            surface.faces.append((words[0], words[1], words[2]))


def _numbers(words: list[str]) -> tuple[float, float, float] | None:
    try:
        north, east, height = map(float, words)
    except ValueError:
        return None
    # Also refuses what is not a number, or beyond any country's grid.
    return (north, east, height) if all(abs(each) < 1e9 for each in (north, east, height)) else None


def parse_landxml(raw: bytes, name: str = "", state: str = "") -> Tin:
    """The one surface of a file, or the one of that name; of several, the only one in that state.

    Args:
        raw: The file.
        name: Of the surface; any where it is empty.
        state: What the schema calls `existing` or `proposed`; none is preferred where it is empty.

    Raises:
        FileInError: when it is not LandXML, has no such surface; `UntoldError` when it has several and no name was
            said; one line.
    """
    reader = _Reader()
    try:
        reader.parser.Parse(raw, True)
    except expat.ExpatError as error:
        why = expat.ErrorString(error.code) or str(error)
        raise FileInError(say("line {number}: no XML ({why})", number=error.lineno, why=why)) from None
    if reader.metres is None:
        raise FileInError(say("it names no linear unit (Units)"))
    found = [each for each in reader.surfaces if each.faces and (not name or each.name == name)]
    if not found:
        raise FileInError(say("there is no surface of triangles in it"))
    in_state = [each for each in found if state and each.state == state]
    if len(found) > 1 and len(in_state) == 1:
        found = in_state
    if len(found) > 1:
        names = ", ".join(repr(each.name[:24]) for each in found[:6])
        why = say("several surfaces: {names}; add --surface NAME", names=names)
        raise UntoldError(why, "surface", [each.name for each in found])
    (surface,) = found
    faces = []
    for corners in surface.faces:
        unknown = next((corner for corner in corners if corner not in surface.ids), None)
        if unknown is not None:
            raise FileInError(say("a face names point {id}, which is not there", id=repr(unknown[:12])))
        faces.append([surface.ids[corner] for corner in corners])
    return Tin(surface.name, np.array(surface.corners) * reader.metres, np.array(faces, np.int64))
