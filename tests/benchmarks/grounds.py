"""Prints what is asked about on every kind of ground: sound readings questioned, and gross mistakes found.

    python -m tests.benchmarks.grounds [--seed 1] [--readings 25] [--grounds steps rough] [--units mm] [--shots 12]
    python -m tests.benchmarks.grounds --quick
    python -m tests.benchmarks.grounds --yardstick [--readings 2000]

Each cell is a kind of ground (`simulated_ground.KINDS`), a unit and a size; each seed gives it new pads and so many
readings. `at a key`: held against those before it in snake order, from the sixth on. `page`: held against all others. A
foot is put into readings in inches (1/8 in) and feet (0.01 ft), a metre and a decimetre into those in millimetres. The
seed is drawn and told unless it is given; 20 seeds follow from it. Grounds can be run in parts: each draws its own.

`--yardstick` sets ours beside the detector that is told each pad's true statistics and weighs the same mistakes with
the same shares (`tests/detectors.py`), on natural ground: share of what that one catches, mean and spread over the
seeds.
"""

from __future__ import annotations

import argparse
import secrets
from collections.abc import Iterable
from functools import partial
from typing import Final

import numpy as np

from rodcall.figures.outliers import outlier
from rodcall.figures.outliers.mistakes import Mistake, Way
from tests.benchmarks.busts import table
from tests.detectors import FEET, INCHES, MADE, MILLIMETRES, Case, by_program, cases, natural, told_truth_and_mistakes
from tests.simulated_ground import KINDS, Ground, ground, other_ground

UNITS: Final = {"in": INCHES, "ft": FEET, "mm": MILLIMETRES}
SIZES: Final = {12: (4, 3), 20: (5, 4), 35: (7, 5), 80: (10, 8), 200: (20, 10)}
GROSS: Final = (Mistake.FOOT, Mistake.METRE, Mistake.DECIMETRE)
ASK: Final = outlier.log_odds(outlier.ASK_FROM)


def some_cases(kind: str, way: Way, shots: int, walked: bool, readings: int, seed: list[int]) -> list[Case]:
    """So many readings, about, of at least six pads."""
    rng = np.random.default_rng(seed)
    make = ground if kind == "natural" else partial(other_ground, kind=kind)
    judged = shots - outlier.FEWEST_SHOTS if walked else shots
    pads = max(6, round(readings / judged))
    made: Iterable[Ground] = (make(rng, way.step_nm, shape=SIZES[shots]) for _ in range(pads))
    return cases(made, rng, walked, min(1.0, readings / (pads * judged)))


def told(some: list[Case], way: Way) -> tuple[list[bool], dict[Mistake, list[bool]]]:
    """Of each reading: is it questioned as it is, and with each gross mistake."""
    sound: list[bool] = []
    wrong: dict[Mistake, list[bool]] = {mistake: [] for mistake in MADE[way] if mistake in GROSS}
    for case in some:
        at = case.ours
        sound.append(outlier.weigh(at, case.index, case.height, way, "", ASK) is not None)
        for mistake, asked in wrong.items():
            height = MADE[way][mistake](case, way)
            asked.append(height is not None and outlier.weigh(at, case.index, height, way, "", ASK) is not None)
    return sound, wrong


def kind_of_ground(kind: str, units: Iterable[str], sizes: Iterable[int], readings: int, seed: int, seeds: int) -> None:
    """The table of one kind: a row for each unit, a column for each size, at a key / by the page."""
    sizes = list(sizes)
    questioned, rows = [], []
    for unit in units:
        way, cells, found = UNITS[unit], [], {}
        for shots in sizes:
            shares, lost = [], {}
            for walked in (True, False):
                sound: list[bool] = []
                wrong: dict[Mistake, list[bool]] = {}
                for each in range(seeds):
                    drawn = [seed, each, (*KINDS, "natural").index(kind), list(UNITS).index(unit), shots, walked]
                    asked, caught = told(some_cases(kind, way, shots, walked, readings, drawn), way)
                    sound += asked
                    for mistake, of in caught.items():
                        wrong.setdefault(mistake, []).extend(of)
                shares.append(float(np.mean(sound)))
                for mistake, of in wrong.items():
                    lost.setdefault(mistake, []).append(float(np.mean(of)))
            cells.append(" / ".join(f"{share:.1%}" for share in shares))
            questioned += shares
            for mistake, each_way in lost.items():
                found.setdefault(mistake, []).append(" / ".join(f"{share:.1%}" for share in each_way))
        rows.append((unit, "sound, questioned", *cells))
        rows += [(unit, f"{mistake}, found", *of) for mistake, of in found.items()]
    print(f"{kind}: at a key / page; questioned {np.mean(questioned):.2%}, most in a cell {max(questioned):.1%}\n")
    table(("unit", "readings", *(f"{shots} shots" for shots in sizes)), *rows)


def yardstick(readings: int, seed: int, seeds: int) -> None:
    """Share of what the sharper yardstick catches where both question as many: at the working threshold, and 2 %."""
    rows = []
    for unit, way in UNITS.items():
        at_work: dict[Mistake, list[float]] = {mistake: [] for mistake in MADE[way]}
        at_two: dict[Mistake, list[float]] = {mistake: [] for mistake in MADE[way]}
        shares = []
        for each in range(seeds):
            # 66 is about what a pad has on average from the sixth shot on.
            some = natural(way, True, max(10, readings // 13), seed + each, 0.2)
            ours, best = by_program(some, way), told_truth_and_mistakes(some, way)
            shares.append(share := float((ours.sound >= ASK).mean()))
            for mistake, wrong in ours.wrong.items():
                caught = float((wrong[~np.isnan(wrong)] >= ASK).mean())
                at_work[mistake].append(caught / best.caught(mistake, share))
                at_two[mistake].append(ours.caught(mistake, 0.02) / best.caught(mistake, 0.02))
        for mistake in MADE[way]:
            spread = (
                f"{np.mean(of):.1%} ({np.std(of, ddof=1) if seeds > 1 else 0.0:.1%}; {min(of):.1%} to {max(of):.1%})"
                for of in (at_work[mistake], at_two[mistake])
            )
            rows.append((unit, str(mistake), f"{np.mean(shares):.2%}", *spread))
    head = ("unit", "mistake", "questioned", "of the yardstick at work, mean (deviation; least to most)", "at 2 %")
    table(head, *rows)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=None, help="drawn unless given")
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--readings", type=int, default=None, help="of each cell and seed")
    parser.add_argument("--grounds", nargs="+", default=KINDS, choices=(*KINDS, "natural"))
    parser.add_argument("--units", nargs="+", default=list(UNITS), choices=UNITS)
    parser.add_argument("--shots", nargs="+", type=int, default=list(SIZES), choices=SIZES)
    parser.add_argument("--quick", action="store_true", help="3 seeds, 12 and 80 shots, 30 readings")
    parser.add_argument("--yardstick", action="store_true", help="ours beside the sharper detector instead")
    asked = parser.parse_args()
    seed = secrets.randbelow(2**31) if asked.seed is None else asked.seed
    seeds = 3 if asked.quick else asked.seeds
    print(f"Seed {seed} and {seeds} from it; asked from a chance of {outlier.ASK_FROM}\n", flush=True)
    if asked.yardstick:
        yardstick(asked.readings or 2000, seed, seeds)
        return
    for kind in asked.grounds:
        sizes = [12, 80] if asked.quick else asked.shots
        kind_of_ground(kind, asked.units, sizes, asked.readings or (30 if asked.quick else 25), seed, seeds)


if __name__ == "__main__":
    main()
