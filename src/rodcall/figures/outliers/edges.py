"""Edges of the ground: straight lines at which all that lies beyond is higher, or lower, by one unknown height.

The edge of a fill, a bench or a step. To a member of the bank it adds a rank-one term: half the height of the edge
squared, with a sign that says whether two places lie on one side, so that it is no matter which side is called beyond.
All lines among the shots are weighed by what the member's factor gave already (Sherman and Morrison; a linear term as
in Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, 2.7, MEMORY). Two edges are the best one and
each other beside it; where two lines part the shots alike, and only the position lies beyond one of them, either may be
the best. The lines and their priors are our own.
"""

from __future__ import annotations

from functools import cached_property, lru_cache
from math import log, sqrt

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.outliers.places import Places
from rodcall.frozen import Frozen

_HEIGHT = 8.0
"""Standard deviation of an edge's height, in those of the ground beside it."""
_ONE, _TWO = 0.1, 0.03
"""Chance that the ground around a shot has one edge, or two, before anything is known of it."""
_COARSE, _FINE = (12, 16), (24, 40)
"""So many directions of edges are thought of, and at most so many places of one in each: at first, and where there may
be some."""
_BESTS = 5
"""The best first edge stands for so many that lie nearly alike."""
_KEPT = 12
"""So many of the likeliest are told, and stand for the rest."""
_HOPELESS = log(0.3)
"""Where the odds for a single edge are less than this, nothing more is looked for."""
_ALIKE = 0.12
"""Lines that part so many of the places otherwise than the likeliest at most are weighed next."""
_EACH = np.array([1.0, 2.0, 2.0])
"""How many edges each line stands for: alone, beside the best, and beside what parts the shots as the best does."""
_LEAST = 0.02
"""Edges less likely than this together are not told."""


class Ground(Frozen, eq=False):
    """Some members of the bank, as they see the shots around one or several positions that lie alike."""

    independent: Floats
    """Heights made independent, (members, rows, shots)."""
    factor: Floats
    """Of the covariance by Cholesky, the position last, (members, places, places)."""
    squares: Floats
    """Sum of squares of those heights, what is known of the scale beforehand included, (members, rows)."""
    belief: Floats
    """Log marginal likelihood, (members, rows)."""
    centres: Floats
    """Height expected of each position, metres, (members, rows)."""

    @cached_property
    def inverse(self) -> Floats:
        """Of the factor over the shots, (members, shots, shots)."""
        shots = self.independent.shape[2]
        return np.asarray(np.linalg.inv(self.factor[:, :shots, :shots]), np.float64)

    def of(self, rows: Mask) -> Ground:
        """The same of some of the positions."""
        by_row = (self.squares, self.belief, self.centres)
        some = Ground(self.independent[:, rows], self.factor, *(each[:, rows] for each in by_row))
        some.__dict__["inverse"] = self.inverse
        return some


class Edged(Frozen, eq=False):
    """What ground with edges leads one to expect; rows are positions."""

    centres: Floats
    """Of each hypothesis, metres, (rows, hypotheses)."""
    scales: Floats
    shares: Floats
    """How far each is believed; together the chance that there are edges."""
    count: Floats
    """How many edges there may be, (rows,)."""
    surprise: Floats
    """How far each shot lies from what all others lead the likeliest one to expect, in standard deviations ..."""
    deviation: Floats
    """... and that in metres, (rows, shots); 0 where smooth ground is likelier."""

    def among(self, rows: Mask) -> Edged:
        """The same among all rows, of which it is some; the others have no edges."""

        def spread(some: Floats, otherwise: float) -> Floats:
            whole = np.full((rows.size, *some.shape[1:]), otherwise)
            whole[rows] = some
            return whole

        return Edged(
            spread(self.centres, 0.0),
            spread(self.scales, 1.0),
            *(spread(each, 0.0) for each in (self.shares, self.count, self.surprise, self.deviation)),
        )


def edged(ground: Ground, offsets: Floats, smooth: Floats, freedom: float) -> Edged | None:
    """Weigh all edges against smooth ground; None where they are unlikely everywhere.

    Args:
        ground: The members that edges are laid over.
        offsets: Of the shots, in spacings, (shots, 2).
        smooth: Log marginal likelihood of the whole bank, its mean over the members, (rows,).
        freedom: Degrees of freedom of the heights.
    """
    places = Places(offsets)
    lines = _beyond(places, *_COARSE)
    if not lines.shape[1]:
        return None
    # Most ground has none, which shows before all else is worked out.
    coarse = _Weighed(ground, lines, lines.shape[1], smooth, freedom)
    rows = coarse.hopeful()
    if not rows.any():
        return None
    some, smooth_there = ground, smooth
    if not rows.all():
        some, smooth_there = ground.of(rows), smooth[rows]
        coarse = _Weighed(some, lines, lines.shape[1], smooth_there, freedom)
    coarse.look_on()
    fine = _beyond(places, *_FINE)
    weighed = _Weighed(some, fine[:, _near(fine, coarse.likeliest())], fine.shape[1], smooth_there, freedom)
    weighed.look_on()
    found = weighed.edged(len(offsets))
    return found if found is None or rows.all() else found.among(rows)


