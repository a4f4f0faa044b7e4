"""Print what cut and fill, their shares by spot, the balance, the target page's curve and the best slopes cost."""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import perf_counter

import numpy as np

from rodcall.figures.earthwork.shares import dirt_at_spots
from rodcall.figures.earthwork.volumes import Grade, Surface, balance
from rodcall.figures.ground.best_slopes import least_earth_grade
from tests.kit import cut_and_fill

SHAPES = ((4, 3), (40, 30), (100, 100))
SHRINK = 0.1
WORK = ("cut, fill", "by spot", "balance", "curve of 60", "least earth")


def pad(shape: tuple[int, int], rough: bool) -> Surface:
    """Natural ground: waves as long as the pad, or noise from shot to shot, which splits most squares."""
    random = np.random.default_rng(1)
    along, across = (np.arange(n) * 1.0 for n in shape)
    waves = 0.05 * np.sin(along / shape[0] * 5)[:, None] + 0.03 * np.cos(across / shape[1] * 4)
    noise = random.normal(0.0, 0.02 if rough else 0.005, shape)
    return Surface(noise if rough else noise + waves, along, across, 0.5)


def milliseconds(work: Callable[[], object]) -> str:
    """Median and 95th percentile."""
    work()
    times = []
    for _ in range(100):
        start = perf_counter()
        work()
        times.append((perf_counter() - start) * 1e3)
    return f"{median(times):.2f} / {sorted(times)[94]:.2f}"


def main() -> None:
    """Every call begins with a new surface, as after a reading."""
    print("milliseconds, median / p95")
    print(f"{'positions':>9} {'ground':>7}", *(f"{name:>14}" for name in WORK))
    slopes = Grade(-0.001, 0.0003, 0.0001)
    offsets = np.linspace(-0.06, 0.06, 60)
    for shape in SHAPES:
        for rough in (False, True):
            ground = pad(shape, rough)

            def fresh(ground: Surface = ground) -> Surface:
                return Surface(ground.heights, ground.along_m, ground.across_m, ground.inset_m)

            columns = (
                milliseconds(lambda fresh=fresh: cut_and_fill(fresh(), slopes)),
                milliseconds(lambda fresh=fresh: dirt_at_spots(fresh(), slopes)),
                milliseconds(lambda fresh=fresh: balance(fresh(), slopes, SHRINK)),
                milliseconds(lambda fresh=fresh: [fresh().over(slopes).at(offset) for offset in offsets.tolist()]),
                milliseconds(lambda fresh=fresh: least_earth_grade(fresh(), SHRINK)),
            )
            name = "rough" if rough else "smooth"
            print(f"{shape[0] * shape[1]:>9} {name:>7}", *(f"{column:>14}" for column in columns))


if __name__ == "__main__":
    main()
