"""Slopes that suit the ground as it lies: balanced target planes that move little earth.

Any plane through the middle of the pad at the average by area balances cut and fill when dirt does not shrink
(Scaloppi and Willardson, ASCE J. Irrig. Drain. Eng. 1986); where it shrinks, the offset is that of `balance`.
So slopes are free, and two choices of them stand out. Units as in `earthwork`.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from rodcall.figures.earthwork.volumes import Grade, Relief, Surface, balance, rays
from rodcall.figures.ground.averages import Floats, middles
from rodcall.figures.ground.cells import Cells, Pieces
from rodcall.frozen import Frozen

MOST_STEPS = 60
MOST_HALVINGS = 30
GAIN_WORTH_A_STEP = 1e-10
"""Of the earth moved: what lies below is rounding."""
ARMIJO = 1e-4
UNIT_ALONG = np.array([-0.5, -0.5, 0.5, 0.5, -0.5])[:, None]
UNIT_ACROSS = np.array([-0.5, 0.5, 0.5, -0.5, -0.5])[:, None]
"""Corners of a cell of size 1 about its centre, walked around as a relief has them."""


def least_squares_grade(
    surface: Surface, shrink: float, on_hand: float = 0.0, *, zero: tuple[float, float] = (0.0, 0.0)
) -> Grade:
    """The balanced plane with the slopes that fit the surface best, heights weighed by the area they serve.

    On a full grid the two slopes do not depend on each other: each is a plain ratio of moments. Where a part of it is
    no pad they do (normal equations of two unknowns).

    Args:
        surface: The ground.
        shrink: Fraction of cut lost when compacted.
        on_hand: Fill from a pile or hauled in, m3 as compacted.
        zero: Where the plane's zero shall be, metres along and across from A1.

    Raises:
        ValueError: when shrink is 1 or more.
    """
    if surface.cells is not None:
        slopes = Grade(0.0, *_slopes_of_part(surface, surface.cells), *zero)
        return replace(slopes, offset=balance(surface, slopes, shrink, on_hand))
    weigh_along, weigh_across = _served(surface.node_along), _served(surface.node_across)
    along = surface.node_along - np.average(surface.node_along, weights=weigh_along)
    across = surface.node_across - np.average(surface.node_across, weights=weigh_across)
    moment_along, moment_across = weigh_along * along, weigh_across * across
    # Elevations of some hundred metres must not drown millimetres.
    heights = surface.nodes - surface.nodes[0, 0]
    slopes = Grade(
        0.0,
        float(moment_along @ heights @ weigh_across / (moment_along @ along * weigh_across.sum())),
        float(weigh_along @ heights @ moment_across / (weigh_along.sum() * (moment_across @ across))),
        *zero,
    )
    return replace(slopes, offset=balance(surface, slopes, shrink, on_hand))


def _slopes_of_part(surface: Surface, cells: Cells) -> tuple[float, float]:
    """Slopes along and across of the plane that fits best where not all of the grid is pad."""
    weights, (middle_along, middle_across) = cells.node_weights, cells.centre
    along, across = surface.node_along - middle_along, surface.node_across - middle_across
    by_line, by_column = weights.sum(axis=1), weights.sum(axis=0)
    # As above; nodes that are no pad weigh nothing.
    heights = weights * (surface.nodes - surface.average)
    mixed = along @ weights @ across
    moments = np.array([[by_line @ along**2, mixed], [mixed, by_column @ across**2]])
    fitted = np.linalg.solve(moments, np.array([along @ heights.sum(axis=1), heights.sum(axis=0) @ across]))
    return float(fitted[0]), float(fitted[1])


def least_earth_grade(
    surface: Surface, shrink: float, on_hand: float = 0.0, *, zero: tuple[float, float] = (0.0, 0.0)
) -> Grade:
    """The balanced plane that moves the least earth, cut and fill together.

    Among balanced planes cut decides, since fill is cut x (1 - shrink) + on hand; and the least cut for given
    slopes is a convex function of these, so that the first minimum met is the only one. Quasi-Newton (BFGS)
    steps from the least-squares plane find it; the gradient is exact (`_weigh`). Ground that is flat in
    pieces puts kinks into that function, where the search may stop a little short; it never ends above the
    least-squares plane.

    Args and Raises: as for `least_squares_grade`.
    """
    start = least_squares_grade(surface, shrink, on_hand, zero=zero)
    half = np.array([np.ptp(surface.node_along), np.ptp(surface.node_across)]) / 2
    # Rises from the middle to the pad's edges: both unknowns in metres, of like weight.
    rises = np.array([start.along, start.across]) * half
    here = _weigh(surface, rises / half, shrink, on_hand)
    curvature = np.eye(2) * (here.cut / surface.area**2)
    for _ in range(MOST_STEPS):
        gradient = here.gradient / half
        step = -curvature @ gradient
        gain = -float(gradient @ step)
        if gain <= GAIN_WORTH_A_STEP * here.cut:
            break
        for _ in range(MOST_HALVINGS):
            there = _weigh(surface, (rises + step) / half, shrink, on_hand)
            if there.cut <= here.cut - ARMIJO * gain:
                break
            step, gain = step / 2, gain / 2
        else:
            break
        curvature = _updated(curvature, step, there.gradient / half - gradient)
        rises, here = rises + step, there
    along, across = (rises / half).tolist()
    slopes = Grade(0.0, along, across, *zero)
    return replace(slopes, offset=balance(surface, slopes, shrink, on_hand))


class _Weighed(Frozen):
    """The cut of a balanced plane, and how it changes with the plane's slopes along and across."""

    cut: float
    gradient: Floats


