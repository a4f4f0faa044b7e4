"""Points by name as other programs take them: what was shot, what is only estimated, and the references."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from rodcall.book.fold.page import ZERO
from rodcall.figures.ground.averages import Floats, Ints
from rodcall.figures.summary import Summary
from rodcall.sheets.exports.table import state


@dataclass(frozen=True, slots=True)
class NamedPoint:
    """One point; lengths in metres where geometry has begun, else whole nanometres."""

    name: str
    north_m: float
    east_m: float
    height_nm: int
    """Above the zero in force."""
    description: str
    """The same in every language, since programs read it."""
    index: int
    """Its position on the pad."""


def places(summary: Summary) -> tuple[Floats, Floats]:
    """North and east of each position in the drawing's system, metres, flat by position index."""
    along, across = np.meshgrid(summary.along_m, summary.across_m, indexing="ij")
    north, east = summary.datum.coordinates(along, across)
    return north.ravel(), east.ravel()


def six_decimals(metres: float) -> str:
    """Metres to the micrometre; no zero has a sign."""
    return f"{round(metres, 6) + 0.0:.6f}"


def elevation_nm(summary: Summary, height_nm: int) -> int:
    """What is told of a height: its elevation where the datum is known, else the height above the zero itself."""
    return height_nm + (summary.datum.zero_nm or 0)


def shots(summary: Summary) -> Iterator[NamedPoint]:
    """The positions that count in this round, by index; each reference that is one of them is named there."""
    also: dict[int, list[str]] = {}
    for name, index, height, _ in _references(summary):
        if summary.height_at(index) == height:
            also.setdefault(index, []).append("the zero" if name == ZERO else name)
    heights = summary.heights.tolist()
    for index, north, east in _at(summary, np.flatnonzero(summary.counts)):
        told = ", ".join([f"{summary.kind} round", state(summary, index), *also.get(index, ())])
        yield NamedPoint(summary.grid.name(index), north, east, heights[index], told, index)


def estimates(summary: Summary) -> Iterator[NamedPoint]:
    """The positions of the pad that this round has no shot of, with the height that the surface has there."""
    if summary.estimated is None:
        return
    heights, before = summary.estimated.tolist(), summary.from_before
    for index, north, east in _at(summary, np.flatnonzero(summary.pad & ~summary.counts)):
        told = "as before this round" if before[index] else "estimated"
        yield NamedPoint(summary.grid.name(index), north, east, heights[index], f"{told}, no shot", index)


def references(summary: Summary) -> Iterator[NamedPoint]:
    """The zero and each reference that lies on the pad, unless a shot at its place and height names it already."""
    for name, index, height, what in _references(summary):
        if summary.height_at(index) != height:
            for _, north, east in _at(summary, np.array([index])):
                yield NamedPoint(name, north, east, height, f"{what}, {summary.grid.name(index)}", index)


def off_the_pad(summary: Summary) -> dict[str, int]:
    """The references of which nobody said where they lie, with their heights above the zero."""
    known = {name for name, *_ in _references(summary)}
    return {name: height for name, height in summary.references.items() if name not in known}


def _references(summary: Summary) -> Iterator[tuple[str, int, int, str]]:
    """Name, position, height and kind of each whose place is known, the zero first."""
    yield ZERO, summary.zero, 0, "the zero"
    for name, index in summary.references_on_pad.items():
        if name != ZERO and name in summary.references:
            what = "benchmark" if name == summary.datum.reference else "reference"
            yield name, index, summary.references[name], what


def _at(summary: Summary, found: Ints) -> Iterator[tuple[int, float, float]]:
    north, east = places(summary)
    yield from zip(found.tolist(), north[found].tolist(), east[found].tolist(), strict=True)
