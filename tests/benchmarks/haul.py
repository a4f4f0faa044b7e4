"""Prints what the least haul costs on pads of growing size, beside a general solver of linear programs.

    python -m tests.benchmarks.haul [--yardstick 120]

`tilted` ground has its highs far from its lows, which is the slow case; `rough` ground has them side by side.
`silence` is the longest time between two calls of the progress callback, of which a screen lives.
"""

from __future__ import annotations

import argparse
from time import perf_counter
from typing import Final

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import eye_array, kron

from rodcall.figures.earthwork.dig import Machine, plan_dig

SHAPES: Final = ((4, 3), (12, 10), (40, 30))
SPACING: Final = 1.0
MACHINE: Final = Machine(lane_width_m=6.0, bucket_m3=0.25)


def ground(kind: str, shape: tuple[int, int]) -> np.ndarray:
    """Volumes in m3 that balance, cut above 0."""
    line, column = np.indices(shape)
    volume = np.random.default_rng(1).normal(0, 0.02, shape) + (0.02 * line + 0.01 * column) * (kind == "tilted")
    return volume - volume.mean()


def dig(volume: np.ndarray) -> tuple[float, float, int]:
    """Total haul, longest silence in seconds, and how many moves."""
    told = [perf_counter()]
    plan = plan_dig(
        np.maximum(volume, 0), np.maximum(-volume, 0), *(np.arange(n) * SPACING for n in volume.shape), MACHINE,
        shrink=0.0, swell=0.25, progress=lambda share: told.append(perf_counter()),
    )  # fmt: skip
    return plan.total_haul, max(np.diff(told)), len(plan.moves)


def yardstick(volume: np.ndarray) -> float:
    """Total haul by HiGHS."""
    at = np.indices(volume.shape).reshape(2, -1) * SPACING
    high, low = volume.ravel() > 0, volume.ravel() < 0
    distance = np.hypot(*(at[:, high, None] - at[:, None, low]))
    m, n = distance.shape
    # The two sides balance only as far as floats go, so supply is a limit with a hair of room.
    gives, takes = kron(eye_array(m), np.ones((1, n))), kron(np.ones((1, m)), eye_array(n))
    supply, demand = volume.ravel()[high] * (1 + 1e-12), -volume.ravel()[low]
    return linprog(distance.ravel(), A_ub=gives, b_ub=supply, A_eq=takes, b_eq=demand, method="highs").fun


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--yardstick", type=int, default=120, help="most positions for the general solver")
    most = parser.parse_args().yardstick
    print("ground  positions      ms  silence ms  moves  general solver ms  its total / ours - 1")
    for kind in ("rough", "tilted"):
        for shape in SHAPES:
            volume = ground(kind, shape)
            start = perf_counter()
            total, silence, moves = dig(volume)
            line = f"{kind:6}{volume.size:11}{(perf_counter() - start) * 1e3:8.1f}{silence * 1e3:12.1f}{moves:7}"
            if volume.size <= most:
                start = perf_counter()
                found = yardstick(volume)
                line += f"{(perf_counter() - start) * 1e3:19.1f}{found / total - 1:22.1e}"
            print(line)


if __name__ == "__main__":
    main()
