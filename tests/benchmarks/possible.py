"""Prints what is possible at all where readings do not fit: ours beside the detector that is told the pad.

    python -m tests.benchmarks.possible [--seed 1] [--readings 400] [--grounds steps rough] [--units mm] [--shots 12]

The other detector (`tests/told_ground.py`) is told the kind of ground and all that was drawn for it but where things
lie; both judge the same readings, in sizes from 12 to 200 shots, at a key and against the whole page. Told are, of each
gross mistake: what ours finds at work, and what either finds where the threshold is set so that it questions 2 % of the
sound readings of that cell. Where the other finds less than 99 % at 2 %, nobody can.
"""

from __future__ import annotations

import argparse
import secrets
from functools import partial

from rodcall.figures.outliers.mistakes import Mistake, Way
from tests import told_ground
from tests.benchmarks.busts import table
from tests.benchmarks.grounds import ASK, GROSS, SIZES, UNITS, some_cases
from tests.detectors import MADE, Judged, by_program


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


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=None, help="drawn unless given")
    parser.add_argument("--readings", type=int, default=400, help="of each cell, about")
    parser.add_argument("--grounds", nargs="+", default=told_ground.KINDS, choices=told_ground.KINDS)
    parser.add_argument("--units", nargs="+", default=list(UNITS), choices=UNITS)
    parser.add_argument("--shots", nargs="+", type=int, default=list(SIZES), choices=SIZES)
    parser.add_argument("--walked", action="store_true", help="at a key only")
    asked = parser.parse_args()
    seed = secrets.randbelow(2**31) if asked.seed is None else asked.seed
    print(f"Seed {seed}\n", flush=True)
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
