"""Entries from before lines or columns were added at A1's side, told by the names and distances that hold now.

A1 is the near left corner, so a line added at the near edge makes the old A1 an A2. An entry says how many lines and
columns had been added there when it was written (`Placed.before_a1`); by that it stays about the same ground for ever.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Any

from rodcall.book.model.entries import (
    Entry,
    Fact,
    LeaveOut,
    MachineCheck,
    NotPad,
    Outline,
    Photo,
    Placed,
    Reference,
    Shot,
    Target,
    TermSet,
    Zero,
)
from rodcall.book.model.grid import Grid, GridError, moved
from rodcall.book.model.shapes import POINTS, ShapeKind
from rodcall.i18n import say
from rodcall.units import FOOT, MM, parse_length

Origin = tuple[int, int]
"""Lines added at the near edge and columns added at the left since the job was begun."""

NOTHING_ADDED: Origin = (0, 0)

_POSITION = re.compile(r"[A-Za-z]{1,2}[1-9][0-9]{0,3}")
OF_A1 = ("a1", "a1-wgs84")
"""Terms that say where A1 lies: they stay about the spot that was A1 then."""


def restated(entry: Entry, origin: Origin, grid: Grid, references: Collection[str]) -> Entry:
    """The entry as it would be written now; itself where nothing was added or taken back since.

    Args:
        entry: As it was written.
        origin: Of the grid as it is now.
        grid: As it is now.
        references: Names that are no positions even where they look like one.

    Raises:
        GridError: when it is about a line or column that is not there any more.
    """
    if not isinstance(entry, Placed) or entry.before_a1 == origin:
        return entry
    by = origin[0] - entry.before_a1[0], origin[1] - entry.before_a1[1]
    changed: dict[str, Any] = {}
    match entry:
        case Shot() | LeaveOut() | Zero():
            changed = {"position": moved(entry.position, by)}
        case Reference() if entry.position is not None:
            changed = {"position": moved(entry.position, by)}
        case NotPad():
            changed = {"position": moved(entry.position, by), "to": entry.to and moved(entry.to, by)}
        case MachineCheck() | Photo() if entry.at not in references and _POSITION.fullmatch(entry.at):
            changed = {"at": moved(entry.at.upper(), by)}
        case Outline():
            changed = {"corners": tuple(_corner(each, by, grid) for each in entry.corners)}
        case Target() if entry.shape:
            changed = {"shape": _shape(entry.shape, by, grid)}
        case TermSet() if entry.name == "tripod":
            changed = {"value": _corner(str(entry.value), by, grid)}
        case TermSet() if entry.name == "zone" and ":" in str(entry.value):
            changed = {"value": ":".join(_corner(each, by, grid) for each in str(entry.value).split(":"))}
        case TermSet() if entry.name in OF_A1:
            # The crew may never say its coordinates again: what was said stays, and `spot_of` says of which spot.
            spot_of(entry, origin, grid)
            return entry
        case Fact():
            return entry
    return entry.model_copy(update={**changed, "before_a1": origin})


def spot_of(entry: Placed, origin: Origin, grid: Grid) -> tuple[int, int]:
    """Where the spot lies that was A1 when an entry was written: nanometres out from A1 now, and to the right.

    Raises:
        GridError: when that is off the grid as it is now.
    """
    lines, columns = origin[0] - entry.before_a1[0], origin[1] - entry.before_a1[1]
    if not (0 <= lines < grid.along and 0 <= columns < grid.across):
        raise GridError(say("distances from a line that is not there any more"))
    return int(grid.along_nm[lines]), int(grid.across_nm[columns])


def _corner(said: str, by: Origin, grid: Grid) -> str:
    """A position, or two distances from A1, out and then right."""
    if "," not in said:
        return moved(said.upper(), by)
    if not (0 <= by[0] < grid.along and 0 <= by[1] < grid.across):
        raise GridError(say("distances from a line that is not there any more"))
    more = int(grid.along_nm[by[0]]), int(grid.across_nm[by[1]])
    parts = (part.strip() for part in said.split(","))
    return ",".join(_spelled(_signed(part) + each) for part, each in zip(parts, more, strict=True))


def _shape(said: str, by: Origin, grid: Grid) -> str:
    word, *rest = said.split()
    points = POINTS[ShapeKind(word.lower())]
    return " ".join([word, *(_corner(each, by, grid) for each in rest[:points]), *rest[points:]])


def _signed(said: str) -> int:
    return -parse_length(said[1:]) if said.startswith("-") else parse_length(said.removeprefix("+"))


def _spelled(nm: int) -> str:
    """A distance in feet where these are exact to a hundredth, else in millimetres."""
    sign, size = "-" if nm < 0 else "", abs(nm)
    hundredth = FOOT // 100
    if size % hundredth == 0:
        whole, rest = divmod(size // hundredth, 100)
        return f"{sign}{whole}.{rest:02}".removesuffix(".00") + "ft"
    whole, rest = divmod(size, MM)
    return f"{sign}{whole}.{rest:06}".rstrip("0").removesuffix(".") + "mm"
