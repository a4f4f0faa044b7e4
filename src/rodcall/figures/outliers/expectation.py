"""What the shots around a position lead one to expect there: a distribution, not only a number.

The ground is taken for a Gaussian process: a plane, a smooth surface and fine roughness. Nobody knows a pad's
statistics beforehand, so every member of a bank of them says what it expects, and the nearest shots say how far
each member is believed (marginal likelihood; the scale of the heights is integrated out, which makes every answer
a Student t). Method: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, ch. 2, 4 and 5
(MEMORY); the bank and its priors are our own.

Ground has edges and stones, which no Gaussian process has. Edges that the shots show are members too (`edges`). How
often it jumps else is learned from the shots: each is held against all others (leave-one-out, ibid. 5.4.2), and its
surprise says how much of the ground is wider than expected, or has gone over an edge (`jumps`).
"""

from __future__ import annotations

import threading
from functools import lru_cache
from itertools import product
from math import lgamma, log, pi, prod

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.outliers.edges import Edged, Ground, edged
from rodcall.figures.outliers.jumps import enclosed, jumps_of, widened, within
from rodcall.figures.outliers.places import Places
from rodcall.frozen import Frozen

NEAREST = 72
"""So many shots tell nearly all that can be told of a position, and cost the same on any page."""
WINDOW = 7
"""They are looked for within so many lines and columns, or twice as many where too few are shot there, and so on."""

_SMOOTH = tuple(product((1.2, 2.2, 4.0, 8.0), (0.005, 0.04)))
"""How far the smooth part reaches, in spacings of the grid, and the share of fine roughness in the variance."""
_ROUGH = (2.2, 0.3)
"""The same of ground that is mostly rough."""
_SLOPE, _STEEP = 0.1, 0.5
"""Standard deviation of the plane's slopes, in standard deviations of the ground per spacing: of most ground, and of
ground that is hardly more than a slope."""
_LINED = ((8.0, 1.0), (1.0, 8.0))
"""Reach along and across of ground that goes on in lines: ridges, ruts, and edges that run with the grid."""
_LINED_ROUGH = 0.02
_MEMBERS = [
    *((reach, reach, rough, _SLOPE) for reach, rough in (*_SMOOTH, _ROUGH)),
    *((*reaches, _LINED_ROUGH, _SLOPE) for reaches in _LINED),
    *((reach, reach, rough, _STEEP) for reach, rough in _SMOOTH[-2:]),
]
_BANK = np.array(_MEMBERS).T
"""Reach along and across, roughness and slope of each member; those of one slope together."""
_ROUGHNESS = _BANK[2][:, None]
_QUADRATIC = np.column_stack([0.5 / _BANK[:2].T ** 2, np.ones(len(_MEMBERS))])
"""By the squares of how far two places lie apart along and across, and 1: (members, 3)."""
_SLOPES = ((_SLOPE, slice(0, -2)), (_STEEP, slice(-2, None)))
_LEVEL = 1.0
"""Standard deviation of the plane's height about the zero, in those of the ground: the zero is a spot on it."""

_UNDER_EDGES = [len(_SMOOTH), len(_MEMBERS) - 1]
"""Members that edges are laid over: rough ground, and ground that is hardly more than a slope."""

_ABOVE_ALL = 1e12
"""A corner so great that the border stays positive definite; it decides nothing else."""

_KEPT = 24
"""So many lie-outs of shots are kept, some 15 MB: those of the pieces of a line."""

_USUAL_M = 0.05
"""Natural ground spreads by an inch or two ..."""
_SHOTS_WORTH = 2.0
"""... and to know that is worth so many shots."""

_JUST = 1.0
"""A height is just what is expected where its log density is so little below the greatest ..."""
_WELL_M = 0.02
"""... and the standard deviation, metres, is no more than this: most readings of most pads, at a half of the work. Of
5,000 mistakes found on stepped ground and on two levels 16 were expected so, and of 15,000 on other ground none."""

_FEW = 8
"""So few rows of heights are quicker as a border of the covariance than by the inverse of its factor."""


