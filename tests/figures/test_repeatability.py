"""Placing the rod and reading it: the pooled scatter of spots that were read more than once."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
import statsmodels.formula.api as smf
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import f_oneway

from rodcall.book.model.entries import Shot
from rodcall.figures.uncertainty.repeatability import ENOUGH_FREEDOM, PLACING, repeatability
from rodcall.units import FOOT, INCH, MM, Unit
from tests.kit import a_book, a_job, again, figures, older, put_right, say


def drawn(spots: int, rng: np.random.Generator, scatter: float = 1.6 * MM) -> list[list[int]]:
    """Whole millimetres of spots read two to four times, spots some centimetres apart."""
    return [
        (np.rint(rng.normal(rng.normal(0, 30 * MM), scatter, rng.integers(2, 5)) / MM).astype(int) * MM).tolist()
        for _ in range(spots)
    ]


@pytest.mark.parametrize("seed", range(5))
def test_pooled_variance_is_the_mean_square_within_of_an_analysis_of_variance(seed):
    """One-way ANOVA by statsmodels, and scipy's F through it, for spots of unequal size."""
    spots = drawn(15, np.random.default_rng(seed))
    found = repeatability(spots, MM, Unit.MM)
    table = pd.DataFrame(
        [(spot, mm / MM) for spot, heights in enumerate(spots) for mm in heights], columns=["spot", "mm"]
    )
    fitted = smf.ols("mm ~ C(spot)", table).fit()
    assert (found.scatter_nm / MM) ** 2 == pytest.approx(fitted.mse_resid, rel=1e-9)
    assert found.freedom == fitted.df_resid
    between = sm.stats.anova_lm(fitted)["mean_sq"].iloc[0]
    assert between / (found.scatter_nm / MM) ** 2 == pytest.approx(f_oneway(*spots).statistic, rel=1e-9)


def test_by_hand():
    """Three spots (mm): 1 3 | 10 10 13 | -2 -2. Squares 2 + 6 + 0 over 1 + 2 + 1 = 2 mm2."""
    found = repeatability([[MM, 3 * MM], [10 * MM, 10 * MM, 13 * MM], [-2 * MM, -2 * MM]], MM, Unit.MM)
    assert found.scatter_nm / MM == pytest.approx(math.sqrt(2))
    assert (found.freedom, found.spots, found.gross) == (4, 3, 0)
    assert not found.measured
    assert found.placing_nm == 1.5 * MM, "common practice serves until there is enough"


@pytest.mark.parametrize(("spots", "measured"), [(ENOUGH_FREEDOM - 1, False), (ENOUGH_FREEDOM, True)])
def test_the_books_own_scatter_is_used_from_ten_degrees_of_freedom(spots, measured):
    found = repeatability([[0, 2 * MM]] * spots, MM, Unit.MM)
    assert found.measured is measured
    expected = math.sqrt(2 - 1 / 12) if measured else 1.5
    assert found.placing_nm / MM == pytest.approx(expected), "without the mark's share, which is counted by itself"


def test_rounding_is_counted_once():
    """Placing and reading together are the scatter that was seen, and never less than reading alone."""
    for apart in (0, 1, 2, 4):
        found = repeatability([[0, apart * MM]] * 20, MM, Unit.MM)
        together = math.hypot(found.placing_nm, MM / math.sqrt(12))
        assert together == pytest.approx(max(found.scatter_nm, MM / math.sqrt(12)))


@pytest.mark.parametrize("unit", Unit)
def test_a_mistake_is_no_scatter(unit):
    """A foot off at one spot of forty, and a spot of three readings of which one is a foot off."""
    rng = np.random.default_rng(5)
    step = unit.default_step
    sound = (np.rint(rng.normal(0, 1.5 * PLACING[unit], (40, 2)) / step).astype(int) * step).tolist()
    clean = repeatability(sound, step, unit)
    wrong = repeatability([*sound, [0, FOOT], [step, step, -FOOT]], step, unit)
    assert clean.gross == 0
    assert wrong.gross == 2
    assert wrong.scatter_nm == pytest.approx(clean.scatter_nm)


