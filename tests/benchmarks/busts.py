"""Prints how many wrong readings are caught against how many sound ones are questioned, beside the best detector.

    python -m tests.benchmarks.busts [--pads 300] [--seed 1000]

The yardstick is a Gaussian process that is told the true statistics of each pad and questions what lies most
standard deviations off. `walked`: each reading is held against those before it in snake order, five at least;
`whole`: against all others of the pad. Feet jobs are read to 0.01 ft, inch jobs to 1/8 in. Each mistake is put
into every reading that is judged, one at a time.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from time import perf_counter
from typing import Final, NamedTuple

import numpy as np
from scipy.linalg import cho_factor, cho_solve

from rodcall.figures import busts
from rodcall.figures.mistakes import Mistake, Way
from rodcall.lengths import FOOT, INCH, LengthError, Unit
from tests.simulated_ground import Ground, ground

INCHES, FEET = Way(Unit.IN, INCH // 8), Way(Unit.FT, FOOT // 100)
QUESTIONED: Final = (0.005, 0.01, 0.015, 0.02, 0.03, 0.05)
SHOTS_A_PAD: Final = 12


class Case(NamedTuple):
    """One reading to judge, with what is known when it is."""

    ground: Ground
    index: int
    counts: np.ndarray
    before: int
    """Shots known."""
    off: int
    """+1 or -1: which way a mark is misread here."""
    expected_m: float
    deviation_m: float
    """What the yardstick expects."""


def swap(case: Case, way: Way) -> int | None:
    """The last two digits of the decimals swapped, where that makes another reading."""
    said = way.text(way.reading(int(case.ground.heights.flat[case.index])))
    if "." not in said:
        return None
    try:
        return way.height(way.readings.parse(said[:-2] + said[-1] + said[-2], way.unit))
    except LengthError:
        return None


def by(mark: int) -> Callable[[Case, Way], int]:
    return lambda case, way: int(case.ground.heights.flat[case.index]) + case.off * mark


def flip(case: Case, way: Way) -> int:
    return -int(case.ground.heights.flat[case.index])


MADE: Final = {
    INCHES: {Mistake.FOOT: by(FOOT), Mistake.INCH: by(INCH), Mistake.SIGN: flip},
    FEET: {Mistake.FOOT: by(FOOT), Mistake.TENTH: by(FOOT // 10), Mistake.SIGN: flip, Mistake.SWAPPED: swap},
}


def cases(way: Way, walked: bool, pads: int, seed: int) -> list[Case]:
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(pads):
        pad = ground(rng, way.step_nm)
        walk = pad.walk
        steps = rng.choice(np.arange(5, walk.size), min(SHOTS_A_PAD, walk.size - 5), replace=False)
        for step in steps.tolist():
            known = walk[:step] if walked else np.delete(walk, step)
            counts = np.zeros(pad.heights.shape, np.bool_)
            counts.flat[known] = True
            index = int(walk[step])
            found.append(Case(pad, index, counts, known.size, rng.choice((-1, 1)), *yardstick(pad, known, index)))
    return found


def yardstick(pad: Ground, known: np.ndarray, index: int) -> tuple[float, float]:
    """Mean and standard deviation by the true covariance (its mean is 0)."""
    covariance = pad.covariance
    towards = covariance[known, index]
    weights = cho_solve(cho_factor(covariance[np.ix_(known, known)]), towards)
    mean = weights @ pad.heights.flat[known] * 1e-9
    return float(mean), float(np.sqrt(covariance[index, index] - weights @ towards))


def judged(case: Case, height: int, way: Way) -> busts.Bust | None:
    heights = case.ground.heights.copy()
    heights.flat[case.index] = height
    return busts.judge(heights, case.counts, case.index, case.ground.along_m, case.ground.across_m, way, ask_from=1e-9)


def score(bust: busts.Bust | None) -> float:
    return -np.inf if bust is None else bust.score


def report(way: Way, walked: bool, pads: int, seed: int) -> None:
    some = cases(way, walked, pads, seed)
    true = [int(case.ground.heights.flat[case.index]) for case in some]

    def off(heights: list[int]) -> np.ndarray:
        pairs = zip(some, heights, strict=True)
        return np.array([abs(height * 1e-9 - case.expected_m) / case.deviation_m for case, height in pairs])

    clean = np.array([score(judged(case, height, way)) for case, height in zip(some, true, strict=True)])
    clean_off = off(true)
    ask = np.log(busts.ASK_FROM / (1 - busts.ASK_FROM))
    shots = np.array([case.before for case in some])
    asked = clean >= ask
    at_work = float(asked.mean())
    by_known = (asked[(shots >= few) & (shots < many)].mean() for few, many in ((5, 12), (12, 50), (50, 200)))
    print(
        f"\n{'walked' if walked else 'whole'}, {way.unit}: {len(some)} sound readings, questioned {at_work:.2%}; ",
        end="",
    )
    print("with 5-11, 12-49, 50-199 shots known " + ", ".join(f"{share:.2%}" for share in by_known))
    print("caught / by the yardstick at as many questioned    " + "".join(f"{share:15.1%}" for share in QUESTIONED))
    for mistake, make in MADE[way].items():
        wrong = [make(case, way) for case in some]
        at = [k for k, height in enumerate(wrong) if height is not None and height != true[k]]
        found = [judged(some[k], wrong[k], way) for k in at]
        ours, best = np.array([score(bust) for bust in found]), off([h or 0 for h in wrong])[at]
        caught = ours >= ask
        first = [b.explanations[:1] for b in found if b is not None and b.score >= ask]
        # A mistake that another one explains to the same reading is right as well.
        right = np.mean([
            bool(why) and abs(why[0].height_nm - true[k]) < way.step_nm / 2
            for why, k in zip(first, np.array(at)[caught], strict=True)
        ])  # fmt: skip
        same = (best > np.quantile(clean_off, 1 - at_work)).mean()
        line = f"{mistake:15}{caught.mean():7.1%} / {same:6.1%}, right first {right:4.0%} "
        for share in QUESTIONED:
            ours_at = (ours > np.quantile(clean, 1 - share)).mean()
            best_at = (best > np.quantile(clean_off, 1 - share)).mean()
            line += f"  {ours_at:5.1%}/{best_at:6.1%}"
        print(line)


def clock() -> None:
    """Time of one judgement on a page of 10,000, of sound readings and of wrong ones, and of all of a page of 200."""
    rng = np.random.default_rng(1)
    even, counts = np.arange(100) * 3.0, np.ones((100, 100), np.bool_)
    for what, by in (("sound", 0), ("wrong", FOOT)):
        times = []
        for index in rng.integers(0, 10_000, 200).tolist():
            heights = rng.normal(0, INCH, (100, 100)).astype(np.int64)
            heights.flat[index] += by
            start = perf_counter()
            busts.judge(heights, counts, index, even, even, INCHES)
            times.append(perf_counter() - start)
        print(f"one {what} reading at 10,000 shots, median ms: {np.median(times) * 1e3:.2f}")
    pad = ground(rng, INCHES.step_nm, (20, 10))
    start = perf_counter()
    busts.busts(pad.heights, np.ones((20, 10), np.bool_), pad.along_m, pad.across_m, lambda index: INCHES)
    print(f"all of a page of 200, ms: {(perf_counter() - start) * 1e3:.0f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pads", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1000, help="those below 1000 served to tune")
    asked = parser.parse_args()
    for way in MADE:
        for walked in (True, False):
            report(way, walked, asked.pads, asked.seed)
    clock()


if __name__ == "__main__":
    main()