class Expectation(Frozen, eq=False):
    """The distribution of a height in metres: a mixture of Student t, one for each member of the bank and scale.

    Arrays end in these; those of several positions at once have the positions before.
    """

    centres: Floats
    scales: Floats
    shares: Floats
    """How far each is believed; they sum to 1."""
    freedom: float
    """Degrees of freedom of each."""

    def __getitem__(self, position: int) -> Expectation:
        """That of one of several positions."""
        return Expectation(self.centres[position], self.scales[position], self.shares[position], self.freedom)

    @property
    def centre(self) -> Floats:
        """The height expected."""
        return np.asarray((self.shares * self.centres).sum(axis=-1))

    @property
    def deviation(self) -> Floats:
        """Standard deviation of the height."""
        within = self.scales**2 * self.freedom / (self.freedom - 2)
        between = (self.centres - self.centre[..., None]) ** 2
        return np.asarray(np.sqrt((self.shares * (within + between)).sum(axis=-1)))

    @property
    def log_peak(self) -> Floats:
        """No height has a greater log density than this."""
        return np.asarray(self._log_norm + np.log((self.shares / self.scales).sum(axis=-1)))

    def is_just(self, height_m: float) -> bool:
        """Whether a height is what is expected, and that is known well; of one position."""
        likely = float(self.log_density(np.array([height_m]))[0]) >= float(self.log_peak) - _JUST
        return likely and float(self.deviation) <= _WELL_M

    def log_density(self, heights_m: Floats, apart_m: float = 0.0) -> Floats:
        """Natural logarithm of the density, per metre, at each height; of several positions, (positions, heights).

        With `apart_m` no height so far from each, or farther, has a greater one.
        """
        off = heights_m[..., None] - self.centres[..., None, :]
        if apart_m:
            off = np.maximum(apart_m - np.abs(off), 0.0)
        off = off / self.scales[..., None, :]
        weights = np.log(self.shares / self.scales)[..., None, :]
        # The logarithm of the bracket first: far out the density itself would underflow.
        each = weights - (self.freedom + 1) / 2 * np.log1p(off * off / self.freedom)
        total: Floats = self._log_norm + np.logaddexp.reduce(each, axis=-1)
        return total

    @property
    def _log_norm(self) -> float:
        return lgamma((self.freedom + 1) / 2) - lgamma(self.freedom / 2) - log(self.freedom * pi) / 2


def expect(heights_m: Floats, offsets: Floats, *, jumps: bool = True, read_m: float | None = None) -> Expectation:
    """What some shots lead one to expect at a position, or at several whose shots lie alike.

    Args:
        heights_m: Heights of the shots, metres; of several positions, (positions, shots).
        offsets: Where they lie from the position, in spacings of the grid, shape (shots, 2).
        jumps: Whether the ground may jump; else all is one smooth piece.
        read_m: What was read at the one position. Where smooth ground leads one to expect just that, it is told, and no
            jump is looked for.
    """
    rows = np.atleast_2d(heights_m)
    n, middles = rows.shape[1], _middles(rows)
    # The position comes last among the places; with 0 for its unknown height, the row of heights ends in the
    # expected one, negative and in its own standard deviations.
    known = np.column_stack([rows - middles[:, None], np.zeros(len(rows))])
    independent, roots, factor = _made_independent(np.vstack([offsets, np.zeros(2)]), known)
    alone = roots[:, n:]
    belief, squares = _belief(independent[..., :n], roots[:, :n])
    # A share of nothing would have no logarithm.
    shares = np.maximum(np.exp(belief - belief.max(axis=0)), 1e-300)
    freedom = _SHOTS_WORTH + n
    scales, centres = alone * np.sqrt(squares / freedom), middles - independent[..., n] * alone
    believed = (shares / shares.sum(axis=0)).T
    plain = Expectation(centres.T, scales.T, believed, freedom)
    if not jumps or (read_m is not None and plain[0].is_just(read_m)):
        return plain if heights_m.ndim > 1 else plain[0]
    shots, ground = independent[..., :n], np.sqrt(squares / freedom)
    over = Ground(*(each[_UNDER_EDGES] for each in (shots, factor, squares, belief, centres)))
    smooth = np.logaddexp.reduce(belief, axis=0) - log(len(belief))
    with_edges = edged(over, offsets, smooth, freedom)
    surprise, deviation = _surprise(factor[:, :n, :n], shots, ground, belief)
    expected = _jumping(
        *(centres.T, scales.T, believed, with_edges, surprise, deviation, freedom), enclosed=enclosed(offsets)
    )
    return expected if heights_m.ndim > 1 else expected[0]


