"""Prints how many wrong readings are caught against how many sound ones are questioned, beside the best detector.

    python -m tests.benchmarks.busts [--pads 600] [--seed 7777] [--drawn 60]

The best detector is told the true statistics of each pad (`tests/detectors.py`). `walked`: every reading of a pad
from the sixth on may be held against those before it in snake order; `whole`: every one against all others. One reading
in four is, by chance, so that more pads are seen. Feet jobs are read to 0.01 ft, inch jobs to 1/8 in. Each mistake is
put into every reading that is judged, one at a time. `--drawn`
sets ours beside the detector that is told how pads are drawn, on so many pads walked.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from math import exp
from time import perf_counter
from typing import Final

import numpy as np

from rodcall.figures.outliers import judging, outlier, search
from rodcall.figures.outliers.expectation import Expectation
from rodcall.figures.outliers.line_mistakes import LineMistake, line_mistakes
from rodcall.figures.outliers.mistakes import Mistake, Way
from rodcall.units import FOOT, INCH
from tests.detectors import (
    FEWEST,
    INCHES,
    MADE,
    Case,
    by_program,
    cases,
    natural,
    told_how_drawn,
    told_truth,
)
from tests.simulated_ground import OTHER_KINDS, SHAPES, ground, other_ground

QUESTIONED: Final = (0.005, 0.01, 0.015, 0.02, 0.03, 0.05)
ASK: Final = outlier.log_odds(outlier.ASK_FROM)
SHARE: Final = 0.25
DRAWS: Final = 1500


def table(*rows: tuple[str, ...]) -> None:
    """Rows as Markdown, the first as its head."""
    for at, row in enumerate(rows):
        print(f"| {' | '.join(row)} |")
        if at == 0:
            print(f"|{' --- |' * len(row)}")
    print()


def report(way: Way, walked: bool, pads: int, seed: int) -> None:
    some = natural(way, walked, pads, seed, SHARE)
    ours, best = by_program(some, way), told_truth(some, way)
    known = np.array([case.known.size for case in some])
    asked = ours.sound >= ASK
    at_work = float(asked.mean())
    by_known = (f"{few} to {most} {asked[part].mean():.1%}" for few, most, part in parts(known))
    print(f"{'Walked' if walked else 'Whole'}, {way.unit}: {known.size:,} sound readings, questioned ", end="")
    print(f"{at_work:.2%}; by shots known {', '.join(by_known)}\n")

    def pair(mistake: Mistake, questioned: float) -> str:
        caught, most = (each.caught(mistake, questioned) for each in (ours, best))
        return f"{caught:.1%} / {most:.1%}"

    rows = []
    for mistake in MADE[way]:
        wrong = ours.wrong[mistake]
        first = ours.named[mistake][wrong >= ASK].mean()
        of_best = (wrong[~np.isnan(wrong)] >= ASK).mean() / best.caught(mistake, at_work)
        rows.append((str(mistake), f"{first:.0%}", f"{of_best:.1%}", *(pair(mistake, share) for share in QUESTIONED)))
    table(("mistake", "right first", "of the best at work", *(f"{share:.1%}" for share in QUESTIONED)), *rows)


def parts(known: np.ndarray) -> Iterator[tuple[int, int, np.ndarray]]:
    """Cases by how many shots were known."""
    return ((few, most, (known >= few) & (known <= most)) for few, most in ((5, 11), (12, 49), (50, 199)))


def drawn(way: Way, pads: int, seed: int) -> None:
    """Share of what the best catches at 2 % questioned: ours, and the detector that is told how pads are drawn."""
    some, rng = natural(way, True, pads, seed), np.random.default_rng(seed + 1)
    known = np.array([case.known.size for case in some])
    told: dict[int, dict[int, Expectation]] = {}

    def expected(case: Case) -> Expectation:
        if id(case.ground) not in told:
            told[id(case.ground)] = told_how_drawn(case.ground, way.step_nm, rng, DRAWS)
        return told[id(case.ground)][case.index]

    detectors = {"ours": by_program(some, way), "told how pads are drawn": by_program(some, way, expected)}
    best = told_truth(some, way)
    rows = []
    for mistake in MADE[way]:
        for few, most, part in ((FEWEST, known.max(), known > 0), *parts(known)):
            shares = (
                each.caught(mistake, 0.02, part) / best.caught(mistake, 0.02, part) for each in detectors.values()
            )
            rows.append((str(mistake), f"{few} to {most}", *(f"{share:.1%}" for share in shares)))
    table(("mistake", "shots known", *detectors), *rows)


def elsewhere(pads: int, seed: int) -> None:
    """Ground of kinds that the detector knows nothing of: at the working threshold."""
    rows = []
    for kind in OTHER_KINDS:
        for walked in (True, False):
            rng = np.random.default_rng(seed)
            some = cases([other_ground(rng, INCHES.step_nm, kind) for _ in range(pads)], rng, walked)
            ours = by_program(some, INCHES)
            caught = (f"{(ours.wrong[mistake] >= ASK).mean():.1%}" for mistake in (Mistake.FOOT, Mistake.INCH))
            rows.append((kind, "walked" if walked else "whole", f"{(ours.sound >= ASK).mean():.1%}", *caught))
    table(("ground", "judged", "sound questioned", "one foot", "one inch"), *rows)


SPOILED: Final[dict[LineMistake, Callable[[np.ndarray], np.ndarray]]] = {
    LineMistake.SHIFTED_UP: lambda line: np.append(line[1:], line[-1]),
    LineMistake.SHIFTED_DOWN: lambda line: np.append(line[0], line[:-1]),
    LineMistake.FLIPPED: lambda line: -line,
    LineMistake.MIRRORED: lambda line: line[::-1],
}


def lines(pads: int, seed: int) -> None:
    """Whole lines, each held against those before it, as when it was just finished; four lines before it at least."""
    rng, scores = np.random.default_rng(seed), {name: [] for name in ("sound", *SPOILED)}
    named = {mistake: [] for mistake in SPOILED}
    for _ in range(pads):
        pad = ground(rng, INCHES.step_nm, SHAPES[rng.integers(2, len(SHAPES))])
        row = int(rng.integers(4, pad.heights.shape[0]))
        counts = np.ones(pad.heights.shape, np.bool_)
        counts[row + 1 :] = False
        for name in scores:
            heights = pad.heights.copy()
            if name != "sound":
                heights[row] = SPOILED[name](heights[row])
            found = line_mistakes(heights, counts, row, pad.along_m, pad.across_m, INCHES)
            scores[name].append(bool(found))
            if name != "sound" and found:
                named[name].append(found[0].mistake is name)
    rows = [(str(name), f"{np.mean(scores[name]):.1%}", f"{np.mean(right):.0%}") for name, right in named.items()]
    print(f"Whole lines: {pads} sound ones, asked about {np.mean(scores['sound']):.1%}\n")
    table(("mistake in a line", "asked about", "right first"), *rows)


def clock() -> None:
    """Time of one judgement on a page of 10,000, of sound readings and of wrong ones, and of all of a page."""
    rng = np.random.default_rng(1)
    even, counts = np.arange(100) * 3.0, np.ones((100, 100), np.bool_)
    swell = np.linalg.cholesky(np.exp(-0.5 * ((even[:, None] - even) / 9) ** 2) + 1e-9 * np.eye(100))
    natural_m = INCH * (swell @ rng.normal(size=(100, 100)) @ swell.T + 0.15 * rng.normal(size=(100, 100)))
    heights = np.rint(natural_m / INCHES.step_nm).astype(np.int64) * INCHES.step_nm
    for what, off in (("sound", 0), ("wrong", FOOT)):
        times = []
        for index in rng.integers(0, 10_000, 200).tolist():
            heights.flat[index] += off
            start = perf_counter()
            judging.judge(heights, counts, index, even, even, INCHES)
            times.append(perf_counter() - start)
            heights.flat[index] -= off
        print(f"one {what} reading at 10,000 shots, median ms: {np.median(times) * 1e3:.2f}")
    spoiled = heights.copy()
    spoiled.flat[rng.choice(10_000, 60, replace=False)] += FOOT
    pages = {"all shot": (heights, counts), "1 in 50 left out": (heights, rng.random(counts.shape) > 0.02)}
    for what, (page, shot) in {**pages, "60 readings a foot off": (spoiled, counts)}.items():
        start = perf_counter()
        found = len(search.busts(page, shot, even, even, lambda index: INCHES))
        print(f"all of a page of 10,000, {what}, s: {perf_counter() - start:.2f} ({found} busts)")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pads", type=int, default=600)
    parser.add_argument("--seed", type=int, default=7777, help="those below 1000 served to tune")
    parser.add_argument("--drawn", type=int, default=0, help="pads for the detector that is told how they are drawn")
    asked = parser.parse_args()
    print(f"Seed {asked.seed}, {asked.pads} pads; asked from a chance of {1 / (1 + exp(-ASK)):.2f}\n")
    for way in MADE:
        for walked in (True, False):
            report(way, walked, asked.pads, asked.seed)
        if asked.drawn:
            drawn(way, asked.drawn, asked.seed)
    elsewhere(asked.pads // 10, asked.seed)
    lines(asked.pads // 2, asked.seed)
    clock()


if __name__ == "__main__":
    main()
