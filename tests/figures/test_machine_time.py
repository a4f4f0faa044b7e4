"""What the times in the book say: shots an hour, dirt an hour, and what is left; nothing that was not measured."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from rodcall.book.book import Book
from rodcall.book.entry_lines import dictate
from rodcall.book.fold.round_page import SHOT, UNSHOT
from rodcall.figures.checks.evidence import RoundShots
from rodcall.figures.machine_time import BREAK_S, _pass, _shooting, machine_time
from rodcall.figures.summary import summarise
from rodcall.sheets.exports.figures_json import figures as figures_json
from rodcall.units import MM, M, Unit
from rodcall.wording.machine_time import time_facts
from tests.kit import START, a_job

NAMES = [f"{letter}{line}" for line in (1, 2, 3) for letter in "ABC"]


class Day:
    """A pad of 20 x 20 m and nine spots, shot at times that are known."""

    def __init__(self) -> None:
        self.seconds = 0.0
        job = a_job(Unit.MM, 3, 3, length=20 * M, width=20 * M)
        self.book = Book(job, "tablet-a", lambda: START + timedelta(seconds=self.seconds))

    def say(self, line: str) -> None:
        dictate(self.book, [line], lambda: summarise(self.book.page).suggested)

    def shoot(self, mm: int, apart: float = 20) -> None:
        """All spots at one height, so many seconds apart."""
        for at, name in enumerate(NAMES):
            self.seconds += apart if at else 0
            self.say(f"{name} {mm:+d}" if mm else f"{name} 0")

    def dig(self, hours: float, mm: int, kind: str = "working") -> None:
        self.say(f"round {kind}")
        self.seconds += hours * 3600
        self.shoot(mm)

    @property
    def measured(self):  # type: ignore[no-untyped-def]
        return machine_time(summarise(self.book.page))


def test_shots_an_hour_leave_breaks_out() -> None:
    day = Day()
    day.shoot(0, apart=30)
    (shooting,) = day.measured.shooting
    assert (shooting.shots, shooting.hours) == (9, pytest.approx(8 * 30 / 3600))
    assert shooting.an_hour == pytest.approx(120)
    day = Day()
    for at, name in enumerate(NAMES):
        day.seconds += BREAK_S + 60 if at == 4 else 30 if at else 0
        day.say(f"{name} 0")
    assert day.measured.shooting[0].hours == pytest.approx(7 * 30 / 3600)


def test_without_a_second_round_there_is_no_pace_and_no_forecast() -> None:
    day = Day()
    day.say("target 0")
    day.shoot(300)
    assert day.measured.passes == ()
    assert day.measured.forecast is None


def test_one_pass_gives_a_pace_and_no_spread() -> None:
    """100 mm off 400 m2 in two hours: 40 m3, 20 m3 an hour; 200 mm, 80 m3, are left: 4 hours and two passes."""
    day = Day()
    day.say("target 0")
    day.shoot(300)
    day.dig(2, 200)
    (work,) = day.measured.passes
    assert (work.moved_m3, work.hours, work.an_hour) == (pytest.approx(40), pytest.approx(2), pytest.approx(20))
    left = day.measured.forecast
    assert (left.left_m3, left.passes, left.measured) == (pytest.approx(80), 2, 1)
    of_shots = 2 * 8 * 20 / 3600
    assert left.hours == pytest.approx(4 + of_shots)
    assert left.fewest is None
    assert left.most is None


def test_two_passes_give_a_spread() -> None:
    """40 m3 in 2 h and 40 m3 in 4 h: at the slower pace the 40 m3 that are left take 4 h, at the quicker 2 h."""
    day = Day()
    day.say("target 0")
    day.shoot(300)
    day.dig(2, 200)
    day.dig(4, 100)
    left = day.measured.forecast
    of_shots = 8 * 20 / 3600
    assert left.passes == 1
    assert left.fewest == pytest.approx(2 + of_shots)
    assert left.most == pytest.approx(4 + of_shots)
    assert left.hours == pytest.approx(40 / (80 / 6) + of_shots)
    # Loose, by the bucket of the terms.
    dirt = summarise(day.book.page).dirt
    assert left.buckets == -(-40 * dirt.soil.loose // dirt.terms.number("bucket"))


def test_a_night_between_two_rounds_is_no_pass() -> None:
    day = Day()
    day.say("target 0")
    day.shoot(300)
    day.dig(14, 200)
    assert not day.measured.passes[0].counts
    assert day.measured.forecast is None


def test_nothing_is_left_where_all_is_inside() -> None:
    day = Day()
    day.say("target 0")
    day.shoot(300)
    day.dig(2, 0, "final")
    assert day.measured.forecast is None


def test_it_is_said_and_stands_in_the_figures() -> None:
    day = Day()
    day.say("target 0")
    day.shoot(300)
    day.dig(2, 200)
    summary = summarise(day.book.page)
    told = dict(time_facts(summary, machine_time(summary)))
    assert told["round 1"] == "9 shots in 3 min, 180 an hour"
    assert told["work after round 1"] == "40.0 m3 cut in 2 h 0 min, 20.0 m3 an hour"
    assert "no spread known" in told["left at that pace"]
    json_told = figures_json(summary)["machine_time"]
    assert json_told["passes"][0]["m3_an_hour"] == pytest.approx(20)
    assert json_told["forecast"]["passes"] == 2


def shots_at(*seconds: float, heights: tuple[int, ...] = (), shot: tuple[bool, ...] = ()) -> RoundShots:
    """A round of shots at these times; heights in mm, one a position, where they count."""
    state = np.where(shot or (True,) * len(heights), SHOT, UNSHOT).astype(np.uint8)
    return RoundShots(3, "working", np.array(heights, np.int64) * MM, state, {}, np.array(seconds))


@pytest.mark.parametrize(
    ("times", "measured", "hours"),
    # A second and a quarter of an hour are still shooting, in whatever order the times stand.
    [
        ((0, 1, 901), 2, 901 / 3600),
        ((0, 0.9), 0, 0.0),
        ((0, 900.1), 0, 0.0),
        ((901, 0, 1), 2, 901 / 3600),
        ((5,), 0, 0.0),
    ],
)
def test_what_counts_as_shooting(times, measured, hours) -> None:
    told = _shooting(shots_at(*times))
    assert (told.round, told.shots, told.measured, told.hours) == (3, len(times), measured, pytest.approx(hours))
    assert told.an_hour == (pytest.approx(measured / hours) if measured else None)


@pytest.mark.parametrize(
    ("seconds", "lowered", "counts"),
    # 100 m2 each: half a millimetre of one is 0.05 m3, a shovel's.
    [(1, 1, True), (8 * 3600, 1, True), (8 * 3600 + 1, 1, False), (0, 1, False), (-5, 1, False), (60, 0, False)],
)
def test_which_passes_have_a_pace(seconds, lowered, counts) -> None:
    before = shots_at(10, 50, heights=(5, 5, 9, 9), shot=(True, True, True, False))
    now = shots_at(50 + seconds, 80 + seconds, heights=(5 - lowered, 7, 0, 0), shot=(True, True, False, True))
    told = _pass(before, now, np.array([100.0, 100.0, 100.0, 100.0]))
    assert (told.after, told.counts) == (3, counts)
    assert told.hours == pytest.approx(seconds / 3600)
    assert told.moved_m3 == pytest.approx(0.1 * lowered), "what rose, and what one round lacks, is none of it"
    if counts:
        assert told.an_hour == pytest.approx(0.1 * lowered / (seconds / 3600))


def test_a_shovels_worth_is_no_pass() -> None:
    before, now = shots_at(0, heights=(1,)), shots_at(60, heights=(0,))
    assert not _pass(before, now, np.array([50.0])).counts
    assert _pass(before, now, np.array([50.1])).counts


@pytest.mark.parametrize("mm", [5, -100])
def test_nothing_is_forecast_where_nothing_is_out_or_nothing_to_cut(mm) -> None:
    """5 mm over 400 m2 are 2 m3, but within tolerance; 100 mm too low is no cut."""
    day = Day()
    day.say("target 0")
    day.shoot(300)
    day.dig(2, mm)
    summary = summarise(day.book.page)
    assert bool(summary.outside) is (mm < 0)
    assert (summary.dirt.earth.cut > 1.0) is (mm > 0)
    assert day.measured.forecast is None


def test_passes_are_counted_by_what_one_moved_so_far() -> None:
    """40 m3 in each of two passes; 80 m3 are left: two more, a round to shoot after each."""
    day = Day()
    day.say("target 0")
    day.shoot(400)
    day.dig(2, 300)
    day.dig(2, 200)
    left = day.measured.forecast
    assert (left.passes, left.measured) == (2, 2)
    assert left.hours == pytest.approx(4 + 2 * 8 * 20 / 3600)


@pytest.mark.parametrize(("first", "second", "shooting"), [(0, 20, 2 * 8 * 20 / 3600), (0, 0, 0.0)])
def test_rounds_typed_from_a_sheet_tell_of_no_shooting(first, second, shooting) -> None:
    day = Day()
    day.say("target 0")
    day.shoot(300, apart=first)
    day.say("round working")
    day.seconds += 2 * 3600
    day.shoot(200, apart=second)
    assert day.measured.forecast.hours == pytest.approx(4 + shooting)
