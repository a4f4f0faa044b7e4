"""Which position each point of a file lies at, and how high a surface lies at each position."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from rodcall.book.fold.page import ZERO
from rodcall.book.model.grid import Grid, GridError
from rodcall.figures.datum import Datum
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.target import metres
from rodcall.files_in.landxml import Tin
from rodcall.files_in.points import ORDERS, Points
from rodcall.files_in.text import FileInError, at_line
from rodcall.frozen import Frozen
from rodcall.i18n import say

WITHIN_M = 0.3048
"""A point this near to a position, a foot, is the position's (our own choice; an option says otherwise)."""
AT_ONCE, MOST_TRIED = 500_000, 50_000_000
"""Pairs of a triangle and a position tried together, and in all: more only where triangles lie over each other."""
SLACK_M = 2e-3
ON_EDGE = 1e-4
"""Share of a triangle by which a position may lie beyond its edge: files round to a millionth of a metre."""


class Placed(Frozen, eq=False):
    """Heights of positions, out of a file."""

    index: Ints
    """Positions, each once, in the order of the grid."""
    height_m: Floats
    """As the file has them."""
    off: tuple[int, ...]
    """Lines of points that lie at no position."""
    marks: tuple[int, ...]
    """Lines of references, which are no shots."""
    farthest_m: float
    """How far the farthest point lies from its position."""


def order_of(points: Points, grid: Grid, datum: Datum, within_m: float) -> str:
    """The order of the columns, where the points' names tell it: those that are positions must lie there.

    Returns "" where they do not tell, as on a square pad or by other names.
    """
    if points.order:
        return points.order
    named = _named(points, grid)
    rows = np.flatnonzero(named >= 0)
    if not rows.size:
        return ""
    fits = [order for order in ORDERS if (_off_by(points, order, grid, datum, named)[rows] <= within_m).all()]
    return fits[0] if len(fits) == 1 else ""


def place_points(
    points: Points,
    order: str,
    grid: Grid,
    datum: Datum,
    within_m: float = WITHIN_M,
    references: Collection[str] = (ZERO,),
) -> Placed:
    """Put each point at the position nearest to it.

    Args:
        points: Of the file.
        order: Of its columns, a key of `ORDERS`.
        grid: Of the pad.
        datum: How the pad lies in the file's system.
        within_m: A point farther from every position lies at none.
        references: Names of points that are no shots, as those that the pad's own file has beside them.

    Raises:
        FileInError: when two lie at one position, or one is named for another position than it lies at, by its line;
            when none lies at a position.
    """
    index, off = _nearest(points, order, grid, datum)
    known = {name.upper() for name in references}
    near = (off <= within_m) & ~np.array([name.upper() in known for name in points.names])
    named = _named(points, grid)
    wrong = np.flatnonzero(near & (named >= 0) & (named != index))
    if wrong.size:
        row = int(wrong[0])
        here = grid.name(int(index[row]))
        why = say("{name} lies at {position} by its coordinates", name=grid.name(int(named[row])), position=here)
        raise at_line(points.lines[row], why)
    # Of several at one position the one that bears its name is the shot; others are marks beside it.
    shot = np.isin(index, index[near & (named >= 0)])
    near &= ~shot | (named >= 0)
    rows = np.flatnonzero(near)
    if not rows.size:
        raise FileInError(
            say(
                "no point lies within {within:.2f} m of a position (nearest {off:.2f} m); see terms a1, bearing",
                within=within_m,
                off=float(off.min()),
            )
        )
    order_in_grid = rows[np.argsort(index[rows], kind="stable")]
    met = index[order_in_grid]
    twice = np.flatnonzero(met[1:] == met[:-1])
    if twice.size:
        first, second = sorted(points.lines[int(order_in_grid[int(twice[0]) + more])] for more in (0, 1))
        position = grid.name(int(met[int(twice[0])]))
        raise at_line(
            second, say("a second point at {position} (the first: line {line})", position=position, line=first)
        )
    beyond = off > within_m
    far, marks = (tuple(points.lines[int(row)] for row in np.flatnonzero(each)) for each in (beyond, ~beyond & ~near))
    return Placed(met, points.height_m[order_in_grid], far, marks, float(off[rows].max()))


