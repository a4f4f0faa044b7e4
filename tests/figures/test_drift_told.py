"""What is said of a level, given how well each story fits: every threshold from both sides, worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rodcall.figures.checks import drift
from rodcall.figures.checks.drift import Motion, Movement, Series, ShotSequence, _Stories, could_be_an_edge, movement

SHOTS = 12
ALONE = 2 * math.log(SHOTS + 1)
"""Deviance of a step that is told to the shot, averaged over its 13 places; the best place alone has 0."""
NINE_IN_TEN = 2 * math.log(9)
"""Difference in deviance at which one of two stories has nine parts of the likelihood in ten."""
FAR = 100.0


def walk(shots: int = SHOTS, seam: bool = False) -> ShotSequence:
    """A row of shots, 40 s apart; unless with a seam, every other spot first and then those between."""
    places = np.arange(shots) if seam else np.concatenate([np.arange(0, shots, 2), np.arange(1, shots, 2)])
    return ShotSequence(places + 50, 2.0 * places, np.zeros(shots), np.zeros(shots), 40.0 * np.arange(1, shots + 1))


@pytest.fixture
def told(monkeypatch):
    """What is said where the stories fit so well: none, a ramp, a step after 0 to 12 shots by place."""

    def say(
        none: float = FAR,
        ramp: float = FAR,
        steps: dict[int, float] | None = None,
        apart: float = 0.0,
        off_mm: float = 4.0,
        of: ShotSequence | None = None,
        checks: Series | None = None,
    ) -> Movement:
        shots = of or walk()
        n = min(shots.seconds.size, drift.MOST)
        places = np.full(n + 1, FAR)
        for place, deviance in (steps or {}).items():
            places[place] = deviance
        stories = _Stories(
            np.array([none, ramp, *places]),
            np.array([0.0, 0.002, *(np.arange(n + 1) * 1e-4)]),
            np.full(n + 3, apart),
        )
        monkeypatch.setattr(drift, "_stories", lambda *_: stories)
        seen = checks or Series(
            np.array([0, shots.seconds.size]), np.array([0.0, 1800.0]), np.array([0, off_mm * 1e-3])
        )
        moved = movement(shots, seen, 1e-3, 3e-3)
        assert moved is not None
        return moved

    return say


@pytest.mark.parametrize(("off", "said"), [(3.0, Motion.NONE), (3.1, Motion.STEP), (-3.0, Motion.NONE)])
def test_against_good_checks_nothing_is_said_until_a_movement_fits_far_better(told, off, said):
    """What is allowed is still good; 17 of deviance, the limit not included, and a step's is its average."""
    moved = told(none=ALONE + 16.9, steps={6: 0.0}, off_mm=off)
    assert (moved.motion, moved.nm if said is Motion.NONE else 0) == (said, 0)
    assert moved.sure or said is not Motion.NONE
    assert told(none=ALONE + 17.1, steps={6: 0.0}, off_mm=off).motion is Motion.STEP
    assert told(none=16.9, ramp=0.0, off_mm=3.0).motion is Motion.NONE
    assert told(none=17.0, ramp=0.0, off_mm=3.0).motion is Motion.DRIFT


def test_good_checks_and_no_story_that_can_be_told_are_no_movement_but_not_for_sure(told):
    moved = told(none=FAR, steps={0: 0.0}, off_mm=3.0)
    assert (moved.motion, moved.sure, moved.nm) == (Motion.NONE, False, 0.0)


def test_a_step_that_all_speaks_for_is_sure_and_has_its_size_and_place(told):
    moved = told(steps={6: 0.0})
    assert (moved.motion, moved.sure) == (Motion.STEP, True)
    assert moved.nm == pytest.approx(6e-4 * 1e9)
    assert moved.nm_per_hour == 0.0
    assert (moved.after, moved.shots_before, moved.between) == (50 + 10, 6, (6, 6))
    assert moved.checked == (50, 50 + 11)


