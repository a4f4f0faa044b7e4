"""A line whose signs were all flipped, read off a direct-reading rod: turned about the level, not about the zero."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers import line_mistakes as module
from rodcall.figures.outliers.expectation import log_evidence, nearest
from rodcall.figures.outliers.line_mistakes import ASK_FROM, LineMistake, _corrections, line_mistakes
from rodcall.figures.outliers.mistakes import Way
from rodcall.figures.outliers.neighbours import alike
from rodcall.figures.outliers.outlier import FEWEST_SHOTS
from rodcall.figures.outliers.places import Places
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
    found = line_mistakes(written, counts, 2, ALONG, ACROSS, Way(Unit.MM, MM))
    assert len(found) > 0 if judged else found == ()


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


@pytest.mark.parametrize(("odds", "told"), [(1.99, 0), (2.01, 4)])
def test_a_line_is_asked_about_from_odds_of_two_to_one(monkeypatch, odds, told) -> None:
    """One line in a hundred suffers each mistake: evidence of two hundred to one makes it two to one."""
    written = steep()
    monkeypatch.setattr(
        module, "_log_fit", lambda *arguments: 0.0 if np.array_equal(arguments[3], written[2]) else np.log(100 * odds)
    )
    found = line_mistakes(written, np.ones((6, 6), bool), 2, ALONG, ACROSS, Way(Unit.MM, MM))
    assert len(found) == told
    assert all(bad.score == pytest.approx(np.log(odds)) for bad in found)


def by_bayes(written, counts, corrected, known, kept, along, across) -> float:
    """Log odds of a mistake in the third line: one in a hundred, and how much better the line as it should be goes
    together with the shots of the other lines, twelve spots at a time, than what of it was written does.
    """
    others = counts.copy()
    others[2] = False
    spacing = np.sqrt(along[-1] / (len(along) - 1) * across[-1] / (len(across) - 1))

    def fits(line, of) -> float:
        columns, total = [c for c in range(len(across)) if of[c]], 0.0
        while columns:
            piece, columns = columns[:12], columns[12:]
            middle = piece[len(piece) // 2]
            around, offsets = nearest(others, (2, middle), along, across)
            own = np.round([(0.0, (across[c] - across[middle]) / spacing) for c in piece], 6)
            beside = written.flat[around] * 1e-9
            with_it = np.append(beside, [line[c] * 1e-9 for c in piece])
            total += log_evidence(with_it, np.vstack([offsets, own])) - log_evidence(beside, offsets)
        return total

    return np.log(0.01) + fits(corrected, known) - fits(written[2], kept)


@pytest.mark.parametrize("columns", [6, 15])
def test_a_mistake_is_weighed_as_bayes_has_it(columns) -> None:
    """With holes, and uneven lines; a shift rests on other spots before than after."""
    rng = np.random.default_rng(columns)
    ground = np.add.outer(np.arange(5) * 6, np.arange(columns) * 40) * MM
    ground += rng.integers(-2, 3, ground.shape) * MM
    along, across = np.arange(5) * 4.0, np.cumsum(rng.integers(1, 4, columns)) * 1.5
    across -= across[0]
    way = Way(Unit.MM, MM, level_nm=100 * MM)
    for made in (lambda line: line[::-1], lambda line: np.roll(line, -1), lambda line: np.roll(line, 1)):
        counts = rng.random(ground.shape) < 0.8
        written = ground.copy()
        written[2] = made(ground[2])
        found = {bad.mistake: bad.score for bad in line_mistakes(written, counts, 2, along, across, way)}
        assert found
        for mistake, corrected, known, kept in _corrections(written[2], counts[2], way):
            score = by_bayes(written, counts, corrected, known, kept, along, across)
            assert (mistake in found) is bool(score >= np.log(2))
            assert found.get(mistake, score) == pytest.approx(score, rel=1e-6)


# -- places that lie alike ---------------------------------------------------------------------------------------------


def test_places_that_lie_alike_are_equal_and_serve_as_one_key() -> None:
    some = np.array([(0.0, 1.0), (-1.0, 2.5)])
    assert Places(some) == Places(some.copy())
    assert hash(Places(some)) == hash(Places(some.copy()))
    assert Places(np.array([(0.0, 1.0)])) == Places(np.array([(-0.0, 1.0)])), "there are two zeros"
    for other in (some + 1e-6, some[::-1], some[:1]):
        assert Places(some) != Places(other)
    assert Places(some) != some.tobytes()
    assert {Places(some): "known"}[Places(some.copy())] == "known"


def test_what_lies_just_within_reach_of_one_position_and_not_of_another_parts_them() -> None:
    """Seventy-four shots within six lines of both, and two lines seven off one of them, of which some are nearest."""
    rng = np.random.default_rng(11)
    near = np.zeros((13, 13), bool)
    near[np.divmod(rng.permutation(144)[:74], 12)] = True
    counts = np.zeros((40, 20), bool)
    for row in (10, 29):
        counts[row - 6 : row + 7, 4:17] = near
    counts[3:18, 17] = counts[17, 3:18] = True
    along, across = np.arange(40) * 2.0, np.arange(20) * 2.0
    told = [own.tolist() for own in (nearest(counts, (row, 10), along, across)[0] - row * 20 for row in (10, 29))]
    assert told[0] != told[1]
    for group in alike(counts, np.array([10 * 20 + 10, 29 * 20 + 10]), along, across):
        for position, around in zip(group.positions.tolist(), group.around, strict=True):
            assert around.tolist() == nearest(counts, divmod(position, 20), along, across)[0].tolist()
