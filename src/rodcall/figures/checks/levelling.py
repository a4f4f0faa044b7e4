"""Level notes, their page check and closure, and the tests of the instrument. Whole nanometres, exact.

Plain rod: height of instrument = height + backsight, height = height of instrument - foresight (any surveying text).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from rodcall.book.model.entries import LaserCheck, LaserTest
from rodcall.figures.checks.evidence import CheckShot, Evidence, Standing, TurningPoint
from rodcall.frozen import Frozen
from rodcall.units import FOOT, MM

KM_M = 1_000.0
MILE_M = 1_609.344


class Station(Frozen):
    """One line of level notes: a point, sighted back on from the setup after it and forward on from the one before."""

    name: str
    height_nm: int
    backsight_nm: int | None = None
    instrument_nm: int | None = None
    """Height that readings of the setup on it are told from."""
    foresight_nm: int | None = None


class Closure(Frozen):
    """What a run of levels makes of a reference whose height is known."""

    reference: str
    misclosure_nm: int
    """Height as carried minus height as known (US Army FM 5-233, app. B); the correction has the opposite sign."""


class LevelRun(Frozen):
    """Set-ups carried from one to the next over turning points; the error is reported, never distributed."""

    stations: tuple[Station, ...]
    direction: int
    """+1 where a bigger reading is higher ground, -1 for a plain rod."""
    closure: Closure | None
    """Where the run ends on a reference that was known."""

    @property
    def setups(self) -> int:
        """How many."""
        return sum(station.backsight_nm is not None for station in self.stations)

    @property
    def backsights_nm(self) -> int:
        """Their sum."""
        return sum(station.backsight_nm or 0 for station in self.stations)

    @property
    def foresights_nm(self) -> int:
        """Their sum, of those the height was carried over."""
        return sum(station.foresight_nm or 0 for station in self.stations)

    @property
    def change_nm(self) -> int:
        """Height of the last point minus that of the first."""
        return self.stations[-1].height_nm - self.stations[0].height_nm

    @property
    def page_check(self) -> bool:
        """Backsights minus foresights equal the change in height: the arithmetic is right, which proves no survey."""
        return self.direction * (self.foresights_nm - self.backsights_nm) == self.change_nm


def level_runs(evidence: Evidence) -> tuple[LevelRun, ...]:
    """The level notes of a book: a setup on a turning point of the setup before carries on, any other begins anew.

    A run ends on the last turning point, or known reference other than its own, that was read from its last setup; a
    setup from which none was read is no part of it.
    """
    runs: list[list[Standing]] = []
    for setup in evidence.setups:
        point = _turned(evidence, setup)
        carried = point is not None and bool(runs) and point.setup == runs[-1][-1].order
        if carried and setup.direction == runs[-1][0].direction:
            runs[-1].append(setup)
        else:
            runs.append([setup])
    found = (_run(evidence, run) for run in runs)
    return tuple(run for run in found if run is not None)


def _turned(evidence: Evidence, setup: Standing) -> TurningPoint | None:
    """The turning point that a setup stands on; None where it stands on a known reference."""
    found = [
        point
        for point in evidence.turning_points
        if point.name == setup.reference and point.order < setup.order and point.height_nm == setup.known_nm
    ]
    return found[-1] if found else None


def _run(evidence: Evidence, setups: list[Standing]) -> LevelRun | None:
    """Write up setups that carry on from one another; None where nothing was read forward."""
    last = setups[-1]
    end = _end(evidence, last)
    if end is None:
        return _run(evidence, setups[:-1]) if len(setups) > 1 else None
    stations: list[Station] = []
    foresight = None
    for setup, following in zip(setups, [*setups[1:], None], strict=True):
        stations.append(Station(setup.reference, setup.known_nm, setup.backsight_nm, setup.level_nm, foresight))
        point = None if following is None else _turned(evidence, following)
        foresight = end.reading_nm if point is None else point.reading_nm
    height = last.level_nm + last.direction * end.reading_nm
    if isinstance(end, CheckShot):
        closure = Closure(end.reference, end.drift_nm)
        return LevelRun((*stations, Station(end.reference, height, foresight_nm=foresight)), last.direction, closure)
    return LevelRun((*stations, Station(end.name, height, foresight_nm=foresight)), last.direction, None)


def _end(evidence: Evidence, setup: Standing) -> TurningPoint | CheckShot | None:
    """The last that was read from a setup to carry its height somewhere else."""
    read = {point.name for point in evidence.turning_points}
    found: list[TurningPoint | CheckShot] = [
        *(point for point in evidence.turning_points if point.setup == setup.order),
        *(
            check
            for check in evidence.checks
            if check.setup == setup.order and check.reference != setup.reference and check.reference not in read
        ),
    ]
    return max(found, key=lambda each: each.order, default=None)


def is_carried(evidence: Evidence, setup: int) -> bool:
    """Was a set-up's height carried over a turning point? `setup` is its order in the book."""
    return _carried_from(evidence, setup) is not None