def _jumping(
    centres: Floats,
    scales: Floats,
    shares: Floats,
    edges: Edged | None,
    surprise: Floats,
    deviation: Floats,
    freedom: float,
    *,
    enclosed: bool,
) -> Expectation:
    """The bank, and edges where there may be some, each as wide as the ground may jump; arrays are (rows, members)."""
    seen = np.zeros(len(shares))
    if edges is not None:
        shares = np.hstack([shares * (1 - edges.shares.sum(axis=1, keepdims=True)), edges.shares])
        centres, scales = np.hstack([centres, edges.centres]), np.hstack([scales, edges.scales])
        likelier = edges.deviation > 0
        surprise = np.where(likelier, edges.surprise, surprise)
        deviation, seen = np.where(likelier, edges.deviation, deviation), edges.count
    jumps = jumps_of(surprise, deviation, seen, freedom - 1)
    if enclosed:
        jumps = within(jumps)
    # A share of nothing would have no logarithm.
    each = np.maximum(shares[:, :, None] * jumps[:, None, :], 1e-300)
    return Expectation(
        np.repeat(centres, jumps.shape[1], axis=1),
        widened(scales).reshape(len(scales), -1),
        each.reshape(len(each), -1),
        freedom,
    )


def _surprise(factor: Floats, independent: Floats, ground: Floats, belief: Floats) -> tuple[Floats, Floats]:
    """How far each height lies from what all others lead the likeliest member to expect, in standard deviations.

    The residual is (K^-1 y)_i / (K^-1)_ii and its variance 1 / (K^-1)_ii (Rasmussen and Williams 2006, eq. 5.12,
    MEMORY), both by the inverse of the Cholesky factor. Shapes as `_made_independent` gives them; `ground`: the scale
    by each member, (members, rows); the surprise is (rows, places), and so is the deviation in metres.
    """
    likeliest, row = belief.argmax(axis=0), np.arange(belief.shape[1])
    used, of = np.unique(likeliest, return_inverse=True)
    inverse = np.linalg.inv(factor[used])
    deviation = ground[likeliest, row][:, None] / np.sqrt((inverse**2).sum(axis=1))[of]
    back = np.einsum("ri,rij->rj", independent[likeliest, row], inverse[of])
    precise = (inverse**2).sum(axis=1)[of]
    return back / (precise * deviation), deviation


def log_evidence(heights_m: Floats, offsets: Floats) -> float:
    """How well some heights go together, as the logarithm of their joint density up to a constant.

    Only differences between equally many heights mean anything. Arguments as for `expect`, of one position.
    """
    inverse, roots = _factored(Places(offsets))
    row = heights_m - _middles(heights_m[None])
    belief, _ = _belief((inverse @ row)[:, None, :], roots)
    return float(np.logaddexp.reduce(belief[:, 0]))


@lru_cache(maxsize=_KEPT)
def _factored(places: Places) -> tuple[Floats, Floats]:
    """Inverse of the Cholesky factor of each member's covariance, (members, places, places), and its roots.

    Kept, since the positions of a page's lines lie alike again and again.
    """
    factor = _factor(places.offsets)
    return np.asarray(np.linalg.inv(factor), np.float64), factor.diagonal(axis1=1, axis2=2).copy()


def nearest(counts: Mask, at: tuple[int, int], along_m: Floats, across_m: Floats) -> tuple[Ints, Floats]:
    """The shots nearest to a position, itself left out: flat indices, and offsets from it in spacings of the grid.

    Args:
        counts: Which shots count, (along, across).
        at: Row and column of the position.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
    """
    row, column = at
    reach = WINDOW
    while True:
        top, left = max(row - reach, 0), max(column - reach, 0)
        window = counts[top : row + reach + 1, left : column + reach + 1]
        if np.count_nonzero(window) > NEAREST or window.size == counts.size:
            break
        reach *= 2
    rows, columns = np.nonzero(window)
    rows, columns = rows + top, columns + left
    offsets = np.column_stack([along_m[rows] - along_m[row], across_m[columns] - across_m[column]])
    offsets /= np.sqrt(along_m[-1] / (along_m.size - 1) * across_m[-1] / (across_m.size - 1))
    # Rounded, so that equal distances are taken in one order wherever on the grid they are.
    distances = np.round((offsets**2).sum(axis=1), 6)
    order = np.argsort(distances, kind="stable")
    order = order[distances[order] > 0][:NEAREST]
    return rows[order] * counts.shape[1] + columns[order], in_spacings(offsets[order])


