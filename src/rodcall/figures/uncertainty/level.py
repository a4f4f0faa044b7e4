"""How far off everything may read that was read from one set-up, and what its check shots tell about that.

What a level reads too high is one quantity that goes on in time: it starts with the errors of the readings that the
set-up hangs on, and drifts. A check reads it once more, with the error of one reading. All is normal, so what is
known of it at a shot, given the checks before and after, is the conditional normal distribution (JCGM 101, 5.6 and
6.4.7, MEMORY; Rasmussen and Williams 2006, eqs. 2.23 and 2.24, MEMORY): a good check confirms the backsight and shows
how little the level moved; one that is a mark off says that either may be off. The heights are not corrected by what
it shows, so that the square of it is added (JCGM 100, F.2.4.5, MEMORY). Nanometres and their squares.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.frozen import Frozen

Coefficients = dict[tuple[str, int], int]
"""Readings, by kind and order in the book, with +1 or -1: how each goes into a height."""


ALLOWED_IN_DEVIATIONS = 2.5
"""Up to its last check, where all are good, a level drifts as if what is allowed were so many standard deviations (our
own: tests/benchmarks/coverage.py; at sqrt 3 a steady level is covered more than 97 times in 100, at 4 a bumped one less
than 94 times)."""


class Seen(Frozen):
    """A check: by which set-up, when, what it hangs on with its set-up, and how much higher it read than it should."""

    setup: int
    order: int
    coefficients: Coefficients
    drift_nm: int


class Known(Frozen, eq=False):
    """What is known of the level at each shot, flat by position; means nothing where not shot."""

    square: Floats
    """Mean square of how much too high everything reads, readings that it hangs on included."""
    of_average: float
    """Of the average over the shots that count, the variance ..."""
    average_off_nm: float
    """... and how much too high the checks show it to be."""


def known(
    order: Ints,
    setup: Ints,
    counts: Mask,
    hangs_on: dict[int, Coefficients],
    checks: Sequence[Seen],
    reading: float,
    allowed_nm: int,
) -> Known:
    """What the readings that shots hang on and the checks leave open.

    Args:
        order: Of each shot in the book, flat by position.
        setup: Order of the set-up that each was read by.
        counts: Which shots count; there is one.
        hangs_on: The readings that the shots of each set-up hang on.
        checks: In the order they were taken.
        reading: Variance of one reading of the rod, placing it included.
        allowed_nm: Drift allowed: so much at most since the last check, as a bound.
    """
    drifted, at_checks = _drifted(order, setup, counts, checks, allowed_nm)
    readings = sorted({each for of in (*hangs_on.values(), *(seen.coefficients for seen in checks)) for each in of})
    row = {each: at for at, each in enumerate(hangs_on)}
    shots = _matrix(list(hangs_on.values()), readings)
    which = np.array([row.get(each, 0) for each in setup.tolist()])
    prior = reading * (shots**2).sum(axis=1)[which] + drifted
    weights = counts / np.count_nonzero(counts)
    resting = np.bincount(which, weights=weights, minlength=len(row)) @ shots
    of_average = (
        reading * float(resting @ resting)
        + sum(_sum_of_lesser(drifted[here]) for here in (counts & (setup == each) for each in hangs_on))
        / np.count_nonzero(counts) ** 2
    )
    if not checks:
        return Known(prior, of_average, 0.0)
    seen = _matrix([each.coefficients for each in checks], readings)
    by = np.array([each.setup for each in checks])
    among = reading * (seen @ seen.T + np.eye(len(checks)))
    among += (by[:, None] == by) * np.minimum(at_checks[:, None], at_checks)
    across = reading * (shots @ seen.T)[which]
    across += (setup[:, None] == by) * np.minimum(drifted[:, None], at_checks)
    told = np.linalg.solve(among, across.T).T
    shown = told @ np.array([each.drift_nm for each in checks], np.float64)
    mean = weights @ told
    return Known(
        prior - (told * across).sum(axis=1) + shown**2,
        of_average - float(mean @ among @ mean),
        float(weights @ shown),
    )


def _drifted(order: Ints, setup: Ints, counts: Mask, checks: Sequence[Seen], allowed_nm: int) -> tuple[Floats, Floats]:
    """Variance of the drift since the backsight: at each shot and at each check.

    Good checks say of the whole set-up, not of each stretch of it, that the level moved by what is allowed at most: the
    variance grows by as much with each shot up to the last check. Where two checks differ by more than is allowed the
    level moved by that between them; after the last one it may have moved at once by what is allowed, as a bound (over
    sqrt 3: JCGM 100, 4.3.7).
    """
    bound = allowed_nm**2 / 3
    at_shots, at_checks = np.full(order.size, bound), np.zeros(len(checks))
    last = {seen.setup: seen.order for seen in checks}
    for each, until in last.items():
        here, so_far, before, began = counts & (setup == each), 0.0, 0, each
        each_shot = (allowed_nm / ALLOWED_IN_DEVIATIONS) ** 2 / max(
            int(np.count_nonzero(here & (order > each) & (order < until))), 1
        )
        for place, seen in enumerate(checks):
            if seen.setup != each:
                continue
            by = abs(seen.drift_nm - before)
            between = here & (order > began) & (order < seen.order)
            shots = int(np.count_nonzero(between))
            grown = float(by) ** 2 if by > allowed_nm else each_shot * shots
            # By their number, not by their time: a tablet's clock may be wrong.
            at_shots[between] = so_far + grown * (np.argsort(np.argsort(order[between])) + 0.5) / max(shots, 1)
            at_checks[place] = so_far = so_far + grown
            before, began = seen.drift_nm, seen.order
        at_shots[here & (order > began)] = so_far + bound
    return at_shots, at_checks


def _sum_of_lesser(variances: Floats) -> float:
    """Sum over all pairs, each with itself too, of the lesser of two: of what grows only, their covariance."""
    ascending = np.sort(variances)
    return float(ascending @ (2.0 * np.arange(ascending.size, 0, -1) - 1))


def _matrix(rows: list[Coefficients], readings: list[tuple[str, int]]) -> Floats:
    result = np.zeros((len(rows), len(readings)))
    column = {each: at for at, each in enumerate(readings)}
    for at, of in enumerate(rows):
        for each, factor in of.items():
            result[at, column[each]] = factor
    return result
