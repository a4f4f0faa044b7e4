"""One reading against all others: which way few and many are judged by, and getting ready for the first of them."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.figures.outliers import edges, judging, outlier
from rodcall.figures.outliers.expectation import expect
from rodcall.figures.outliers.mistakes import Way
from rodcall.figures.outliers.outlier import FEWEST_SHOTS
from rodcall.units import MM, Unit


def test_getting_ready_judges_once_among_few_and_once_among_many_and_looks_for_edges(monkeypatch):
    """Both ways are taken and edges looked for, so that no first reading waits; a sheet of nobody's stays as it is."""
    seen, judge, looked, look_on = [], judging.judge, [], edges._Weighed.look_on

    def watched(*arguments):
        seen.append(arguments)
        return judge(*arguments)

    monkeypatch.setattr(judging, "judge", watched)
    monkeypatch.setattr(edges._Weighed, "look_on", lambda self: looked.append(look_on(self)))
    judging.get_ready()
    assert [(int(np.count_nonzero(counts)), index) for _, counts, index, *_ in seen] == [(2, 0), (16, 0)]
    assert 2 - 1 < FEWEST_SHOTS <= 16 - 1
    assert len(looked) == 2, "coarsely, and closely"
    for heights, counts, _, along, across, way in seen:
        assert heights.shape == counts.shape == (4, 4)
        assert along.tolist() == across.tolist() == [0.0, 1.0, 2.0, 3.0]
        assert way == Way(Unit.MM, Unit.MM.default_step)


@pytest.mark.parametrize(("others", "among_few"), [(FEWEST_SHOTS - 1, True), (FEWEST_SHOTS, False)])
@pytest.mark.parametrize("counts_itself", [False, True])
def test_from_how_many_others_a_reading_is_weighed_by_the_ground(monkeypatch, others, among_few, counts_itself):
    taken = []
    monkeypatch.setattr(judging.first_shots, "judge", lambda *_: taken.append("few"))
    monkeypatch.setattr(judging, "expected_at", lambda *_: taken.append("many"))
    counts = np.zeros((4, 4), np.bool_)
    counts.flat[1 : 1 + others] = True
    counts.flat[0] = counts_itself
    even = np.arange(4.0)
    assert judging.judge(np.zeros((4, 4), np.int64), counts, 0, even, even, Way(Unit.MM, MM)) is None
    assert taken == ["few" if among_few else "many"]


def stepped(seed: int = 3) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """A page of six lines and five columns with an edge of 8 cm, some of it not shot."""
    rng = np.random.default_rng(seed)
    heights = rng.integers(-3, 4, (6, 5)) * MM
    heights[:, 3:] += 80 * MM
    counts = rng.random((6, 5)) < 0.9
    return heights, counts, np.arange(6) * 3.0, np.arange(5) * 3.0


@pytest.mark.parametrize("step", [0, 80 * MM])
@pytest.mark.parametrize("off", [0, 30 * MM, 80 * MM, 1000 * MM])
def test_one_of_many_is_weighed_against_what_is_expected_of_its_reading(off, step):
    """Written out: by `outlier.weigh`, as it was typed, from the chance that is asked for; all a decimetre up."""
    heights, counts, *axes = stepped()
    heights[:, 3:] += step - 80 * MM
    heights += 100 * MM
    heights[2, 1] += off
    index, way = 2 * 5 + 1, Way(Unit.MM, MM)
    for counted in (True, False):
        counts[2, 1] = counted
        for said, chance in (("", 1e-9), ("+12", 1e-9), ("", 0.999999)):
            read_m = int(heights[2, 1]) * 1e-9
            expected = outlier.expected_at(heights, counts, index, *axes, read_m)
            wanted = outlier.weigh(expected, index, int(heights[2, 1]), way, said, np.log(chance / (1 - chance)))
            assert judging.judge(heights, counts, index, *axes, way, said, chance) == wanted
            ready = judging.awaited(heights, counts, index, *axes)
            assert ready is not None
            assert judging.judge(heights, counts, index, *axes, way, said, chance, awaited=ready) == wanted


def test_of_a_reading_that_is_typed_all_is_known_but_the_reading():
    """On even ground what is just expected is held against smooth ground, and what is not against all."""
    heights, counts, *axes = stepped()
    heights[:, 3:] -= 80 * MM
    ready = judging.awaited(heights, counts, 11, *axes)
    assert ready is not None
    around_m, offsets = outlier.heard_around(heights, counts, 11, *axes)
    for read_m in (float(ready.smooth.centre), float(ready.smooth.centre) + 1.0):
        told, wanted = ready.expected(read_m), expect(around_m, offsets, read_m=read_m)
        assert told.centres.tolist() == wanted.centres.tolist()
        assert told.shares.tolist() == wanted.shares.tolist()
    assert ready.expected(float(ready.smooth.centre)) is ready.smooth
    assert ready.expected(float(ready.smooth.centre) + 1.0) is ready.whole


def test_what_was_worked_out_serves_for_the_same_spot_among_the_same_shots():
    heights, counts, *axes = stepped()
    counts[0, 0], counts[1, 1] = False, True
    ready = judging.awaited(heights.copy(), counts.copy(), 11, *axes)
    assert ready is not None
    assert ready.is_of(heights, counts, 11)
    assert not ready.is_of(heights, counts, 12), "another spot"
    assert not ready.is_of(heights[:5], counts[:5], 11), "another page"
    read, shot, moved, more, beside = heights.copy(), counts.copy(), heights.copy(), counts.copy(), heights.copy()
    read.flat[11] += 99 * MM
    shot.flat[11] = not shot.flat[11]
    assert ready.is_of(read, shot, 11), "what is read there makes no difference"
    moved[1, 1] += MM
    assert not ready.is_of(moved, counts, 11)
    more[0, 0] = True
    assert not ready.is_of(heights, more, 11)
    beside[0, 0] += MM
    assert ready.is_of(beside, counts, 11), "what does not count tells nothing"


def test_what_was_worked_out_of_another_page_is_not_used():
    heights, counts, *axes = stepped()
    way = Way(Unit.MM, MM)
    ready = judging.awaited(heights, counts, 11, *axes)
    moved = heights.copy()
    moved[:, 2:] += 300 * MM
    moved[2, 1] += 1000 * MM
    alone = judging.judge(moved, counts, 11, *axes, way)
    assert alone is not None
    assert judging.judge(moved, counts, 11, *axes, way, awaited=ready) == alone


def test_nothing_is_worked_out_where_a_reading_is_judged_as_one_of_few():
    heights, counts, *axes = stepped()
    few = np.zeros_like(counts)
    few.flat[:FEWEST_SHOTS] = True
    assert judging.awaited(heights, few, 29, *axes) is not None
    few.flat[0] = False
    assert judging.awaited(heights, few, 29, *axes) is None
