"""The terms of a job that may change as it goes: dirt, stone, machine, lay-out. Each is set by an entry of its own.

Lengths are whole nanometres, volumes m3, shares fractions of one, densities kg per m3, all as floats or ints; a choice
is its word.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import field
from enum import Enum, auto

from rodcall.book.model.datum import (
    parse_bearing,
    parse_coordinates,
    parse_elevation,
    parse_latitude_longitude,
    parse_meridian,
)
from rodcall.book.model.repeat_readings import MIDDLE, WAYS
from rodcall.frozen import Frozen
from rodcall.i18n import LANGUAGES, phrase, say
from rodcall.units import FOOT, INCH, parse_length
from rodcall.units.quantities import CUBIC_UNITS, DENSITIES, parse_beam, parse_density, parse_share, parse_volume

Value = int | float | str

SOIL_NAMES = ("sand", "loam", "clay", "rock")
SURFACES = ("soil", "asphalt", "concrete")
STAGES = ("stripped", "rough", "compacted", "stone")
COMPASS = ("n", "ne", "e", "se", "s", "sw", "w", "nw")
DIG_BY = ("whole", "halves", "out-first")
EXIT_NAMES = ("near-left", "near-middle", "near-right", "far-left", "far-middle", "far-right")


class TermError(ValueError):
    """A term that is not known, or cannot have this value; one line."""


class Kind(Enum):
    """What a term's value is."""

    LENGTH = auto()
    VOLUME = auto()
    SHARE = auto()
    DENSITY = auto()
    BEAM = auto()
    """Rise over run, of a level's specification."""
    DEGREES = auto()
    COUNT = auto()
    CHOICE = auto()
    TEXT = auto()


class Term(Frozen):
    """One term: how it is typed, and its default."""

    name: str
    help: str
    """A phrase, said by `explained`."""
    parse: Callable[[str], Value]
    default: Value | None
    kind: Kind = Kind.LENGTH
    choices: tuple[str, ...] = ()
    """Of a choice: its words."""

    @property
    def explained(self) -> str:
        """What it is about, in the language that is spoken, and the words it can have, which are the same in all."""
        return f"{say(self.help)}: {' '.join(self.choices)}" if self.choices else say(self.help)


def _one_of(words: tuple[str, ...]) -> Callable[[str], Value]:
    def choose(said: str) -> Value:
        word = said.strip().lower().replace(" ", "-")
        if word not in words:
            raise TermError(say("{said} is not one of: {words}", said=repr(said.strip()[:20]), words=" ".join(words)))
        return word

    return choose


def _loss(said: str) -> Value:
    share = parse_share(said)
    if not -1 < share < 1:
        raise TermError(say("a share between -100 % and 100 %, such as 10%"))
    return share


def _gain(said: str) -> Value:
    share = parse_share(said)
    if share < 0:
        raise TermError(say("a share of 0 % or more, such as 25%"))
    return share


def _some_volume(said: str) -> Value:
    volume = parse_volume(said)
    if volume <= 0:
        raise TermError(say("must be above 0; say 0.5yd3"))
    return volume


def _some_length(said: str) -> Value:
    length = parse_length(said)
    if length <= 0:
        raise TermError(say("must be above 0; say 12ft"))
    return length


def _count(said: str) -> Value:
    word = said.strip()
    if not (word.isascii() and word.isdigit() and 0 < int(word) < 10_000):
        raise TermError(say("a whole number above 0"))
    return int(word)


def _text(said: str) -> Value:
    return said.strip()[:200]


def _beam(said: str) -> Value:
    return parse_beam(said)


def _place(said: str) -> Value:
    """A position's name, or two signed lengths; kept as it was said, in small letters for lengths."""
    word = said.strip()
    if re.fullmatch(r"[A-Za-z]{1,2}[1-9][0-9]{0,3}", word):
        return word.upper()
    parts = word.split(",")
    if len(parts) != 2:
        raise TermError(say("a position such as C1, or two distances from A1: 30ft,-10ft"))
    for part in parts:
        parse_length(part.strip().lstrip("+-"))
    return word.lower()


def _zone(said: str) -> Value:
    """A rectangle by two corners, each a position or two distances from A1; so far in from the edge; the footprint."""
    word = " ".join(said.split())
    if word.lower() == FOOTPRINT:
        return FOOTPRINT
    inset = re.fullmatch(rf"{INSET} (.+)", word, re.IGNORECASE)
    if inset:
        _some_length(inset[1])
        return f"{INSET} {inset[1]}"
    corners = word.split(":")
    if len(corners) != 2:
        raise TermError(say("a part of the pad: B2:D4, 5ft,5ft:20ft,30ft, inset 3ft, or footprint"))
    return ":".join(str(_place(corner)) for corner in corners)


