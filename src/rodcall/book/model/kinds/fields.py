"""What a field of an entry may hold: limits, forms of names, and words of a list."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import BeforeValidator, Field

from rodcall.i18n import phrase, say
from rodcall.units import HEIGHT_LIMIT, M

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

MOST_ADDED = 9999
"""Lines or columns added at A1's side."""

TEXT_LIMIT = 500
"""Characters in one note, name or reason: more than anybody keys in a cab."""


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
Nanometres = Annotated[int, Field(ge=-HEIGHT_LIMIT, le=HEIGHT_LIMIT)]
Elevation = Annotated[int, Field(ge=-ELEVATION_LIMIT, le=ELEVATION_LIMIT)]
LONGEST_SENDER = 24
SentFrom = Annotated[str, Field(max_length=LONGEST_SENDER)]
"""The phone that an entry was sent from, as the cab calls it, or the file that it was read from, `FROM_FILE` and the
beginning of its name; empty for what was keyed in the cab."""
FROM_FILE = "file "
Added = Annotated[int, Field(ge=0, le=MOST_ADDED)]
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
