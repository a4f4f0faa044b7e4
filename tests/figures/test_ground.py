"""Averages, spread, tilt and estimates, against certified values, reference libraries and laws."""

from __future__ import annotations

import re
from fractions import Fraction

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.model.entries import Readings
from rodcall.figures.ground import averages
from rodcall.units import MM, M, Unit
from tests.kit import CHECKDATA, a_book, a_job, figures, say, volcano

NIST = ["Lew", "Lottery", "Mavro", "Michelso", "NumAcc1", "NumAcc2", "NumAcc4", "PiDigits"]


@pytest.mark.parametrize("name", NIST)
def test_mean_and_deviation_of_the_certified_sets(name):
    """NIST StRD univariate sets (US Government work), certified values in the head of each file."""
    text = (CHECKDATA / f"nist_{name}.txt").read_text()
    certified = {key: float(value) for key, value in re.findall(r"certified (mean|sd)[^=]*= *(\S+)", text)}
    values = [Fraction(line) for line in text.split("\n") if line and not line.startswith("#")]
    heights = np.array([int(value * 10**6) for value in values], np.int64)
    counts = np.ones(heights.size, np.bool_)
    mean = averages.average(heights, counts)
    assert mean is not None
    assert float(mean / 10**6) == pytest.approx(certified["mean"], rel=1e-14)
    assert averages.spread(heights, counts) / 1e6 == pytest.approx(certified["sd"], rel=1e-13)


def test_the_two_averages_of_a_borrow_pit():
    """A borrow pit, COMPUTED from a published problem: 3 x 4 nodes, 20 m squares, V = 16 065 m3, 2 400 m2."""
    depths = "2.76 7.14 8.72 10.10 / 5.21 6.77 7.82 8.07 / 3.98 4.31 5.55 7.45"
    job = a_job(Unit.M, along=3, across=4, length=40 * M, width=60 * M)
    book = a_book(job=job)
    for row, line in enumerate(depths.split(" / "), 1):
        say(book, *(f"{column}{row} +{depth}" for column, depth in zip("ABCD", line.split(), strict=True)))
    summary = figures(book)
    assert summary.average == Fraction(649, 100) * M
    assert summary.area_average == pytest.approx(6.69375e9, rel=1e-14)
    assert float(summary.area_weights.sum()) == pytest.approx(2400)
    assert float((summary.area_weights * summary.surface_m).sum()) == pytest.approx(16_065, rel=1e-14)
    assert summary.averages_differ


@pytest.fixture(scope="module")
def volcano_summary():
    """R's volcano as an 87 x 61 job in metres, 10 m apart, read on a direct-reading rod from two setups.

    Its heights are over any reading's limit, so they are told from benchmarks at 120 m and 180 m, as a crew would.
    """
    heights = volcano()
    job = a_job(Unit.M, along=87, across=61, length=860 * M, width=600 * M, readings=Readings.DIRECT_ROD)
    book = a_book("reference BM1 high 120", "reference BM2 high 180", job=job)
    for reference, chosen in ((120, heights < 150), (180, heights >= 150)):
        say(book, f"setup BM{1 if reference == 120 else 2} 0")
        say(
            book,
            *(
                f"{job.grid.name(int(index))} {heights.flat[index] - reference:+.0f}"
                for index in np.flatnonzero(chosen.ravel())
            ),
        )
    return figures(book)


def test_volcano_averages_and_spread(volcano_summary):
    """R's open data set volcano, COMPUTED with scipy and statsmodels."""
    assert float(volcano_summary.average) / M == pytest.approx(130.18786508, abs=5e-9)
    assert volcano_summary.area_average / M == pytest.approx(130.9166667, abs=5e-8)
    assert volcano_summary.spread / M == pytest.approx(25.83233253439, abs=5e-12)
    weights = volcano_summary.area_weights
    assert float((weights * volcano_summary.surface_m).sum()) == pytest.approx(67_553_000, rel=1e-13)
    assert float((weights * (volcano_summary.surface_m - 130)).sum()) == pytest.approx(473_000, rel=1e-10)


