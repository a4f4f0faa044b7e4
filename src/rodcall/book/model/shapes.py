"""Designs and outlines as they are said: `crown B1 B4 2%`, `ramp A2 A4 6in`, `dish B3 1%`, `outline A1 C1 C3 B3 B4 A4`.

A place on the pad is a position, or two distances from A1: out (away from the near edge), then right, `30ft,12ft`.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from rodcall.book.model.entries import FEWEST_OF_OUTLINE, MOST_OF_OUTLINE
from rodcall.book.model.grid import Grid, GridError
from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say
from rodcall.units import LengthError, parse_length
from rodcall.units.quantities import QuantityError, parse_slope


class ShapeError(ValueError):
    """A design or an outline that is not understood; the text is one line."""


class ShapeKind(StrEnum):
    """What a design is besides a plane."""

    CROWN = phrase("crown")
    """High along a line."""
    VALLEY = phrase("valley")
    """Low along a line."""
    RAMP = phrase("ramp")
    """Even between two heights, level before and after."""
    DISH = phrase("dish")
    """Falls to a drain from all four sides."""


POINTS = {ShapeKind.CROWN: 2, ShapeKind.VALLEY: 2, ShapeKind.RAMP: 2, ShapeKind.DISH: 1}
"""How many places each is laid over."""

EXAMPLES = ("crown B1 B4 2%", "valley B1 B4 1%", "ramp A2 A4 6in", "dish B3 1%")


class SaidShape(Frozen):
    """A design as it was said."""

    kind: ShapeKind
    points: tuple[str, ...]
    fall: float = 0.0
    """m per m, above 0; of a crown and a valley square to the line, of a dish along either edge."""
    rise_nm: int = 0
    """Of a ramp: how much higher its second place is than its first."""


def parse_shape(said: str) -> SaidShape:
    """A design from its words.

    Raises:
        ShapeError: when it is none of the forms in `EXAMPLES`.
    """
    word, *rest = said.split()[:8] or [""]
    try:
        kind = ShapeKind(word.lower())
    except ValueError:
        raise ShapeError(
            say("{said} is not a shape; say {examples}", said=repr(word[:16]), examples=", ".join(EXAMPLES))
        ) from None
    points, measure = tuple(rest[: POINTS[kind]]), " ".join(rest[POINTS[kind] :])
    if len(points) < POINTS[kind] or not measure or len(set(points)) < len(points):
        example = next(example for example in EXAMPLES if example.startswith(kind))
        raise ShapeError(say("incomplete; for example {example}", example=example))
    try:
        if kind is ShapeKind.RAMP:
            down = measure.startswith("-")
            return SaidShape(kind, points, rise_nm=(-1 if down else 1) * parse_length(measure.lstrip("+-")))
        return SaidShape(kind, points, fall=abs(parse_slope(measure, 0)))
    except (LengthError, QuantityError, ZeroDivisionError) as error:
        raise ShapeError(str(error)) from None


def place_of(grid: Grid, said: str) -> tuple[int, int]:
    """A place on the pad, nanometres from A1 away from the near edge and to the right.

    Raises:
        ShapeError: when it is neither a position nor two distances, or lies off the pad.
    """
    if "," not in said:
        try:
            row, column = divmod(grid.index(said.upper()), grid.across)
        except GridError as error:
            raise ShapeError(str(error)) from None
        return int(grid.along_nm[row]), int(grid.across_nm[column])
    out, _, right = said.partition(",")
    try:
        place = _from_a1(out), _from_a1(right)
    except LengthError as error:
        raise ShapeError(str(error)) from None
    for at, whole in zip(place, (grid.length, grid.width), strict=True):
        if not -grid.inset <= at <= whole - grid.inset:
            raise ShapeError(say("{said} lies off the pad; distances are out from A1, then right", said=said[:24]))
    return place


def ring_of(grid: Grid, corners: Sequence[str]) -> tuple[tuple[int, int], ...]:
    """The corners of an outline in nanometres from A1.

    Raises:
        ShapeError: when there are too few or too many, or one is not understood.
    """
    if not FEWEST_OF_OUTLINE <= len(corners) <= MOST_OF_OUTLINE:
        raise ShapeError(say("an outline has {few} to {most} corners", few=FEWEST_OF_OUTLINE, most=MOST_OF_OUTLINE))
    return tuple(place_of(grid, corner) for corner in corners)


def _from_a1(said: str) -> int:
    """A distance that may be short of A1, as the pad's edge is."""
    said = said.strip()
    return -parse_length(said[1:]) if said.startswith("-") else parse_length(said.removeprefix("+"))
