"""Holds studentised residuals against statsmodels on tens of thousands of sets of shots, near-degenerate ones too.

    python -m tests.benchmarks.residuals [--sets 36383] [--seed N]

The sets are hypothesis's, which likes equal and lone values, so that many lie nearly on one line. Compared is where
nine digits are there to be had (`tests/figures/test_busts.py` says where that is), to 1e-9.
"""

from __future__ import annotations

import argparse
import secrets
import warnings

import numpy as np
from hypothesis import HealthCheck, Phase, given, seed, settings

from tests.figures.test_busts import SHOTS, held_against_statsmodels


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sets", type=int, default=36_383)
    parser.add_argument("--seed", type=int, default=None, help="drawn unless given")
    asked = parser.parse_args()
    drawn = secrets.randbelow(2**31) if asked.seed is None else asked.seed
    counted = {"compared": 0, "not well conditioned": 0, "apart": 0}

    @seed(drawn)
    @settings(
        max_examples=asked.sets,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=HealthCheck,
    )
    @given(SHOTS)
    def each(shots: tuple[list[int], ...]) -> None:
        try:
            compared = held_against_statsmodels(*np.array(shots, float))
        except AssertionError:
            counted["apart"] += 1
        else:
            counted["compared" if compared else "not well conditioned"] += 1

    warnings.simplefilter("ignore")
    each()
    print(f"Seed {drawn}: " + ", ".join(f"{count:,} {what}" for what, count in counted.items()))


if __name__ == "__main__":
    main()
