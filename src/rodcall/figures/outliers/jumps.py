"""How often the ground jumps, and how far: learned from how much its shots surprise each other.

A mixture of scales, fitted by expectation maximization with a Dirichlet prior; scales and priors are our own. A stone
or a rut makes a spot stand out by some standard deviations of the ground, but by no more than a few centimetres. An
edge is so many centimetres high, whatever the ground beside it; what lies beyond it alone has shots on one side only.
"""

from __future__ import annotations

import numpy as np

from rodcall.figures.ground.averages import Floats

_STONE = 3.0
"""A stone or a rut stands out as if the ground there were so many times as uneven ..."""
_STONE_M = 0.03
"""... but by so much at most (standard deviations, metres)."""
_EDGE_M = 0.06
"""Standard deviation of what the ground does at an edge, metres."""
_USUAL = np.array([4.0, 0.3, 0.5])
"""How often it is as expected, at a stone and beyond an edge, as if so many shots had shown it."""
_MORE = 1.5
"""Where an edge is, others are likelier, as if so many shots had shown each."""
_ENCLOSED = 0.2
"""What shots lie around on all sides is so much less often beyond an edge: a hole, or a heap."""
_ROUNDS = 6
"""So often is it estimated; it settles in four."""


def widened(deviations: Floats) -> Floats:
    """Deviations by what the ground does: as expected, at a stone, beyond an edge, which are the last axis."""
    square = deviations**2
    stone = square + np.minimum((_STONE**2 - 1) * square, _STONE_M**2)
    wide: Floats = np.sqrt(np.stack([square, stone, square + _EDGE_M**2], axis=-1))
    return wide


def enclosed(offsets: Floats) -> bool:
    """Whether a position has shots on all sides: no straight edge parts it from all of them (their convex hull).

    Args:
        offsets: Of the shots from the position, (shots, 2).
    """
    turned = np.sort(np.arctan2(offsets[:, 0], offsets[:, 1]))
    widest = max(float(np.diff(turned).max(initial=0.0)), 2 * np.pi - float(turned[-1] - turned[0]))
    return widest <= np.pi + 1e-9


def within(shares: Floats) -> Floats:
    """Shares of the kinds of ground where a position is enclosed."""
    few = shares * np.array([1.0, 1.0, _ENCLOSED])
    rest: Floats = few / few.sum(axis=1, keepdims=True)
    return rest


def jumps_of(surprise: Floats, deviation: Floats, edges: Floats, freedom: float) -> Floats:
    """Share of each kind of ground among some shots and what is usual, (rows, kinds).

    Args:
        surprise: Of each shot, in standard deviations, (rows, shots).
        deviation: The same deviations, metres.
        edges: How many edges the ground has anyway, (rows,).
        freedom: Degrees of freedom of the surprise.
    """
    times = widened(deviation) / deviation[..., None]
    wide = (1 + (surprise[..., None] / times) ** 2 / freedom) ** (-(freedom + 1) / 2) / times
    usual = _USUAL + edges[:, None] * np.array([0.0, 0.0, _MORE])
    known = usual.sum(axis=1, keepdims=True)
    shares = usual / known
    for _ in range(_ROUNDS):
        whose = wide * shares[:, None, :]
        whose /= np.maximum(whose.sum(axis=2, keepdims=True), 1e-300)
        shares = (usual + whose.sum(axis=1)) / (known + surprise.shape[1])
    learned: Floats = shares
    return learned
