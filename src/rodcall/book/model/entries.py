"""The kinds of entry in a book: frozen, numbered, timed, with the words typed and the value they mean.

A height is stored as it was read, in whole nanometres, next to the words it was read from; the two must
agree whenever the book is opened (`Entry.check`). What follows from a reading is never stored.
"""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from functools import lru_cache
from typing import Annotated, Any, Literal, get_args

from pydantic import (
    AwareDatetime,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    SerializerFunctionWrapHandler,
    model_serializer,
)

from rodcall.book.model.facts import MOST_DISTANCES, parse_fact
from rodcall.book.model.terms import parse_term
from rodcall.i18n import phrase, say
from rodcall.units import HEIGHT_LIMIT, M, Unit, parse_height, parse_length, parse_reading

ELEVATION_LIMIT = 10_000 * M
"""A reference may carry its height above the sea; nothing on earth is higher than this."""

MOST_NUMBER = 2**31 - 1
"""Of an entry: more than any tablet writes in its life."""

MOST_PLACES = 1000
"""That one entry of `Damage` names."""

MOST_ODDS = 1e12
"""As a logarithm: no reading is as wrong."""
MOST_VALUE = 10**15
"""Of a term: a million metres in nanometres; what a term allows is far less (see `terms`)."""

MOST_POSITIONS = 20_000
"""On a pad of one crew."""

FEWEST_OF_OUTLINE, MOST_OF_OUTLINE = 3, 100
"""Corners of an outline: more nobody measures with a tape."""

TEXT_LIMIT = 500
"""Characters in one note, name or reason: more than anybody keys in a cab."""


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


class RoundKind(StrEnum):
    """What a round of shots is for."""

    EXISTING = phrase("existing")
    WORKING = phrase("working")
    FINAL = phrase("final")


class Remedy(StrEnum):
    """What can be done about suspect shots besides shooting them again."""

    KEEP = "keep"
    """They stand, for a reason that is written down."""
    SHIFT = "shift"
    """They are moved by what the check found, as one dated entry."""


class LaserTest(StrEnum):
    """Field tests of a level."""

    QUARTER_TURN = phrase("quarter turn")
    TWO_PEGS = phrase("two pegs")


class Stage(StrEnum):
    """Ground under the rod."""

    STRIPPED = phrase("stripped")
    ROUGH = phrase("rough")
    COMPACTED = phrase("compacted")
    STONE = phrase("stone")


class Walk(StrEnum):
    """The order in which the helper walks the spots, line by line away from the near edge."""

    SNAKE = "snake"
    """Every second line is walked back: no empty steps."""
    LINES = "lines"
    """Every line starts at the left."""


def _written_out(value: object) -> object:
    """Times stand in the file as text; a bare number would be taken for seconds since 1970."""
    if not isinstance(value, str | datetime):
        raise ValueError(say("a time is text such as 2026-04-18T07:30:00-07:00"))
    return value


def word_of(kind: type[StrEnum]) -> BeforeValidator:
    """Take a word of a list as it stands in a file."""

    def take(value: object) -> object:
        if not isinstance(value, str):
            return value
        try:
            return kind(value)
        except ValueError:
            raise ValueError(say("must be one of {choices}", choices=", ".join(kind))) from None

    return BeforeValidator(take)


Text = Annotated[str, Field(max_length=TEXT_LIMIT)]
Said = Annotated[str, Field(max_length=TEXT_LIMIT)]
Time = Annotated[AwareDatetime, BeforeValidator(_written_out), Field(strict=False)]
Nanometres = Annotated[int, Field(ge=-HEIGHT_LIMIT, le=HEIGHT_LIMIT)]
Elevation = Annotated[int, Field(ge=-ELEVATION_LIMIT, le=ELEVATION_LIMIT)]
SentFrom = Annotated[str, Field(max_length=24)]
"""The phone that an entry was sent from, as the cab calls it; empty for what was keyed in the cab."""
Added = Annotated[int, Field(ge=0, le=MOST_DISTANCES)]
EntryNumber = Annotated[int, Field(ge=1, le=MOST_NUMBER)]
PositionName = Annotated[str, Field(pattern=r"^[A-Z]{1,2}[1-9][0-9]{0,3}$")]
ReferenceName = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_.-]{0,23}$")]
TabletName = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,63}$")]
FileName = Annotated[str, Field(pattern=r"^[^/\\\\:\x00-\x1f]{1,200}$")]
"""A name in the job's own folder, never a path."""
Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
ReportNumber = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,31}$")]
Corner = Annotated[str, Field(pattern=r"^[-+A-Za-z0-9 .,/'\"]{2,40}$")]
Shared = Annotated[str, Field(pattern=r"^([0-9a-f]{32}:[A-Za-z0-9][A-Za-z0-9_.-]{0,63}:[0-9]{1,10})?$")]
Slope = Annotated[float, Field(ge=-1, le=1, allow_inf_nan=False, strict=False)]


