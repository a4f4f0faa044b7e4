"""Positions whose nearest shots lie alike: what is worked out for one of them serves all."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.outliers.expectation import NEAREST, WINDOW, nearest
from rodcall.frozen import Frozen

_AT_ONCE = 128
"""More positions of one kind come in several pieces, each some milliseconds of work."""
_WIDE = 2 * WINDOW + 1


class Alike(Frozen, eq=False):
    """Some positions, and the shots nearest to each."""

    positions: Ints
    """Flat indices."""
    around: Ints
    """Flat indices of the nearest shots, (positions, shots)."""
    offsets: Floats
    """Where these lie from the position, in spacings of the grid, (shots, 2)."""


def alike(counts: Mask, positions: Ints, along_m: Floats, across_m: Floats) -> Iterator[Alike]:
    """Each position once, together with those whose nearest shots (see `expectation.nearest`) lie as its own do.

    Args:
        counts: Which shots count, (along, across).
        positions: Flat indices; whether they count makes no difference to themselves.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
    """
    rows, columns = np.divmod(positions, counts.shape[1])
    shot = sliding_window_view(np.pad(counts, WINDOW), (_WIDE, _WIDE))[rows, columns].reshape(-1, _WIDE**2)
    shot[:, _WIDE**2 // 2] = False
    # A window that holds too few is not all that is looked at, so it says too little: such positions stay alone.
    alone = np.where(shot.sum(axis=1) > NEAREST, 0, 1 + np.arange(positions.size))
    seen = [np.packbits(shot, axis=1), alone, _kinds(along_m)[rows], _kinds(across_m)[columns]]
    _, kind = np.unique(np.column_stack(seen), axis=0, return_inverse=True)
    order = np.argsort(kind.ravel(), kind="stable")
    for group in np.split(positions[order], np.flatnonzero(np.diff(kind.ravel()[order])) + 1):
        for piece in np.split(group, range(_AT_ONCE, group.size, _AT_ONCE)):
            first = int(piece[0])
            around, offsets = nearest(counts, divmod(first, counts.shape[1]), along_m, across_m)
            yield Alike(piece, piece[:, None] + (around - first), offsets)


def _kinds(axis_m: Floats) -> Ints:
    """A number for each line of one axis: equal for lines from which the others lie at equal distances."""
    steps = np.pad(np.round(np.diff(axis_m), 6), WINDOW, constant_values=-1.0)
    return np.unique(sliding_window_view(steps, 2 * WINDOW), axis=0, return_inverse=True)[1].ravel()
