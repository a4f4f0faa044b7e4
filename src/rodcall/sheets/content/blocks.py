"""What a sheet is made of, whether it becomes a PDF, a web page or plain text: blocks of facts, tables and drawings."""

from __future__ import annotations

from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from rodcall.frozen import Frozen

BLANK = "____"
"""A place for a pencil: a line on paper."""


class Facts(Frozen):
    """Labels and values; an empty label goes on with the one before."""

    title: str
    rows: tuple[tuple[str, str], ...]


class Beside(Frozen):
    """Two blocks of facts side by side, where there is room."""

    left: Facts
    right: Facts


class Table(Frozen):
    """Rows under a head that is repeated wherever they run on."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words_in: frozenset[int] = frozenset()
    """Columns of words, set left; the others are numbers, set right."""
    none: str = ""
    """What is said where there are no rows; `none` where this is empty."""
    in_strips: bool = False
    """On paper, several rows stand side by side where they fit."""
    for_pencil: bool = False
    """Rows are high enough to write in."""
    strong: frozenset[int] = frozenset()
    """Rows that stand out."""
    note: str = ""
    """Said under it."""


class Remarks(Frozen):
    """Lines of words, each wrapped where it must be."""

    title: str
    lines: tuple[str, ...]


class Spot(Frozen):
    """A position on a plan."""

    name: str
    row: int
    column: int
    label: str
    """Its number, or the sign of what became of it; empty where no pad is."""
    marks: str
    story: str
    """Everything about it in one line, shown under the pointer."""
    strong: bool = False
    """Out of tolerance."""
    shot: bool = True


class Point(Frozen):
    """Something on or beside the pad, millimetres from the near left corner: right, and away."""

    name: str
    x: float
    y: float


class Plan(Frozen, eq=False):
    """The pad from above, to scale, far end at the top."""

    title: str
    said: str
    """What it shows, in a sentence for those who cannot see it."""
    width: float
    """Millimetres across."""
    length: float
    """Millimetres away."""
    columns: tuple[tuple[str, float], ...]
    """Letter and distance from the left edge, millimetres."""
    lines: tuple[tuple[str, float], ...]
    """Number and distance from the near edge."""
    spots: tuple[Spot, ...]
    edges: tuple[str, str]
    """What the far end and the near edge are called."""
    points: tuple[Point, ...] = ()
    """References on the pad."""
    outline: tuple[tuple[tuple[float, float], ...], ...] = ()
    """The pad's edge and its holes, each by its corners, where it is no full rectangle."""
    tripod: Point | None = None
    footprint: tuple[float, float, float, float] | None = None
    """Left, right, near and far sides, from the near left corner."""
    north: float | None = None
    """Degrees clockwise from north that the far end looks; None where nobody said."""
    north_said: str = ""
    scale: tuple[float, str] = (0.0, "")
    """Length of the scale bar and what it says."""
    shades: NDArray[np.uint8] | None = None
    """Which shade each dot of the colour map has, far end first; 255 off the pad."""
    colours: tuple[str, ...] = ()
    key: tuple[tuple[str, str], ...] = ()
    """Colour and what it means, highest first."""
    notes: tuple[str, ...] = ()
    """What marks and lines mean."""
    spread_out: bool = False
    """Drawn as large as the page lets it, every number on it, for a pencil."""


class Strip(Frozen):
    """All deviations between the limits, on one axis; millimetres."""

    said: str
    values: tuple[float, ...]
    low: float
    high: float
    step: float
    labels: tuple[str, str, str]
    """At the low limit, at the target, at the high limit."""


class Picture(Frozen):
    """A photo as the job has it."""

    caption: str
    png: bytes
    """Small; empty where it cannot be shown, which the caption says."""


class Pictures(Frozen):
    """Photos side by side."""

    title: str
    pictures: tuple[Picture, ...]


Block = Facts | Beside | Table | Remarks | Plan | Pictures


class Contractor(Frozen):
    """Who issues the sheet."""

    name: str = ""
    lines: tuple[str, ...] = ()
    """Address, contact, licence."""
    logo: str = ""
    """A `data:` address of a checked picture; empty where there is none."""


class Certificate(Frozen):
    """The first page: complete by itself."""

    contractor: Contractor
    report: tuple[tuple[str, str], ...]
    """Number, revision, date of issue."""
    facts: tuple[tuple[str, str], ...]
    outcome: str
    """`pass`, `fail` or `open`: which symbol and colours."""
    word: str
    sentence: str
    """The result in plain words."""
    reasons: tuple[str, ...]
    """What is open, gravest first."""
    band: tuple[tuple[str, str], ...]
    """Tolerance, decision rule, how many are too close to call."""
    plan: Plan
    numbers: Facts
    """The result in a few figures, beside the plan."""
    strip: Strip | None
    signatures: tuple[str, ...]
    digest: tuple[str, str]
    """Its title, and the digest in groups."""
    code: str
    """What the QR code says."""
    validity: str


class Sheet(Frozen):
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
    author: str = ""
    certificate: Certificate | None = None
