"""Shares the cut and fill of every square among the spots at its corners, exact in sum.

The order of work moves dirt from spot to spot, while cut and fill belong to the surface between the spots. So that both
are the same dirt, the cut of a square goes to those of its corners that stand above the target, each by how high it
stands, and the fill to those that lie below. Where a square is all cut that is the handbook's four-corner method: a
quarter of the area times the height at each corner. Where the target cuts through a square, prisms over its corners
would hold more cut and more fill than there is; its shares hold what there is. The rule is our own choice.

A spot above the target has cut only, one below it fill only, but for two cases: in the strip outside the outermost
shots a sloping target may cross the ground, and what belongs to a spot where nobody digs goes to the spots beside it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rodcall.figures.earthwork.volumes import Grade, Surface, corners_of
from rodcall.figures.ground.averages import Floats, Mask

Indices = NDArray[np.intp]


def dirt_at_spots(surface: Surface, grade: Grade, keep_out: Mask | None = None) -> tuple[Floats, Floats]:
    """Cut and fill at each spot, (along, across), m3, bank measure; their sums are those of the surface.

    Args:
        surface: The ground.
        grade: The target.
        keep_out: Spots that neither give nor take; the spots beside them do it for them. Where all are kept out there
            is nobody, and nothing is shared out.
    """
    shape = surface.heights.shape
    spots = np.arange(surface.heights.size).reshape(shape)
    nodes = np.pad(spots, 1, mode="edge") if surface.inset_m else spots
    served = np.ones(spots.size, np.bool_) if keep_out is None else ~keep_out.ravel()
    if surface.pad is not None:
        served = served & surface.pad.ravel()
    if not served.any():
        return np.zeros(shape), np.zeros(shape)
    nearest = _nearest_served(surface, served)
    relief = surface.over(grade)
    corners, above = corners_of(nodes)[:-1], relief.corners[:-1] - grade.offset
    shared = np.zeros((2, spots.size))
    for side, (volumes, sign) in enumerate(zip(relief.by_square(grade.offset), (1.0, -1.0), strict=True)):
        cells = np.flatnonzero(volumes > 0.0)
        own = corners.take(cells, axis=1)
        weights = _weights(np.maximum(sign * above.take(cells, axis=1), 0.0), served[own])
        shares = weights * (volumes[cells] / weights.sum(axis=0))
        shared[side] += np.bincount(nearest[own].ravel(), shares.ravel(), spots.size)
    cut, fill = shared.reshape(2, *shape)
    return cut, fill


def _weights(beyond: Floats, served: Mask) -> Floats:
    """What each corner's share is in proportion to, (corners, cells): first those beyond the target that are served.

    Args:
        beyond: How far each corner lies beyond the target.
        served: Whether it gives and takes.
    """
    weights = beyond * served
    # Where no corner beyond is served, all corners that are do it alike; where none is, the spots nearest to each.
    for instead in (served.astype(np.float64), beyond):
        lacking = weights.sum(axis=0) == 0.0
        if not lacking.any():
            break
        weights[:, lacking] = instead[:, lacking]
    return weights


def _nearest_served(surface: Surface, served: Mask) -> Indices:
    """For each spot itself, or the nearest one that gives and takes where it does not; the first of equals."""
    nearest = np.arange(served.size)
    if not served.all():
        along, across = (each.ravel() for each in np.meshgrid(surface.along_m, surface.across_m, indexing="ij"))
        open_spots = np.flatnonzero(served)
        for spot in np.flatnonzero(~served).tolist():
            away = np.hypot(along[open_spots] - along[spot], across[open_spots] - across[spot])
            nearest[spot] = open_spots[away.argmin()]
    return nearest
