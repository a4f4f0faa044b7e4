"""Prints how often the ground lies within what the program says: height, deviation, average, and what is proven in.

    python -m tests.benchmarks.coverage [--books 1000] [--seed 1] [--units in mm] [--levels steady settling]

Whole books, simulated from end to end (JCGM 101): the level stands anywhere between two marks, its beam is off by its
specification at most, it stands still or moves; the rod is placed with a normal scatter on the benchmark and on each
of 12 spots, and read to the nearest mark; the benchmark is read again at the end, or three times. What is read is
typed into a book, and the truth is held against the plus/minus that the book says. A book whose check is not good is
not proven and does not count. `on the limit`: ground that lies on its limit and is called neither proven in nor
proven out.

How a level moves: `settling` evenly, by up to the drift allowed; `bumped` at once, anywhere; `wandering` at random, its
standard deviation at the end half of what is allowed.
"""

from __future__ import annotations

import argparse
import secrets
from typing import Final, NamedTuple

import numpy as np

from rodcall.book.model.entries import Readings
from rodcall.book.model.job import Job
from rodcall.figures.checks.check_shots import State
from rodcall.figures.uncertainty.repeatability import PLACING
from rodcall.units import FOOT, Unit, write
from tests.benchmarks.busts import table
from tests.kit import a_book, a_job, figures

UNITS: Final = {"in": Unit.IN, "ft": Unit.FT, "mm": Unit.MM}
LEVELS: Final = ("steady", "settling", "bumped", "wandering")
CHECKS: Final = (1, 3)
ALONG, ACROSS = 4, 3
SPOTS: Final = ALONG * ACROSS
SPECIFICATION: Final = 1 / 19_200
"""1/16 in per 100 ft: the default of the term `laser-spec`."""


class Covered(NamedTuple):
    """Of one book, whether each claim is true."""

    height: list[bool]
    deviation: list[bool]
    average: bool
    proven_in: list[bool]
    """Of those called so: are they in?"""
    on_the_limit: list[bool]


def moved(rng: np.random.Generator, how: str, allowed: float) -> np.ndarray:
    """How much higher everything reads at each shot, and at the end, nm."""
    steps = np.arange(1, SPOTS + 2) / (SPOTS + 1)
    match how:
        case "settling":
            return rng.uniform(-allowed, allowed) * steps
        case "bumped":
            return np.where(np.arange(SPOTS + 1) >= rng.integers(0, SPOTS + 1), rng.uniform(-allowed, allowed), 0.0)
        case "wandering":
            return np.cumsum(rng.normal(0, allowed / 2 / np.sqrt(SPOTS + 1), SPOTS + 1))
    return np.zeros(SPOTS + 1)


def a_job_of(unit: Unit) -> Job:
    limit = 4 * unit.default_step if unit is Unit.IN else 10 * unit.default_step
    return a_job(
        unit, along=ALONG, across=ACROSS, readings=Readings.ROD, tolerance_high=limit, tolerance_low=limit, goal=limit
    )


def simulated(rng: np.random.Generator, job: Job, how: str, checks: int) -> Covered | None:
    """One book; None where a check was not good."""
    step, limit = job.step, job.tolerance_high
    allowed = 3 * step if job.heights is Unit.MM else step
    level, drift = 5 * FOOT + rng.uniform(0, step), moved(rng, how, allowed)
    ground = rng.uniform(-2 * limit, 2 * limit, SPOTS)
    ground[rng.choice(SPOTS, 2, replace=False)] = (-limit, limit)
    rows, columns = np.divmod(np.arange(SPOTS), ACROSS)
    off = np.hypot(job.grid.along_nm[rows] - job.grid.along_nm[1], job.grid.across_nm[columns] - job.grid.across_nm[1])
    beam = rng.uniform(-SPECIFICATION, SPECIFICATION) * off

    def read(true: float) -> str:
        nm = round((true + rng.normal(0, PLACING[job.heights])) / step) * step
        return write(int(nm), job.heights, sign=False)

    backsight = read(level)
    lines = ["reference BM high 0", "set tripod B2", f"setup BM {backsight}", "target 0"]
    after = {round(SPOTS * (each + 1) / checks) for each in range(checks)}
    for at in range(SPOTS):
        # A level that settles reads less on the rod, and so all reads high.
        lines.append(f"{job.grid.name(at)} {read(level - drift[at] + beam[at] - ground[at])}")
        if at + 1 in after:
            lines.append(f"check BM {read(level - drift[at + 1])}")
    summary = figures(a_book(*lines, job=job))
    assert summary.evidence.allowed_drift_nm == allowed
    if any(summary.trust.state(check) is not State.GOOD for check in summary.trust.checks):
        return None
    told, guarded, deviations = summary.uncertainty, summary.guarded, summary.deviations
    assert guarded is not None
    assert deviations is not None
    assert told.average_nm is not None
    assert summary.average is not None
    target = float(summary.target_heights[0])
    within = np.abs(ground) < limit
    return Covered(
        (np.abs(summary.heights - ground) <= told.nm).tolist(),
        (np.abs(deviations - (ground - target)) <= told.nm).tolist(),
        bool(abs(float(summary.average) - ground.mean()) <= told.average_nm),
        within[guarded.proven_in].tolist(),
        guarded.neither[np.abs(ground) == limit].tolist(),
    )


def row(unit: str, how: str, checks: int, books: int, seed: int) -> tuple[str, ...]:
    """Of so many books that are proven, the shares that hold."""
    rng = np.random.default_rng([seed, list(UNITS).index(unit), LEVELS.index(how), checks])
    job = a_job_of(UNITS[unit])
    made = [simulated(rng, job, how, checks) for _ in range(books)]
    kept = [each for each in made if each is not None]

    def share(of: list[bool]) -> str:
        return f"{np.mean(of):.1%}"

    return (
        *(unit, how, str(checks), f"{len(kept) / books:.0%}"),
        *(share([one for each in kept for one in each[at]]) for at in (0, 1)),
        share([each.average for each in kept]),
        *(share([one for each in kept for one in each[at]]) for at in (3, 4)),
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--books", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=None, help="drawn unless given")
    parser.add_argument("--units", nargs="+", default=list(UNITS), choices=UNITS)
    parser.add_argument("--levels", nargs="+", default=LEVELS, choices=LEVELS)
    asked = parser.parse_args()
    seed = secrets.randbelow(2**31) if asked.seed is None else asked.seed
    print(f"Seed {seed}, {asked.books} books a row\n", flush=True)
    head = ("unit", "level", "checks", "proven", "height", "deviation", "average", "proven in, is in", "on the limit")
    table(
        head,
        *(
            row(unit, how, checks, asked.books, seed)
            for unit in asked.units
            for how in asked.levels
            for checks in CHECKS
        ),
    )


if __name__ == "__main__":
    main()