class _Weighed:
    """Some lines, each alone and beside the best, weighed over all members; rows are positions.

    Args:
        beyond: Whether each place lies beyond each line, (places, lines).
        among: How many lines might be there, of which these are some.
    """

    def __init__(self, ground: Ground, beyond: Floats, among: int, smooth: Floats, freedom: float) -> None:
        self.beyond, self.smooth = beyond, smooth
        self.over = [_Over(ground, member, beyond - 0.5, freedom) for member in range(len(ground.factor))]
        self.prior = -log(among * len(self.over) * (1 - _ONE - _TWO))
        self.hypotheses = _EACH.size * beyond.shape[1]
        self.second = log(_TWO * _BESTS / among)

    def hopeful(self) -> Mask:
        """Rows where one edge is not too unlikely."""
        one = np.concatenate([at.one for at in self.over], axis=1) - self.smooth[:, None]
        most = one.max(axis=1)
        odds = most + np.log(np.exp(one - most[:, None]).sum(axis=1)) + self.prior + log(_ONE)
        hopeful: Mask = odds >= _HOPELESS
        return hopeful

    def look_on(self) -> None:
        """Two edges too, and how far each hypothesis is believed."""
        for at in self.over:
            at.look_on()
        both = [each for at in self.over for each in (at.one + log(_ONE), at.two + self.second)]
        belief = np.concatenate(both, axis=1) + (self.prior - self.smooth)[:, None]
        most = np.maximum(belief.max(axis=1, keepdims=True), 0.0)
        self.weights = np.exp(belief - most)
        among = self.weights.sum(axis=1)
        self.chance = among / (among + np.exp(-most[:, 0]))
        self.best = np.argsort(-self.weights, axis=1)[:, :_KEPT]

    def likeliest(self) -> Floats:
        """The lines of each row's likeliest edges, (places, lines)."""
        found: set[int] = set()
        for row in range(len(self.chance)):
            which, line = divmod(int(self.best[row, 0]), self.hypotheses)
            found.update(self.over[which].both(row, line))
        return self.beyond[:, sorted(found)]

    def edged(self, shots: int) -> Edged | None:
        """What they lead one to expect; None where they are unlikely everywhere."""
        if self.chance.max() < _LEAST:
            return None
        over, chance, best = self.over, self.chance, self.best
        kept = np.take_along_axis(self.weights, best, axis=1)
        shares = kept * (chance / np.maximum(kept.sum(axis=1), 1e-300))[:, None]
        centres = np.concatenate([each for at in over for each in (at.centres_one, at.centres_two)], axis=1)
        scales = np.concatenate([each for at in over for each in (at.scales_one, at.scales_two)], axis=1)
        many = np.tile(np.repeat(_EACH, self.beyond.shape[1]), len(over))
        surprise, deviation = np.zeros((2, len(chance), shots))
        for row in np.flatnonzero(chance > 0.5).tolist():
            which, line = divmod(int(best[row, 0]), self.hypotheses)
            surprise[row], deviation[row] = over[which].surprise(row, line)
        return Edged(
            np.take_along_axis(centres, best, axis=1),
            np.take_along_axis(scales, best, axis=1),
            shares,
            (shares * many[best]).sum(axis=1),
            surprise,
            deviation,
        )


