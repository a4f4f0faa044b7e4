"""Check shots: their states, the shots they make suspect, when one is due, and what moved."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Check, Decision, Readings, Remedy, Shot
from rodcall.figures.checks.check_shots import Reason, Standard, State, disagreement, state
from rodcall.figures.checks.drift import Motion, Series, Walk, could_be_an_edge
from rodcall.units import FOOT, INCH, MM, Unit, write
from rodcall.wording import proof as words_proof
from rodcall.wording.punch_list import reads
from tests import tripods
from tests.kit import START, a_book, a_job, figures, say
from tests.make_samples import ground

EIGHTH = INCH // 8


@pytest.mark.parametrize(
    ("drift", "expected"),
    [
        (0, State.GOOD),
        (EIGHTH, State.GOOD),
        (-EIGHTH, State.GOOD),
        (EIGHTH + 1, State.REPEAT),
        (2 * EIGHTH, State.REPEAT),
        (-2 * EIGHTH - 1, State.STOP),
    ],
)
def test_good_repeat_stop(drift, expected):
    """Issue 4: good up to the allowed drift, repeat up to twice that, stop above."""
    assert state(drift, EIGHTH) is expected


@pytest.mark.parametrize(("unit", "allowed"), [(Unit.IN, EIGHTH), (Unit.FT, FOOT // 100), (Unit.MM, 3 * MM)])
def test_what_is_allowed_unless_somebody_says_otherwise(unit, allowed):
    """Issue 4: 1/8 in, 0.01 ft, 3 mm."""
    assert figures(a_book(job=a_job(unit))).evidence.allowed_drift_nm == allowed
    assert figures(a_book("set drift 5mm", job=a_job(unit))).evidence.allowed_drift_nm == 5 * MM


def test_a_check_in_words():
    """Issue 4: `BM1 reads 1/8 HIGH`."""
    book = a_book("reference BM1 high 1", "check BM1 +1-1/8", "check BM1 +3/4", "check BM1 +1", "check ZERO -1/2")
    summary = figures(book)
    told = [reads(summary, check.reference, check.drift_nm) for check in summary.trust.checks]
    assert told == ["BM1 reads 1/8 HIGH", "BM1 reads 1/4 LOW", "BM1 reads true", "ZERO reads 1/2 LOW"]
    assert [words_proof.check_words(summary, check) for check in summary.trust.checks] == [
        *("BM1 reads 1/8 HIGH, good", "BM1 reads 1/4 LOW, check again", "BM1 reads true, good"),
        "ZERO reads 1/2 LOW, BAD",
    ]


# -- suspect shots ------------------------------------------------------------------------------------------


def suspect(*lines: str) -> list[str]:
    summary = figures(a_book("reference BM1 high 1", *lines))
    return summary.names(summary.trust.suspect)


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (["A1 0", "B1 0"], []),
        (["A1 0", "check BM1 +1", "B1 0", "C1 0", "check BM1 +1-1/2", "A2 0"], ["B1", "C1"]),
        (["A1 0", "check BM1 +1-1/2"], ["A1"]),
        (["A1 0", "check BM1 +1-1/4"], []),
        (["A1 0", "check BM1 +1-1/4", "B1 0", "check BM1 +1-1/2"], ["A1", "B1"]),
        (["A1 0", "B1 0", "check BM1 +1-1/2", "A1 0"], ["B1"]),
        (["A1 0", "check BM1 +1-1/2", "check BM1 +1"], []),
        (["A1 0", "check BM1 +1-1/2", "check BM1 +1-1/2", "check BM1 +1"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "check BM1 +1-1/4", "check BM1 +1"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "check ZERO 0", "B1 0", "check BM1 +1"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "B1 0", "strike B1", "check BM1 +1"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "keep a truck stood on BM1"], []),
        (["A1 0", "check BM1 +1-1/2", "shift"], []),
        (["A1 0", "check BM1 +1-1/2", "check BM1 +1-1/2", "keep it is the reference"], ["A1"]),
        (["A1 0", "check BM1 +1-1/2", "keep reason", "B1 0", "check BM1 +1-1/2"], ["A1", "B1"]),
        (["A1 0", "A1 out rut", "check BM1 +1-1/2"], []),
        (["A1 0", "check BM1 +1-1/2", "round working", "B1 0"], []),
    ],
)
def test_which_shots_are_suspect(lines, expected):
    """Every shot since the last good check up to the bad one; cleared by shooting again, or by a good check at once.

    The bad check was misread where the next one on the same reference is good and no shot lies between.
    """
    assert suspect(*lines) == expected


def test_a_struck_check_is_bad_all_the_same():
    """Striking it repairs no level; a struck one that was not bad says nothing."""
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +2")
    assert figures(book).trust.suspect == (0,)
    book.undo()
    assert figures(book).trust.suspect == (0,)
    say(book, "check BM1 +1")
    assert figures(book).trust.suspect == (), "as if it had stayed: misread"
    book = a_book("reference BM1 high 1", "A1 0", "check BM1 +1-1/4")
    book.undo()
    assert figures(book).trust.open_repeats == ()


def test_kept_suspects_are_accepted_not_cleared():
    book = a_book("reference BM1 high 1", "A1 0", "B1 0", "check BM1 +1-1/2", "keep a truck stood on BM1", "B1 0")
    trust = figures(book).trust
    assert (trust.suspect, np.flatnonzero(trust.accepted_mask).tolist()) == ((), [0])


EVENTS = st.lists(
    st.one_of(
        st.sampled_from([f"{column}{row} 0" for column in "ABC" for row in (1, 2, 3, 4)]),
        st.sampled_from(["check BM1 +1", "check BM1 +1-1/4", "check BM1 +1-1/2", "check BM1 -1", "keep why", "shift"]),
    ),
    max_size=25,
)


@given(EVENTS)
def test_suspects_are_those_of_the_plain_rule(events):
    """Computed apart: entry by entry, as one would walk through the book with a pencil."""
    book = a_book("reference BM1 high 1")
    open_shots: set[str] = set()  # since the last good check
    against: dict[int, set[str]] = {}  # what each bad check that was not decided about speaks against
    just_read = 0  # the bad check that is the last entry but for decisions
    for event in events:
        try:
            say(book, event)
        except ValueError:
            continue
        entry = book.entries[-1]
        if isinstance(entry, Shot):
            open_shots.add(entry.position)
            for each in against.values():
                each.discard(entry.position)
            just_read = 0
        elif isinstance(entry, Check):
            off = abs(book.page.checks[-1].drift_nm)
            if off <= EIGHTH:
                open_shots = set()
                against.pop(just_read, None)
            just_read = entry.number if off > 2 * EIGHTH else 0
            if just_read:
                against[just_read] = set(open_shots)
        elif isinstance(entry, Decision):
            against.pop(entry.about, None)
    summary = figures(book)
    assert set(summary.names(summary.trust.suspect)) == set().union(*against.values())


def test_a_check_is_decided_about_once_and_shots_move_once():
    """Two shifts about the same drift would move a shot twice."""
    book = a_book("reference BM1 high 1", "B1 0", "check BM1 +1-1/2", "shift", "C1 0", "check BM1 +1-1/2", "shift")
    assert figures(book).heights[1:3].tolist() == [-INCH // 2, -INCH // 2]
    with pytest.raises(PageError, match="already has a decision"):
        book.decide(Remedy.KEEP, book.page.checks[-1], "again")


# -- is one due ---------------------------------------------------------------------------------------------


def at(minutes: float) -> float:
    return (START + timedelta(minutes=minutes)).timestamp()


def test_due_after_so_many_shots_or_minutes():
    """Issue 4: asked for after a set time or number of shots; an entry every ten seconds here."""
    book = a_book("set check-shots 3", "set check-minutes 30", "reference BM1 high 1", "A1 0", "B1 0")
    trust = figures(book).trust
    assert trust.due(at(1)) == ()
    assert trust.due(at(31)) == (Reason.MINUTES,)
    assert trust.due(at(1), leaving=True) == (Reason.LEAVING,)
    say(book, "C1 0")
    assert figures(book).trust.due(at(1)) == (Reason.SHOTS,)
    say(book, "check BM1 +1")
    trust = figures(book).trust
    assert trust.due(at(200), leaving=True) == (), "no shot since"
    assert trust.age(at(2)) == 60, "the check is the seventh entry"
    say(book, "round working", "A1 0", "B1 0", "C1 0")
    assert figures(book).evidence.shots_since_check == 3


def test_due_after_the_tripod_was_moved():
    book = a_book("reference BM1 high 1", "setup BM1 4.00", job=a_job(Unit.FT, readings=Readings.ROD))
    assert Reason.NEW_SETUP not in figures(book).trust.due(at(1)), "the first one"
    say(book, "setup BM1 4.50")
    assert figures(book).trust.due(at(1)) == (Reason.NEW_SETUP,)
    say(book, "check BM1 4.50")
    assert figures(book).trust.due(at(1)) == ()


def test_shots_of_a_setup_that_was_left_unchecked_are_told():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "setup BM1 4.00", "A1 5.00", "check BM1 4.00", "B1 5.00", job=job)
    say(book, "setup BM1 4.50", "C1 5.50", "check BM1 4.50")
    summary = figures(book)
    assert summary.names(np.flatnonzero(summary.trust.unchecked_mask)) == ["B1"]


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (["A1 0"], Standard.MISSING),
        (["A1 0", "check BM1 +1"], Standard.GOOD),
        (["A1 0", "check BM1 +1", "B1 0"], Standard.LATE),
        (["A1 0", "check BM1 +1-1/4"], Standard.REPEAT),
        (["A1 0", "check BM1 +1-1/4", "check BM1 +1-1/8"], Standard.GOOD),
        (["A1 0", "check BM1 +1-1/4", "check ZERO 0"], Standard.REPEAT),
        (["A1 0", "check BM1 +1-1/4", "keep worn rod foot", "check ZERO 0"], Standard.GOOD),
        (["A1 0", "check BM1 +3"], Standard.BAD),
        (["A1 0", "check BM1 +3", "keep dug up", "check ZERO 0"], Standard.GOOD),
    ],
)
def test_what_the_last_check_stands_for(lines, expected):
    assert figures(a_book("reference BM1 high 1", *lines)).trust.standard is expected


def test_a_later_rounds_check_does_not_stand_for_an_earlier_round():
    from rodcall.figures.summary import summarise

    book = a_book("reference BM1 high 1", "A1 0", "round working", "A1 0", "check BM1 +1")
    assert summarise(book.page, 1).trust.standard is Standard.MISSING
    assert summarise(book.page, 2).trust.standard is Standard.GOOD


# -- drift or step ------------------------------------------------------------------------------------------


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
    """Issue 4, bar 2: 3/8 in after shot 40 of 80, told by the next check within two shots of its true place."""
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
    """Issue 4, bar 2: 1/32 in an hour, read to 1/64 and checked every half an hour over two hours of 80 shots."""
    pad = Pad(seed, step=INCH // 64)
    rate = INCH / 32
    for part in range(4):
        pad.shoot(range(20 * part, 20 * part + 20), lambda shot, hour: rate * hour)
        pad.seconds = 1800.0 * (part + 1)
        pad.check(rate * (part + 1) / 2)
    moved = figures(pad.book).trust.movement
    assert moved.motion is Motion.DRIFT
    assert moved.nm_per_hour == pytest.approx(rate, rel=0.35)
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
    shots = Walk(
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


# -- two references -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drifts", "before", "moved", "sure"),
    [
        ({"A": 0, "B": 0}, {"A": 0}, None, None),
        ({"A": 9, "B": 9}, {"A": 0}, None, None),
        ({"A": 0, "B": -30}, {"A": 0, "B": 0}, ("B",), True),
        ({"A": 0, "B": -30}, {"A": 0}, ("B",), False),
        ({"A": 30, "B": 1}, {"A": 0}, ("A",), True),
        ({"A": 30, "B": -10}, {"A": 0, "B": 0}, (), False),
        ({"A": 10, "B": 10, "C": -20}, {"A": 0}, ("C",), True),
        ({"A": 0, "B": -30, "C": -30}, {"A": 0}, ("A",), True),
        ({"A": 0, "B": 20, "C": -30}, {"A": 0}, (), False),
    ],
)
def test_which_reference_moved(drifts, before, moved, sure):
    """Worked by hand: a level takes all references along alike, what differs is a reference's own doing (3 allowed)."""
    found = disagreement(drifts, before, 3)
    assert (found.moved if found else None) == moved
    assert (found.sure if found else None) == sure


