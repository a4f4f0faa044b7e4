"""Heights between the shots: the surface of the volumes, asked at any raster of points, as a picture needs it."""

from __future__ import annotations

import numpy as np

from rodcall.figures.earthwork.volumes import Grade, Surface
from rodcall.figures.ground.averages import Floats, Indices, Mask
from rodcall.figures.ground.cells import RING, WHOLE, fan_weights, place


def above_target(surface: Surface, target: Grade, lines: int, columns: int) -> Floats:
    """How far the ground stands above a target, at the middle of each cell of a raster over the whole pad.

    Each square is split into four triangles that meet at the mean of its corners, as for cut and fill. One with a
    corner that is no pad is the plane through the other three, as far as the line between that corner's neighbours.

    Args:
        surface: The ground.
        target: What it is held against.
        lines: Rows of the raster, the first along the near edge.
        columns: Columns of the raster, the first along the left edge.

    Returns:
        Metres, shape (lines, columns); NaN where there is no pad.
    """
    along, across = _middles(surface.node_along, lines), _middles(surface.node_across, columns)
    (row, v), (column, u) = place(surface.node_along, along), place(surface.node_across, across)
    ring = [surface.nodes[np.ix_(row + away, column + right)] for away, right in RING]
    on_pad = None if surface.pad is None else _corners_on_pad(surface, surface.pad, row, column)
    if on_pad is not None:
        ring = _as_planes(ring, on_pad)
    u, v = np.broadcast_arrays(u[None, :], v[:, None])
    heights = np.einsum("nij,nij->ij", fan_weights(u, v), np.array(ring))
    result: Floats = heights - target.at(along[:, None], across[None, :])
    if on_pad is not None:
        result = np.where(_is_pad(on_pad, u, v), result, np.nan)
    if surface.outline is not None:
        result = np.where(surface.outline.contains(along[:, None], across[None, :]), result, np.nan)
    return result


def _corners_on_pad(surface: Surface, pad: Mask, row: Indices, column: Indices) -> Mask:
    """Which corners of the square around each raster cell are pad, walked around: (4, lines, columns)."""
    nodes = np.pad(pad, 1, mode="edge") if surface.inset_m else pad
    return np.array([nodes[np.ix_(row + away, column + right)] for away, right in RING])


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


def _middles(nodes: Floats, count: int) -> Floats:
    """The middles of so many even steps from the first line to the last."""
    middles: Floats = nodes[0] + (np.arange(count) + 0.5) / count * (nodes[-1] - nodes[0])
    return middles