class _Over:
    """One member, with each line over it as the only edge and as the second beside the best; (rows, lines).

    Args:
        sides: On which side of each line each place lies, 1/2 or -1/2, (places, lines).
    """

    def __init__(self, ground: Ground, member: int, sides: Floats, freedom: float) -> None:
        self.sides, self.freedom = sides, freedom
        self.factor, self.heights = ground.factor[member], ground.independent[member]
        self.smooth_centres = ground.centres[member]
        self.inverse = ground.inverse[member]
        self.lines = self.inverse @ sides[: len(self.inverse)]
        self.precise = 1 / _HEIGHT**2 + (self.lines**2).sum(axis=0)
        self.along = along = self.heights @ self.lines
        self.squares_one = ground.squares[member][:, None] - along**2 / self.precise
        smooth = ground.belief[member] + freedom / 2 * np.log(ground.squares[member])
        self.one = smooth[:, None] - np.log(_HEIGHT**2 * self.precise) / 2 - freedom / 2 * np.log(self.squares_one)

    def look_on(self) -> None:
        """What each line leads one to expect, and the best of each row together with each other (Schur complement)."""
        factor, along, freedom = self.factor, self.along, self.freedom
        n = len(factor) - 1
        reach = self.sides[n] - factor[n, :n] @ self.lines
        alone = factor[n, n] ** 2
        self.centres_one = self.smooth_centres[:, None] + along * (reach / self.precise)
        wide = alone + reach**2 / self.precise
        self.scales_one = np.sqrt(wide * self.squares_one / freedom)
        self.best, row = self.one.argmax(axis=1), np.arange(len(along))
        self.twin = _twins(self.sides[:n])[self.best]
        common = self.lines[:, self.best].T @ self.lines
        part = common / self.precise[self.best, None]
        precise = self.precise - common * part
        left = along - part * along[row, self.best, None]
        first = self.squares_one[row, self.best, None]
        self.squares_two = first - left**2 / precise
        two = (
            (self.one[row, self.best, None] + freedom / 2 * np.log(first))
            - np.log(_HEIGHT**2 * precise) / 2
            - freedom / 2 * np.log(self.squares_two)
        )
        # Each of the two that may be the first has half; where there is no other it has all.
        twins = (self.twin != self.best)[:, None]
        half = two - np.where(twins, log(2), 0.0)
        self.two = np.hstack([half, np.where(twins, half, -np.inf)])
        told = []
        for which in (self.best, self.twin):
            further = reach - part * reach[which, None]
            centres = self.centres_one[row, which, None] + left * further / precise
            told.append((centres, np.sqrt((wide[which, None] + further**2 / precise) * self.squares_two / freedom)))
        self.centres_two, self.scales_two = (np.hstack(each) for each in zip(*told, strict=True))

    def both(self, row: int, line: int) -> list[int]:
        """The edges of a hypothesis; `line` counts on through the second edges, beside the best and beside its twin."""
        second, at = divmod(line, len(self.precise))
        return [int((self.best, self.twin)[second - 1][row]), at] if second else [at]

    def surprise(self, row: int, line: int) -> tuple[Floats, Floats]:
        """Of each shot, and its deviation in metres, by a hypothesis as `both` counts them.

        As in `expectation.surprise`, the inverse of the covariance less what the edges take (Woodbury).
        """
        second, at = divmod(line, len(self.precise))
        which = self.both(row, line)
        squares = (self.squares_two if second else self.squares_one)[row, at]
        lines, heights = self.lines[:, which], self.heights[row]
        among = np.linalg.inv(np.eye(len(which)) / _HEIGHT**2 + lines.T @ lines)
        back = self.inverse.T @ (heights - lines @ (among @ (lines.T @ heights)))
        taken = self.inverse.T @ lines
        precise = np.sqrt((self.inverse**2).sum(axis=0) - ((taken @ among) * taken).sum(axis=1))
        ground = sqrt(squares / self.freedom)
        return back / (precise * ground), ground / precise


def _twins(sides: Floats) -> Ints:
    """Of each line the other one that parts the shots alike; the line itself where there is none."""
    keys = _key(sides)
    order = np.argsort(keys, kind="stable")
    alike = np.flatnonzero(np.diff(keys[order]) == 0)
    twins = np.arange(keys.size)
    twins[order[alike]], twins[order[alike + 1]] = order[alike + 1], order[alike]
    return twins


def _key(sides: Floats) -> Floats:
    """A number for each line, the same of lines that part the places alike: a sum of numbers that have nothing to do
    with each other.
    """
    return np.asarray(np.round(np.cos(np.arange(len(sides))) @ sides, 9), np.float64)


def _near(lines: Floats, some: Floats) -> Mask:
    """Which of some lines part the places nearly as one of a few others does; on which side is beyond is no matter."""
    here, there = 2 * lines - 1, 2 * some - 1
    near: Mask = np.abs(here.T @ there).max(axis=1) >= len(lines) - 2 * max(1.0, _ALIKE * len(lines))
    return near


@lru_cache(maxsize=24)
def _beyond(shots: Places, directions: int, lines: int) -> Floats:
    """Whether each place, the position last, lies beyond each line that parts the shots, 1 or 0: (places, lines)."""
    places = np.vstack([shots.offsets, np.zeros(2)])
    turned = np.arange(directions) * np.pi / directions
    far = np.round(places @ np.array([np.cos(turned), np.sin(turned)]), 6)
    ordered = np.sort(far, axis=0)
    at = np.unique(np.rint(np.linspace(0, len(places) - 2, lines)).astype(np.int64))
    beyond: Mask = (far[:, None, :] > ordered[None, at, :]).reshape(len(places), -1)
    shots_beyond = beyond[:-1].sum(axis=0)
    parting: Floats = beyond[:, (shots_beyond > 0) & (shots_beyond < len(places) - 1)].astype(np.float64)
    _, alike = np.unique(_key(parting), return_index=True)
    return parting[:, alike]
