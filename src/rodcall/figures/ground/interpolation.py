"""Heights between the shots: the surface of the volumes, asked at any raster of points, as a picture needs it."""

from __future__ import annotations

import numpy as np

from rodcall.figures.earthwork.volumes import Grade, Surface
from rodcall.figures.ground.averages import Floats, Mask
from rodcall.figures.ground.pad_squares import RING, WHOLE, Squares


def above_target(surface: Surface, target: Grade, lines: int, columns: int) -> Floats:
    """How far the ground stands above a target, at the middle of each cell of a raster over the whole pad.

    Each square is split into four triangles that meet at the mean of its corners, as for cut and fill. One with a
    corner that is no pad is the plane through the other three, as far as the line between that corner's neighbours.

    Args:
        surface: The ground.
        target: The plane it is held against.
        lines: Rows of the raster, the first along the near edge.
        columns: Columns of the raster, the first along the left edge.

    Returns:
        Metres, shape (lines, columns); NaN where there is no pad.
    """
    nodes = surface.nodes - target.at(surface.node_along[:, None], surface.node_across)
    row, v = _place(surface.node_along, lines)
    column, u = _place(surface.node_across, columns)
    near_left, near_right = nodes[np.ix_(row, column)], nodes[np.ix_(row, column + 1)]
    far_left, far_right = nodes[np.ix_(row + 1, column)], nodes[np.ix_(row + 1, column + 1)]
    on_pad = _corners_on_pad(surface.squares, row, column) if surface.squares is not None else None
    if on_pad is not None:
        ring = _as_planes([near_left, near_right, far_right, far_left], on_pad)
        near_left, near_right, far_right, far_left = ring
    u, v = np.broadcast_arrays(u[None, :], v[:, None])
    centre = (near_left + near_right + far_left + far_right) / 4
    # From the centre a triangle rises to the middle of its edge, and leans with that edge.
    sideways = np.where(u > 0, near_right + far_right, near_left + far_left) / 2 - centre
    away = np.where(v > 0, far_left + far_right, near_left + near_right) / 2 - centre
    lean_along = np.where(u > 0, far_right - near_right, far_left - near_left)
    lean_across = np.where(v > 0, far_right - far_left, near_right - near_left)
    beside = centre + 2 * np.abs(u) * sideways + v * lean_along
    beyond = centre + 2 * np.abs(v) * away + u * lean_across
    result: Floats = np.where(np.abs(u) >= np.abs(v), beside, beyond)
    return result if on_pad is None else np.where(_is_pad(on_pad, u, v), result, np.nan)


def _corners_on_pad(squares: Squares, row: np.ndarray, column: np.ndarray) -> Mask:
    """Which corners of the square around each raster cell are pad, walked around: (4, lines, columns)."""
    return np.array([squares.on_pad[np.ix_(row + away, column + right)] for away, right in RING])


def _as_planes(ring: list[Floats], on_pad: Mask) -> list[Floats]:
    """Heights of corners, with a missing one where the plane through the other three has it."""
    planes = []
    for at, height in enumerate(ring):
        plane = ring[at - 1] + ring[(at + 1) % WHOLE] - ring[at - 2]
        planes.append(np.where(on_pad[at], height, plane))
    return planes


def _is_pad(on_pad: Mask, u: Floats, v: Floats) -> Mask:
    """Whether a place at (u, v) from its square's middle is: in a triangle, on the far side from the missing corner."""
    number = on_pad.sum(axis=0)
    beyond = np.array([(v if away else -v) + (u if right else -u) for away, right in RING])
    inside = (np.where(on_pad, 0.0, beyond).sum(axis=0) <= 0.0) & (number == WHOLE - 1)
    mask: Mask = (number == WHOLE) | inside
    return mask


def _place(nodes: Floats, count: int) -> tuple[np.ndarray, Floats]:
    """The square in which the middle of each raster cell falls, and where in it: -0.5 to 0.5 from its middle."""
    at = nodes[0] + (np.arange(count) + 0.5) / count * (nodes[-1] - nodes[0])
    square = np.clip(np.searchsorted(nodes, at, side="right") - 1, 0, nodes.size - 2)
    return square, (at - nodes[square]) / (nodes[square + 1] - nodes[square]) - 0.5
