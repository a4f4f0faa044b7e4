"""All readings of a round that do not fit: those whose neighbours lie alike are held against them at once."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.outliers import first_shots
from rodcall.figures.outliers.expectation import NEAREST, expect, nearest
from rodcall.figures.outliers.judging import judge
from rodcall.figures.outliers.mistakes import Way
from rodcall.figures.outliers.neighbours import alike
from rodcall.figures.outliers.outlier import (
    ASK_FROM,
    FEWEST_SHOTS,
    Bust,
    at_most,
    expected_of,
    listened_to,
    log_odds,
    weigh,
)
from rodcall.figures.outliers.places import Places
from rodcall.figures.target import metres

ABOUT = NEAREST
"""So many neighbours of a bust that was set aside are judged anew: it may have hidden theirs, and made the
ground look as if it jumped."""

_WORTH_SHARING = 4
"""Fewer readings whose neighbours lie alike are judged one by one."""
_MOST_BESIDE = 5
"""A hole with so many shots among the eight positions around it is filled to look for suspects ..."""
_GUESSED = 3.0
"""... and a reading near such a guess is a suspect with so much less in the log odds ..."""
_ROUNDING = 1e-6
"""... than elsewhere, where it is judged as `judge` does."""


def busts(
    heights: Ints,
    counts: Mask,
    along_m: Floats,
    across_m: Floats,
    way_at: Callable[[int], Way],
    last: int | None = None,
    zero: int | None = None,
) -> tuple[Bust, ...]:
    """All readings of a round that do not fit, by index; see `search`."""
    return deque(search(heights, counts, along_m, across_m, way_at, last, zero), maxlen=1).pop() or ()


def search(
    heights: Ints,
    counts: Mask,
    along_m: Floats,
    across_m: Floats,
    way_at: Callable[[int], Way],
    last: int | None = None,
    zero: int | None = None,
) -> Iterator[tuple[Bust, ...] | None]:
    """Look for all readings of a round that do not fit, each held against the others without those busts.

    None after each few milliseconds of work, so that others have their turn, and at last what was found, by index.

    The worst of each neighbourhood is set aside first and those around it are judged anew, so that a bust neither
    hides another nor makes its sound neighbours look wrong.

    Args:
        heights: Nanometres above the zero, (along, across).
        counts: Which of them count.
        along_m: Distance of each line from A1, metres.
        across_m: Distance of each column from A1, metres.
        way_at: How the reading at a flat index was taken.
        last: Flat index of the reading that came last; only told among few shots, see `plausible`.
        zero: Flat index of the zero where it lies on the pad; likewise.
    """
    if np.count_nonzero(counts) <= FEWEST_SHOTS:
        yield first_shots.search(heights, counts, along_m, across_m, way_at, last, zero)
        return
    sound = counts.copy()
    doubted: dict[int, Bust] = {}
    aside: list[Bust] = []
    pending = np.flatnonzero(counts)
    while pending.size:
        for index in pending.tolist():
            doubted.pop(index, None)
        suspects = []
        for suspect in _suspects(heights, sound, pending, along_m, across_m, way_at):
            if suspect is None:
                yield None
            else:
                suspects.append(suspect)
        for bust in _judged(heights, sound, suspects, along_m, across_m, way_at):
            if bust is not None:
                doubted[bust.index] = bust
            yield None
        around = {index: nearest(sound, divmod(index, counts.shape[1]), along_m, across_m)[0] for index in doubted}
        worst = _worst(doubted, around)
        beside = [around[index][:ABOUT] for index in worst]
        leaning = [index for index in doubted if np.isin(worst, around[index]).any()]
        sound.flat[worst] = False
        aside.extend(doubted.pop(index) for index in worst)
        pending = np.setdiff1d(np.concatenate([*beside, np.array(leaning, np.int64)]), worst)
    yield tuple(sorted(aside, key=lambda bust: bust.index))


def _worst(doubted: dict[int, Bust], around: dict[int, Ints]) -> list[int]:
    """Those that have none worse among their neighbours."""
    worst_first = sorted(doubted, key=lambda index: (-doubted[index].score, index))
    return [index for at, index in enumerate(worst_first) if not np.isin(worst_first[:at], around[index]).any()]


def _judged(
    heights: Ints, sound: Mask, suspects: list[int], along_m: Floats, across_m: Floats, way_at: Callable[[int], Way]
) -> Iterator[Bust | None]:
    """What `judge` says of each of some readings, those whose neighbours lie alike at once; arguments as `search`."""
    if np.count_nonzero(sound) <= FEWEST_SHOTS:
        yield from (judge(heights, sound, each, along_m, across_m, way_at(each)) for each in suspects)
        return
    least = log_odds(ASK_FROM)
    same: dict[Places, list[tuple[int, Ints]]] = {}
    for index in suspects:
        around, offsets = nearest(sound, divmod(index, sound.shape[1]), along_m, across_m)
        same.setdefault(Places(offsets), []).append((index, around))
    for places, those in same.items():
        around_m = metres(heights.flat[np.array([around for _, around in those])])
        fits = listened_to(around_m, places.offsets)
        whole: Mask = np.asarray(fits.all(axis=1), np.bool_)
        together = iter(expect(around_m[whole], places.offsets)) if whole.any() else iter(())
        for at, (index, _) in enumerate(those):
            expected = next(together) if whole[at] else expected_of(around_m[at], places.offsets, fits[at])
            height = int(heights.flat[index])
            yield None if expected is None else weigh(expected, index, height, way_at(index), "", least)


def _suspects(
    heights: Ints, counts: Mask, among: Ints, along_m: Floats, across_m: Floats, way_at: Callable[[int], Way]
) -> Iterator[int | None]:
    """Those of some readings that `judge` may ask about: it costs a hundredth for those whose neighbours lie alike.

    A hole among the shots is filled, so that they lie alike around it too, and so is what does not fit there; readings
    near such a guess get the benefit of that. Arguments as for `search`, and `among`: flat indices of the readings.
    None after each piece of work.
    """
    beside, beside_m = _beside(heights, counts)
    known = counts | (beside >= _MOST_BESIDE)
    filled_m = np.where(counts, metres(heights), beside_m)
    for same in alike(known, among, along_m, across_m):
        if same.positions.size < _WORTH_SHARING:
            yield from same.positions.tolist()
            continue
        around_m = filled_m.flat[same.around]
        fits = listened_to(around_m, same.offsets)
        expected = expect(np.where(fits, around_m, beside_m.flat[same.around]), same.offsets)
        sure = (fits & counts.flat[same.around]).all(axis=1)
        least = log_odds(ASK_FROM) - np.where(sure, _ROUNDING, _GUESSED)
        for at in np.flatnonzero(at_most(expected, metres(heights.flat[same.positions])) >= least).tolist():
            index = int(same.positions[at])
            height = int(heights.flat[index])
            if weigh(expected[at], index, height, way_at(index), "", float(least[at])) is not None:
                yield index
        yield None


def _beside(heights: Ints, counts: Mask) -> tuple[Ints, Floats]:
    """How many of the eight positions around each are shot, and the mean of those, metres; 0 where none is."""
    shots, total = (
        sliding_window_view(np.pad(each, 1), (3, 3)).sum(axis=(2, 3)) - each
        for each in (counts.astype(np.int64), np.where(counts, metres(heights), 0.0))
    )
    return shots, total / np.maximum(shots, 1)
