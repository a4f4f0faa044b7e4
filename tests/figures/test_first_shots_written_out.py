"""The first shots of a pad, against the search for jumps among them written out with no class and no shortcut."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers import first_shots, search
from rodcall.figures.outliers.expectation import Expectation, expect, nearest
from rodcall.figures.outliers.judging import judge
from rodcall.figures.outliers.mistakes import Mistake, Way
from rodcall.figures.outliers.outlier import FEWEST_SHOTS, Bust, log_odds, weigh
from rodcall.figures.target import metres
from rodcall.units import FOOT, INCH, MM
from tests.detectors import FEET, INCHES, MILLIMETRES
from tests.figures.test_search_written_out import ROD, mixed

GROSS = {
    *(Mistake.FOOT, Mistake.METRE, Mistake.SIGN, Mistake.SWAPPED, Mistake.LOST, Mistake.SECTION, Mistake.TEENS),
    *(Mistake.LOST_SLASH, Mistake.TEN_TIMES, Mistake.LOST_POINT),
}
"""A mark of the rod, or inches for tenths, moves a reading by less than a jump."""
EVEN = np.arange(4) * 3.0, np.arange(3) * 4.0


def weighed(heights: dict[int, int], index: int, way: Way, said: str, least: float) -> Bust | None:
    """One against some others, by smooth ground alone; all that is thought of is gross, so that nothing counts more."""
    known, whole = np.zeros((4, 3), np.bool_), np.zeros((4, 3), np.int64)
    for at, height in heights.items():
        whole.flat[at], known.flat[at] = height, True
    around, offsets = nearest(known, divmod(index, 3), *EVEN)
    if not around.size:
        return None
    expected: Expectation = expect(metres(whole.flat[around]), offsets, jumps=False)
    return weigh(expected, index, heights[index], way, said, least, GROSS, gross_weight=1.0)


def first_plainly(heights: dict[int, int], way_at, last, zero, said) -> dict[int, Bust]:
    """Of those that jump: what a mistake explains; of those what speaks loudest, or half as loud; of those what the
    zero speaks against, where heights are told from a spot that is not shot yet; of those the last, else the hindmost.
    """
    left, aside = dict(heights), {}
    while len(left) > 1:
        jumps = []
        for index in sorted(left):
            bust = weighed(left, index, way_at(index), said.get(index, ""), log_odds(first_shots.ASK_FROM))
            if bust is not None and abs(bust.height_nm - bust.expected_nm) >= 0.15e9:
                jumps.append(bust)
        if any(bust.explanations for bust in jumps):
            jumps = [bust for bust in jumps if bust.explanations]
        if not jumps:
            break
        jumps = loudest(jumps)
        told = all(way_at(index).readings is Readings.HEIGHT for index in left)
        if len(jumps) > 1 and zero is not None and zero not in left and told:
            with_zero = left | {zero: 0}
            against = [weighed(with_zero, b.index, way_at(b.index), said.get(b.index, ""), -np.inf) for b in jumps]
            jumps = [bust for bust in jumps if bust.index in {each.index for each in loudest(against)}]
        wrong = next((bust for bust in jumps if bust.index == last), jumps[-1])
        aside[wrong.index] = wrong
        del left[wrong.index]
    return aside


def loudest(busts: list[Bust]) -> list[Bust]:
    return [bust for bust in busts if bust.score > max(each.score for each in busts) - np.log(2)]


def arrays(heights: dict[int, int]) -> tuple[np.ndarray, np.ndarray]:
    """What does not count, as a line that was taken back, tells nothing."""
    whole, counts = np.full((4, 3), 9 * FOOT), np.zeros((4, 3), np.bool_)
    for at, height in heights.items():
        whole.flat[at], counts.flat[at] = height, True
    return whole, counts


@st.composite
def first(draw):
    """Two to five shots, some of them a foot or more off, or typed without a slash."""
    where = draw(st.lists(st.integers(0, 11), min_size=2, max_size=5, unique=True))
    level = draw(st.sampled_from([0, 0, 3 * INCH, -20 * FOOT]))
    by = st.sampled_from([0, 0, 0, FOOT, -FOOT, 2 * FOOT, 38 * INCH, 6 * INCH, 80 * FOOT // 7 // 8 * 8, -7 * FOOT])
    heights = {at: level + draw(st.integers(-8, 8)) * (INCH // 8) + draw(by) for at in where}
    zero = draw(st.one_of(st.none(), st.integers(0, 11)))
    return heights, draw(st.one_of(st.none(), st.sampled_from(where))), zero


@given(first(), st.sampled_from([lambda _: INCHES, lambda _: FEET, lambda _: MILLIMETRES, lambda _: ROD, mixed]))
def test_few_shots_are_searched_as_written_out(shots, way_at):
    heights, last, zero = shots
    wanted = first_plainly(heights, way_at, last, zero, {})
    whole, counts = arrays(heights)
    for found in (
        first_shots.search(whole, counts, *EVEN, way_at, last, zero),
        search.busts(whole, counts, *EVEN, way_at, last, zero),
    ):
        assert [(bust.index, bust.score) for bust in found] == [
            (index, pytest.approx(wanted[index].score)) for index in sorted(wanted)
        ]
    assert whole.tolist() == arrays(heights)[0].tolist(), "the page stays as it is"


@given(first(), st.sampled_from([INCHES, FEET, ROD]))
def test_one_of_few_is_judged_as_the_search_finds_it(shots, way):
    """Whether it counts makes no difference; it came last where nothing else is told, and as it was typed."""
    heights, last, zero = shots
    for index in heights:
        said = way.text(way.reading(heights[index]))
        came = index if last is None else last
        wanted = first_plainly(heights, lambda _: way, came, zero, {index: said}).get(index)
        whole, counts = arrays(heights)
        for counted in (True, False):
            counts.flat[index] = counted
            for found in (
                first_shots.judge(whole, counts, index, *EVEN, way, said, last, zero),
                judge(whole, counts, index, *EVEN, way, said, last=last, zero=zero),
            ):
                assert (found is None) == (wanted is None)
                assert found is None or (found.index, found.score) == (index, pytest.approx(wanted.score))
        assert counts.sum() == len(heights) - 1, "nor is the mask changed"


def test_a_jump_is_fifteen_centimetres_from_what_is_expected():
    """Some way short of it nothing is asked, however sure; a decimal point would explain each."""
    for apart, asked in ((140, False), (149, False), (165, True), (300, True)):
        heights = {0: 10 * MM, 1: 10 * MM, 2: 10 * MM, 3: 10 * MM, 4: (10 + apart) * MM}
        (bust,) = first_plainly(heights, lambda _: MILLIMETRES, 4, None, {}).values() or (None,)
        found = first_shots.search(*arrays(heights), *EVEN, lambda _: MILLIMETRES, 4)
        assert bool(found) is asked is (bust is not None)


@pytest.mark.parametrize(
    ("ways", "asked"), [((INCHES, INCHES), 0), ((INCHES, ROD), 1), ((ROD, INCHES), 1), ((ROD, ROD), 1)]
)
def test_the_zero_tells_only_where_all_heights_are_told_from_it(ways, asked):
    """Of two a foot apart the first lies as far off the zero; a rod may be read from anywhere, so the last is asked."""
    heights = {0: FOOT + INCH // 8, 1: -INCH // 4}
    found = first_shots.search(*arrays(heights), *EVEN, lambda index: ways[index], 1, 4)
    assert [bust.index for bust in found] == [asked]


def test_two_shots_tell_of_a_jump_and_one_does_not():
    both = {0: 0, 1: FOOT}
    assert len(first_shots.search(*arrays(both), *EVEN, lambda _: INCHES, 1)) == 1
    assert first_shots.search(*arrays({1: FOOT}), *EVEN, lambda _: INCHES, 1, 0) == ()


@pytest.mark.parametrize(("odds", "both"), [(1.9, True), (2.1, False)])
def test_one_that_is_twice_as_likely_wrong_is_the_one(odds, both):
    busts = [Bust(at, 0, 0, 0, np.log(each), ()) for at, each in enumerate((3.0, 3.0 * odds))]
    assert [bust.index for bust in first_shots._Page._likeliest(busts)] == ([0, 1] if both else [1])


@pytest.mark.parametrize("shots", [FEWEST_SHOTS, FEWEST_SHOTS + 1])
def test_from_six_shots_on_the_ground_is_listened_to(shots, monkeypatch):
    """Of five each has four others, and a mark more or less is not asked about."""
    taken = []
    monkeypatch.setattr(search.first_shots, "search", lambda *told: taken.append(told[-2:]) or ())
    heights = dict.fromkeys(range(shots), 0)
    assert search.busts(*arrays(heights), *EVEN, lambda _: INCHES, 3, 7) == ()
    assert taken == ([(3, 7)] if shots == FEWEST_SHOTS else [])
