"""Pads shot from one tripod that stands still, settles or is bumped, on ground of many kinds."""

from __future__ import annotations

from functools import partial
from typing import Final

import numpy as np

from rodcall.book.model.entries import Walk as WalkOrder
from rodcall.figures.checks.drift import Movement, Series, ShotSequence, movement
from rodcall.figures.target import metres
from rodcall.units import INCH, Unit
from tests.kit import a_job
from tests.make_samples import ground as swinging
from tests.simulated_ground import KINDS as GROUNDS
from tests.simulated_ground import Ground, ground, other_ground, places

SIZES: Final = {12: (4, 3), 80: (10, 8), 160: (16, 10)}
KINDS: Final = ("natural", "spherical", *GROUNDS)
STEP: Final = INCH // 8
BETWEEN_SHOTS: Final = 45.0


def pad(rng: np.random.Generator, kind: str, shots: int) -> Ground:
    """Ground of a kind, on a grid of so many spots."""
    make = ground if kind == "natural" else partial(other_ground, kind=kind)
    return make(rng, STEP, shape=SIZES[shots])


def shot(of: Ground, moved: np.ndarray, checked: dict[int, int], hours: float = 0.0) -> tuple[ShotSequence, Series]:
    """A pad in walking order: how far the level had moved at each shot, and what the checks after so many read (nm)."""
    walk = of.walk
    at = places(of.along_m, of.across_m)[walk]
    seconds = BETWEEN_SHOTS * np.arange(1, walk.size + 1)
    heights = np.rint((of.heights.flat[walk] + moved) / STEP) * STEP
    before = np.array([0, *checked])
    drift = np.array([0, *checked.values()]) * 1e-9
    return ShotSequence(walk, *at.T, heights * 1e-9, seconds), Series(before, BETWEEN_SHOTS * before, drift)


def still(rng: np.random.Generator, kind: str, shots: int) -> tuple[ShotSequence, Series]:
    """One that did not move; one to four checks read true, or a mark off."""
    checks = int(rng.integers(1, 5))
    after = sorted({shots, *(shots * rng.random(checks - 1)).astype(int).tolist()} - {0})
    return shot(pad(rng, kind, shots), np.zeros(shots), {n: int(rng.integers(-1, 2)) * STEP for n in after})


def unseen(rng: np.random.Generator, kind: str, shots: int) -> tuple[ShotSequence, Series]:
    """One that did not move while the shots were taken, though the check reads two to four marks off."""
    marks = int(rng.choice((-4, -3, -2, 2, 3, 4)))
    return shot(pad(rng, kind, shots), np.zeros(shots), {shots: marks * STEP})


def settling_on_an_edge(rng: np.random.Generator, kind: str, shots: int) -> tuple[ShotSequence, Series]:
    """One that settled little by little, on ground with an edge across the lines, as high as the check is off.

    The edge runs between two lines, or up to a line off that over the whole width: what a bump would look like.
    """
    by, on, steps = int(rng.choice((-4, -3, -2, 2, 3, 4))) * STEP, pad(rng, kind, shots), np.arange(shots)
    lines, columns = SIZES[shots]
    row, column = np.indices((lines, columns))
    edge = rng.integers(1, lines) - 0.5 + rng.uniform(-1, 1) * (column / (columns - 1) - 0.5)
    raised = Ground(on.heights + by * (row > edge), on.along_m, on.across_m, None)
    return shot(raised, by * (steps + 1) / shots, {shots: by})


def told(walk: ShotSequence, checks: Series) -> Movement:
    """What is said of it, where a mark is allowed."""
    moved = movement(walk, checks, STEP * 1e-9, STEP * 1e-9)
    assert moved is not None
    return moved


def bumped(seed: int, swing: float) -> Movement:
    """What is said of a bump of 3/8 in after shot 40 of 80, on ground that swings so much (nm)."""
    job = a_job(Unit.IN, along=10, across=8)
    walk = [job.grid.walk(WalkOrder.SNAKE).at(step) for step in range(80)]
    rows, columns = np.divmod(np.array(walk), 8)
    heights = swinging(job.grid, seed, swing)[walk] + np.where(np.arange(80) >= 40, 3 * STEP, 0)
    shots = ShotSequence(
        np.array(walk),
        metres(job.grid.along_nm[rows]),
        metres(job.grid.across_nm[columns]),
        metres(np.round(heights / STEP) * STEP),
        45.0 * np.arange(1, 81),
    )
    checks = Series(np.array([0, 80]), np.array([0.0, 3645.0]), metres(np.array([0, 3 * STEP])))
    return told(shots, checks)
