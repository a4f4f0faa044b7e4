"""The kinds of entry in a book: frozen, numbered, timed, with the words typed and the value they mean.

A height is stored as it was read, in whole nanometres, next to the words it was read from; the two must
agree whenever the book is opened (`Entry.check`). What follows from a reading is never stored.
"""

from __future__ import annotations

from typing import Annotated, get_args

from pydantic import Field

from rodcall.book.model.kinds.agreed import (
    Decision,
    Fact,
    LeaveOut,
    NotPad,
    Outline,
    Round,
    Target,
    TermSet,
    WalkOrder,
    Zero,
)
from rodcall.book.model.kinds.fields import (
    ELEVATION_LIMIT,
    FEWEST_OF_OUTLINE,
    MOST_NUMBER,
    MOST_OF_OUTLINE,
    MOST_PLACES,
    MOST_POSITIONS,
    TEXT_LIMIT,
    LaserTest,
    Remedy,
    RoundKind,
    Slope,
    Stage,
    Text,
    Walk,
    word_of,
)
from rodcall.book.model.kinds.readings import (
    Check,
    Confirm,
    Entry,
    LaserCheck,
    MachineCheck,
    Placed,
    Readings,
    Reference,
    Setup,
    Shot,
    Time,
)
from rodcall.book.model.kinds.records import (
    Damage,
    Issue,
    Note,
    Photo,
    Strike,
)

__all__ = [
    "ELEVATION_LIMIT",
    "FEWEST_OF_OUTLINE",
    "KINDS",
    "MOST_NUMBER",
    "MOST_OF_OUTLINE",
    "MOST_PLACES",
    "MOST_POSITIONS",
    "TEXT_LIMIT",
    "AnyEntry",
    "Check",
    "Confirm",
    "Damage",
    "Decision",
    "Entry",
    "Fact",
    "Issue",
    "LaserCheck",
    "LaserTest",
    "LeaveOut",
    "MachineCheck",
    "NotPad",
    "Note",
    "Outline",
    "Photo",
    "Placed",
    "Readings",
    "Reference",
    "Remedy",
    "Round",
    "RoundKind",
    "Setup",
    "Shot",
    "Slope",
    "Stage",
    "Strike",
    "Target",
    "TermSet",
    "Text",
    "Time",
    "Walk",
    "WalkOrder",
    "Zero",
    "word_of",
]

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