def test_volcano_tilt(volcano_summary):
    """R's open data set volcano, COMPUTED with statsmodels: least-squares plane from A1, y along the rows."""
    tilt = volcano_summary.tilt
    assert tilt.at(0.0, 0.0) == pytest.approx(151.843501, abs=5e-7)
    assert tilt.across == pytest.approx(-0.0146922203, abs=5e-11)
    assert tilt.along == pytest.approx(-0.0401115584, abs=5e-11)
    assert tilt.rms == pytest.approx(23.6503, abs=5e-5)


SHOTS = st.lists(st.integers(-2000, 2000), min_size=12, max_size=12)
MASKS = st.lists(st.booleans(), min_size=12, max_size=12)
ALONG, ACROSS = np.array([0.0, 3.0, 7.0, 12.0]), np.array([0.0, 2.5, 6.0])


def fitted(heights, counts):
    return averages.tilt(np.reshape(heights, (4, 3)) * 1.0, np.reshape(counts, (4, 3)), ALONG, ACROSS)


@given(SHOTS, MASKS)
def test_tilt_agrees_with_statsmodels(heights, mask):
    """statsmodels OLS (pseudo-inverse), on any set of shots, those on one line included."""
    mask = np.array(mask)
    if not mask.any():
        assert fitted(heights, mask) is None
        return
    y, x = (axis.ravel()[mask] for axis in np.meshgrid(ALONG, ACROSS, indexing="ij"))
    design = np.column_stack([np.ones(y.size), y - y.mean(), x - x.mean()])
    reference = sm.OLS(np.array(heights)[mask], design).fit(method="pinv")
    tilt = fitted(heights, mask)
    assert [tilt.centre, tilt.along, tilt.across] == pytest.approx(reference.params, abs=1e-8)
    free = y.size - reference.model.rank
    assert tilt.rms == pytest.approx(np.sqrt(reference.ssr / free) if free else 0.0, abs=1e-7)


@given(SHOTS, MASKS)
def test_turning_all_signs_turns_the_figures(heights, mask):
    mask, heights = np.array(mask), np.array(heights)
    if not mask.any():
        return
    up, down = fitted(heights, mask), fitted(-heights, mask)
    assert (down.centre, down.along, down.across) == pytest.approx((-up.centre, -up.along, -up.across), abs=1e-9)
    assert averages.average(-heights, mask) == -averages.average(heights, mask)
    assert averages.spread(-heights, mask) == averages.spread(heights, mask)
    shape = (4, 3)
    estimates = averages.filled(heights.reshape(shape) * 1.0, mask.reshape(shape), up, ALONG, ACROSS)
    turned = averages.filled(-heights.reshape(shape) * 1.0, mask.reshape(shape), down, ALONG, ACROSS)
    assert turned == pytest.approx(-estimates, abs=1e-9)


@given(SHOTS, st.permutations(range(12)))
def test_the_order_of_shots_does_not_matter(heights, order):
    counts = np.ones(12, np.bool_)
    heights = np.array(heights)
    assert averages.average(heights[list(order)], counts) == averages.average(heights, counts)
    assert averages.spread(heights[list(order)], counts) == pytest.approx(averages.spread(heights, counts), abs=1e-9)


@given(MASKS, st.floats(-5, 5), st.floats(-0.2, 0.2), st.floats(-0.2, 0.2))
def test_even_ground_is_estimated_exactly(mask, offset, along, across):
    mask = np.array(mask).reshape(4, 3)
    even = offset + along * ALONG[:, None] + across * ACROSS[None, :]
    lines, columns = np.nonzero(mask)
    places = np.column_stack((ALONG[lines], ACROSS[columns]))
    # Spots in one line, as they lie on the ground, leave the slope across it open.
    if len(places) < 3 or np.linalg.matrix_rank(places - places[0], tol=1e-9) < 2:
        return
    tilt = averages.tilt(even, mask, ALONG, ACROSS)
    broken = np.where(mask, even, 1e6)
    assert averages.filled(broken, mask, tilt, ALONG, ACROSS) == pytest.approx(even, abs=1e-9)


@given(SHOTS, MASKS)
def test_estimates_look_the_same_in_a_mirror(heights, mask):
    mask, heights = np.array(mask).reshape(4, 3), np.array(heights, float).reshape(4, 3)
    if not mask.any():
        return
    even = np.arange(4.0), np.arange(3.0)
    plain = averages.filled(heights, mask, averages.tilt(heights, mask, *even), *even)
    flipped = (heights[::-1, ::-1], mask[::-1, ::-1])
    mirrored = averages.filled(*flipped, averages.tilt(*flipped, *even), *even)
    assert mirrored[::-1, ::-1] == pytest.approx(plain, abs=1e-8)
    assert (plain[mask] == heights[mask]).all(), "what was shot is not touched"