def test_a_rough_crew_is_believed():
    """Half an inch between two readings of a spot, eight times the default, again and again: that is how they read."""
    found = repeatability([[0, INCH // 2], [0, -INCH // 2], [0, INCH // 4]] * 6, INCH // 8, Unit.IN)
    assert found.gross == 0
    assert found.scatter_nm / INCH == pytest.approx(math.sqrt((1 / 8 + 1 / 8 + 1 / 32) / 3))


def test_no_scatter_is_hidden_by_height():
    """Heights of kilometres on the book's datum lose no digit."""
    low = repeatability([[0, MM, 3 * MM]] * 6, MM, Unit.MM).scatter_nm
    assert repeatability([[3_000_000 * MM + at for at in (0, MM, 3 * MM)]] * 6, MM, Unit.MM).scatter_nm == low


@given(st.lists(st.lists(st.integers(-20, 20), min_size=2, max_size=5), min_size=1, max_size=20), st.randoms())
def test_sign_and_order_do_not_matter(spots, chance):
    told = repeatability([[mm * MM for mm in spot] for spot in spots], MM, Unit.MM)
    other = [[-mm * MM for mm in chance.sample(spot, len(spot))] for spot in chance.sample(spots, len(spots))]
    again = repeatability(other, MM, Unit.MM)
    assert (again.freedom, again.spots, again.gross) == (told.freedom, told.spots, told.gross)
    assert again.placing_nm == pytest.approx(told.placing_nm, rel=1e-6, abs=1e-3)


@pytest.mark.parametrize(
    ("unit", "placing"),
    [(Unit.IN, INCH / 16), (Unit.FT, FOOT / 200), (Unit.MM, 1.5 * MM), (Unit.CM, 1.5 * MM), (Unit.M, 1.5 * MM)],
)
def test_until_enough_was_read_again_common_practice_serves(unit, placing):
    """Common practice: 1/16 in, 0.005 ft, 1.5 mm."""
    found = repeatability([], unit.default_step, unit)
    assert (found.placing_nm, found.scatter_nm, found.freedom, found.spots, found.gross) == (placing, None, 0, 0, 0)
    assert str(found.source) == "common practice, until 10 spots are read again"


@pytest.mark.parametrize(("apart", "gross"), [(9, 0), (10, 1)])
def test_six_standard_deviations_by_the_default_are_a_mistake(apart, gross):
    """By hand: 1.5 mm of placing and 1 / sqrt 12 of rounding are 1.5275 mm together; six of them 9.165 mm."""
    found = repeatability([[0, 0], [0, 0], [0, apart * MM]], MM, Unit.MM)
    assert (found.gross, found.spots, found.freedom) == (gross, 3 - gross, 3 - gross)
    assert found.scatter_nm / MM == pytest.approx(0.0 if gross else math.sqrt(apart**2 / 2 / 3))


@pytest.mark.parametrize(("apart", "gross"), [(50, 0), (51, 1)])
def test_six_standard_deviations_by_a_rough_crews_own_readings(apart, gross):
    """By hand: 8 mm apart are 4 mm off the mean, times sqrt 2 and 1.4826: 8.387; six are 50.3 mm."""
    found = repeatability([[0, 8 * MM]] * 20 + [[0, apart * MM]], MM, Unit.MM)
    assert found.gross == gross
    squares = 20 * 32 + (0 if gross else apart**2 / 2)
    assert found.scatter_nm / MM == pytest.approx(math.sqrt(squares / (21 - gross)))
    assert found.placing_nm / MM == pytest.approx(math.sqrt(squares / (21 - gross) - 1 / 12))
    assert f"{2 * (21 - gross)} readings of {21 - gross} spots" in str(found.source)


def test_a_spot_of_three_counts_by_its_own_size():
    """0, 0 and 12 mm: 4, 4, 8 off the mean, times sqrt(3/2); the median, 4.9, times 1.4826 is 7.263; six 43.6."""
    for apart, gross in ((43, 0), (44, 1)):
        found = repeatability([[0, 0, 12 * MM]] * 9 + [[0, apart * MM]], MM, Unit.MM)
        assert found.gross == gross, apart


def test_where_every_spot_is_a_mistake_nothing_is_pooled():
    """Nine alike and one a foot off: 30.5 mm off the mean for most, times 1.4826 and sqrt(10/9): 47.6; six 286."""
    found = repeatability([[0] * 9 + [FOOT]], MM, Unit.MM)
    assert (found.gross, found.spots, found.freedom, found.scatter_nm) == (1, 0, 0, None)
    assert found.placing_nm == 1.5 * MM


# -- from a book --------------------------------------------------------------------------------------------


def read_again(book):
    return sorted(figures(book).evidence.repeated)


def test_readings_that_count_together_in_any_round_are_pooled():
    job = a_job(Unit.MM)
    book = a_book("A1 +3", "A1 +5", "B1 +1", "C1 +7", "round working", "A1 +2", "A1 +1", job=job)
    assert read_again(book) == [(2 * MM, MM), (3 * MM, 5 * MM)], "a new round is no second reading"
    say(book, "strike A1")
    assert read_again(book) == [(3 * MM, 5 * MM)]
    say(book, "A1 +4", "A1 +5")
    assert read_again(book) == [(3 * MM, 5 * MM), (4 * MM, 5 * MM)], "the first agreed with neither: misread, or dug"


def test_older_books_pool_theirs_too():
    book = a_book("A1 +3", "B1 +1", job=a_job(Unit.MM))
    again(book, "A1", "+5")
    older(book, Shot, "-1", position="B1", reading_nm=-MM)
    assert read_again(book) == [(3 * MM, 5 * MM)], "B1 was read anew, not again"


def test_readings_of_which_no_two_agree_are_all_pooled():
    """To leave some out would make the scatter look smaller than it is."""
    assert read_again(a_book("A1 +3", "A1 +5", "A1 +8", job=a_job(Unit.MM))) == [(3 * MM, 5 * MM, 8 * MM)]


def test_spots_that_were_dug_and_read_again_do_not_make_the_crew_look_careless():
    book = a_book(job=a_job(Unit.MM))
    for name in book.job.grid.names:
        say(book, f"{name} +40", f"{name} 0", f"{name} +1")
    assert read_again(book) == [(0, MM)] * 12


def test_a_reading_put_right_was_not_read():
    book = a_book("A1 +300", job=a_job(Unit.MM))
    put_right(book, "A1", "+3", "one foot")
    again(book, "A1", "+4")
    assert read_again(book) == []
    again(book, "A1", "+5")
    assert read_again(book) == [(4 * MM, 5 * MM)]


def test_readings_from_two_setups_are_no_repeats():
    """They differ by the backsights too."""
    from rodcall.book.model.entries import Readings

    job = a_job(Unit.MM, readings=Readings.ROD)
    book = a_book("reference BM high 0", "setup BM 1000", "A1 1000", "setup BM 1200", "A1 1203", job=job)
    assert read_again(book) == []
    say(book, "A1 1201")
    assert read_again(book) == [(-3 * MM, -MM)]
