"""Entries that hold a reading, and what every entry has."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from functools import lru_cache
from typing import Annotated, Any, Literal

from pydantic import (
    AwareDatetime,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    SerializerFunctionWrapHandler,
    model_serializer,
)

from rodcall.book.model.kinds.fields import (
    ELEVATION_LIMIT,
    MOST_ODDS,
    Added,
    Elevation,
    EntryNumber,
    LaserTest,
    Nanometres,
    PositionName,
    ReferenceName,
    Said,
    SentFrom,
    Shared,
    TabletName,
    Text,
    word_of,
)
from rodcall.i18n import say
from rodcall.units import Unit, parse_height, parse_length, parse_reading


class Readings(StrEnum):
    """What readings are: heights, or a plain or direct-reading rod."""

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
        return _parsed(self, said, unit)


@lru_cache(maxsize=4096)
def _parsed(readings: Readings, said: str, unit: Unit) -> int:
    """Remembered, since a crew says the same few dozen readings all day, and each is held against its entry."""
    if readings is Readings.HEIGHT:
        return parse_height(said, unit)
    return parse_reading(said, unit, signed=readings is Readings.DIRECT_ROD)


def _written_out(value: object) -> object:
    """Times stand in the file as text; a bare number would be taken for seconds since 1970."""
    if not isinstance(value, str | datetime):
        raise ValueError(say("a time is text such as 2026-04-18T07:30:00-07:00"))
    return value


Time = Annotated[AwareDatetime, BeforeValidator(_written_out), Field(strict=False)]


_AT_FIRST = ((0, 0), [0, 0])


def without(*names: str) -> Any:
    """Leave fields that older files do not have out while they say nothing."""

    def lean(self: BaseModel, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        written: dict[str, Any] = write(self)
        for name in names:
            if not written[name] or written[name] in _AT_FIRST:
                del written[name]
        return written

    return model_serializer(mode="wrap")(lean)


class Entry(BaseModel):
    """One line of the book. It is never changed and never taken out; a wrong one is struck."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)

    number: EntryNumber
    """Counts up from 1 on each tablet."""
    time: Time
    """When it was written: universal time and the offset of the place, in one ISO 8601 text."""
    tablet: TabletName
    """Which tablet it was written on; with the number it names the entry wherever books are joined."""
    said: Said = ""
    """What was typed, as it was typed."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Say how what was said disagrees with what is stored, or None where they agree."""
        return None


class Placed(Entry):
    """An entry about places on the pad."""

    before_a1: Annotated[tuple[Added, Added], Field(strict=False)] = (0, 0)
    """Lines added at the near edge, and columns at the left, when it was written: names and distances count from the A1
    of then (`restated`)."""
    _lean = without("before_a1")


class Reference(Placed):
    """A fixed point of known height, for set-ups and check shots."""

    kind: Literal["reference"] = "reference"
    name: ReferenceName
    height_nm: Elevation
    """Above the zero."""
    description: Text = ""
    position: PositionName | None = None
    """Where it lies when it lies on the pad; None for one outside of the dig."""
    reading_nm: Nanometres | None = None
    """For a height that comes from the setup in force (a turning point): what the rod reads there; `height_nm` is 0."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the height, or the reading it comes from, with what was said (ZERO is 0 without words)."""
        if self.reading_nm is not None:
            return disagreement(reading_said(self.said, unit, readings), self.said, self.reading_nm)
        if not self.said:
            return None if self.height_nm == 0 else say("a height without the words that were typed")
        return disagreement(_elevation(self.said, unit), self.said, self.height_nm)