@pytest.mark.parametrize(
    ("ends", "motion", "sure"), [(7.9, "untold", 0), (8, "step", 0), (11.9, "step", 0), (12, "step", 1)]
)
@pytest.mark.parametrize("end", [0, 12])
def test_the_shots_must_speak_for_a_place_against_a_movement_that_they_did_not_see(told, end, ends, motion, sure):
    moved = told(steps={6: 0.0, end: ends})
    assert (moved.motion, moved.sure) == (Motion(motion), bool(sure))


@pytest.mark.parametrize(
    ("apart", "motion", "sure"), [(2.0, "step", 1), (2.1, "step", 0), (3.0, "step", 0), (3.1, "untold", 0)]
)
def test_shots_and_checks_must_agree_about_its_size(told, apart, motion, sure):
    moved = told(steps={6: 0.0}, apart=apart)
    assert (moved.motion, moved.sure) == (Motion(motion), bool(sure))


@pytest.mark.parametrize(("place", "motion"), [(3, "untold"), (4, "step"), (8, "step"), (9, "untold")])
def test_a_place_needs_four_shots_on_either_side(told, place, motion):
    assert told(steps={place: 0.0}).motion is Motion(motion)


@pytest.mark.parametrize(
    ("other", "share", "motion", "sure"),
    # Seven parts in ten within two shots of the place make it likely, nine sure.
    [
        (9, 0.69, "untold", 0),
        (9, 0.71, "step", 0),
        (9, 0.89, "step", 0),
        (9, 0.91, "step", 1),
        (3, 0.69, "untold", 0),
        (3, 0.91, "step", 1),
        (8, 0.51, "step", 1),
        (4, 0.51, "step", 1),
    ],
)
def test_the_likelihood_must_lie_near_the_place(told, other, share, motion, sure):
    beside = -2 * math.log((1 - share) / share)
    moved = told(steps={6: 0.0, other: beside})
    assert (moved.motion, moved.sure) == (Motion(motion), bool(sure))
    if moved.motion is Motion.STEP:
        assert moved.between == ((min(6, other), max(6, other)) if 1 - share > 0.025 else (6, 6))


@pytest.mark.parametrize(("more", "sure"), [(-0.1, False), (0.1, True)])
def test_a_step_is_sure_with_nine_parts_in_ten_against_a_drift(told, more, sure):
    assert told(steps={6: 0.0}, ramp=ALONE + NINE_IN_TEN + more).sure is sure


@pytest.mark.parametrize(("more", "motion"), [(-0.1, Motion.DRIFT), (0.1, Motion.STEP)])
def test_the_likelier_of_step_and_drift_is_told(told, more, motion):
    assert told(steps={6: -20.0}, ramp=ALONE - 20 + more).motion is motion


def test_a_seam_that_a_straight_line_makes_is_never_sure(told):
    moved = told(steps={6: 0.0}, of=walk(seam=True))
    assert (moved.motion, moved.sure) == (Motion.STEP, False)


@pytest.mark.parametrize(
    ("unseen", "motion", "sure"), [(3.9, "untold", 0), (4.0, "drift", 0), (11.9, "drift", 0), (12.0, "drift", 1)]
)
@pytest.mark.parametrize("end", [0, 12])
def test_a_drift_must_fit_better_than_a_movement_that_the_shots_did_not_see(told, end, unseen, motion, sure):
    moved = told(ramp=0.0, steps={end: unseen})
    assert (moved.motion, moved.sure) == (Motion(motion), bool(sure))
    if moved.motion is Motion.DRIFT:
        assert moved.nm_per_hour == pytest.approx(2e6)
        assert moved.nm == pytest.approx(1e6), "over half an hour"
        assert moved.checked == (50, 50 + 11)
    else:
        assert moved.nm == pytest.approx(4e6), "what the check reads"


