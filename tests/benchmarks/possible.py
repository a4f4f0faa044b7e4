"""Prints what is possible at all where readings do not fit: ours beside the detector that is told the pad.

    python -m tests.benchmarks.possible [--seed 1] [--readings 400] [--grounds steps rough] [--units mm] [--shots 12]
    python -m tests.benchmarks.possible --natural 40

The other detector (`tests/told_ground.py`) is told the kind of ground and all that was drawn for it but where things
lie; both judge the same readings, in sizes from 12 to 200 shots, at a key and against the whole page. Told are, of each
gross mistake: what ours finds at work, and what either finds where the threshold is set so that it questions 2 % of the
sound readings of that cell. Where the other finds less than 99 % at 2 %, nobody can.

`--natural`: on so many pads of natural ground at a key, the share of the sharper yardstick (told each pad's statistics)
that ours reaches, and the detector that is told only how pads are drawn and learns each one from its shots: by Bayes'
rule nobody who is told no more does better on the average. Where 1 and where 2 % are questioned.
"""

from __future__ import annotations

import argparse
import secrets
from functools import partial

import numpy as np

from rodcall.figures.outliers.expectation import Expectation
from rodcall.figures.outliers.mistakes import Mistake, Way
from tests import told_ground
from tests.benchmarks.busts import DRAWS, table
from tests.benchmarks.grounds import ASK, GROSS, SIZES, UNITS, some_cases
from tests.detectors import MADE, Case, Judged, by_program, natural, told_how_drawn, told_truth_and_mistakes


def found(judged: Judged, mistake: Mistake) -> float:
    return judged.caught(mistake, 0.02)


def row(kind: str, unit: str, shots: int, walked: bool, readings: int, seed: int) -> list[tuple[str, ...]]:
    """Of one cell, each gross mistake."""
    way: Way = UNITS[unit]
    some = some_cases(kind, way, shots, walked, readings, [seed, told_ground.KINDS.index(kind), shots, walked])
    ours, told = by_program(some, way), by_program(some, way, partial(told_ground.expected, step_nm=way.step_nm))
    questioned = float((ours.sound >= ASK).mean())
    return [
        (
            *(kind, unit, str(shots), "at a key" if walked else "page", str(len(some)), f"{questioned:.1%}"),
            f"{(told.sound >= ASK).mean():.1%}",
            *(str(mistake), f"{(ours.wrong[mistake] >= ASK).mean():.1%}", f"{found(ours, mistake):.1%}"),
            *(f"{found(told, mistake):.1%}", f"{told.caught(mistake, max(questioned, 1e-9)):.1%}"),
            f"{(told.wrong[mistake] >= ASK).mean():.1%}",
        )
        for mistake in MADE[way]
        if mistake in GROSS
    ]


def natural_ground(units: list[str], pads: int, seed: int) -> None:
    rows = []
    for unit in units:
        way, rng = UNITS[unit], np.random.default_rng(seed + 1)
        some = natural(way, True, pads, seed)
        told: dict[int, dict[int, Expectation]] = {}

        def drawn(
            case: Case, told: dict[int, dict[int, Expectation]] = told, way: Way = way, rng: np.random.Generator = rng
        ) -> Expectation:
            if id(case.ground) not in told:
                told[id(case.ground)] = told_how_drawn(case.ground, way.step_nm, rng, DRAWS)
            return told[id(case.ground)][case.index]

        best = told_truth_and_mistakes(some, way)
        for name, judged in (
            ("ours", by_program(some, way)),
            ("told how pads are drawn", by_program(some, way, drawn)),
        ):
            for mistake in MADE[way]:
                shares = (
                    f"{judged.caught(mistake, share) / best.caught(mistake, share):.1%}"
                    for share in (0.005, 0.01, 0.02)
                )
                rows.append((unit, str(mistake), name, str(len(some)), *shares))
    table(("unit", "mistake", "detector", "readings", "at 0.5 %", "at 1 %", "at 2 %"), *rows)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=None, help="drawn unless given")
    parser.add_argument("--readings", type=int, default=400, help="of each cell, about")
    parser.add_argument("--grounds", nargs="+", default=told_ground.KINDS, choices=told_ground.KINDS)
    parser.add_argument("--units", nargs="+", default=list(UNITS), choices=UNITS)
    parser.add_argument("--shots", nargs="+", type=int, default=list(SIZES), choices=SIZES)
    parser.add_argument("--walked", action="store_true", help="at a key only")
    parser.add_argument("--natural", type=int, default=0, help="so many pads of natural ground instead")
    asked = parser.parse_args()
    seed = secrets.randbelow(2**31) if asked.seed is None else asked.seed
    print(f"Seed {seed}\n", flush=True)
    if asked.natural:
        natural_ground(asked.units, asked.natural, seed)
        return
    head = ("ground", "unit", "shots", "judged", "readings", "questioned", "told questions", "mistake", "ours at work")
    ends = ("ours at 2 %", "told at 2 %", "told at our share", "told at work")
    table(
        (*head, *ends),
        *(
            line
            for kind in asked.grounds
            for unit in asked.units
            for shots in asked.shots
            for walked in ((True,) if asked.walked else (True, False))
            for line in row(kind, unit, shots, walked, asked.readings, seed)
        ),
    )


if __name__ == "__main__":
    main()
