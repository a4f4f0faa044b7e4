"""Readings with mistakes put into them, and the detectors that ours is held against, which nobody has on a pad.

One is told the true statistics of each pad and questions what lies most standard deviations off: the best that can
be when every mistake is to be seen. The other is told only how pads are drawn, and learns each one from its shots,
as ours must: by Bayes' rule no detector that is told no more can do better on average.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final, NamedTuple

import numpy as np

from rodcall.figures.outliers import outlier
from rodcall.figures.outliers.expectation import Expectation
from rodcall.figures.outliers.mistakes import Mistake, Way
from rodcall.units import CM, FOOT, INCH, MM, LengthError, M, Unit
from tests.simulated_ground import Ground, drawn_covariance, ground, places

INCHES, FEET, MILLIMETRES = Way(Unit.IN, INCH // 8), Way(Unit.FT, FOOT // 100), Way(Unit.MM, MM)
FEWEST: Final = outlier.FEWEST_SHOTS


class Case(NamedTuple):
    """One reading to judge, with what is known when it is."""

    ground: Ground
    index: int
    known: np.ndarray
    """Flat indices of the other shots."""
    off: int
    """+1 or -1: which way a mark is misread here."""
    mean_m: float
    """What the true statistics of the pad lead one to expect here; nan where chance did not make all of it ..."""
    deviation_m: float
    """... and the standard deviation of that."""

    @property
    def height(self) -> int:
        """The right one, nanometres."""
        return int(self.ground.heights.flat[self.index])

    @property
    def ours(self) -> Expectation:
        """What the program expects here."""
        counts = np.zeros(self.ground.heights.shape, np.bool_)
        counts.flat[self.known] = True
        pad = self.ground
        expected = outlier.expected_at(pad.heights, counts, self.index, pad.along_m, pad.across_m)
        assert expected is not None
        return expected


# -- mistakes --------------------------------------------------------------------------------------------------


def swap(case: Case, way: Way) -> int | None:
    """The last two digits of the decimals swapped, where that makes another reading."""
    said = way.text(way.reading(case.height))
    if "." not in said:
        return None
    try:
        return way.height(way.readings.parse(said[:-2] + said[-1] + said[-2], way.unit))
    except LengthError:
        return None


def by(mark: int) -> Callable[[Case, Way], int]:
    return lambda case, way: case.height + case.off * mark


def flip(case: Case, way: Way) -> int:
    return -case.height


MADE: Final = {
    INCHES: {Mistake.FOOT: by(FOOT), Mistake.INCH: by(INCH), Mistake.SIGN: flip},
    FEET: {Mistake.FOOT: by(FOOT), Mistake.TENTH: by(FOOT // 10), Mistake.SIGN: flip, Mistake.SWAPPED: swap},
    MILLIMETRES: {Mistake.METRE: by(M), Mistake.DECIMETRE: by(10 * CM), Mistake.SIGN: flip},
}


def cases(pads: Iterable[Ground], rng: np.random.Generator, walked: bool, share: float = 1.0) -> list[Case]:
    """Readings of each pad that are judged: known are those before it in snake order, or all others.

    Every reading counts alike: of each pad the same share is taken by chance.
    """
    found = []
    for pad in pads:
        walk = pad.walk
        means, deviations = _truth(pad, walked)
        judged = np.arange(FEWEST if walked else 0, walk.size)
        for step in judged[rng.random(judged.size) < share].tolist():
            known = walk[:step] if walked else np.delete(walk, step)
            off = int(rng.choice((-1, 1)))
            found.append(Case(pad, int(walk[step]), known, off, float(means[step]), float(deviations[step])))
    return found


def natural(way: Way, walked: bool, pads: int, seed: int, share: float = 1.0) -> list[Case]:
    """Readings of so many pads of natural ground, as `cases` has them."""
    rng = np.random.default_rng(seed)
    return cases((ground(rng, way.step_nm) for _ in range(pads)), rng, walked, share)


def _truth(pad: Ground, walked: bool) -> tuple[np.ndarray, np.ndarray]:
    """Mean and deviation of each reading in snake order by the true covariance (its mean is 0), given those known.

    Given those before, the Cholesky factor has both; given all others, the inverse (Rasmussen and Williams 2006,
    eqs. 2.25 and 5.12, MEMORY).
    """
    heights_m = pad.heights.flat[pad.walk] * 1e-9
    if pad.covariance is None:
        return np.full((2, heights_m.size), np.nan)
    covariance = pad.covariance[np.ix_(pad.walk, pad.walk)]
    if walked:
        factor = np.linalg.cholesky(covariance)
        deviations = np.diag(factor)
        return heights_m - np.linalg.solve(factor, heights_m) * deviations, deviations
    precision = np.linalg.inv(covariance)
    return heights_m - precision @ heights_m / np.diag(precision), 1 / np.sqrt(np.diag(precision))


# -- detectors -------------------------------------------------------------------------------------------------


class Judged(NamedTuple):
    """How loudly a detector speaks against some readings: their own, and with each mistake made."""

    sound: np.ndarray
    wrong: dict[Mistake, np.ndarray]
    """Not a number where a mistake changes nothing."""
    named: dict[Mistake, np.ndarray]
    """Whether the explanation named first leads to the right reading: only of the program."""

    def caught(self, mistake: Mistake, questioned: float, among: np.ndarray | None = None) -> float:
        """Share of a mistake that is caught where a share of the sound readings is questioned."""
        some = np.ones(self.sound.size, np.bool_) if among is None else among
        wrong = self.wrong[mistake][some]
        return float((wrong[~np.isnan(wrong)] > np.quantile(self.sound[some], 1 - questioned)).mean())


def by_program(some: list[Case], way: Way, expected: Callable[[Case], Expectation] = lambda case: case.ours) -> Judged:
    """Log odds that each reading is wrong, by our own weighing; by another expectation if one is given."""

    def weighed(case: Case, at: Expectation, height: int | None) -> tuple[float, bool]:
        if height is None or height == case.height:
            return np.nan, False
        return spoken(case, at, height)

    def spoken(case: Case, at: Expectation, height: int) -> tuple[float, bool]:
        bust = outlier.weigh(at, case.index, height, way, "", -np.inf)
        assert bust is not None
        why = bust.explanations[:1]
        return bust.score, bool(why) and abs(why[0].height_nm - case.height) < way.step_nm / 2

    sound, wrong = [], {mistake: [] for mistake in MADE[way]}
    for case in some:
        at = expected(case)
        sound.append(spoken(case, at, case.height)[0])
        for mistake, make in MADE[way].items():
            wrong[mistake].append(weighed(case, at, make(case, way)))
    return Judged(
        np.array(sound),
        {mistake: np.array([score for score, _ in each]) for mistake, each in wrong.items()},
        {mistake: np.array([right for _, right in each]) for mistake, each in wrong.items()},
    )


def told_truth(some: list[Case], way: Way) -> Judged:
    """Standard deviations off, by the true statistics of each pad."""

    def off(case: Case, height: int | None) -> float:
        if height is None:
            return np.nan
        return abs(height * 1e-9 - case.mean_m) / case.deviation_m

    def made(case: Case, make: Callable[[Case, Way], int | None]) -> int | None:
        height = make(case, way)
        return None if height == case.height else height

    wrong = {mistake: np.array([off(case, made(case, make)) for case in some]) for mistake, make in MADE[way].items()}
    return Judged(np.array([off(case, case.height) for case in some]), wrong, {})


def told_truth_and_mistakes(some: list[Case], way: Way) -> Judged:
    """The sharper one: log odds by the true statistics of each pad, with the same weights of mistakes as ours.

    Nothing can do better on average when mistakes have those weights (Bayes' rule).
    """

    def expected(case: Case) -> Expectation:
        # A Student t of so many degrees of freedom is a normal distribution.
        return Expectation(np.array([case.mean_m]), np.array([case.deviation_m]), np.ones(1), 1e7)

    return by_program(some, way, expected)


def told_how_drawn(pad: Ground, step_nm: int, rng: np.random.Generator, draws: int) -> dict[int, Expectation]:
    """What the way in which pads are drawn leads one to expect, all shots before in snake order heard; by index.

    Statistics are drawn as the pad's own were, and each is believed as far as the shots before bear it out
    (importance sampling of the posterior; MacKay, Information Theory, 2003, ch. 29, MEMORY).
    """
    walk = pad.walk
    at, heights_m = places(pad.along_m, pad.across_m) / pad.across_m[1], pad.heights.flat[walk] * 1e-9
    reading = np.eye(walk.size) * (step_nm * 1e-9) ** 2 / 12
    means, deviations, belief = np.empty((3, draws, walk.size))
    for draw in range(draws):
        factor = np.linalg.cholesky((drawn_covariance(rng, at) + reading)[np.ix_(walk, walk)])
        apart, deviations[draw] = np.linalg.solve(factor, heights_m), np.diag(factor)
        means[draw] = heights_m - apart * deviations[draw]
        log_density = -np.log(deviations[draw]) - apart**2 / 2
        belief[draw] = np.cumsum(log_density) - log_density
    shares = np.maximum(np.exp(belief - belief.max(axis=0)), 1e-300)
    shares /= shares.sum(axis=0)
    # A Student t of so many degrees of freedom is a normal distribution.
    return {
        int(walk[step]): Expectation(means[:, step], deviations[:, step], shares[:, step], 1e7)
        for step in range(FEWEST, walk.size)
    }
