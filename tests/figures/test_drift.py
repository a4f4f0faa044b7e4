"""How a level moved, and after which shot: drift or bump, by simulation."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.model.entries import Readings
from rodcall.figures.checks.check_shots import Standard
from rodcall.figures.checks.drift import Motion, Series, ShotSequence, could_be_an_edge
from rodcall.units import INCH, Unit, write
from rodcall.wording import proof as words_proof
from tests import tripods
from tests.kit import START, a_book, a_job, figures, say
from tests.make_samples import ground

EIGHTH = INCH // 8


class Pad:
    """A pad of 8 x 10 spots on natural ground, shot from one tripod, a shot every 45 seconds."""

    def __init__(self, seed: int, swing: float = 0.6 * INCH, step: int = INCH // 16) -> None:
        self.job = a_job(Unit.IN, along=10, across=8, readings=Readings.ROD, step=step)
        self.seconds = 0.0
        self.book = Book(self.job, "tablet-a", lambda: START + timedelta(seconds=self.seconds))
        self.heights = ground(self.job.grid, seed, swing)
        say(self.book, "reference BM1 high 0")
        self.read("setup BM1", 0, 0)

    def read(self, what: str, height: float, moved: float) -> None:
        """Read the rod on a height while the level stands so much lower than it was set."""
        reading = round((48 * INCH - height - moved) / self.job.step) * self.job.step
        say(self.book, f"{what} {write(reading, Unit.IN, sign=False)}")

    def shoot(self, shots: range, moved) -> None:
        """Shoot these in walking order; `moved` by the number of the shot, from 1, and the hour."""
        for step in shots:
            self.seconds += 45
            index = self.book.page.walk.at(step)
            self.read(self.job.grid.name(index), self.heights[index], moved(step + 1, self.seconds / 3600))

    def check(self, moved: float) -> None:
        self.seconds += 45
        self.read("check BM1", 0, moved)


@pytest.mark.parametrize("seed", range(12))
def test_a_tripod_bumped_after_shot_40_of_80_is_a_step(seed):
    """3/8 in after shot 40 of 80, told by the next check within two shots of its true place."""
    pad = Pad(seed)
    pad.shoot(range(80), lambda shot, hour: 3 * EIGHTH if shot > 40 else 0)
    pad.check(3 * EIGHTH)
    summary = figures(pad.book)
    moved = summary.trust.movement
    assert moved.motion is Motion.STEP
    assert moved.nm == pytest.approx(3 * EIGHTH, abs=INCH // 32)
    assert abs(moved.shots_before - 40) <= 2
    assert moved.between[0] <= moved.shots_before <= moved.between[1]
    assert moved.after == pad.book.page.walk.at(moved.shots_before - 1)
    assert "bumped" in words_proof.movement_words(summary, moved)
    assert len(summary.trust.suspect) == 80


@pytest.mark.parametrize("seed", range(12))
def test_a_tripod_that_settles_a_thirty_second_an_hour_drifts(seed):
    """1/32 in an hour, read to 1/64 and checked every half an hour over two hours of 80 shots."""
    pad = Pad(seed, step=INCH // 64)
    rate = INCH / 32
    for part in range(4):
        pad.shoot(range(20 * part, 20 * part + 20), lambda shot, hour: rate * hour)
        pad.seconds = 1800.0 * (part + 1) - 45
        pad.check(rate * (part + 1) / 2)
    moved = figures(pad.book).trust.movement
    assert moved.motion is Motion.DRIFT
    # Each check reads a whole mark and none is rounded, so that only the shots' rounding, 1/8 of it all at most, tells.
    assert moved.nm_per_hour == pytest.approx(rate, rel=0.015)
    assert moved.nm == pytest.approx(2 * rate, rel=0.015)
    assert figures(pad.book).trust.standard is Standard.GOOD


@pytest.mark.parametrize("seed", range(6))
def test_the_first_hour_of_settling_is_no_step(seed):
    """The same tripod by its first check after an hour: one mark, which a tripod that stood still reads as well."""
    pad = Pad(seed, step=INCH // 32)
    pad.shoot(range(79), lambda shot, hour: INCH / 32 * hour)
    pad.check(INCH / 32)
    assert figures(pad.book).trust.movement.motion is Motion.NONE


@pytest.mark.parametrize("seed", range(12))
def test_a_tripod_that_settles_fast_is_not_surely_a_step(seed):
    """3/8 in within the hour, little by little: where the shots tell at all, they tell of a drift."""
    pad = Pad(seed)
    pad.shoot(range(80), lambda shot, hour: 3 * EIGHTH * hour)
    pad.check(3 * EIGHTH)
    moved = figures(pad.book).trust.movement
    assert moved.motion is Motion.DRIFT or not moved.sure


@pytest.mark.parametrize(("swing", "found_at_least"), [(0.3, 100), (0.6, 95), (1.0, 70)])
def test_how_often_a_bump_is_found_within_two_shots(swing, found_at_least):
    """As the module says of itself, read to 1/8 in. A line parts earlier from later shots, so that none is sure."""
    told = [tripods.bumped(seed, swing * INCH) for seed in range(100)]
    found = [each.motion is Motion.STEP and abs(each.shots_before - 40) <= 2 for each in told]
    assert sum(found) >= found_at_least
    assert not any(each.sure for each in told if each.moved)


def test_settling_on_an_edge_of_its_own_size_is_never_surely_a_bump():
    """An edge across the lines and a bump look alike from everywhere; 110 pads, seed drawn on 2026-11-26."""
    rng = np.random.default_rng(2_046_113_905)
    told = [tripods.told(*tripods.settling_on_an_edge(rng, kind, 80)) for _ in range(10) for kind in tripods.KINDS]
    assert sum(each.motion is Motion.STEP for each in told) > 20, "it is likely called one"
    assert not any(each.motion is Motion.STEP and each.sure for each in told)


def test_a_bump_that_no_edge_explains_is_sure():
    """Every other line first, then those between: the seam of a bump after the first half runs up and down the pad."""
    rng = np.random.default_rng(5)
    row, column = np.indices((10, 8))
    first = np.concatenate([np.flatnonzero(row % 2 == 0), np.flatnonzero(row % 2 == 1)])
    heights = rng.normal(0, INCH / 32, 80) + np.where(np.arange(80) >= 40, 3 * EIGHTH, 0)
    shots = ShotSequence(
        first,
        *(each.ravel()[first] * 2.0 for each in (row, column)),
        np.rint(heights / EIGHTH) * EIGHTH * 1e-9,
        45.0 * np.arange(1, 81),
    )
    told = tripods.told(shots, Series(np.array([0, 80]), np.array([0.0, 3645.0]), np.array([0, 3 * EIGHTH * 1e-9])))
    assert (told.motion, told.sure, told.shots_before) == (Motion.STEP, True, 40)
    assert not could_be_an_edge(shots.along, shots.across, 40)


@pytest.mark.parametrize("before", [1, 8, 11, 40, 77])
def test_an_edge_parts_earlier_from_later_lines(before):
    """In snake order a straight line does it, through the middle of a line as well."""
    row, column = np.indices((10, 8)).astype(float)
    column[1::2] = column[1::2, ::-1]
    assert could_be_an_edge(row.ravel(), column.ravel(), before)


@given(st.integers(0, 2**32), st.integers(6, 74), st.sampled_from([-4, -3, 3, 4]))
@settings(max_examples=25, deadline=None)
def test_a_step_on_even_ground_is_found_to_the_shot(seed, after, eighths):
    """Roughness of 1/32 in: the place is found to within two shots wherever it lies."""
    pad = Pad(0)
    pad.heights = np.random.default_rng(seed).normal(0, INCH / 32, 80)
    pad.shoot(range(80), lambda shot, hour: eighths * EIGHTH if shot > after else 0)
    pad.check(eighths * EIGHTH)
    moved = figures(pad.book).trust.movement
    assert moved.motion is Motion.STEP
    assert abs(moved.shots_before - after) <= 2


@given(st.integers(0, 2**32))
@settings(max_examples=15, deadline=None)
def test_a_level_that_stood_still_has_not_moved(seed):
    pad = Pad(seed % 1000)
    pad.shoot(range(80), lambda shot, hour: 0)
    pad.check(0)
    assert figures(pad.book).trust.movement.motion is Motion.NONE


@pytest.mark.parametrize("shots", [12, 80])
def test_a_tripod_that_stood_still_gets_no_remark(shots):
    """The bar is 1 in 100. Of 400 pads 9 or more have a chance of 2 in 100 at that rate (binomial, exact)."""
    rng = np.random.default_rng(2718)
    told = [tripods.told(*tripods.still(rng, kind, shots)) for _ in range(50) for kind in tripods.KINDS]
    assert sum(each.moved for each in told) <= 8


@pytest.mark.parametrize("shots", [12, 80])
def test_a_movement_that_the_shots_did_not_see_gets_no_place(shots):
    """A reference that moved, or a bump after the last shot: a likely place for 2 in 100, a sure one for 1.

    Of 240 pads 11 and 7 or more have a chance of 2 in 100 or less at these rates (binomial, exact).
    """
    rng = np.random.default_rng(1618)
    told = [tripods.told(*tripods.unseen(rng, kind, shots)) for _ in range(30) for kind in tripods.KINDS]
    named = [each for each in told if each.motion is not Motion.UNTOLD]
    assert all(each.moved for each in told)
    assert len(named) <= 10
    assert sum(each.sure for each in named) <= 6


@given(st.integers(0, 2**32), st.sampled_from([12, 80]), st.sampled_from(tripods.KINDS), st.integers(-4, 4))
@settings(max_examples=40, deadline=None)
def test_no_place_is_named_with_fewer_than_four_shots_beside_it(seed, shots, kind, marks):
    rng = np.random.default_rng(seed)
    after = int(rng.integers(0, shots + 1))
    moved = np.where(np.arange(shots) >= after, marks * EIGHTH, 0)
    told = tripods.told(*tripods.shot(tripods.pad(rng, kind, shots), moved, {shots: marks * EIGHTH}))
    if told.motion is Motion.STEP:
        assert 4 <= told.shots_before <= shots - 4
    assert told.moved or abs(marks) <= 1, "a bad check is never silent"
    assert not (told.sure and told.untold)


def test_what_only_the_checks_tell_is_told_between_them():
    """Bumped by 3/8 in between the second and the third check, with two shots after it: no place can be named."""
    pad = Pad(3, swing=1.5 * INCH)
    pad.shoot(range(40), lambda shot, hour: 0)
    pad.check(0)
    pad.shoot(range(40, 43), lambda shot, hour: 3 * EIGHTH if shot > 41 else 0)
    pad.check(3 * EIGHTH)
    summary = figures(pad.book)
    moved = summary.trust.movement
    assert (moved.motion, moved.sure, moved.nm) == (Motion.UNTOLD, False, pytest.approx(3 * EIGHTH))
    assert moved.checked == (pad.book.page.walk.at(40), pad.book.page.walk.at(42))
    first, last = (summary.grid.name(index) for index in moved.checked)
    said = words_proof.movement_words(summary, moved)
    assert said == f"moved between the check before {first} and the one after {last}: every reading is about HIGH 3/8"


def test_without_a_check_or_with_a_handful_of_shots_nothing_is_told():
    assert figures(a_book("A1 0")).trust.movement is None
    assert figures(a_book("reference BM1 high 1", "A1 0", "check BM1 +2")).trust.movement is None
