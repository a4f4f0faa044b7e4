"""Our figure for each published check, by its id, in the unit that the document uses.

Where the arithmetic is exact so is the figure: whole nanometres over whole nanometres, rounded once.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import UTC, datetime

import numpy as np
from scipy.integrate import quad
from scipy.stats import norm

from rodcall.book.model.entries import LaserCheck, LaserTest, Readings
from rodcall.figures.checks.check_shots import State, state
from rodcall.figures.checks.levelling import LaserResult, LevelRun, allowed_closure, laser_result
from rodcall.figures.earthwork.haul import least_haul
from rodcall.figures.earthwork.machine import offset_from
from rodcall.figures.earthwork.stone import CRUSHED_BASE, CUBIC_YARD_M3, SOILS, StoneOrder, stone_order
from rodcall.figures.earthwork.volumes import Earth, Grade, Surface
from rodcall.figures.ground import averages
from rodcall.figures.ground.drainage import LEAST_SLOPE
from rodcall.figures.layout import diagonal, squareness
from rodcall.figures.target import Limits, Tolerance, suggested_target
from rodcall.figures.uncertainty.budget import chance_out
from rodcall.units import FOOT, INCH, MM, M, Unit, parse_height, parse_length, round_half_even
from rodcall.units.quantities import parse_slope
from tests.kit import CHECKDATA, a_book, a_job, cut_and_fill, figures, say, volcano

FOOT_M = FOOT / M
POUND_PER_SHORT_TON = 2000


def levelled(unit: Unit, start: str, sights: list[tuple[str, str]], end: str) -> LevelRun:
    """A run of levels from A over turning points, closed by a check on B (on A where that is the start)."""
    book = a_book(f"reference A high {start}", f"reference B high {end}", job=a_job(unit, readings=Readings.ROD))
    for number, (back, fore) in enumerate(sights, 1):
        last = number == len(sights)
        at = "A" if number == 1 else f"TP{number - 1}"
        forward = f"check {'A' if end == start else 'B'}" if last else f"turn TP{number}"
        say(book, f"setup {at} {back}", f"{forward} {fore}")
    (run,) = figures(book).level_runs
    return run


def four_setups() -> LevelRun:
    return levelled(
        Unit.FT, "100.00", [("3.10", "9.82"), ("6.44", "6.96"), ("8.76", "3.27"), ("7.12", "10.42")], "94.91"
    )


def eight_setups() -> LevelRun:
    sights = "1.205,1.860 0.125,1.915 0.395,2.615 0.880,1.760 1.960,0.920 2.595,0.915 2.255,0.515 2.305,1.170"
    pairs = [tuple(pair.split(",")) for pair in sights.split()]
    return levelled(Unit.M, "150.485", [(back, fore) for back, fore in pairs], "150.485")


def misclosure(run: LevelRun) -> int:
    assert run.closure is not None
    return run.closure.misclosure_nm


def closure_by_term() -> float:
    """What is allowed where the crew has written a closure of its own: that, whatever the run is long."""
    book = a_book("set closure 0.1ft", job=a_job(Unit.FT, readings=Readings.ROD))
    return figures(book).closure_allowed(4) / FOOT


def test_of(test: LaserTest, readings: str, distances: str) -> LaserResult:
    check = LaserCheck(
        number=1,
        time=datetime(2026, 4, 18, tzinfo=UTC),
        tablet="t",
        test=test,
        readings_nm=tuple(parse_length(said) for said in readings.split()),
        distances_nm=tuple(parse_length(said) for said in distances.split()),
    )
    result = laser_result(check, 1e-4)
    assert result is not None
    return result


test_of.__test__ = False  # type: ignore[attr-defined]


def two_pegs(readings: str, distances: str) -> LaserResult:
    """Read on the near and the far peg from the middle, then on both from beyond the near one."""
    return test_of(LaserTest.TWO_PEGS, readings, distances)


def axis_error() -> float:
    result = test_of(LaserTest.QUARTER_TURN, "4ft 4.0052ft 4ft0-1/8in 4.0052ft", "100ft")
    return math.degrees(math.atan(abs(result.slope))) * 3600


def ground_read(*lines: str, finish: str = "+0") -> tuple[int, int]:
    """Height of A1 and its deviation from the finish, a rod job in feet; elevations are told from 300."""
    book = a_book(*lines, job=a_job(Unit.FT, readings=Readings.ROD))
    book.aim_at(parse_height(finish, Unit.FT), "plan")
    summary = figures(book)
    assert summary.deviations is not None
    return int(summary.heights[0]), int(summary.deviations[0])


MISSING_STAKE = ("reference BM high 65.01", "setup BM 11.56", "A1 1.42")


def mixed(*corners: float) -> Earth:
    """One square of 50 ft; corners in ft, near left, near right, far left, far right."""
    side = np.array([0.0, 50 * FOOT_M])
    return cut_and_fill(Surface(np.array(corners).reshape(2, 2) * FOOT_M, side, side), Grade(0.0))


def borrow_pit() -> float:
    depths = [[2.76, 7.14, 8.72, 10.10], [5.21, 6.77, 7.82, 8.07], [3.98, 4.31, 5.55, 7.45]]
    return cut_and_fill(Surface(np.array(depths), np.arange(3) * 20.0, np.arange(4) * 20.0), Grade(0.0)).cut


def through_the_middle() -> float:
    ground = Surface(np.random.default_rng(7).normal(0.0, 0.05, (6, 5)), np.arange(6) * 3.0, np.arange(5) * 3.0)
    earth = cut_and_fill(ground, Grade(ground.average, -0.01, 0.03, *ground.centre))
    return earth.cut - earth.fill


def soil(name: str):
    return next(each for each in SOILS if each.name == name)


def stone() -> StoneOrder:
    return stone_order(30 * 40 * FOOT_M**2, 4 * INCH / M, CRUSHED_BASE)


def stone_by_area() -> float:
    """308 yd2, 1.5 in, of a stone that weighs 110 lb per yd2 and inch: 110 x 36 lb per yd3."""
    density = 110 * 36 / POUND_PER_SHORT_TON * 907.18474 / CUBIC_YARD_M3
    made = type(CRUSHED_BASE)("by area", density, density)
    return stone_order(308 * 0.9144**2, 1.5 * INCH / M, made).short_tons


def cubic_yards() -> float:
    """Of a slab of 1353.181 ft2, 1 ft thick."""
    return stone_order(1353.181 * FOOT_M**2, FOOT_M, CRUSHED_BASE).in_place_m3 / CUBIC_YARD_M3


def least(supply: list[int], demand: list[int], costs: list[list[int]]) -> int:
    return least_haul(*(np.array(each, np.int64) for each in (supply, demand, costs))).total


def passes(height: str, target: str, high: str, low: str, unit: Unit) -> bool:
    """Is a height inside a tolerance about a target?"""
    at, aim, above, below = (parse_length(said, unit) for said in (height, target, high, low))
    return not bool(Limits(np.array([above]), np.array([below])).outside(np.array([at - aim]))[0])


def risk(*, producer: bool) -> float:
    """Global risk of the resistors: read inside and out of limits (consumer), or read outside and within (producer).

    Ours knows no lot, so what is known of each resistor once it is read (mean and spread of the posterior) is put in.
    """
    lot, reading, limit, accepted, scale = 0.12, 0.04, 0.2, 0.18, 1e9
    spread = lot * reading / math.hypot(lot, reading)
    limits = Tolerance(int(limit * scale), int(limit * scale))

    def chance(read: float) -> float:
        known = read * lot**2 / (lot**2 + reading**2)
        out = float(chance_out(np.array([known * scale]), limits, np.array([spread * scale]))[0])
        return (1 - out if producer else out) * float(norm.pdf(read, 0, math.hypot(lot, reading)))

    if producer:
        return 2 * quad(chance, accepted, 2.0, points=[0.2, 0.3])[0]
    return quad(chance, -accepted, accepted)[0]


def nist(name: str) -> np.ndarray:
    return np.loadtxt(CHECKDATA / f"nist_{name}.txt", comments="#")


def michelso() -> tuple[np.ndarray, np.ndarray]:
    heights = np.rint(nist("Michelso") * 1e6).astype(np.int64)
    return heights, np.ones(heights.size, np.bool_)


def norris() -> averages.Tilt:
    """The line as the fall of a row of shots along the pad, metre for unit."""
    y, x = nist("Norris").T
    tilt = averages.tilt(y[:, None], np.ones((y.size, 1), np.bool_), x, np.zeros(1))
    assert tilt is not None
    return tilt


def in_metres(said: str, step: str) -> float:
    return round_half_even(parse_length(said, Unit.M), parse_length(step, Unit.M)) / M


def surface_slope(name: str) -> float:
    return LEAST_SLOPE[next(each for each in LEAST_SLOPE if re.search(name, each))] * 100


OURS: dict[str, Callable[[], float]] = {
    "four-setups-end": lambda: four_setups().stations[-1].height_nm / FOOT,
    "four-setups-misclosure": lambda: misclosure(four_setups()) / FOOT,
    "eight-setups-misclosure": lambda: misclosure(eight_setups()) / M,
    "closure-feet": lambda: allowed_closure(1609.344, feet=True) / FOOT,
    "closure-layout": closure_by_term,
    "closure-metres": lambda: allowed_closure(20_000, feet=False) / MM,
    "two-pegs-rise": lambda: two_pegs("1.432m 1.476m 1.472m 1.556m", "40m 10m").slope,
    "two-pegs-far": lambda: two_pegs("1.432m 1.476m 1.472m 1.556m", "40m 10m").corrected_nm[1] / M,
    "two-pegs-80": lambda: two_pegs("1.32m 1.56m 1.11m 1.39m", "80m 10m").corrected_nm[1] / M,
    "two-pegs-50": lambda: two_pegs("0.860m 1.283m 1.219m 1.612m", "50m 5m").corrected_nm[1] / M,
    "two-pegs-50-rise": lambda: two_pegs("0.860m 1.283m 1.219m 1.612m", "50m 5m").slope * 50,
    "quarter-turn": axis_error,
    "drift-good": lambda: [state(nm, 5) for nm in (5, 10, 11)] == [State.GOOD, State.REPEAT, State.STOP],
    "grade-rod-cut": lambda: ground_read("setup ZERO 5.0", "A1 12.2", finish="-7.5")[1] / FOOT,
    "grade-rod-fill": lambda: -ground_read("setup ZERO 12.0", "A1 5.5", finish="+7.0")[1] / FOOT,
    "height-of-ground": lambda: ground_read(*MISSING_STAKE)[0] / FOOT + 300,
    "missing-stake-fill": lambda: -ground_read(*MISSING_STAKE, finish="+78.75")[1] / FOOT,
    "machine-offset": lambda: offset_from(-parse_length("7.5ft"), 0) / FOOT,
    "suggested-target": lambda: suggested_target(-3 * INCH // 8, INCH // 2, INCH // 8, INCH // 8) / INCH,
    "borrow-pit": borrow_pit,
    "one-square-fill": lambda: mixed(-2.4, -2.4, -2.4, -1.4).fill / CUBIC_YARD_M3,
    "mixed-square-net": lambda: (mixed(1, -2, 2, -3).cut - mixed(1, -2, 2, -3).fill) / CUBIC_YARD_M3,
    "mixed-square-straight": lambda: mixed(3, 3, -1, -1).cut / CUBIC_YARD_M3,
    "plane-through-centroid": through_the_middle,
    "volcano-volume": lambda: (
        cut_and_fill(Surface(volcano(), np.arange(87) * 10.0, np.arange(61) * 10.0), Grade(0.0)).cut
    ),
    "swell-sand": lambda: soil("sand").loose_from_bank(1),
    "swell-loam": lambda: soil("loam").loose_from_bank(1),
    "swell-clay": lambda: soil("clay").loose_from_bank(1),
    "swell-rock": lambda: soil("rock").loose_from_bank(1),
    "fill-loam": lambda: 1 - soil("loam").shrink,
    "fill-clay": lambda: 1 / soil("clay").loose_from_compacted(1),
    "stone-volume": lambda: stone().in_place_m3 / CUBIC_YARD_M3,
    "stone-mass": lambda: stone().short_tons,
    "stone-by-area": stone_by_area,
    "cubic-yards": cubic_yards,
    "haul-transport": lambda: least([15, 25, 10], [5, 15, 15, 15], [[10, 2, 20, 11], [12, 7, 9, 20], [4, 14, 16, 18]]),
    "haul-assignment": lambda: least([1] * 3, [1] * 3, [[15, 10, 9], [9, 15, 10], [10, 12, 8]]),
    "haul-power": lambda: least([35, 50, 40], [45, 20, 30, 30], [[8, 6, 10, 9], [9, 12, 13, 7], [14, 9, 16, 5]]),
    "drain-asphalt": lambda: surface_slope("asphalt"),
    "drain-concrete": lambda: surface_slope("concrete"),
    "fall-from-building": lambda: parse_slope("6in", 10 * FOOT) * 100,
    "cross-slope": lambda: parse_slope("1/4in/ft", 10 * FOOT) * 100,
    "edmonton-low": lambda: passes("682.20", "682.25", "0", "0.10", Unit.M),
    "edmonton-high": lambda: passes("682.30", "682.25", "0", "0.10", Unit.M),
    "absolute-method": lambda: passes("4-1/4", "0", "4", "4", Unit.IN),
    "guard-band": lambda: risk(producer=False),
    "guard-band-producer": lambda: risk(producer=True),
    "michelso-mean": lambda: float(averages.average(*michelso()) or 0) / 1e6,
    "michelso-sd": lambda: (averages.spread(*michelso()) or 0) / 1e6,
    "norris-slope": lambda: norris().along,
    "norris-height": lambda: float(norris().at(0.0, 0.0)),
    "norris-rms": lambda: norris().rms,
    "computed-diagonal": lambda: diagonal(40 * FOOT, 30 * FOOT) / FOOT,
    "equal-diagonals": lambda: (
        squareness(60 * FOOT, 40 * FOOT, *[diagonal(60 * FOOT, 40 * FOOT)] * 2).far_edge_shift_nm
    ),
    "cubic-yard": lambda: CUBIC_YARD_M3,
    "foot": lambda: FOOT / M,
    "half-even-low": lambda: in_metres("5.6850", "0.01"),
    "half-even-high": lambda: in_metres("5.6750", "0.01"),
    "half-even-whole": lambda: in_metres("2351.5", "1"),
}