@pytest.mark.parametrize("dug_up", ["BM1", "BM2"])
def test_two_references_one_dug_up(dug_up):
    """Issue 4, bar 2: the right one is named, be it the one that the setup hangs on or the other."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "reference BM2 high 2", "setup BM1 4.00", "check BM2 3.00", "A1 5", job=job)
    assert figures(book).trust.disagreement is None
    readings = {"BM1": "4.00", "BM2": "3.00"} | {dug_up: "4.35"}
    say(book, *(f"check {name} {reading}" for name, reading in readings.items()))
    summary = figures(book)
    assert summary.trust.disagreement.moved == (dug_up,)
    assert summary.trust.disagreement.sure
    assert f"{dug_up} moved" in words_proof.disagreement_words(summary, summary.trust.disagreement)


def test_a_bumped_tripod_is_no_disagreement():
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "reference BM2 high 2", "setup BM1 4.00", "A1 5", job=job)
    say(book, "check BM1 3.90", "check BM2 2.90")
    assert figures(book).trust.disagreement is None
    assert figures(book).trust.standard is Standard.BAD


def test_checks_with_shots_between_them_are_not_compared():
    """The level may have moved meanwhile."""
    job = a_job(Unit.FT, readings=Readings.ROD)
    book = a_book("reference BM1 high 1", "reference BM2 high 2", "setup BM1 4.00", "check BM1 4.00", "A1 5", job=job)
    say(book, "check BM2 2.50")
    assert figures(book).trust.disagreement is None


@pytest.mark.parametrize(("apart", "moved"), [(3, None), (4, ("B",))])
def test_references_apart_by_exactly_what_is_allowed_agree(apart, moved):
    """3 allowed: two that differ by 3 tell one story, by 4 two."""
    for sign in (1, -1):
        found = disagreement({"A": 0, "B": sign * apart}, {"A": 0, "B": 0}, 3)
        assert (found.moved if found else None) == moved


def test_one_that_reads_exactly_what_is_allowed_still_reads_true():
    found = disagreement({"A": 3, "B": 30}, {"A": 0, "B": 0}, 3)
    assert (found.moved, found.sure) == (("B",), True)
    assert disagreement({"A": 4, "B": 30}, {"A": 0, "B": 0}, 3).moved == ()


@pytest.mark.parametrize(("before", "sure"), [(27, False), (26, True)])
def test_what_read_so_before_by_exactly_what_is_allowed_did_not_surely_move(before, sure):
    assert disagreement({"A": 0, "B": 30}, {"A": 0, "B": before}, 3).sure is sure
