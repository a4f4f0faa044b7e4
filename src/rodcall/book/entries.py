"""The kinds of entry that a book holds: frozen, numbered, timed, with what was said beside what it meant.

A height is stored as it was read, in whole nanometres, next to the words it was read from; the two must
agree whenever the book is opened (`Entry.check`). What follows from a reading is never stored.
"""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from functools import lru_cache
from typing import Annotated, Literal

from pydantic import AwareDatetime, BaseModel, BeforeValidator, ConfigDict, Field

from rodcall.book.terms import parse_term
from rodcall.lengths import HEIGHT_LIMIT, M, Unit, parse_height, parse_reading

ELEVATION_LIMIT = 10_000 * M
"""A reference may carry its height above the sea; nothing on earth is higher than this."""

TEXT_LIMIT = 500
"""Characters in one note, name or reason: more than anybody keys in a cab."""


class Readings(StrEnum):
    """How heights are read: said directly, or off a rod, and which way that rod counts."""

    HEIGHT = "height"
    """The helper calls the height above or below the zero."""
    ROD = "rod"
    """Plain rod: a bigger reading is LOWER ground."""
    DIRECT_ROD = "direct-rod"
    """Direct-reading rod: a bigger reading is HIGHER ground."""

    @property
    def direction(self) -> int:
        """+1 where a bigger reading is higher ground, -1 where it is lower."""
        return -1 if self is Readings.ROD else 1

    def parse(self, said: str, unit: Unit) -> int:
        """Nanometres of one reading taken this way.

        Raises:
            LengthError: when it is not understood; `Unsigned` when a height lacks its sign.
        """
        if self is Readings.HEIGHT:
            return parse_height(said, unit)
        return parse_reading(said, unit, signed=self is Readings.DIRECT_ROD)


class RoundKind(StrEnum):
    """What a round of shots is for."""

    EXISTING = "existing"
    WORKING = "working"
    FINAL = "final"


class Walk(StrEnum):
    """The order in which the helper walks the spots, line by line away from the near edge."""

    SNAKE = "snake"
    """Every second line is walked back: no empty steps."""
    LINES = "lines"
    """Every line starts at the left."""


def _written_out(value: object) -> object:
    """Times stand in the file as text; a bare number would be taken for seconds since 1970."""
    if not isinstance(value, str | datetime):
        raise ValueError("a time is text such as 2026-04-18T07:30:00-07:00")
    return value


def word_of(kind: type[StrEnum]) -> BeforeValidator:
    """Take a word of a list as it stands in a file."""
    return BeforeValidator(lambda value: kind(value) if isinstance(value, str) else value)


Text = Annotated[str, Field(max_length=TEXT_LIMIT)]
Said = Annotated[str, Field(max_length=TEXT_LIMIT)]
Time = Annotated[AwareDatetime, BeforeValidator(_written_out), Field(strict=False)]
Nanometres = Annotated[int, Field(ge=-HEIGHT_LIMIT, le=HEIGHT_LIMIT)]
Elevation = Annotated[int, Field(ge=-ELEVATION_LIMIT, le=ELEVATION_LIMIT)]
PositionName = Annotated[str, Field(pattern=r"^[A-Z]{1,2}[1-9][0-9]{0,3}$")]
ReferenceName = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_.-]{0,23}$")]
Slope = Annotated[float, Field(ge=-1, le=1, allow_inf_nan=False, strict=False)]


class Entry(BaseModel):
    """One line of the book. It is never changed and never taken out; a wrong one is struck."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)

    number: Annotated[int, Field(ge=1)]
    """Counts up from 1 on each tablet."""
    time: Time
    """When it was written: universal time and the offset of the place, in one ISO 8601 text."""
    tablet: Annotated[str, Field(min_length=1, max_length=64)]
    """Which tablet it was written on; with the number it names the entry wherever books are joined."""
    said: Said = ""
    """What was typed, as it was typed."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Say how what was said disagrees with what is stored, or None where they agree."""
        return None


class Reference(Entry):
    """A hard point whose height does not change: what setups and checks are read on."""

    kind: Literal["reference"] = "reference"
    name: ReferenceName
    height_nm: Elevation
    """Above the zero."""
    description: Text = ""
    position: PositionName | None = None
    """Where it lies when it lies on the pad; None for one outside of the dig."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the height with what was said (ZERO is 0 without words)."""
        if not self.said:
            return None if self.height_nm == 0 else "a height with nothing said"
        return _disagreement(_elevation(self.said, unit), self.said, self.height_nm)


