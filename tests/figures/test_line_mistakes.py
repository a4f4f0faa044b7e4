"""A line whose signs were all flipped, read off a direct-reading rod: turned about the level, not about the zero."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers import line_mistakes as module
from rodcall.figures.outliers.expectation import nearest
from rodcall.figures.outliers.line_mistakes import ASK_FROM, LineMistake, _corrections, line_mistakes
from rodcall.figures.outliers.mistakes import Way
from rodcall.figures.outliers.neighbours import alike
from rodcall.figures.outliers.outlier import FEWEST_SHOTS
from rodcall.units import MM, Unit

ALONG, ACROSS = np.arange(6) * 5.0, np.arange(6) * 5.0


@pytest.mark.parametrize("level", [400 * MM, -250 * MM])
def test_flipped_signs_on_a_direct_rod_turn_about_the_level(level: int) -> None:
    """By hand: what was read as r above the level was r below it, so the height is the level less r."""
    ground = np.add.outer(np.arange(6) * 6, np.arange(6) * 4) * MM + level + 30 * MM
    ground += np.random.default_rng(5).integers(-2, 3, ground.shape) * MM
    written, counts = ground.copy(), np.ones(ground.shape, bool)
    written[3] = level - (ground[3] - level)
    way = Way(Unit.MM, MM, Readings.DIRECT_ROD, level)
    best = line_mistakes(written, counts, 3, ALONG, ACROSS, way)[0]
    assert best.mistake is LineMistake.FLIPPED
    assert best.heights.tolist() == ground[3].tolist()
    assert best.counts.all()


def corrected(line: list[int], counts: list[bool], way: Way) -> dict[str, tuple[list[int], list[bool], list[bool]]]:
    found = _corrections(np.array(line), np.array(counts), way)
    return {mistake.name: (right.tolist(), known.tolist(), kept.tolist()) for mistake, right, known, kept in found}


def test_what_a_line_would_be_without_each_mistake() -> None:
    """By hand: a shift leaves one end open and pushes one reading off, which neither story is told of."""
    told = corrected([1, 2, 3, 4], [True, True, False, True], Way(Unit.MM, 1, level_nm=10))
    assert told["SHIFTED_UP"] == ([0, 1, 2, 0], [False, True, True, False], [True, True, False, False])
    assert told["SHIFTED_DOWN"] == ([2, 0, 4, 0], [True, False, True, False], [False, True, False, True])
    heights, known, kept = told["FLIPPED"]
    assert ([heights[at] for at in (0, 1, 3)], known, kept) == ([19, 18, 16], *[[True, True, False, True]] * 2)
    heights, known, kept = told["MIRRORED"]
    assert (heights, known, kept) == ([4, 3, 2, 1], [True, False, True, True], [True, True, False, True])
    assert "FLIPPED" not in corrected([1, 2], [True, True], Way(Unit.MM, 1, Readings.ROD))


def steep() -> np.ndarray:
    """Ground that rises along each line by 40 mm a spot, with a roughness of 2 mm."""
    ground = np.add.outer(np.arange(6) * 6, np.arange(6) * 40) * MM
    return ground + np.random.default_rng(8).integers(-2, 3, ground.shape) * MM


@pytest.mark.parametrize(
    ("mistake", "made"),
    [
        ("MIRRORED", lambda line: line[::-1]),
        ("SHIFTED_UP", lambda line: np.append(line[1:], line[-1] + 500 * MM)),
        ("SHIFTED_DOWN", lambda line: np.append(line[0] - 500 * MM, line[:-1])),
    ],
)
def test_a_line_written_wrong_is_put_right(mistake, made) -> None:
    ground = steep()
    written, counts = ground.copy(), np.ones(ground.shape, bool)
    written[2] = made(ground[2])
    best = line_mistakes(written, counts, 2, ALONG, ACROSS, Way(Unit.MM, MM))[0]
    assert (best.row, best.mistake.name) == (2, mistake)
    assert best.score > ASK_FROM
    assert best.heights[best.counts].tolist() == ground[2][best.counts].tolist()
    assert np.count_nonzero(best.counts) >= 5


def test_a_line_written_right_has_no_mistake_and_the_best_explanation_comes_first() -> None:
    counts = np.ones((6, 6), bool)
    for row in range(6):
        assert line_mistakes(steep(), counts, row, ALONG, ACROSS, Way(Unit.MM, MM)) == ()
    written = steep()
    written[2] = written[2][::-1]
    found = line_mistakes(written, counts, 2, ALONG, ACROSS, Way(Unit.MM, MM))
    assert [bad.score for bad in found] == sorted((bad.score for bad in found), reverse=True)


@pytest.mark.parametrize(
    ("in_line", "others", "judged"),
    [(3, 30, True), (2, 30, False), (6, FEWEST_SHOTS, True), (6, FEWEST_SHOTS - 1, False)],
)
def test_a_short_line_or_one_among_few_says_too_little(in_line, others, judged) -> None:
    written, counts = steep(), np.zeros((6, 6), bool)
    written[2] = written[2][::-1]
    counts[2, :in_line] = True
    counts.flat[[at for at in range(36) if at // 6 != 2][:others]] = True
    assert bool(line_mistakes(written, counts, 2, ALONG, ACROSS, Way(Unit.MM, MM))) is judged


def test_a_long_line_is_weighed_in_pieces() -> None:
    """Thirty positions, written backwards."""
    along, across = np.arange(3) * 5.0, np.arange(30) * 5.0
    ground = np.add.outer(np.arange(3) * 6, np.arange(30) * 30) * MM
    ground += np.random.default_rng(2).integers(-2, 3, ground.shape) * MM
    written = ground.copy()
    written[1] = ground[1][::-1]
    found = line_mistakes(written, np.ones(ground.shape, bool), 1, along, across, Way(Unit.MM, MM))
    assert found[0].mistake is LineMistake.MIRRORED
    assert found[0].heights.tolist() == ground[1].tolist()
    assert found[0].score > 100, "each piece adds to it"


@given(st.integers(2, 9), st.integers(2, 9), st.integers(0, 2**32), st.sampled_from([0.3, 0.7, 1.0]), st.booleans())
def test_positions_that_are_alike_have_the_shots_around_them_that_each_has_for_itself(
    lines, columns, seed, share, uneven
) -> None:
    rng = np.random.default_rng(seed)
    counts = rng.random((lines, columns)) < share
    along, across = (np.cumsum(rng.integers(1, 3, n)) * 1.0 if uneven else np.arange(n) * 2.0 for n in (lines, columns))
    along, across = along - along[0], across - across[0]
    if np.count_nonzero(counts) < 3:
        return
    positions = np.flatnonzero(rng.random(counts.size) < 0.8)
    seen = []
    for group in alike(counts, positions, along, across):
        for position, around in zip(group.positions.tolist(), group.around, strict=True):
            seen.append(position)
            others = counts.copy()
            others.flat[position] = False
            own, offsets = nearest(counts, divmod(position, columns), along, across)
            assert around.tolist() == own.tolist()
            assert group.offsets == pytest.approx(offsets)
    assert sorted(seen) == positions.tolist()


@pytest.mark.parametrize("share", [0.35, 0.5, 0.7, 0.97])
@pytest.mark.parametrize("seed", range(3))
def test_on_a_pad_wider_than_what_is_looked_at_each_has_its_own_too(share, seed) -> None:
    """Windows that hold just as many as are listened to among them, and some that lack one at their edge."""
    rng = np.random.default_rng(seed)
    counts = rng.random((16, 15)) < share
    along, across = np.arange(16) * 2.0, np.arange(15) * 2.0
    seen = []
    for group in alike(counts, np.arange(counts.size), along, across):
        for position, around in zip(group.positions.tolist(), group.around, strict=True):
            seen.append(position)
            own, offsets = nearest(counts, divmod(position, 15), along, across)
            assert around.tolist() == own.tolist()
            assert group.offsets == pytest.approx(offsets)
    assert sorted(seen) == list(range(counts.size))


def test_a_grid_twice_as_wide_is_judged_alike() -> None:
    """Distances count in spacings of the grid, the mean of both ways: a pad of one shape at any size."""
    written, counts = steep(), np.ones((6, 6), bool)
    written[2] = written[2][::-1]
    told = [
        line_mistakes(written, counts, 2, by * ALONG, by * ACROSS, Way(Unit.MM, MM))[0].score for by in (1.0, 2.0, 0.1)
    ]
    assert told == pytest.approx([told[0]] * 3)
    sparse, sparse_counts = np.zeros((11, 11), np.int64), np.zeros((11, 11), bool)
    sparse[::2, ::2], sparse_counts[::2, ::2] = written, True
    wide = np.arange(11) * 2.5
    (best, *_) = line_mistakes(sparse, sparse_counts, 4, wide, wide, Way(Unit.MM, MM))
    assert best.mistake is LineMistake.MIRRORED


@pytest.mark.parametrize(("columns", "pieces"), [(6, [range(-3, 3)]), (14, [range(-6, 6), range(-1, 1)])])
def test_a_line_is_weighed_spot_by_spot_where_each_lies(monkeypatch, columns, pieces) -> None:
    """Spots 5 m apart either way are one spacing apart; at most twelve together, told from the middle one."""
    seen = []

    def evidence(heights, offsets):
        seen.append((heights, offsets))
        return 0.0

    monkeypatch.setattr(module, "log_evidence", evidence)
    heights = np.arange(6 * columns).reshape(6, columns) * MM
    counts = np.ones((6, columns), bool)
    others = counts.copy()
    others[2] = False
    across = np.arange(columns) * 5.0
    module._log_fit(heights, others, 2, heights[2], counts[2], ALONG, across)
    assert len(seen) == 2 * len(pieces), "with the line, and without"
    column = 0
    for (with_it, where), (without, around), piece in zip(seen[::2], seen[1::2], pieces, strict=True):
        own = where[len(around) :]
        assert own == pytest.approx(np.array([[0.0, spaces] for spaces in piece]))
        assert with_it[len(without) :] == pytest.approx((2 * columns + column + np.arange(len(piece))) / 1000)
        assert np.array_equal(where[: len(around)], around)
        column += len(piece)


def test_one_line_in_a_hundred_suffers_each_mistake() -> None:
    """What is known before anything is seen (our own): as said of `_WRONG`."""
    assert pytest.approx(1 / 100) == np.exp(module._WRONG)