class Setup(Entry):
    """The level is set up (again): a backsight on a reference ties the shots that follow to it."""

    kind: Literal["setup"] = "setup"
    sent_from: SentFrom = ""
    reference: ReferenceName
    backsight_nm: Nanometres
    readings: Annotated[Readings, word_of(Readings)]
    """Which way the rod counts, asked once a setup."""
    shared: Shared = ""
    """Of one that another job of the site wrote first: that job, its tablet and the number there."""
    _lean = without("shared")

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the backsight with what was said."""
        return disagreement(reading_said(self.said, unit, self.readings), self.said, self.backsight_nm)


class Shot(Placed):
    """One reading at one position."""

    kind: Literal["shot"] = "shot"
    sent_from: SentFrom = ""
    position: PositionName
    reading_nm: Nanometres
    """As read: a height, or a rod reading, as the setup in force says."""
    again: bool = False
    """The same spot read once more, as books before `over` have it: the middle of all readings counts."""
    over: bool = False
    """A further reading of a spot in the same round: the readings are settled one after the other (see `repeats`)."""
    puts_right: Text = ""
    """The mistake in the reading before it that this one puts right; empty for one that was called."""
    together: bool = False
    """One act with this tablet's entry before it, as the readings of a line put right are: one undo takes all back."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the reading with what was said."""
        return disagreement(reading_said(self.said, unit, readings), self.said, self.reading_nm)


class Confirm(Entry):
    """A reading that does not fit was confirmed as read (written by older versions)."""

    kind: Literal["confirm"] = "confirm"
    confirms: EntryNumber
    """Number of the shot."""
    written_on: TabletName
    """Tablet of the shot."""
    odds: Annotated[float, Field(ge=-MOST_ODDS, le=MOST_ODDS, allow_inf_nan=False, strict=False)] = 0.0
    """Logarithm of the odds against it, as they were when it was asked about."""


class Check(Entry):
    """A check shot: what a reference reads now. Its drift follows from the setup in force."""

    kind: Literal["check"] = "check"
    sent_from: SentFrom = ""
    reference: ReferenceName
    reading_nm: Nanometres
    """As read: a height, or a rod reading, as the setup in force says."""
    shared: Shared = ""
    """Of one that was shot in another job, on a set-up that both share; likewise."""
    _lean = without("shared")

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the reading with what was said."""
        return disagreement(reading_said(self.said, unit, readings), self.said, self.reading_nm)


class LaserCheck(Entry):
    """A test of the instrument itself, with its readings in the order taken."""

    kind: Literal["laser check"] = "laser check"
    test: Annotated[LaserTest, word_of(LaserTest)]
    readings_nm: Annotated[tuple[Nanometres, ...], Field(strict=False, max_length=8)]
    """Quarter turn: the far mark read with the head turned by 0, 90, 180 and 270 degrees. Two pegs: both pegs from the
    middle between them, then the near and the far one from beyond the near one."""
    distances_nm: Annotated[tuple[Elevation, ...], Field(strict=False, max_length=4)]
    """Quarter turn: to the mark. Two pegs: between the pegs, then from the instrument to the near one."""
    said_each: Annotated[tuple[Said, ...], Field(strict=False, max_length=12)] = ()
    """Each reading and distance as said, in the same order."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare each reading and distance with what was said."""
        meant = [reading_said(said, unit, Readings.ROD) for said in self.said_each[: len(self.readings_nm)]]
        meant += [_distance(said) for said in self.said_each[len(self.readings_nm) :]]
        stored = (*self.readings_nm, *self.distances_nm)
        return None if meant == list(stored) else say("the readings of the laser check differ from what was typed")


class MachineCheck(Placed):
    """The machine's display over a known point; shows a worn tooth or a lost beam."""

    kind: Literal["machine check"] = "machine check"
    at: Annotated[str, Field(max_length=24)]
    """A reference, or a position that was shot."""
    height_nm: Nanometres
    """As the machine shows it, above the zero."""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the height with what was said."""
        return disagreement(reading_said(self.said, unit, Readings.HEIGHT), self.said, self.height_nm)


def reading_said(said: str, unit: Unit, readings: Readings) -> int | None:
    """What was said, read again."""
    try:
        return readings.parse(said, unit)
    except ValueError:
        return None


def _distance(said: str) -> int | None:
    try:
        return parse_length(said)
    except ValueError:
        return None


def _elevation(said: str, unit: Unit) -> int | None:
    try:
        return parse_height(said, unit, limit=ELEVATION_LIMIT)
    except ValueError:
        return None


def disagreement(meant: int | None, said: str, stored: int) -> str | None:
    """How what was said disagrees with what is stored, or None where they agree."""
    if meant == stored:
        return None
    if meant is None:
        return say("{said} is not a reading", said=repr(said[:24]))
    return say(
        "{said} means {meant} nm, but {stored} nm is stored",
        said=repr(said[:24]),
        meant=meant,
        stored=stored,
    )