def test_a_single_gap_is_the_plane_and_its_neighbours():
    heights = np.array([[0, 0, 0], [0, 99, 0], [0, 0, 0], [0, 0, 8]], float)
    counts = np.ones((4, 3), np.bool_)
    counts[1, 1] = False
    even = np.arange(4.0), np.arange(3.0)
    tilt = averages.tilt(heights, counts, *even)
    around = [(r, c) for r in range(3) for c in range(3) if (r, c) != (1, 1)]
    by_hand = tilt.at(1.0, 1.0) + np.mean([heights[r, c] - tilt.at(float(r), float(c)) for r, c in around])
    assert averages.filled(heights, counts, tilt, *even)[1, 1] == pytest.approx(by_hand)


def test_an_estimate_enters_no_average_and_no_count():
    whole = figures(a_book("A1 +10", "B1 +20", "C1 +30", job=a_job(Unit.MM)))
    assert whole.average == 20 * MM
    assert whole.counted == 3
    assert len(whole.missing) == 9


def test_the_spread_of_two_shots():
    """By hand: 3 and 7 lie 2 off their mean; the root of (4 + 4) / (2 - 1). One shot has none."""
    heights = np.array([[3, 7, 100]])
    assert averages.spread(heights, np.array([[True, True, False]])) == pytest.approx(8**0.5, rel=1e-15)
    assert averages.spread(heights, np.array([[True, False, False]])) is None


def test_extremes_are_the_first_of_equals():
    heights = np.array([5, 9, 9, 1, 1])
    assert averages.extremes(heights, np.ones(5, bool)) == (1, 3)
    assert averages.extremes(heights, np.array([True, False, True, False, True])) == (2, 4)
    assert averages.extremes(heights, np.zeros(5, bool)) is None


@pytest.mark.parametrize("sign", [1, -1])
def test_a_spot_that_does_not_count_is_neither_the_highest_nor_the_lowest(sign):
    heights = sign * np.array([0, 5, 3]) * 25_400_000
    found = averages.extremes(heights, np.array([False, True, True]))
    assert found == ((1, 2) if sign > 0 else (2, 1))


def test_an_estimate_leans_on_the_three_nearest_windowfuls_and_no_farther_shot():
    """By hand, on level ground: 1, 2 and 3 m side by side, 100 m two spots on; one and two lines off they are 2 m."""
    heights, counts = np.zeros((3, 5)), np.zeros((3, 5), bool)
    heights[0, [0, 1, 2, 4]], counts[0, [0, 1, 2, 4]] = (1.0, 2.0, 3.0, 100.0), True
    level = averages.Tilt(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    found = averages.filled(heights, counts, level, np.arange(3.0), np.arange(5.0))
    assert found[1, 1] == pytest.approx(2.0), "three shots are enough, one spot each way"
    assert found[2, 1] == pytest.approx(2.0), "two spots each way reach them; four would reach the other too"


def test_four_shots_leave_one_free_of_the_plane():
    """By hand: 0, 0, 0 and 4 m at the corners of a square lie 1 m off the plane each: the root of 4 / 1."""
    axis = np.array([0.0, 3.0])
    fitted = averages.tilt(np.array([[0.0, 0.0], [0.0, 4.0]]), np.ones((2, 2), bool), axis, axis)
    assert fitted.rms == pytest.approx(2.0)


@pytest.mark.parametrize("step", [0.1, 0.7, 1.9])
def test_on_shots_along_a_slanting_line_the_fall_across_it_is_0(step):
    """By hand: (a, b) m apart each and 0.05 m up: the slope down the line is 0.05 over the root of a2 + b2."""
    along, across = np.arange(5) * step, np.arange(5) * 1.3
    fitted = averages.tilt(np.diag(0.05 * np.arange(5)), np.eye(5, dtype=bool), along, across)
    square = step**2 + 1.3**2
    assert (fitted.along, fitted.across) == pytest.approx((0.05 * step / square, 0.05 * 1.3 / square), rel=1e-9)