def in_spacings(offsets: Floats) -> Floats:
    """Offsets to a millionth of a spacing: lines lie on whole nanometres, and would else never lie quite alike."""
    return np.round(offsets, 6)


def _middles(rows: Floats) -> Floats:
    """About what height each row of heights lies: the zero, or their median where the zero lies elsewhere."""
    # Sorted by hand: numpy's own median costs ten times as much on rows as short as these.
    n, ascending = rows.shape[1], np.sort(rows, axis=1)
    medians = (ascending[:, (n - 1) // 2] + ascending[:, n // 2]) / 2
    return np.where(np.abs(medians) <= np.ptp(rows, axis=1), 0.0, medians)


def _belief(independent: Floats, roots: Floats) -> tuple[Floats, Floats]:
    """Log marginal likelihood of each member by each row of heights, up to a constant; and their sums of squares.

    The squares are those of the heights made independent, with what is known of the scale beforehand. Arguments as
    `_made_independent` gives them.
    """
    squares = _SHOTS_WORTH * _USUAL_M**2 + (independent**2).sum(axis=2)
    log_root = np.log(roots).sum(axis=1, keepdims=True)
    return -log_root - (_SHOTS_WORTH + roots.shape[1]) / 2 * np.log(squares), squares


def _made_independent(places: Floats, heights_m: Floats) -> tuple[Floats, Floats, Floats]:
    """Rows of heights over some places, (rows, places), made independent by each member's covariance.

    Returns them, (members, rows, places), the diagonal of the covariance's Cholesky factor, (members, places), and the
    factor, (members, places, places).
    """
    n, few = len(places), len(heights_m) <= _FEW
    factor = _factor(places, heights_m if few else heights_m[:0])
    roots = factor.diagonal(axis1=1, axis2=2)[:, :n]
    # The inverse first: the other way round numpy multiplies without the library that it has for it.
    independent: Floats = factor[:, n:, :n] if few else (np.linalg.inv(factor) @ heights_m.T).transpose(0, 2, 1)
    return independent, roots, factor[:, :n, :n]


def _factor(places: Floats, heights_m: Floats | None = None) -> Floats:
    """Cholesky factor of each member's covariance at some places, (members, places, places).

    Args:
        places: In spacings of the grid, (places, 2).
        heights_m: Rows of heights over them; as further rows of the covariance they come out of its factorisation
            independent, (members, places + rows, places + rows).
    """
    n, rows = len(places), 0 if heights_m is None else len(heights_m)
    covariance = _covariance(np.vstack([places, np.zeros((rows, 2))]))
    # What is right of the diagonal is not read.
    covariance[:, n:, :n] = heights_m if rows else 0.0
    covariance[:, n:, n:] = np.diag(np.full(rows, _ABOVE_ALL))
    return np.asarray(np.linalg.cholesky(covariance), np.float64)


class _Room(threading.local):
    """Room for one large array in each thread: asking the system for it anew costs more than the work."""

    def __init__(self) -> None:
        self._array = np.empty(0)

    def of(self, *shape: int) -> Floats:
        """An array of this shape, in place of the last one."""
        size = prod(shape)
        if self._array.size < size:
            self._array = np.empty(size)
        return self._array[:size].reshape(shape)


_ROOM = _Room()


def _covariance(places: Floats) -> Floats:
    """Of the heights at some places, in variances of the ground, (members, places, places); good until the next.

    Args:
        places: In spacings of the grid, (places, 2).
    """
    n = len(places)
    terms = np.ones((3, n * n))
    for axis in (0, 1):
        apart = np.subtract.outer(places[:, axis], places[:, axis]).ravel()
        np.multiply(apart, apart, out=terms[axis])
    # The smooth part is rational quadratic with exponent 1, a mixture of smooth surfaces of all sizes. In few large
    # steps, since this is most of the work at a key.
    smooth = np.matmul(_QUADRATIC, terms, out=_ROOM.of(len(_MEMBERS), n * n))
    np.divide(1 - _ROUGHNESS, smooth, out=smooth)
    covariance = smooth.reshape(-1, n, n)
    plane = places @ places.T
    for slope, members in _SLOPES:
        covariance[members] += _LEVEL**2 + slope**2 * plane
    covariance[:, range(n), range(n)] += _ROUGHNESS
    return covariance
