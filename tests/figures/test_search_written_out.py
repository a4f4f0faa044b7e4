"""All readings of a page that do not fit, and of its first shots, against the search written out with no shortcut."""

from __future__ import annotations

from functools import cache
from itertools import groupby

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers import first_shots, search
from rodcall.figures.outliers.expectation import Expectation, expect, nearest
from rodcall.figures.outliers.judging import judge
from rodcall.figures.outliers.mistakes import Mistake, Way
from rodcall.figures.outliers.outlier import ASK_FROM, FEWEST_SHOTS, Bust, expected_of, listened_to, log_odds, weigh
from rodcall.figures.target import metres
from rodcall.units import FOOT, INCH, MM, Unit
from tests.detectors import FEET, INCHES, MILLIMETRES

ROD = Way(Unit.IN, INCH // 8, Readings.ROD, 5 * FOOT)


def mixed(index: int) -> Way:
    """Every third reading was taken with a rod, the others told as heights."""
    return ROD if index % 3 == 0 else INCHES


def judged(heights, sound: set[int], index: int, along, across, way: Way) -> Bust | None:
    """One reading against all others of a page that are sound, edges of the ground and jumps looked for."""
    counts = np.zeros(heights.shape, np.bool_)
    counts.flat[sorted(sound)] = True
    if len(sound) <= FEWEST_SHOTS:
        return judge(heights, counts, index, along, across, way)
    around, offsets = nearest(counts, divmod(index, heights.shape[1]), along, across)
    around_m = np.array([int(heights.flat[at]) * 1e-9 for at in around])
    expected = expected_of(around_m, offsets, listened_to(around_m, offsets))
    return None if expected is None else weigh(expected, index, int(heights.flat[index]), way, "", log_odds(ASK_FROM))


def plainly(heights, counts, along, across, way_at) -> dict[int, Bust]:
    """Judge each; set aside each that no worse one lies near; judge those near them, and those they lay near, again."""
    sound, aside, doubted = set(np.flatnonzero(counts).tolist()), {}, {}
    pending = set(sound)
    while pending:
        for index in sorted(pending):
            bust = judged(heights, sound, index, along, across, way_at(index))
            doubted.pop(index, None)
            if bust is not None:
                doubted[index] = bust
        mask = np.zeros(heights.shape, np.bool_)
        mask.flat[sorted(sound)] = True
        around = {
            index: set(nearest(mask, divmod(index, heights.shape[1]), along, across)[0].tolist()) for index in doubted
        }
        worst = {
            index
            for index, bust in doubted.items()
            if not any((-doubted[other].score, other) < (-bust.score, index) for other in around[index] & set(doubted))
        }
        pending = set().union(*(around[index] for index in worst))
        pending |= {index for index in doubted if around[index] & worst}
        pending -= worst
        sound -= worst
        aside |= {index: doubted.pop(index) for index in worst}
    return aside


def same(found: tuple[Bust, ...], wanted: dict[int, Bust]) -> None:
    assert [bust.index for bust in found] == sorted(wanted)
    for bust in found:
        one = wanted[bust.index]
        # Several positions at once are told of edges to some digits only: those of each row's own are among all.
        assert bust.score == pytest.approx(one.score, abs=0.05, rel=1e-3)
        assert [each.mistake for each in bust.explanations] == [each.mistake for each in one.explanations]
        assert bust.height_nm == one.height_nm
        assert bust.expected_nm == pytest.approx(one.expected_nm, abs=2 * MM)


PAGES = ["sound", "one", "beside each other", "holes", "all over", "step", "few left"]


@cache
def page(kind: str):
    """A strip of five columns: those in the middle of it have their nearest shots alike, the ends have not."""
    rng = np.random.default_rng(PAGES.index(kind))
    lines, columns = (19, 5) if kind != "few left" else (3, 3)
    rows, across = np.indices((lines, columns))
    heights = ((rows * 2 - across * 3 + rng.integers(-1, 2, rows.shape)) * (INCH // 8)).astype(np.int64)
    counts = np.ones(heights.shape, np.bool_)
    wrong = {
        "one": {47: FOOT},
        "beside each other": {46: FOOT, 47: -FOOT, 51: 12 * FOOT, 52: -INCH * 6, 3: -FOOT},
        "holes": {37: 5 * INCH, 44: -FOOT, 52: INCH * 4},
        "all over": {
            int(at): int(by) * INCH for at, by in zip(rng.permutation(95)[:6], rng.integers(-9, 10, 6), strict=True)
        },
        "step": {47: FOOT, 60: -2 * FOOT},
        "few left": {1: FOOT, 4: -FOOT, 8: 3 * FOOT},
    }.get(kind, {})
    for index, by in wrong.items():
        heights.flat[index] += by
    if kind == "holes":
        counts.flat[[38, 45, 46, 51, 62, 94]] = False
        # What does not count tells nothing.
        heights.flat[[38, 45]] += 40 * FOOT
    if kind == "step":
        heights[10:] += 3 * INCH
    if kind == "few left":
        counts.flat[[5, 6]] = False
    return heights, counts, np.arange(lines) * 3.0, np.arange(columns) * 3.0


@cache
def of_page(kind: str) -> dict[int, Bust]:
    return plainly(*page(kind), mixed)


@pytest.mark.parametrize("kind", PAGES)
def test_a_page_is_searched_as_its_readings_are_judged(kind):
    wanted = of_page(kind)
    assert (kind == "sound") is not bool(wanted)
    same(search.busts(*page(kind), mixed), wanted)


def test_the_worst_goes_first_and_hides_no_other():
    """By hand: two neighbours a foot high and a foot low both stand, and no sound one beside them does."""
    assert set(of_page("beside each other")) == {3, 46, 47, 51, 52}
    assert set(of_page("one")) == {47}


@pytest.mark.parametrize("kind", ["sound", "holes", "all over"])
def test_others_have_their_turn_after_each_piece_of_work(kind, monkeypatch):
    """Between two turns the ground is looked at twice at the most; what was found comes last and once."""
    steps = []
    for name in ("expect", "expected_of"):

        def watched(*arguments, was=getattr(search, name)):
            steps.append("work")
            return was(*arguments)

        monkeypatch.setattr(search, name, watched)
    for told in search.search(*page(kind), mixed):
        steps.append("turn" if told is None else "end")
    assert steps.count("end") == 1
    assert steps[-1] == "end"
    assert max(len(list(run)) for what, run in groupby(steps) if what == "work") <= 2


@pytest.mark.parametrize(("holes", "goes"), [((), [5] * 5), ((46, 20), [5, 4, 5, 5, 5]), ((4,), [4] * 5)])
def test_readings_whose_neighbours_lie_alike_are_looked_at_at_once(holes, goes, monkeypatch):
    """Of 95 readings those on the five lines in the middle, column by column; a hole that five others lie around, as
    around one at the edge, makes no difference. One in a corner has three: a line that sees it stays alone.
    """
    looked, was = [], search.expect
    monkeypatch.setattr(search, "expect", lambda rows, offsets: (looked.append(len(rows)), was(rows, offsets))[1])
    heights, counts, *axes = page("sound")
    counts = counts.copy()
    counts.flat[list(holes)] = False
    assert search.busts(heights, counts, *axes, mixed) == ()
    assert [many for many in looked if many > 1] == goes
    assert len(looked) == len(goes) + 95 - len(holes) - sum(goes)


def test_a_hole_is_filled_with_the_mean_of_the_shots_around_it():
    """One by one, of the eight around each."""
    rng = np.random.default_rng(12)
    heights, counts = rng.integers(-50, 51, (5, 4)) * MM, rng.random((5, 4)) < 0.6
    counts[:2, :2] = False
    many, mean_m = search._beside(heights, counts)
    for row in range(5):
        for column in range(4):
            around = [
                int(heights[r, c]) * 1e-9
                for r in range(max(row - 1, 0), min(row + 2, 5))
                for c in range(max(column - 1, 0), min(column + 2, 4))
                if (r, c) != (row, column) and counts[r, c]
            ]
            assert many[row, column] == len(around)
            assert mean_m[row, column] == pytest.approx(sum(around) / len(around) if around else 0.0)
    assert many.min() == 0


def test_near_a_hole_a_reading_is_looked_at_closely_where_the_odds_are_twenty_times_less():
    """What a hole is filled with is a guess: three less in the log odds (our own), give or take what the guess does."""
    heights, counts, *axes = page("sound")
    index, whole = 9 * 5 + 2, counts.copy()
    counts = counts.copy()
    counts[8, 1] = False
    least = {}
    for name, shot in (("whole", whole), ("hole", counts)):

        def raised(by: int) -> np.ndarray:
            high = heights.copy()
            high.flat[index] += by
            return high

        # By halves: the least that makes it one to look at.
        low, top = 0, 80 * MM
        while top - low > MM // 100:
            middle = (low + top) // 2
            asked = index in search._suspects(raised(middle), shot, np.flatnonzero(shot), *axes, mixed)
            low, top = (low, middle) if asked else (middle, top)
        around, offsets = nearest(shot, divmod(index, 5), *axes)
        expected = expect(metres(heights.flat[around]), offsets)
        height = int(heights.flat[index]) + top
        least[name] = weigh(expected, index, height, mixed(index), "", -np.inf).score
    ask = log_odds(ASK_FROM)
    assert least["whole"] == pytest.approx(ask, abs=0.05)
    assert least["hole"] == pytest.approx(ask - 3, abs=1)


def test_some_of_those_whose_neighbours_lie_alike_may_hear_all_of_them_and_others_not():
    """A shot of twelve feet near one end is among the nearest of one, and not listened to; the other is far from it."""
    heights, counts, *axes = page("sound")
    heights = heights.copy()
    heights.flat[1 * 5 + 2] += 12 * FOOT
    for some in ([7 * 5 + 2, 11 * 5 + 2], [11 * 5 + 2, 7 * 5 + 2, 8 * 5 + 2]):
        high = heights.copy()
        high.flat[some] += 13 * MM
        high.flat[some[-1]] += 6 * MM
        found = {each.index: each for each in search._judged(high, counts, some, *axes, mixed) if each is not None}
        wanted = {index: judged(high, set(range(95)), index, *axes, mixed(index)) for index in some}
        same(tuple(found[index] for index in sorted(found)), {at: one for at, one in wanted.items() if one})
        hears = [
            listened_to(metres(high.flat[(at := nearest(counts, divmod(index, 5), *axes))[0]]), at[1]).all()
            for index in some
        ]
        assert len(set(hears)) == 2


# -- the first shots ---------------------------------------------------------------------------------------------------

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
    return weigh(expected, index, heights[index], way, said, least, GROSS, gross=1.0)


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
