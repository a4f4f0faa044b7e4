"""A reading weighed by Bayes' rule over what it may have been meant for, by hand; and whom it is held against."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import t as student_t

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers import outlier
from rodcall.figures.outliers.expectation import Expectation, expect, nearest
from rodcall.figures.outliers.mistakes import Mistake, Way, meant
from rodcall.figures.outliers.outlier import (
    Bust,
    at_most,
    expected_at,
    expected_of,
    heard_around,
    listened_to,
    log_odds,
    studentised_residuals,
    weigh,
)
from rodcall.units import FOOT, INCH, MM, M, Unit
from tests.detectors import FEET, INCHES, MILLIMETRES

ROD = Way(Unit.FT, FOOT // 100, Readings.ROD, 5 * FOOT)
DIRECT = Way(Unit.MM, MM, Readings.DIRECT_ROD, 200 * MM)


def mixture() -> Expectation:
    return Expectation(np.array([0.004, -0.01]), np.array([0.01, 0.03]), np.array([0.75, 0.25]), 9.0)


def density(told: Expectation, height_nm: int) -> float:
    """COMPUTED by scipy.stats.t, per metre."""
    parts = zip(told.shares, told.centres, told.scales, strict=True)
    return float(sum(share * student_t.pdf(height_nm * 1e-9, told.freedom, at, wide) for share, at, wide in parts))


def by_hand(told: Expectation, height: int, way: Way, said: str, some=frozenset(Mistake), gross=outlier.GROSS_WEIGHT):
    """Log odds that it is wrong, and each mistake's share in them, with the height that was meant.

    Bayes: 2 in 100 readings are wrong; 5 in 100 of those lie anywhere in 60 cm (our own estimate), the others
    where a mistake that can be worked backwards puts them, by the mistakes' shares among themselves. What explains
    less than a tenth is not named. A mistake of 30 cm or more counts so many times.
    """
    others = [each for each in meant(said, way.reading(height), way) if each.mistake in some]
    all_of_them = sum(each.share for each in others)
    worth = []
    for each in others:
        right = way.height(each.reading_nm)
        cost = gross if abs(right - height) >= 300 * MM else 1
        worth.append((each, cost * each.share / all_of_them * (1 - outlier._UNEXPLAINED) * density(told, right)))
    wrong = sum(each for _, each in worth) + outlier._UNEXPLAINED / outlier._UNEXPLAINED_OVER_M
    score = log(outlier._WRONG / (1 - outlier._WRONG) * wrong / density(told, height))
    named = [(each.mistake, way.height(each.reading_nm), each.reading_nm, part / wrong) for each, part in worth]
    named = [each for each in named if each[3] >= 0.1]
    return score, sorted(named, key=lambda each: -each[3])


CASES = [
    (INCHES, 12 * INCH + 3 * INCH // 8, "+12-3/8"),
    (INCHES, -INCH, "-1"),
    (FEET, 10 * FOOT // 100, "+0.10"),
    (FEET, -FOOT, ""),
    (MILLIMETRES, 100 * MM, "+100"),
    (MILLIMETRES, 3 * MM, "+3"),
    (ROD, 5 * FOOT - 498 * FOOT // 100, "4.98"),
    (ROD, -FOOT, "6.00"),
    (DIRECT, 300 * MM, "+100"),
]


@pytest.mark.parametrize(("way", "height", "said"), CASES)
def test_a_reading_is_weighed_as_bayes_has_it(way, height, said):
    told = mixture()
    score, named = by_hand(told, height, way, said)
    bust = weigh(told, 17, height, way, said, -np.inf)
    assert (bust.index, bust.height_nm) == (17, height)
    assert bust.score == pytest.approx(score, rel=1e-9)
    assert bust.expected_nm == round((0.75 * 0.004 - 0.25 * 0.01) * 1e9)
    assert bust.deviation_nm == pytest.approx(float(told.deviation) * 1e9, abs=1)
    assert [(each.mistake, each.height_nm, each.reading_nm) for each in bust.explanations] == [n[:3] for n in named]
    assert [each.share for each in bust.explanations] == pytest.approx([each[3] for each in named])
    for each in bust.explanations:
        assert way.readings.parse(each.text, way.unit) == each.reading_nm
    assert weigh(told, 17, height, way, said, score - 1e-9) is not None
    assert weigh(told, 17, height, way, said, score + 1e-9) is None


def test_what_explains_less_than_a_tenth_is_not_named():
    """Ground that is expected nearer and nearer to one of two that may have been meant."""
    least, most = 1.0, 0.0
    for centre in np.linspace(-0.02, 0.05, 141):
        told = Expectation(np.array([centre]), np.array([0.012]), np.ones(1), 30.0)
        _, named = by_hand(told, 20 * FOOT // 100, FEET, "")
        bust = weigh(told, 0, 20 * FOOT // 100, FEET, "", -np.inf)
        assert [each.mistake for each in bust.explanations] == [each[0] for each in named]
        least = min([least, *(each.share for each in bust.explanations)])
        most = max([most, *(each.share for each in bust.explanations)])
    assert 0.1 <= least < 0.11
    assert most > 0.5


@pytest.mark.parametrize(("way", "height", "said"), CASES)
@pytest.mark.parametrize("some", [{Mistake.FOOT, Mistake.METRE}, {Mistake.SIGN, Mistake.LOST}, set()])
def test_only_some_mistakes_may_be_thought_of(way, height, said, some):
    """Where none of them can be worked backwards, the reading lies anywhere or is right."""
    told = mixture()
    score, named = by_hand(told, height, way, said, some)
    bust = weigh(told, 0, height, way, said, -np.inf, some)
    assert bust.score == pytest.approx(score, rel=1e-9)
    assert [each.mistake for each in bust.explanations] == [each[0] for each in named]


def test_what_was_typed_is_worked_backwards_and_if_not_known_what_would_be_written():
    told = mixture()
    for said in ("+0.1", "+0.10", ""):
        score, _ = by_hand(told, 10 * FOOT // 100, FEET, said)
        assert weigh(told, 0, 10 * FOOT // 100, FEET, said, -np.inf).score == pytest.approx(score, rel=1e-9)


@given(st.integers(-3000, 3000), st.sampled_from([INCHES, FEET, MILLIMETRES, DIRECT]))
def test_no_reading_speaks_louder_than_at_most(steps, way):
    """At most: as if each mistake had put it where the density is greatest, those that none explains besides, and the
    gross ones, counted by what they cost, where it is greatest 30 cm off or farther.
    """
    told, height = mixture(), steps * way.step_nm
    most = float(at_most(told, np.array(height * 1e-9)))
    assert weigh(told, 0, height, way, "", -np.inf).score <= most
    peak = exp(float(told.log_peak)) + outlier._UNEXPLAINED / outlier._UNEXPLAINED_OVER_M
    for share, centre, scale in zip(told.shares, told.centres, told.scales, strict=True):
        nearer = max(0.3 - abs(height * 1e-9 - centre), 0.0)
        peak += outlier.GROSS_WEIGHT * float(share * student_t.pdf(nearer / scale, told.freedom) / scale)
    by_odds = log(outlier._WRONG / (1 - outlier._WRONG) * peak / density(told, height))
    assert most == pytest.approx(by_odds, rel=1e-9)


def test_at_most_is_told_of_several_positions_at_once():
    """A height of each."""
    both = Expectation(np.array([[0.0, 0.1], [0.2, 0.3]]), np.full((2, 2), 0.02), np.full((2, 2), 0.5), 9.0)
    told = at_most(both, np.array([0.05, 0.6]))
    assert told == pytest.approx([float(at_most(both[at], np.array(h))) for at, h in ((0, 0.05), (1, 0.6))])


def test_a_kept_reading_is_asked_about_again_where_the_odds_have_grown_tenfold():
    def bust(odds: float) -> Bust:
        return Bust(0, 0, 0, 0, log(odds), ())

    kept = bust(3.0)
    assert not bust(29.9).is_worse_than(kept.score)
    assert bust(30.1).is_worse_than(kept.score)
    assert log_odds(0.75) == pytest.approx(log(3))


# -- whom it is held against -------------------------------------------------------------------------------------------


def left_out(heights: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Each shot off the plane of all others, over the standard error of that: the plane fitted without it, in full."""
    found = np.zeros(len(heights))
    for at in range(len(heights)):
        rest = np.delete(np.arange(len(heights)), at)
        design = np.column_stack([np.ones(len(rest)), places[rest]])
        fit, _, rank, _ = np.linalg.lstsq(design, heights[rest], rcond=None)
        spare = len(rest) - rank
        spread = np.sqrt(((heights[rest] - design @ fit) ** 2).sum() / spare)
        own = np.append(1.0, places[at])
        wide = np.sqrt(1 + own @ np.linalg.pinv(design.T @ design) @ own)
        found[at] = (heights[at] - own @ fit) / (spread * wide)
    return found