def place_surface(tin: Tin, grid: Grid, datum: Datum) -> Placed:
    """The height of a surface at each position that it covers: straight within each triangle.

    Raises:
        FileInError: when it covers no position.
    """
    along, across = datum.on_pad(tin.corners[:, 0], tin.corners[:, 1])
    lines, columns = metres(grid.along_nm), metres(grid.across_nm)
    y, x, z = along[tin.faces], across[tin.faces], tin.corners[:, 2][tin.faces]
    # Which lines and columns each triangle can reach; most of a fine surface reach none.
    (row0, row1), (col0, col1) = _reached(lines, y), _reached(columns, x)
    area = (y[:, 1] - y[:, 0]) * (x[:, 2] - x[:, 0]) - (y[:, 2] - y[:, 0]) * (x[:, 1] - x[:, 0])
    spots = np.where(np.abs(area) > 1e-12, (row1 - row0) * (col1 - col0), 0)
    reaching = np.flatnonzero(spots > 0)
    if int(spots.sum()) > MOST_TRIED:
        raise FileInError(say("its triangles lie over each other; they are no ground"))
    heights, deepest = np.zeros(grid.size), np.full(grid.size, -np.inf)
    pieces = np.array_split(reaching, max(1, int(spots.sum()) // AT_ONCE))
    for faces in pieces:
        many = spots[faces]
        face = np.repeat(faces, many)
        number = np.arange(face.size) - np.repeat(many.cumsum() - many, many)
        wide = (col1 - col0)[face]
        row, col = row0[face] + number // wide, col0[face] + number % wide
        at_y, at_x = lines[row] - y[face, 0], columns[col] - x[face, 0]
        second = (at_y * (x[face, 2] - x[face, 0]) - (y[face, 2] - y[face, 0]) * at_x) / area[face]
        third = ((y[face, 1] - y[face, 0]) * at_x - at_y * (x[face, 1] - x[face, 0])) / area[face]
        within = np.minimum(np.minimum(1 - second - third, second), third)
        told = z[face, 0] + second * (z[face, 1] - z[face, 0]) + third * (z[face, 2] - z[face, 0])
        spot = row * grid.across + col
        # The triangle that a position lies in deepest tells; the last of equal ones is written last.
        best = np.argsort(within, kind="stable")
        best = best[(within[best] >= -ON_EDGE) & (within[best] > deepest[spot[best]])]
        heights[spot[best]], deepest[spot[best]] = told[best], within[best]
    index = np.flatnonzero(np.isfinite(deepest))
    if not index.size:
        raise FileInError(say("the surface {name} covers no position; see terms a1, bearing", name=repr(tin.name[:24])))
    return Placed(index, heights[index], (), (), 0.0)


def _reached(places: Floats, corners: Floats) -> tuple[Ints, Ints]:
    """The first line (or column) that each triangle reaches, and the first beyond; (triangles, 3) corners."""
    first, beyond = places.searchsorted(corners.min(1) - SLACK_M), places.searchsorted(corners.max(1) + SLACK_M)
    return np.asarray(first, np.int64), np.asarray(beyond, np.int64)


def _named(points: Points, grid: Grid) -> Ints:
    """The position that each point is named for; -1 where it is none of this grid."""
    found = np.full(len(points.names), -1, np.int64)
    for row, name in enumerate(points.names):
        # Numbers are names too: only what looks like a position is looked up.
        if name and name[0].isalpha() and name[-1].isdigit() and len(name) <= 6:
            try:
                found[row] = grid.index(name.upper())
            except GridError:
                continue
    return found


def _off_by(points: Points, order: str, grid: Grid, datum: Datum, index: Ints) -> Floats:
    """How far each point lies from a position, metres."""
    along, across = datum.on_pad(*points.ordered(order))
    rows, cols = np.divmod(np.maximum(index, 0), grid.across)
    off: Floats = np.hypot(along - grid.along_nm[rows] * 1e-9, across - grid.across_nm[cols] * 1e-9)
    return off


def _nearest(points: Points, order: str, grid: Grid, datum: Datum) -> tuple[Ints, Floats]:
    """The position nearest to each point, and how far off that is."""
    along, across = datum.on_pad(*points.ordered(order))
    row, col = _closest(metres(grid.along_nm), along), _closest(metres(grid.across_nm), across)
    index = row * grid.across + col
    return index, _off_by(points, order, grid, datum, index)


def _closest(lines: Floats, at: Floats) -> Ints:
    after = np.clip(np.searchsorted(lines, at), 1, lines.size - 1)
    nearest: Ints = np.where(at - lines[after - 1] <= lines[after] - at, after - 1, after)
    return nearest


def covers(placed: Placed, pad: Mask) -> Ints:
    """Positions of the pad that a file says nothing of."""
    missing = pad.copy()
    missing[placed.index] = False
    return np.flatnonzero(missing)