_AT_FIRST = ((0, 0), [0, 0])


def _without(*names: str) -> Any:
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
    _lean = _without("before_a1")


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
            return _disagreement(_reading(self.said, unit, readings), self.said, self.reading_nm)
        if not self.said:
            return None if self.height_nm == 0 else say("a height without the words that were typed")
        return _disagreement(_elevation(self.said, unit), self.said, self.height_nm)


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
    _lean = _without("shared")

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the backsight with what was said."""
        return _disagreement(_reading(self.said, unit, self.readings), self.said, self.backsight_nm)


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
        return _disagreement(_reading(self.said, unit, readings), self.said, self.reading_nm)


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
    _lean = _without("shared")

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the reading with what was said."""
        return _disagreement(_reading(self.said, unit, readings), self.said, self.reading_nm)


class Decision(Entry):
    """What is done about the shots that a bad check made suspect, other than shooting them again."""

    kind: Literal["decision"] = "decision"
    decision: Annotated[Remedy, word_of(Remedy)]
    about: EntryNumber
    """Number of the check."""
    written_on: TabletName
    """Tablet of the check."""
    reason: Text = ""
    own_setup: bool = False
    """Only shots of the check's own set-up move, and none on the zero or on a reference. Older books moved all."""


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
        meant = [_reading(said, unit, Readings.ROD) for said in self.said_each[: len(self.readings_nm)]]
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
        return _disagreement(_reading(self.said, unit, Readings.HEIGHT), self.said, self.height_nm)


class LeaveOut(Placed):
    """A position left out of every figure of its round (a rut, a pile)."""

    kind: Literal["leave out"] = "leave out"
    position: PositionName
    reason: Text = ""


class NotPad(Placed):
    """Positions that are no part of the pad (a corner that it does not have, a stump that stays), in any round."""

    kind: Literal["not pad"] = "not pad"
    position: PositionName
    to: PositionName | None = None
    """The opposite corner, where it is a rectangle of positions; None for one position."""
    reason: Text = ""


class Strike(Entry):
    """Strikes an earlier entry: still legible, in no figure. Undo writes this."""

    kind: Literal["strike"] = "strike"
    sent_from: SentFrom = ""
    strikes: EntryNumber
    """Number of the struck entry."""
    written_on: TabletName
    """Tablet of the struck entry."""
    together: bool = False
    """One act with this tablet's entry before it: what one undo struck, one redo brings back."""


class Target(Placed):
    """The plane to dig to: a height at the zero and how it falls from there."""

    kind: Literal["target"] = "target"
    offset_nm: Nanometres
    """Above the zero, at the zero."""
    slope_along: Slope = 0.0
    """Rise in m per m going away from the near edge."""
    slope_across: Slope = 0.0
    """Rise in m per m going right."""
    shape: Text = ""
    """What it is besides a plane, in words (`shapes.parse_shape`); its height at the zero is the offset."""
    heights_nm: Annotated[tuple[Elevation, ...], Field(strict=False, max_length=MOST_POSITIONS)] = ()
    """A height a position, by index, as from a drawing; only how they differ from the zero's counts."""
    why: Text = ""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the offset with what was said."""
        return _disagreement(_reading(self.said, unit, Readings.HEIGHT), self.said, self.offset_nm)


class Outline(Placed):
    """The pad's edge where it is no full rectangle, or a hole in it, by corner points in order around."""

    kind: Literal["outline"] = "outline"
    corners: Annotated[
        tuple[Corner, ...], Field(strict=False, min_length=FEWEST_OF_OUTLINE, max_length=MOST_OF_OUTLINE)
    ]
    """Positions, or two distances from A1 as `30 ft,12 ft`: out, then right."""
    hole: bool = False
    reason: Text = ""