@pytest.mark.parametrize("zero", [0.0, 1000.0])
def test_a_shot_is_held_against_the_plane_that_is_fitted_without_it(zero):
    rng = np.random.default_rng(3)
    places = rng.uniform(0, 9, (11, 2)) + 40
    rows = zero + rng.normal(0, 0.02, (4, 11)) + places @ np.array([0.03, -0.01])
    rows[1, 4] += 0.5
    told = studentised_residuals(rows, *places.T)
    for row in range(4):
        by_hand = left_out(rows[row], places)
        assert told[row] == pytest.approx(by_hand, rel=1e-5)
        assert studentised_residuals(rows[row], *places.T) == pytest.approx(by_hand, rel=1e-5)
    assert abs(told[1, 4]) > 10


def test_a_shot_that_alone_tells_of_the_plane_is_not_off_it():
    """Five on one line and one beside it: without that one nothing is known of the slope across."""
    along, across = np.array([0.0, 1, 2, 3, 4, 2]), np.array([0.0, 0, 0, 0, 0, 3])
    heights = np.array([0.0, 0.011, 0.018, 0.034, 0.039, 5.0])
    told = studentised_residuals(heights, along, across)
    assert told[5] == 0
    assert told[:5] == pytest.approx(left_out(heights[:5], np.column_stack([along, across])[:5]), rel=1e-6)