def closing_checks(evidence: Evidence, setup: int) -> tuple[CheckShot, ...]:
    """Checks that close a line of levels through a set-up: by it or one carried on from it, on a known reference.

    A reference whose height was read on the way is none: a line that closes on its own turning point proves nothing.

    Args:
        evidence: Of the round.
        setup: Order of the set-up in the book.
    """
    read = {point.name for point in evidence.turning_points}
    return tuple(
        check for check in evidence.checks if check.reference not in read and setup in _way_back(evidence, check.setup)
    )


def _way_back(evidence: Evidence, setup: int) -> list[int]:
    """A set-up, the one that it was carried on from, and so on."""
    way = [setup]
    while (before := _carried_from(evidence, way[-1])) is not None and before not in way:
        way.append(before)
    return way


def _carried_from(evidence: Evidence, setup: int) -> int | None:
    standing = next((each for each in evidence.setups if each.order == setup), None)
    point = _turned(evidence, standing) if standing is not None else None
    return point.setup if point is not None else None


def allowed_closure(length_m: float, *, feet: bool) -> float:
    """What a run may miss by a published rule, nanometres.

    12 mm sqrt(km), third order (FGCC 1984, from memory), or 0.05 ft sqrt(mile) (university course material).

    Args:
        length_m: Of the run as levelled, metres.
        feet: Which of the two.
    """
    if feet:
        return 0.05 * FOOT * math.sqrt(length_m / MILE_M)
    return 12 * MM * math.sqrt(length_m / KM_M)


class LaserResult(Frozen):
    """What a test of the instrument found."""

    test: LaserTest
    number: int
    """Of its entry in the book."""
    slope: float
    """How far the line of sight is off, metres per metre; two pegs: above 0 it rises."""
    specification: float
    corrected_nm: tuple[int, ...] = ()
    """Two pegs: the readings from beyond, on the near and on the far peg, as a level line would have them."""

    @property
    def good(self) -> bool:
        """Within the specification, the limit included."""
        return abs(self.slope) <= self.specification


def laser_result(check: LaserCheck, specification: float) -> LaserResult | None:
    """Work out a test of the instrument; None where a reading or a distance is missing.

    Two pegs (NAVEDTRA 14070, fig. 6-3): with a, b read on the near and the far peg from the middle, c, d from beyond
    the near one, the far peg should read c + b - a; what d exceeds it by is the line's rise between the pegs.
    Quarter turn (common practice): opposite readings of one mark differ by twice the error of that axis; the worse of
    the two axes is told.

    Args:
        check: As written.
        specification: Metres per metre.
    """
    readings, distances = check.readings_nm, check.distances_nm
    if check.test is LaserTest.QUARTER_TURN:
        if len(readings) != 4 or len(distances) != 1 or distances[0] <= 0:
            return None
        axes = (readings[0] - readings[2], readings[1] - readings[3])
        worse = max(axes, key=abs)
        return LaserResult(check.test, check.number, worse / 2 / distances[0], specification)
    if len(readings) != 4 or len(distances) != 2 or distances[0] <= 0:
        return None
    slope = _rise(readings) / Fraction(distances[0])
    corrected = tuple(
        round(reading - slope * distance)
        for reading, distance in ((readings[2], distances[1]), (readings[3], distances[1] + distances[0]))
    )
    return LaserResult(check.test, check.number, float(slope), specification, corrected)


def _rise(readings: Sequence[int]) -> int:
    near_middle, far_middle, near, far = readings
    return far - (near + far_middle - near_middle)