def _weigh(surface: Surface, slopes: Floats, shrink: float, on_hand: float) -> _Weighed:
    """Cut of the balanced plane with these slopes.

    Turned about the pad's middle, a plane loses cut by the first moment M of the area in cut and spare by
    `-shrink x M`; the offset that restores the balance costs the rest: the gradient is
    -M A / (A - shrink x area in cut). It is 0 where the area in cut has its centroid in the middle of the pad.
    """
    along, across = slopes.tolist()
    relief = surface.over(Grade(0.0, along, across, *surface.centre))
    offset = relief.balance(shrink, on_hand)
    earth = relief.at(offset)
    moment = _moment_in_cut(surface, relief, offset)
    return _Weighed(earth.cut, -moment * surface.area / (surface.area - shrink * earth.above))


def _moment_in_cut(surface: Surface, relief: Relief, offset: float) -> Floats:
    """First moment of the area above the target about the pad's middle, along and across, in m3."""
    mean = relief.mean - offset
    whole = relief.areas * (mean >= 0.0)
    along = middles(surface.node_along) - surface.centre[0]
    across = middles(surface.node_across) - surface.centre[1]
    rows, columns = np.diff(surface.node_along), np.diff(surface.node_across)
    by_cell = whole.reshape(along.size, across.size)
    moment = np.array([along @ by_cell.sum(axis=1), across @ by_cell.sum(axis=0)])
    for cells in relief.mixed(offset):
        row, column = np.divmod(cells, across.size)
        beyond = _Beyond(relief.corners.take(cells, axis=1) - offset, mean[cells])
        signed = np.copysign(relief.areas[cells], mean[cells])
        moment[0] -= signed @ (beyond.area * along[row] + beyond.moment(UNIT_ALONG) * rows[row])
        moment[1] -= signed @ (beyond.area * across[column] + beyond.moment(UNIT_ACROSS) * columns[column])
    if relief.pieces is not None and relief.triangles is not None:
        moment += _moment_of_pieces(surface, relief.pieces, relief.triangles, offset)
    return moment


def _moment_of_pieces(surface: Surface, pieces: Pieces, relief: Relief, offset: float) -> Floats:
    """The same of the pieces of squares."""
    mean, moment = relief.mean - offset, np.zeros(2)
    for way, (at, centre) in enumerate(zip((pieces.along, pieces.across), surface.centre, strict=True)):
        corners = np.concatenate((at, at[:1]))
        middle = at.mean(axis=0)
        moment[way] = (relief.areas * (mean >= 0.0)) @ (middle - centre)
        for cells in relief.mixed(offset):
            beyond = _Beyond(relief.corners.take(cells, axis=1) - offset, mean[cells])
            signed = np.copysign(relief.areas[cells], mean[cells])
            about_middle = beyond.moment((corners - middle).take(cells, axis=1))
            moment[way] -= signed @ (beyond.area * (middle - centre)[cells] + about_middle)
    return moment


class _Beyond:
    """The part of each cell beyond the target from its centre: area and first moment, per area of the cell.

    In each triangle it is the sector from the centre to the part of the edge beyond, from P to Q, less the
    same sector shrunk by u = 1 - p along one side and v = 1 - q along the other; a triangle's centroid is the
    mean of its corners.
    """

    def __init__(self, corners: Floats, mean: Floats) -> None:
        depth, ray, self.edge = rays(corners, mean)
        self.is_beyond = depth > 0.0
        self.u, self.v = 1.0 - ray[:-1], 1.0 - ray[1:]
        self.sides = len(corners) - 1
        self.area = (self.edge * (1.0 - self.u * self.v)).sum(axis=0) / self.sides

    def moment(self, unit: Floats) -> Floats:
        """About the cell's centre, for corners that lie at `unit` in the direction asked for."""
        first, second = unit[:-1], unit[1:]
        p = np.where(self.is_beyond[:-1], first, second + self.edge * (first - second))
        q = np.where(self.is_beyond[1:], second, first + self.edge * (second - first))
        sector = p * (1.0 - self.u**2 * self.v) + q * (1.0 - self.u * self.v**2)
        moment: Floats = np.einsum("ij,ij->j", self.edge, sector) / (3.0 * self.sides)
        return moment


def _updated(curvature: Floats, step: Floats, change: Floats) -> Floats:
    """The inverse curvature after a step that changed the gradient so (BFGS)."""
    bend = float(step @ change)
    if bend <= 0.0:
        return curvature
    turn = np.eye(2) - np.outer(step, change) / bend
    return turn @ curvature @ turn.T + np.outer(step, step) / bend


def _served(nodes: Floats) -> Floats:
    """Length that each node stands for."""
    return (np.diff(nodes, prepend=nodes[0]) + np.diff(nodes, append=nodes[-1])) / 2
