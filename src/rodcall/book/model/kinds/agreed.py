"""Entries of what was agreed or decided: the pad, the target, the terms, and how the work goes on."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from rodcall.book.model.facts import MOST_DISTANCES, parse_fact
from rodcall.book.model.kinds.fields import (
    ELEVATION_LIMIT,
    FEWEST_OF_OUTLINE,
    MOST_OF_OUTLINE,
    MOST_POSITIONS,
    MOST_VALUE,
    TEXT_LIMIT,
    Corner,
    Elevation,
    EntryNumber,
    Nanometres,
    PositionName,
    Remedy,
    RoundKind,
    Slope,
    TabletName,
    Text,
    Walk,
    word_of,
)
from rodcall.book.model.kinds.readings import Entry, Placed, Readings, disagreement, reading_said, without
from rodcall.book.model.terms import parse_term
from rodcall.i18n import say
from rodcall.units import Unit


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
        return disagreement(reading_said(self.said, unit, Readings.HEIGHT), self.said, self.offset_nm)


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
    _lean = without("together", "before_a1")

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
                meant=repr(meant[:24]) if isinstance(meant, str) else meant,
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