def _elevation(said: str) -> Value:
    parse_elevation(said)
    return " ".join(said.split())


def _coordinates(said: str) -> Value:
    parse_coordinates(said)
    return said.replace(" ", "")


def _latitude_longitude(said: str) -> Value:
    parse_latitude_longitude(said)
    return said.replace(" ", "")


def _bearing(said: str) -> Value:
    return parse_bearing(said)


def _meridian(said: str) -> Value:
    return parse_meridian(said)


FOOTPRINT, INSET = "footprint", "inset"
"""Words of a zone: what stands on the pad, and all that lies so far in from its edge."""
TOLD_AS = ("zero", "elevation")

TERMS: Mapping[str, Term] = {
    term.name: term
    for term in (
        Term(
            "soil",
            phrase("kind of dirt, for shrink and swell"),
            _one_of(SOIL_NAMES),
            "loam",
            Kind.CHOICE,
            SOIL_NAMES,
        ),
        Term("shrink", phrase("cut lost when compacted; fill made = cut x (1 - shrink)"), _loss, None, Kind.SHARE),
        Term("swell", phrase("growth from bank to loose"), _gain, None, Kind.SHARE),
        Term("bucket", phrase("what the bucket holds, loose"), _some_volume, 0.5 * CUBIC_UNITS["yd3"], Kind.VOLUME),
        Term("truck", phrase("what a truck holds, loose"), _some_volume, 10 * CUBIC_UNITS["yd3"], Kind.VOLUME),
        Term("on-hand", phrase("fill in a pile on site, loose"), parse_volume, 0.0, Kind.VOLUME),
        Term("haul-in", phrase("fill to be hauled in, loose"), parse_volume, 0.0, Kind.VOLUME),
        Term("stone", phrase("stone on top, compacted thickness"), parse_length, 0),
        Term(
            "stone-density",
            phrase("weight of the stone, compacted"),
            parse_density,
            1.85 * DENSITIES["ton/yd3"],
            Kind.DENSITY,
        ),
        Term("stone-waste", phrase("extra stone to order, beyond what goes in place"), _gain, 0.05, Kind.SHARE),
        Term("lift", phrase("thickest layer compacted at once"), _some_length, 4 * INCH),
        Term(
            "surface",
            phrase("finished surface, for the least slope that drains"),
            _one_of(SURFACES),
            "soil",
            Kind.CHOICE,
            SURFACES,
        ),
        Term("lane", phrase("width of a lane: the machine's reach"), _some_length, 20 * FOOT),
        Term(
            "exit",
            phrase("where the machine drives off the pad"),
            _one_of(EXIT_NAMES),
            "near-middle",
            Kind.CHOICE,
            EXIT_NAMES,
        ),
        Term(
            "dig-by",
            phrase("whole pad, one half finished before the other, or what is out of tolerance first"),
            _one_of(DIG_BY),
            DIG_BY[0],
            Kind.CHOICE,
            DIG_BY,
        ),
        Term("margin-near", phrase("from the pad's near edge to the footprint"), parse_length, None),
        Term("margin-far", phrase("from the pad's far edge to the footprint"), parse_length, None),
        Term("margin-left", phrase("from the pad's left edge to the footprint"), parse_length, None),
        Term("margin-right", phrase("from the pad's right edge to the footprint"), parse_length, None),
        Term("tolerance-high", phrase("how far above the target a spot may be; from job setup"), parse_length, None),
        Term("tolerance-low", phrase("how far below the target a spot may be; from job setup"), parse_length, None),
        Term(
            "zone",
            phrase("part of the pad with a tolerance of its own: B2:D4, 5ft,5ft:20ft,30ft, inset 3ft, or footprint"),
            _zone,
            None,
            Kind.TEXT,
        ),
        Term("zone-high", phrase("how far above the target a spot of the zone may be"), parse_length, None),
        Term("zone-low", phrase("how far below the target a spot of the zone may be"), parse_length, None),
        Term("drift", phrase("how far a check shot may be off"), _some_length, None),
        Term("check-shots", phrase("shots until a check shot is due"), _count, 40, Kind.COUNT),
        Term("check-minutes", phrase("minutes until a check shot is due"), _count, 60, Kind.COUNT),
        Term("closure", phrase("how far a line of levels may miss a known reference"), _some_length, None),
        Term("spacing", phrase("how far apart the spots may be; 50 ft or 15 m"), _some_length, None),
        Term("check-hours", phrase("hours from a shot to its check shot, at most"), _count, 24, Kind.COUNT),
        Term("stage", phrase("ground under the rod"), _one_of(STAGES), "stripped", Kind.CHOICE, STAGES),
        Term(
            "laser-spec",
            phrase("the level's specification, rise over run: 1/16in/100ft, 10s, 1.5mm/30m"),
            _beam,
            5.2083e-5,
            Kind.BEAM,
        ),
        Term(
            "tripod",
            phrase("where the level is set up: a position, or distances out from A1 and right: 30ft,-10ft"),
            _place,
            None,
            Kind.TEXT,
        ),
        Term(
            "repeats",
            phrase("which reading counts at a spot read three times"),
            _one_of(WAYS),
            MIDDLE,
            Kind.CHOICE,
            WAYS,
        ),
        Term("instrument", phrase("make, model and serial number of the level, for the sheet"), _text, "", Kind.TEXT),
        Term("people", phrase("who shot, who typed, who ran the machine"), _text, "", Kind.TEXT),
        Term("weather", phrase("weather of the day"), _text, "", Kind.TEXT),
        Term(
            "sheet-language",
            phrase("language of the job's sheets; if not set, that of the settings"),
            _one_of(tuple(LANGUAGES)),
            "",
            Kind.CHOICE,
            tuple(LANGUAGES),
        ),
        Term("agreed-by", phrase("who agreed to the target and the tolerance"), _text, "", Kind.TEXT),
        Term("north", phrase("which way the far end faces"), _one_of(COMPASS), "", Kind.CHOICE, COMPASS),
        Term("datum", phrase("a reference and its elevation: BM1 812.40ft"), _elevation, None, Kind.TEXT),
        Term("a1", phrase("coordinates of A1, north and east: 5000.00ft,2000.00ft"), _coordinates, None, Kind.TEXT),
        Term(
            "a1-wgs84",
            phrase("latitude and longitude of A1 in WGS 84, degrees: 46.2087310,-116.8800000"),
            _latitude_longitude,
            None,
            Kind.TEXT,
        ),
        Term("bearing", phrase("which way the far end faces, degrees from north: 37.5"), _bearing, None, Kind.DEGREES),
        Term(
            "grid-meridian",
            phrase("central meridian of the drawing's grid, degrees east: -117; the bearing is then from grid north"),
            _meridian,
            None,
            Kind.DEGREES,
        ),
        Term(
            "heights-as",
            phrase("heights above the zero, or as elevations where the datum is known"),
            _one_of(TOLD_AS),
            "zero",
            Kind.CHOICE,
            TOLD_AS,
        ),
        Term("diagonal-1", phrase("diagonal as taped, near left to far right corner of the pad"), _some_length, None),
        Term("diagonal-2", phrase("diagonal as taped, near right to far left corner of the pad"), _some_length, None),
    )
}
"""All terms by name. Defaults are common practice; the lift is that of Ohio DOT 304.04 without a vibratory roller."""

