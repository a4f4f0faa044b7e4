"""What the times in the book say of the work: shots an hour, hours a round, dirt an hour, and what is left.

Nothing is said that was not measured: without two rounds there is no pace of digging, without two passes no spread.
"""

from __future__ import annotations

from itertools import pairwise
from math import ceil

import numpy as np

from rodcall.book.fold.round_page import SHOT
from rodcall.figures.checks.evidence import RoundShots
from rodcall.figures.earthwork.stone import loads
from rodcall.figures.ground.averages import Floats
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen

BREAK_S = 15 * 60.0
"""A longer gap between two shots is a break and no shooting (our own choice)."""
QUICKEST_S = 1.0
"""Readings nearer to each other were typed from a sheet or read in from a file, and tell of no shooting."""
NIGHT_S = 8 * 3600.0
"""A longer gap between two rounds is no pass of one day (our own choice)."""
LEAST_M3 = 0.05
"""Dirt below this is a shovel's; a pass that moved less has no pace."""


class Shooting(Frozen):
    """How one round was shot."""

    round: int
    shots: int
    hours: float
    """Between its shots, breaks left out."""
    measured: int
    """How many shots came within that time of the one before."""

    @property
    def an_hour(self) -> float | None:
        """Shots an hour; None where nothing was measured."""
        return self.measured / self.hours if self.measured else None


class Pass(Frozen):
    """The work between two rounds."""

    after: int
    """The round before it."""
    hours: float
    """From the last shot of that round to the first of the next."""
    moved_m3: float
    """How much lower the ground is than before, bank measure, where it was shot in both rounds."""
    counts: bool
    """False where it went over a night, or moved nothing: it has no pace."""

    @property
    def an_hour(self) -> float:
        """Cubic metres an hour."""
        return self.moved_m3 / self.hours


class Forecast(Frozen):
    """What is left at the pace that was measured."""

    left_m3: float
    """Cut that is left, bank measure."""
    buckets: int
    passes: int
    """At the dirt that a pass moved so far."""
    hours: float
    """Of digging at the mean pace, and of shooting a round after each pass."""
    fewest: float | None
    """Likewise at the quickest pace and the slowest; None where only one pass was measured."""
    most: float | None
    measured: int
    """How many passes the pace is of."""


class MachineTime(Frozen):
    """The times of a job up to one round."""

    shooting: tuple[Shooting, ...]
    passes: tuple[Pass, ...]
    forecast: Forecast | None
    """None where no pass has a pace, or nothing is left to cut."""


def machine_time(summary: Summary) -> MachineTime:
    """The times of a job up to the summary's round, and what is left of it."""
    rounds = (*summary.evidence.earlier, summary.evidence.here)
    shot = [each for each in rounds if each.times.size]
    shooting = tuple(_shooting(each) for each in shot)
    area = summary.area_weights.ravel()
    passes = tuple(_pass(one, other, area) for one, other in pairwise(shot))
    return MachineTime(shooting, passes, _forecast(summary, shooting, passes))


def _shooting(each: RoundShots) -> Shooting:
    gaps = np.diff(np.sort(each.times))
    shot = gaps[(gaps >= QUICKEST_S) & (gaps <= BREAK_S)]
    return Shooting(each.number, int(each.times.size), float(shot.sum()) / 3600, int(shot.size))


def _pass(before: RoundShots, now: RoundShots, area_m2: Floats) -> Pass:
    both = (before.state == SHOT) & (now.state == SHOT)
    lowered = np.where(both, np.maximum(before.heights - now.heights, 0), 0) * 1e-9
    moved, seconds = float(lowered @ area_m2), float(now.times.min() - before.times.max())
    return Pass(before.number, seconds / 3600, moved, 0 < seconds <= NIGHT_S and moved > LEAST_M3)


def _forecast(summary: Summary, shooting: tuple[Shooting, ...], passes: tuple[Pass, ...]) -> Forecast | None:
    paced = [each for each in passes if each.counts]
    dirt = summary.dirt
    if not paced or dirt is None or not summary.outside or dirt.earth.cut <= LEAST_M3:
        return None
    left = dirt.earth.cut
    moved, hours = sum(each.moved_m3 for each in paced), sum(each.hours for each in paced)
    number = max(1, ceil(left / (moved / len(paced)) - 1e-9))
    paces = [each.an_hour for each in paced]
    between_shots = [each.hours for each in shooting if each.hours > 0]
    of_shots = number * sum(between_shots) / len(between_shots) if between_shots else 0.0
    several = len(paced) > 1
    return Forecast(
        left,
        loads(dirt.soil.loose_from_bank(left), dirt.terms.number("bucket")),
        number,
        left / (moved / hours) + of_shots,
        left / max(paces) + of_shots if several else None,
        left / min(paces) + of_shots if several else None,
        len(paced),
    )
