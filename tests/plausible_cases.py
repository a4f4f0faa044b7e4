"""The first readings of a pad with gross mistakes put into them, judged as they come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers import judging, outlier
from rodcall.figures.outliers.mistakes import Mistake, Way
from rodcall.units import FOOT, INCH, MM, LengthError, M, Unit
from tests.simulated_ground import OTHER_KINDS, Ground, ground, other_ground

KINDS: Final = ("natural", *OTHER_KINDS)
FAR: Final = 6 * INCH
"""A mistake that moves a reading by less makes no jump that no ground has."""
FIRST: Final = 0
"""Stands for the number of shots known where the first of two readings is the wrong one."""


def ways() -> dict[str, Way]:
    """Jobs that say heights, and jobs that read a rod five feet below the level."""
    return {
        "inches": Way(Unit.IN, INCH // 8),
        "feet": Way(Unit.FT, FOOT // 100),
        "feet by rod": Way(Unit.FT, FOOT // 100, Readings.ROD, 5 * FOOT),
        "millimetres": Way(Unit.MM, MM),
        "centimetres": Way(Unit.CM, MM),
        "metres": Way(Unit.M, MM),
        "metres by rod": Way(Unit.M, MM, Readings.ROD, 3 * M // 2),
    }


def by(mark: int) -> Callable[[str, int, int, Way], str]:
    """A mark more or less."""
    return lambda said, reading, off, way: way.text(reading + off * mark)


def without(mark: str) -> Callable[[str, int, int, Way], str]:
    """As it is written, but for a mark; the hyphen before a fraction goes with its slash."""

    def spoil(said: str, reading: int, off: int, way: Way) -> str:
        if mark not in said or "'" in said:
            return said
        digits = said.lstrip("+-").replace(mark, "").replace("-", "")
        return said[: len(said) - len(said.lstrip("+-"))] + digits

    return spoil


def ten_times(said: str, reading: int, off: int, way: Way) -> str:
    return way.text(10 * reading)


POINT = {Mistake.TEN_TIMES: ten_times, Mistake.LOST_POINT: without(".")}
MADE: Final = {
    "inches": {Mistake.LOST_SLASH: without("/"), Mistake.FOOT: by(FOOT)},
    "feet": {Mistake.FOOT: by(FOOT), **POINT},
    "feet by rod": {Mistake.FOOT: by(FOOT), Mistake.TEN_TIMES: ten_times},
    "millimetres": {Mistake.METRE: by(M), Mistake.TEN_TIMES: ten_times},
    "centimetres": {Mistake.METRE: by(M), Mistake.TEN_TIMES: ten_times},
    "metres": {Mistake.METRE: by(M), **POINT},
    "metres by rod": {Mistake.METRE: by(M), Mistake.TEN_TIMES: ten_times},
}


@dataclass
class Caught:
    """What became of some readings."""

    sound: list[bool] = field(default_factory=list)
    wrong: dict[Mistake, list[tuple[bool, bool, bool]]] = field(default_factory=dict)
    """Of each mistake: is it far off, was it asked about, and that reading with what was meant named first."""

    @property
    def questioned(self) -> float:
        return float(np.mean(self.sound)) if self.sound else np.nan

    def caught(self, mistake: Mistake, *, all_of_them: bool = False) -> float:
        some = [caught for far, caught, _ in self.wrong.get(mistake, ()) if far or all_of_them]
        return float(np.mean(some)) if some else np.nan

    def named(self, mistake: Mistake) -> float:
        some = [named for far, caught, named in self.wrong.get(mistake, ()) if far and caught]
        return float(np.mean(some)) if some else np.nan


def tried(way: Way, kind: str, pads: int, seed: int) -> dict[int, Caught]:
    """So many pads, by how many shots were known when a reading was judged; `FIRST` for the first of two."""
    rng = np.random.default_rng(seed)
    made = next(MADE[name] for name, each in ways().items() if each == way)
    found = {known: Caught() for known in range(6)}
    for _ in range(pads):
        pad = ground(rng, way.step_nm) if kind == "natural" else other_ground(rng, way.step_nm, kind)
        off = int(rng.choice((-1, 1)))
        # Heights are said from a spot on the pad.
        zero = int(rng.integers(pad.heights.size))
        pad = replace(pad, heights=pad.heights - pad.heights.flat[zero])
        for known in range(1, 6):
            found[known].sound.append(bool(_found(pad, known, {}, way, zero)))
        for mistake, spoil in made.items():
            for known, caught in found.items():
                if (one := _spoiled(pad, known, spoil, off, way, zero)) is not None:
                    caught.wrong.setdefault(mistake, []).append(one)
    return found


def _spoiled(
    pad: Ground, known: int, spoil: Callable[[str, int, int, Way], str], off: int, way: Way, zero: int
) -> tuple[bool, bool, bool] | None:
    """A mistake in the reading after so many shots; None where it changes nothing, or the line would not take it."""
    index = int(pad.walk[known])
    right = int(pad.heights.flat[index])
    typed = spoil(way.text(way.reading(right)), way.reading(right), off, way)
    try:
        wrong = way.height(way.readings.parse(typed, way.unit))
    except LengthError:
        return None
    if wrong == right:
        return None
    found = _found(pad, max(known, 1), {index: (wrong, typed)}, way, zero)
    named = any(
        bust.index == index and bool(bust.explanations) and abs(bust.explanations[0].height_nm - right) < way.step_nm
        for bust in found
    )
    return abs(wrong - right) > FAR, bool(found), named


def _found(pad: Ground, known: int, instead: dict[int, tuple[int, str]], way: Way, zero: int) -> list[outlier.Bust]:
    """What is asked about once a reading has come after so many shots: it, or where those are few one of them."""
    heights, counts = pad.heights.copy(), np.zeros(pad.heights.shape, np.bool_)
    taken = pad.walk[: known + 1].tolist()
    counts.flat[taken] = True
    for index, (height, _) in instead.items():
        heights.flat[index] = height
    looked_at = taken if known < outlier.FEWEST_SHOTS else taken[-1:]
    said = {index: way.text(way.reading(int(heights.flat[index]))) for index in taken}
    said |= {index: typed for index, (_, typed) in instead.items()}
    judged = (
        judging.judge(heights, counts, index, pad.along_m, pad.across_m, way, said[index], last=taken[-1], zero=zero)
        for index in looked_at
    )
    return [bust for bust in judged if bust is not None]
