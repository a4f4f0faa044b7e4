"""A lesson: ground made by chance, what is called out at each position, and the mistakes that are planted in it.

Everything follows from the seed, so that a lesson can be had again.
"""

from __future__ import annotations

from datetime import datetime

import numpy as np

from rodcall.book.model.entries import Walk
from rodcall.book.model.job import Job, agree
from rodcall.figures.ground.averages import Floats
from rodcall.figures.outliers.mistakes import Mistake
from rodcall.figures.outliers.outlier import FEWEST_SHOTS
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.units import FOOT, INCH, M, Unit, write

SPREAD_M = 0.03
"""Standard deviation of the ground about its plane: a stripped pad's, an inch or so."""
ROUGHNESS = 0.12
"""Share of the spread that is fine roughness."""
WAVES = 8
"""The smooth part is a sum of so many waves of different directions and lengths ..."""
SHORTEST, LONGEST = 5.0, 14.0
"""... in spacings of the grid."""

MARKS = {
    Unit.IN: {Mistake.FOOT: FOOT, Mistake.INCH: 2 * INCH},
    Unit.FT: {Mistake.FOOT: FOOT, Mistake.TENTH: FOOT // 5},
    Unit.MM: {Mistake.DECIMETRE: M // 10, Mistake.CENTIMETRE: M // 20},
    Unit.CM: {Mistake.DECIMETRE: M // 10, Mistake.CENTIMETRE: M // 20},
    Unit.M: {Mistake.METRE: M, Mistake.DECIMETRE: M // 10},
}
"""By how much a planted mistake is off: large enough that a crew should see it on natural ground."""


class Call(Frozen):
    """What the helper calls at one position."""

    called: str
    right: str
    """What is called when it is read again."""
    right_nm: int
    mistake: Mistake | None = None
    """What went wrong in the call; None where it is right."""


class Lesson(Frozen):
    """A job, and a call for each of its positions by index."""

    job: Job
    calls: tuple[Call, ...]
    pace_s: float
    """Seconds from a reading that was taken to the next call."""

    @property
    def planted(self) -> tuple[int, ...]:
        """Indices of the positions that are called wrong."""
        return tuple(index for index, call in enumerate(self.calls) if call.mistake is not None)


class LessonError(ValueError):
    """A lesson that cannot be had; one line."""


def make_lesson(
    along: int, across: int, unit: Unit, *, mistakes: int, seed: int, pace_s: float, created: datetime
) -> Lesson:
    """A lesson on a pad of so many lines and columns.

    Args:
        along: Lines of positions, 2 or more.
        across: Columns.
        unit: In which heights are called.
        mistakes: How many calls are wrong; none of the first ones, which nothing could be held against.
        seed: What it all follows from.
        pace_s: Seconds between calls.
        created: When the job was begun.

    Raises:
        LessonError: when there are more mistakes than the pad has room for.
    """
    chance = np.random.default_rng(seed)
    spacing = unit.default_spacing
    name = say("PRACTICE {seed}", seed=seed)
    size = {"length": (along - 1) * spacing, "width": (across - 1) * spacing}
    job = Job(id=f"{seed:032x}"[-32:], created=created, **agree(unit, name=name, along=along, across=across, **size))
    heights = np.rint(_ground(chance, along, across) * 1e9 / job.step).astype(np.int64).ravel() * job.step
    walk = job.grid.walk(Walk.SNAKE).onward(None)
    free = walk[2 * FEWEST_SHOTS :: 2]
    if mistakes > free.size:
        raise LessonError(
            say(
                "too many mistakes: a pad of {along} x {across} takes {most}",
                along=along,
                across=across,
                most=free.size,
            )
        )
    wrong = set(chance.choice(free, mistakes, replace=False).tolist())
    calls = [
        _wrong_call(chance, int(height), unit) if index in wrong else _right_call(int(height), unit)
        for index, height in enumerate(heights)
    ]
    return Lesson(job, tuple(calls), pace_s)


def _ground(chance: np.random.Generator, along: int, across: int) -> Floats:
    """Heights in metres, (along, across): a plane, waves of all directions, and roughness."""
    rows, columns = np.meshgrid(np.arange(along), np.arange(across), indexing="ij")
    lengths = np.exp(chance.uniform(np.log(SHORTEST), np.log(LONGEST), WAVES))
    directions, phases = chance.uniform(0, 2 * np.pi, (2, WAVES))
    smooth = sum(
        np.sin((rows * np.cos(way) + columns * np.sin(way)) * 2 * np.pi / length + phase)
        for length, way, phase in zip(lengths, directions, phases, strict=True)
    )
    smooth = np.asarray(smooth) * np.sqrt(2 / WAVES)
    tilt = chance.normal(0, 0.1, 2)
    rough = chance.normal(0, ROUGHNESS, (along, across))
    shape: Floats = SPREAD_M * (smooth + tilt[0] * rows + tilt[1] * columns + rough + chance.normal(-0.5, 0.5))
    return shape


def _right_call(height: int, unit: Unit) -> Call:
    said = write(height, unit)
    return Call(said, said, height)


def _wrong_call(chance: np.random.Generator, height: int, unit: Unit) -> Call:
    marks = MARKS[unit]
    smallest = min(marks.values())
    kinds = [*marks, *([Mistake.SIGN] if 2 * abs(height) >= smallest else [])]
    mistake = kinds[chance.integers(len(kinds))]
    wrong = -height if mistake is Mistake.SIGN else height + int(chance.choice((-1, 1))) * marks[mistake]
    return Call(write(wrong, unit), write(height, unit), height, mistake)