class Setup(Entry):
    """The level is set up (again): a backsight on a reference ties the shots that follow to it."""

    kind: Literal["setup"] = "setup"
    reference: ReferenceName
    backsight_nm: Nanometres
    readings: Annotated[Readings, word_of(Readings)]
    """Which way the rod counts, asked once a setup."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the backsight with what was said."""
        return _disagreement(_reading(self.said, unit, self.readings), self.said, self.backsight_nm)


class Shot(Entry):
    """One reading at one position."""

    kind: Literal["shot"] = "shot"
    position: PositionName
    reading_nm: Nanometres
    """As read: a height, or a rod reading, as the setup in force says."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the reading with what was said."""
        return _disagreement(_reading(self.said, unit, readings), self.said, self.reading_nm)


class LeaveOut(Entry):
    """A position that is not the ground (a rut, a pile, a stump): it counts nowhere."""

    kind: Literal["leave out"] = "leave out"
    position: PositionName
    reason: Text = ""


class Strike(Entry):
    """One line through an earlier entry: it stays legible and no longer counts. Undo writes this."""

    kind: Literal["strike"] = "strike"
    strikes: Annotated[int, Field(ge=1)]
    """Number of the struck entry."""
    written_on: Annotated[str, Field(min_length=1, max_length=64)]
    """Tablet of the struck entry."""


class Target(Entry):
    """The plane to dig to: a height at the zero and how it falls from there."""

    kind: Literal["target"] = "target"
    offset_nm: Nanometres
    """Above the zero, at the zero."""
    slope_along: Slope = 0.0
    """Rise in m per m going away from the near edge."""
    slope_across: Slope = 0.0
    """Rise in m per m going right."""
    why: Text = ""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the offset with what was said."""
        return _disagreement(_reading(self.said, unit, Readings.HEIGHT), self.said, self.offset_nm)


class TermSet(Entry):
    """A term of the job is set, or set anew: shrink, bucket, stone (see `terms.TERMS`)."""

    kind: Literal["term"] = "term"
    name: Annotated[str, Field(max_length=32)]
    value: int | float | str
    """In the unit of the term: nanometres, m3, a fraction of one, kg per m3, or a word."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the value with what was said."""
        try:
            meant = parse_term(self.name, self.said)
        except ValueError as error:
            return str(error)
        return None if meant == self.value else f"what was said, {self.said[:24]!r}, means {meant} for {self.name}"


class Zero(Entry):
    """Another position becomes the zero: heights are told from it, and slopes run from it."""

    kind: Literal["zero"] = "zero"
    position: PositionName


class Round(Entry):
    """A new round of shots over the same positions."""

    kind: Literal["round"] = "round"
    round: Annotated[RoundKind, word_of(RoundKind)]


class WalkOrder(Entry):
    """The helper walks the spots in another order from here on."""

    kind: Literal["walk"] = "walk"
    order: Annotated[Walk, word_of(Walk)]


class Note(Entry):
    """Words worth keeping: weather, who stood there, what was agreed."""

    kind: Literal["note"] = "note"
    text: Text


AnyEntry = Annotated[
    Reference | Setup | Shot | LeaveOut | Strike | Target | TermSet | Zero | Round | WalkOrder | Note,
    Field(discriminator="kind"),
]


@lru_cache(maxsize=4096)
def _reading(said: str, unit: Unit, readings: Readings) -> int | None:
    """What was said, read again; remembered, since a crew says the same few dozen readings all day."""
    try:
        return readings.parse(said, unit)
    except ValueError:
        return None


def _elevation(said: str, unit: Unit) -> int | None:
    try:
        return parse_height(said, unit, limit=ELEVATION_LIMIT)
    except ValueError:
        return None


def _disagreement(meant: int | None, said: str, stored: int) -> str | None:
    if meant == stored:
        return None
    if meant is None:
        return f"what was said, {said[:24]!r}, is no reading"
    return f"what was said, {said[:24]!r}, means {meant} nm, and {stored} nm is stored"
