"""Prints how many gross mistakes are caught among the first shots, and how many sound readings are questioned.

    python -m tests.benchmarks.plausible [--pads 2000] [--seed 8888]

Each pad is walked from its first line on; the reading that comes after one to five shots is judged as it was typed.
Each mistake is put into it, one at a time. Ten times of next to nothing is next to nothing: what is told of it are
readings that it takes more than 6 in away, and in brackets all. `first`: the mistake lies in the first of two readings.
"""

from __future__ import annotations

import argparse

import numpy as np

from tests.benchmarks.busts import table
from tests.plausible_cases import KINDS, MADE, Caught, tried, ways


def share(of: float) -> str:
    return "" if np.isnan(of) else f"{of:.2%}"


def report(kind: str, pads: int, seed: int) -> None:
    for name, way in ways().items():
        counted: dict[int, Caught] = tried(way, kind, pads, seed)
        known = sorted(counted)
        rows = [("sound questioned", *(share(counted[n].questioned) for n in known))]
        for mistake in MADE[name]:
            cells = (
                (counted[n].caught(mistake), counted[n].caught(mistake, all_of_them=True), counted[n].named(mistake))
                for n in known
            )
            rows.append(
                (str(mistake), *(f"{share(far)} ({share(any_)}), named {share(said)}" for far, any_, said in cells))
            )
        print(f"{kind}, {name}\n")
        table(("mistake", *(f"{n} known" if n else "first of two" for n in known)), *rows)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pads", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=8888, help="those below 1000 served to tune")
    asked = parser.parse_args()
    for kind in KINDS:
        report(kind, asked.pads if kind == KINDS[0] else asked.pads // 2, asked.seed)


if __name__ == "__main__":
    main()
