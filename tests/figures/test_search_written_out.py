"""All readings of a page that do not fit, against the search written out with no shortcut."""

from __future__ import annotations

from functools import cache
from itertools import groupby

import numpy as np
import pytest

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers import search
from rodcall.figures.outliers.expectation import expect, nearest
from rodcall.figures.outliers.judging import judge
from rodcall.figures.outliers.mistakes import Way
from rodcall.figures.outliers.outlier import ASK_FROM, FEWEST_SHOTS, Bust, expected_of, listened_to, log_odds, weigh
from rodcall.figures.target import metres
from rodcall.units import FOOT, INCH, MM, Unit
from tests.detectors import INCHES

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


@pytest.mark.parametrize("seed", [11, 32])
def test_one_that_leans_on_two_far_apart_is_judged_again_without_either(seed):
    """Few shots between two close groups: they lean on the groups, whose shots do not lean on them.

    Found by trying seeds until it made a difference on how many of those set aside at once a reading leans.
    """
    rng = np.random.default_rng(seed)
    counts = np.zeros((60, 8), np.bool_)
    counts[:10] = counts[50:] = True
    counts[rng.integers(12, 47, 6), rng.integers(0, 8, 6)] = True
    rows, columns = np.indices(counts.shape)
    heights = ((rows * 2 - columns * 3) // 2 + rng.integers(-2, 3, counts.shape)) * (INCH // 8)
    shot = np.flatnonzero(counts)
    for index in [*(at for at in shot.tolist() if 10 <= at // 8 < 50), *rng.choice(shot, 4).tolist()]:
        if rng.random() < 0.7:
            heights.flat[index] += rng.choice([1, -1]) * rng.choice([FOOT, 2 * INCH, 3 * INCH, 5 * INCH, INCH])
    some = heights, counts, np.arange(60) * 3.0, np.arange(8) * 3.0, lambda _: INCHES
    wanted = plainly(*some)
    assert len(wanted) > 3
    same(search.busts(*some), wanted)


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