@pytest.mark.parametrize(("more", "sure"), [(-0.1, False), (0.1, True)])
def test_a_drift_is_sure_with_nine_parts_in_ten_against_a_step(told, more, sure):
    moved = told(ramp=0.0, steps={6: NINE_IN_TEN - ALONE + more})
    assert (moved.motion, moved.sure) == (Motion.DRIFT, sure)


def test_of_many_shots_the_last_160_are_looked_at_and_places_count_from_the_first(told):
    shots = walk(165)
    moved = told(steps={80: 0.0, 79: 1.0}, of=shots)
    assert (moved.shots_before, moved.between) == (85, (84, 85))
    assert moved.after == int(shots.index[84])
    assert moved.checked == (50, int(shots.index[-1]))


@pytest.mark.parametrize("shots", [7, 8])
def test_with_fewer_than_eight_shots_nothing_can_be_told(shots):
    seen = Series(np.array([0, shots]), np.array([0.0, 900.0]), np.array([0, 0.004]))
    assert (movement(walk(shots), seen, 1e-3, 3e-3) is None) is (shots < 8)


@pytest.mark.parametrize(
    ("drifts", "between"),
    [([0, 0, 4], (56, 61)), ([0, 4, 5], (50, 55)), ([0, -4, 4], (56, 61)), ([0, 2, -4], (56, 61))],
)
def test_the_checks_that_differ_most_say_where(told, drifts, between):
    seen = Series(np.array([0, 6, 12]), np.array([0.0, 600.0, 1800.0]), np.array(drifts) * 1e-3)
    moved = told(of=walk(seam=True), checks=seen)
    assert moved.checked == between
    none = Series(np.array([0, 12, 12]), np.array([0.0, 600.0, 1800.0]), np.array([0, 0, 4e-3]))
    assert told(checks=none).checked is None, "no shot lies between them"


@pytest.mark.parametrize(
    ("half", "strays", "edge"), [(10, 0, True), (10, 2, True), (10, 3, False), (20, 4, True), (20, 5, False)]
)
@pytest.mark.parametrize("way", [0, 77, 133, 290])
def test_one_in_ten_may_lie_on_the_wrong_side_of_an_edge(half, strays, edge, way):
    """Twenty or forty shots in a row, a row that runs any way; of the first half so many lie beyond the others."""
    last = 2 * half - 1
    order = [*range(half - strays), *range(last, last - strays, -1), *range(half - strays, 2 * half - strays)]
    far = 3.0 * np.array(order)
    turned = math.radians(way)
    assert could_be_an_edge(far * math.cos(turned), far * math.sin(turned), half) is edge


@pytest.mark.parametrize("way", range(0, 360, 12))
def test_an_edge_between_two_long_lines_is_seen_whichever_way_they_run(way):
    """Two lines of forty shots, one after the other: a line 3 degrees askew has more than one in ten astray."""
    along, across = np.repeat([0.0, 1.0], 40), np.tile(np.arange(40.0), 2)
    turned = math.radians(way)
    turned_along = along * math.cos(turned) - across * math.sin(turned)
    turned_across = along * math.sin(turned) + across * math.cos(turned)
    assert could_be_an_edge(turned_along, turned_across, 40)


@pytest.mark.parametrize(("shots", "way"), [(120, 0.75), (120, 45.75), (120, 90.75), (120, 225.75), (240, 180.0)])
def test_lines_are_laid_at_whole_degrees(shots, way):
    """Two lines of so many shots, by hand: of 120 a quarter of a degree askew none is astray, at three quarters 18 in
    100 are; of 240 at half a degree 26 in 100."""
    along, across = np.repeat([0.0, 1.0], shots), np.tile(np.arange(float(shots)), 2)
    turned = math.radians(way)
    turned_along = along * math.cos(turned) - across * math.sin(turned)
    turned_across = along * math.sin(turned) + across * math.cos(turned)
    assert could_be_an_edge(turned_along, turned_across, shots)