@pytest.mark.parametrize("unit", [1e-6, 1.0, 1e6])
def test_shots_on_one_line_are_told_alike_in_any_unit(unit):
    """Across the line nothing is known, whichever numbers tell where they lie."""
    along = np.array([0.0, 1, 2, 3, 4, 5, 6]) / 3
    heights = np.array([0.0, 0.011, 0.018, 0.034, 0.039, 0.07, 0.06])
    told = studentised_residuals(heights, along * unit, 0.7 * along * unit)
    assert told == pytest.approx(left_out(heights, along[:, None]), rel=1e-6)


def test_heights_on_a_plane_but_for_rounding_are_all_on_it():
    """0.1 + 0.2 is not 0.3 in floats: no more than the last digit of the greatest of them."""
    along, across = (each.ravel() for each in np.meshgrid(np.arange(5.0), np.arange(4.0)))
    rows = np.array([0.1, 1e3])[:, None] * (0.1 * along + 0.7 * across)
    assert (studentised_residuals(rows, along, across) == 0).all()
    assert studentised_residuals(np.zeros(20), along, across).tolist() == [0.0] * 20
    rows[0, 3] += 1e-6
    told = studentised_residuals(rows, along, across)
    assert told[0, 3] > 1e3
    assert (told[1] == 0).all(), "each row by its own heights"


def test_neighbours_far_off_the_plane_of_the_others_are_not_listened_to():
    rng = np.random.default_rng(4)
    offsets = rng.uniform(-3, 3, (8, 2))
    rows = np.tile(rng.normal(0, 0.01, len(offsets)), (6, 1))
    for row, far in enumerate((0.0, 0.08, 0.15, -0.2, 0.4, -3.0)):
        rows[row, 3] += far
    off = np.array([left_out(row, offsets) for row in rows])
    told = listened_to(rows, offsets)
    assert told.tolist() == (np.abs(off) < 6).tolist()
    assert 0 < np.count_nonzero(~told[:, 3]) < 6
    # What a shot is off is told by the others alone, so that it grows as the shot is moved: to six, or nearly.
    for by in (5.9, 6.1):
        one = rows[0].copy()
        one[3] += (by - off[0, 3]) / (off[4, 3] - off[0, 3]) * 0.4
        assert left_out(one, offsets)[3] == pytest.approx(by)
        assert listened_to(one, offsets)[3] == (by < 6)
    # Seven are too few to tell of any.
    assert listened_to(rows[:, :-1], offsets[:-1]).all()
    assert listened_to(rows[0, :-1], offsets[:-1]).shape == (len(offsets) - 1,)


@pytest.mark.parametrize("shots", [4, 5, 9, 30])
def test_what_is_expected_at_a_position_hangs_on_its_nearest_shots_that_are_listened_to(shots):
    rng = np.random.default_rng(shots)
    along, across = np.arange(7) * 2.0, np.arange(6) * 3.0
    heights = rng.integers(-20, 21, (7, 6)) * MM
    counts = np.zeros((7, 6), np.bool_)
    counts.flat[rng.permutation(42)[:shots]] = True
    counts[3, 2] = False
    index = 3 * 6 + 2
    if shots > 8:
        heights.flat[np.flatnonzero(counts)[4]] += 300 * M
    around, offsets = nearest(counts, (3, 2), along, across)
    heard_m = np.array([int(heights.flat[at]) * 1e-9 for at in around])
    fits = np.ones(heard_m.size, np.bool_)
    if fits.size >= outlier._ENOUGH_FOR_PLANE:
        fits = np.array([abs(off) < outlier._FAR_OUT for off in left_out(heard_m, offsets)])
        assert np.count_nonzero(~fits) == 1
    told = heard_around(heights, counts, index, along, across)
    assert told[0].tolist() == heard_m[fits].tolist()
    assert told[1].tolist() == offsets[fits].tolist()
    whole = expected_at(heights, counts, index, along, across)
    of_all = expected_of(heard_m, offsets, fits)
    if fits.sum() < 5:
        assert whole is of_all is None
        return
    for expected in (whole, of_all):
        assert expected.centres.tolist() == expect(heard_m[fits], offsets[fits]).centres.tolist()
    centre = float(expect(heard_m[fits], offsets[fits], jumps=False).centre)
    read = expected_at(heights, counts, index, along, across, centre)
    assert read.centres.size == expect(heard_m[fits], offsets[fits], read_m=centre).centres.size
