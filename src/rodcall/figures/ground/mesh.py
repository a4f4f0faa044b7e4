"""The ground's surface as corner points and triangles, as other programs take it."""

from __future__ import annotations

import numpy as np

from rodcall.figures.earthwork.volumes import Grade, Surface, corners_of
from rodcall.figures.ground.averages import Floats, Ints
from rodcall.figures.ground.cells import RING
from rodcall.frozen import Frozen

SAME_M = 1e-9
"""Points nearer than this are one: positions are whole nanometres."""


class Mesh(Frozen, eq=False):
    """Triangles that cover the pad once.

    Args:
        points: Metres along and across from A1 and height, (points, 3); no two at one place.
        faces: Indices of the corners of each, counter-clockwise from above with along as north, (faces, 3).
    """

    points: Floats
    faces: Ints


def mesh(surface: Surface, design: Grade | None = None) -> Mesh:
    """The ground, or a design instead: four triangles a whole square, and the pieces of the others."""
    creases = () if design is None else design.creases
    cells = surface.cells_along(creases)
    nodes = surface.nodes
    if design is not None:
        nodes = np.broadcast_to(design.at(surface.node_along[:, None], surface.node_across), nodes.shape)
    whole = np.ones(surface.nodes[1:, 1:].shape, np.bool_) if cells is None else cells.whole
    along, across = np.meshgrid(surface.node_along, surface.node_across, indexing="ij")
    ring = np.stack([corners_of(each)[:, whole.ravel()] for each in (along, across, nodes)], axis=-1)
    middle = ring[:-1].mean(axis=0)
    # From the near left corner around to the right: counter-clockwise from above, north being away.
    corners = [np.stack((ring[at], ring[at + 1], middle), axis=1) for at in range(len(RING))]
    triangles = np.stack(corners, axis=1).reshape(-1, 3, 3)
    if cells is not None:
        pieces = cells.pieces
        height = pieces.heights(nodes) if design is None else design.at(pieces.along, pieces.across)
        # Parts of squares keep the way in which these are walked around.
        more = np.stack((pieces.along, pieces.across, np.broadcast_to(height, pieces.along.shape)), axis=-1)
        triangles = np.concatenate((triangles, more.swapaxes(0, 1)))
    flat = triangles.reshape(-1, 3)
    _, first, number = np.unique(
        np.rint(flat[:, :2] / SAME_M).astype(np.int64), axis=0, return_index=True, return_inverse=True
    )
    # Numbered as they are met, so that a reader finds neighbours near each other.
    order = np.argsort(first, kind="stable")
    rank = np.empty_like(order)
    rank[order] = np.arange(order.size)
    return Mesh(flat[first[order]], rank[number.ravel()].reshape(-1, 3))
