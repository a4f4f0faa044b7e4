"""Prints how often an honest pad is called too close, and how often one is that lies on its limit.

    python -m tests.benchmarks.too_close [--pads 20000] [--seed 12345]

Honest: 20 spots, ground in a normal scatter about the target, tolerance 1/2 in, mark 1/8 in, read as crews do: the
backsight and each spot with the rod placed 1/16 in off (one standard deviation), each to its mark; only pads with
nothing read outside. `share` is the share of the shots that is to be expected out of tolerance although read inside; a
pad is too close above `TOO_CLOSE`. The plus/minus is what the program says of that pad: 60 x 40 ft, checked true after
the last shot.
"""

from __future__ import annotations

import argparse
import math

import numpy as np

from rodcall.book.model.entries import Readings
from rodcall.figures.uncertainty.budget import TOO_CLOSE
from rodcall.units import INCH
from tests.kit import a_book, a_job, figures

STEP, LIMIT, PLACING = INCH // 8, INCH // 2, INCH / 16
SPOTS = 20
THRESHOLDS = (0.05, 0.075, 0.10, 0.125, 0.15)


def a_pad(readings: list[str], along: int, across: int, *more: str):
    """The summary of a pad read with a rod, checked true at the end; a set-up at 4 ft, target 0."""
    job = a_job(along=along, across=across, readings=Readings.ROD, tolerance_high=LIMIT, tolerance_low=LIMIT)
    names = (job.grid.name(at) for at in range(along * across))
    shots = [f"{name} {reading}" for name, reading in zip(names, readings, strict=False)]
    return figures(a_book("reference BM high 0", "setup BM 4' 0", *more, "target 0", *shots, "check BM 4' 0", job=job))


def plus_minus(*more: str) -> float:
    """The largest plus/minus of that pad, nm."""
    summary = a_pad(["4' 0"] * SPOTS, 5, 4, *more)
    return float(summary.uncertainty.nm.max())


_erfc = np.frompyfunc(math.erfc, 1, 1)


def shares(deviations: np.ndarray, nm: float) -> np.ndarray:
    """Expected out over counted, of each row; the same formula as the program's, without its code."""
    root = nm / 2 * math.sqrt(2)
    chance = (_erfc((LIMIT - deviations) / root) + _erfc((LIMIT + deviations) / root)) / 2
    return chance.astype(float).mean(axis=1)


def honest(scatter_nm: float, nm: float, pads: int, rng: np.random.Generator) -> tuple[float, np.ndarray, np.ndarray]:
    """Share of pads with nothing read outside; of those, the share expected out, and the share that truly is."""
    ground = rng.normal(0, scatter_nm, (pads, SPOTS))
    level = rng.uniform(0, STEP, (pads, 1))
    backsight = np.rint((level + rng.normal(0, PLACING, (pads, 1))) / STEP) * STEP
    foresight = np.rint((level - ground + rng.normal(0, PLACING, ground.shape)) / STEP) * STEP
    read = backsight - foresight
    inside = (np.abs(read) <= LIMIT).all(axis=1)
    return inside.mean(), shares(read[inside], nm), (np.abs(ground[inside]) > LIMIT).mean(axis=1)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pads", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=12345)
    asked = parser.parse_args()
    rng = np.random.default_rng(asked.seed)
    for told, more in (("level not noted", ()), ("level in the middle", ("set tripod C3",))):
        nm = plus_minus(*more)
        print(f"\nPlus/minus {nm / INCH:.3f} in ({told}); seed {asked.seed}, {asked.pads} pads\n")
        head = ("scatter", "nothing read outside", "share expected, mean", "truly out, mean", "95th", "largest")
        print(f"| {' | '.join((*head, *(f'too close above {at:.1%}' for at in THRESHOLDS)))} |")
        print(f"|{' --- |' * (len(head) + len(THRESHOLDS))}")
        for name, scatter in (("1/8 in", 1 / 8), ("3/16 in", 3 / 16), ("1/4 in", 1 / 4)):
            kept, share, truly = honest(scatter * INCH, nm, asked.pads, rng)
            cells = (
                *(
                    f"{figure:.1%}"
                    for figure in (kept, share.mean(), truly.mean(), np.quantile(share, 0.95), share.max())
                ),
                *(f"{(share > at).mean():.1%}" for at in THRESHOLDS),
            )
            print(f"| {' | '.join((name, *cells))} |")
    print(f"\nAll spots alike (threshold {TOO_CLOSE:.0%}):")
    for spots, (along, across) in ((4, (2, 2)), (20, (5, 4)), (200, (20, 10))):
        for name, reading in (
            ("on the limit", "3' 11 1/2"),
            ("a mark inside", "3' 11 5/8"),
            ("two inside", "3' 11 3/4"),
        ):
            summary = a_pad([reading] * spots, along, across)
            share = summary.expected_out / summary.counted
            print(f"  {spots} spots {name}: {share:.1%} expected out, too close: {summary.too_close}")


if __name__ == "__main__":
    main()