class TermSet(Placed):
    """A term of the job is set, or set anew: shrink, bucket, stone (see `terms.TERMS`)."""

    kind: Literal["term"] = "term"
    name: Annotated[str, Field(max_length=32)]
    value: (
        Annotated[int, Field(ge=-MOST_VALUE, le=MOST_VALUE)]
        | Annotated[float, Field(ge=-MOST_VALUE, le=MOST_VALUE, allow_inf_nan=False)]
        | Annotated[str, Field(max_length=TEXT_LIMIT)]
    )
    """In the unit of the term: nanometres, m3, a fraction of one, kg per m3, or a word."""
    why: Text = ""
    """The reason that was given, as for a limit that is widened."""
    together: bool = False
    """One act with this tablet's entry before it, as a tolerance high and low alike is."""
    _lean = _without("together", "before_a1")

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the value with what was said."""
        try:
            meant = parse_term(self.name, self.said)
        except ValueError as error:
            return str(error)
        return (
            None
            if meant == self.value
            else say(
                "{said} means {meant} for {name}",
                said=repr(self.said[:24]),
                meant=meant,
                name=self.name,
            )
        )


class Fact(Placed):
    """A fact that the job was begun with is mended: the job is as if it had begun with it (see `facts.FACTS`)."""

    kind: Literal["fact"] = "fact"
    name: Annotated[str, Field(max_length=32)]
    value: (
        Elevation
        | Annotated[float, Field(ge=-ELEVATION_LIMIT, le=ELEVATION_LIMIT, allow_inf_nan=False)]
        | Text
        | Annotated[tuple[Elevation, ...], Field(strict=False, max_length=MOST_DISTANCES)]
    )
    """Nanometres, several of them, m per m, or a word."""
    why: Text = ""

    def check(self, unit: Unit, readings: Readings) -> str | None:
        """Compare the value with what was said."""
        try:
            meant = parse_fact(self.name, self.said)
        except ValueError as error:
            return str(error)
        if meant == self.value:
            return None
        said = repr(self.said[:24])
        return say("what was said, {said}, means another {name} than is stored", said=said, name=self.name)


class Zero(Placed):
    """Another position becomes the zero: heights and slopes are measured from it."""

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
    """A note: weather, who was there, what was agreed."""

    kind: Literal["note"] = "note"
    text: Text


class Photo(Placed):
    """A picture of the work: a copy lies beside the job's file, and its digest in the book."""

    kind: Literal["photo"] = "photo"
    file: FileName
    """Of the copy, in the job's folder."""
    sha256: Digest
    """Of the copy's bytes."""
    at: Annotated[str, Field(max_length=24)] = ""
    """The position or the reference that it shows; empty for the whole pad."""


class Issue(Entry):
    """A certificate was issued: what was written before it is what that certificate says."""

    kind: Literal["issue"] = "issue"
    report: ReportNumber
    """Counted on the tablet that issued the job's first certificate; every revision keeps it."""
    revision: Annotated[int, Field(ge=1, le=MOST_NUMBER)]
    """Counted in the book, from 1."""
    digest: Digest
    """Seal of the entry before this one."""
    verdict: Annotated[str, Field(max_length=24)] = ""
    """As the certificate says it, a code."""


class Damage(Entry):
    """Entries that an opening found damaged and in no file: written by the program, and never to be struck."""

    kind: Literal["damage"] = "damage"
    places: Annotated[tuple[EntryNumber, ...], Field(strict=False, min_length=1, max_length=MOST_PLACES)]
    """Where they stood in the book as it was found; 1 is the first."""
    before: Annotated[
        tuple[Annotated[tuple[TabletName, EntryNumber], Field(strict=False)], ...],
        Field(strict=False, max_length=MOST_PLACES),
    ] = ()
    """Tablet and number of the entries that follow on one of them: their seals do not fit, and nobody edited them."""


AnyEntry = Annotated[
    Reference
    | Setup
    | Check
    | Confirm
    | Decision
    | LaserCheck
    | MachineCheck
    | Shot
    | LeaveOut
    | NotPad
    | Strike
    | Target
    | Outline
    | TermSet
    | Fact
    | Zero
    | Round
    | WalkOrder
    | Photo
    | Issue
    | Note
    | Damage,
    Field(discriminator="kind"),
]
KINDS: tuple[type[Entry], ...] = get_args(get_args(AnyEntry)[0])
"""Every kind of entry."""


def _reading(said: str, unit: Unit, readings: Readings) -> int | None:
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


def _disagreement(meant: int | None, said: str, stored: int) -> str | None:
    if meant == stored:
        return None
    if meant is None:
        return say("{said} is no reading", said=repr(said[:24]))
    return say(
        "{said} means {meant} nm, but {stored} nm is stored",
        said=repr(said[:24]),
        meant=meant,
        stored=stored,
    )
