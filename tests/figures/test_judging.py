"""One reading against all others: which way few and many are judged by, and getting ready for the first of them."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.figures.outliers import edges, judging
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
