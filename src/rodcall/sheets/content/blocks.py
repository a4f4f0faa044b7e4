"""What a sheet is made of, whether it is drawn or written as plain text: blocks of facts, tables and drawings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rodcall.book.model.grid import Walking
from rodcall.figures.summary import Summary

BLANK = "____"
"""A place for a pencil: a line on paper."""


@dataclass(frozen=True)
class Facts:
    """Labels and values; an empty label goes on with the one before."""

    title: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Beside:
    """Two blocks of facts side by side, where there is room."""

    left: Facts
    right: Facts


@dataclass(frozen=True)
class Table:
    """Rows under a head that is repeated wherever they run on."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words_in: frozenset[int] = frozenset()
    """Columns of words, set left; the others are numbers, set right."""
    none: str = ""
    """What is said where there are no rows; `none` where this is empty."""
    in_strips: bool = False
    """On paper, rows run down in strips side by side where they fit."""
    for_pencil: bool = False
    """Rows are high enough to write in."""
    strong: frozenset[int] = frozenset()
    """Rows that stand out."""
    note: str = ""
    """Said under it."""


@dataclass(frozen=True)
class Remarks:
    """Lines of words, each wrapped where it must be."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Headline:
    """The one thing that a reader looks for, large, and what bears on it."""

    text: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """The pad from above, far end at the top, with every number, colour and mark."""

    title: str
    summary: Summary
    north: str
    """The way the far end looks (n, ne, ...); empty where nobody said."""
    walking: Walking | None = None
    """For a blank plan: the order in which positions are numbered, instead of their heights."""


@dataclass(frozen=True)
class Picture:
    """High and low as a shaded surface."""

    title: str
    summary: Summary


@dataclass(frozen=True)
class Signatures:
    """Lines to sign on, by who signs."""

    title: str
    roles: tuple[str, ...]


Block = Facts | Beside | Table | Remarks | Headline | Plan | Picture | Signatures


@dataclass(frozen=True)
class Sheet:
    """One sheet: what stands at its head and foot, and its blocks in order."""

    title: str
    subject: str
    """The job's name."""
    foot: str
    made: datetime
    """Of the last entry, so that the same book makes the same bytes."""
    blocks: tuple[Block, ...]
    date: str = ""
    """Shown at its head; empty on a blank sheet."""