MARGINS = ("margin-near", "margin-far", "margin-left", "margin-right")


def parse_term(name: str, said: str) -> Value:
    """The value that was said for a term.

    Raises:
        TermError: when there is no such term, or it cannot have that value.
        ValueError: when what was said is not understood.
    """
    term = TERMS.get(name)
    if term is None:
        raise TermError(say("no such term: {name}; known: {known}", name=repr(name[:20]), known=" ".join(TERMS)))
    return term.parse(said)


class Terms(Frozen):
    """The terms in force."""

    said: Mapping[str, Value]
    """Those that somebody set."""
    of_a1: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    """Where A1 lies: the spot that was A1 when it was said, nanometres out from A1 now, and right."""

    def number(self, name: str) -> float:
        """The value of a term that is a number and has a default."""
        value = self.said.get(name, TERMS[name].default)
        assert isinstance(value, int | float)
        return value

    def length(self, name: str) -> int:
        """The value of a term that is a length, nanometres; 0 where it has no default and was not set."""
        value = self.said.get(name, TERMS[name].default)
        return value if isinstance(value, int) else 0

    def limit(self, name: str, agreed: int) -> int:
        """The value of a term that is a length, nanometres; `agreed` where it was not set."""
        value = self.said.get(name)
        return value if isinstance(value, int) else agreed

    def word(self, name: str) -> str:
        """The value of a term that is a choice."""
        return str(self.said.get(name, TERMS[name].default))

    @property
    def footprint(self) -> tuple[int, int, int, int] | None:
        """Margins near, far, left and right of the footprint, nanometres; None where none was set."""
        if not any(name in self.said for name in MARGINS):
            return None
        near, far, left, right = (self.length(name) for name in MARGINS)
        return near, far, left, right