@pytest.mark.parametrize("before", [3, 6])
@pytest.mark.parametrize("way", [0, 90, 200])
def test_an_edge_may_lie_anywhere_and_a_patch_in_the_middle_is_none(before, way):
    far = 3.0 * np.arange(20)
    turned = math.radians(way)
    assert could_be_an_edge(far * math.cos(turned), far * math.sin(turned), before)
    # The first so many from the middle of the row have others on either side: 3 or 6 of the 20 lie wrong at best.
    patch = np.concatenate([far[8 : 8 + before], far[:8], far[8 + before :]])
    assert not could_be_an_edge(patch * math.cos(turned), patch * math.sin(turned), before)


def test_what_a_movement_is_called(told):
    step, ramp = told(steps={6: 0.0}), told(ramp=0.0)
    still, untold = told(none=0.0, off_mm=0.0), told()
    assert [each.moved for each in (step, ramp, still, untold)] == [True, True, False, True]
    assert [each.steady for each in (step, ramp, still, untold)] == [False, True, False, False]
    assert [each.untold for each in (step, ramp, still, untold)] == [False, False, False, True]
    unsure = told(steps={0: 0.0}, off_mm=3.0)
    for each in (ramp, still, untold, unsure):
        assert (each.after, each.shots_before, each.between) == (None, 0, (0, 0)), "only a step has a place"
    assert [each.nm_per_hour for each in (step, still, untold, unsure)] == [0.0] * 4, "only a drift goes on"


@pytest.mark.parametrize(("share", "lowest", "highest"), [(0.028, 4, 8), (0.022, 6, 6)])
def test_a_step_lies_between_two_places_nineteen_times_in_twenty(told, share, lowest, highest):
    """A place that has a share of the likelihood above 2.5 %, at either end, is still among them."""
    other = 2 * math.log((1 - 2 * share) / share)
    assert told(steps={4: other, 6: 0.0, 8: other}).between == (lowest, highest)


def test_a_likelier_step_that_has_no_place_is_no_drift(told):
    """55 parts in a hundred for a step after the second shot, which has too few shots before it to be named."""
    ramp = ALONE + 2 * math.log(0.55 / 0.45)
    assert told(ramp=ramp, steps={2: 0.0}).motion is Motion.UNTOLD
    assert told(ramp=ramp - 1.0, steps={2: 0.0}).motion is Motion.DRIFT


@pytest.mark.parametrize(("better", "sure"), [(11.9, False), (12.1, True)])
def test_a_drift_is_sure_by_how_much_better_it_fits_whatever_it_fits_itself(told, better, sure):
    assert told(ramp=5.0, steps={0: 5.0 + better}).sure is sure


def test_of_many_shots_the_checks_count_those_that_are_looked_at(monkeypatch):
    """200 shots, of which 160 are looked at: a check after the hundredth comes after 60 of them."""
    seen = []

    def watched(shots: ShotSequence, checks: Series, step_m: float) -> _Stories:
        seen.append(checks.shots_before.tolist())
        return _Stories(np.full(drift.MOST + 3, 0.0), np.zeros(drift.MOST + 3), np.zeros(drift.MOST + 3))

    monkeypatch.setattr(drift, "_stories", watched)
    movement(walk(200), Series(np.array([0, 100, 200]), np.array([0.0, 4e3, 8e3]), np.zeros(3)), 1e-3, 3e-3)
    assert seen == [[-40, 60, 160]]


def test_the_grounds_looked_at_lie_evenly_on_a_scale_of_multiples():
    """From one gap between shots to eight, and from hardly any roughness to hardly anything else."""
    assert drift.RANGES[0] == 1.0
    assert np.diff(np.log2(drift.RANGES)) == pytest.approx(1)
    assert np.diff(np.log10(drift.ROUGHNESS)) == pytest.approx(1)
    assert (drift.ROUGHNESS[0], drift.ROUGHNESS[-1]) == (1e-3, 10.0)
