"""The pads of one practice, one after the other, each from the seed after the last one's; and how each of them goes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from rodcall.book.storage.opening import JobFile, new_job_file
from rodcall.practice.lesson import Lesson
from rodcall.practice.score import Score, score_of


@dataclass
class Pad:
    """One pad as it goes."""

    lesson: Lesson
    file: JobFile
    keys: int = 0
    """Keys up to the last entry; what is keyed after it, to look or to leave, writes nothing down."""
    seconds: float = 0.0
    """From the first call to the last entry."""

    @property
    def score(self) -> Score:
        """How it went so far."""
        return score_of(self.lesson, self.file.book.page, self.keys, self.seconds)


class Pads:
    """Begins one pad after the other.

    Args:
        make: Makes the lesson of a seed.
        seed: The first pad's.
        folder: Where their files are kept as long as the practice lasts.
    """

    def __init__(self, make: Callable[[int], Lesson], seed: int, folder: Path) -> None:
        self._make = make
        self._seed = seed
        self._folder = folder
        self._begun: list[Pad] = []

    def begin(self) -> Pad:
        """Begin the next pad.

        Raises:
            LessonError: when there can be no such lesson.
            JobFileError: when the disk does not take its file.
        """
        seed = self._seed + len(self._begun)
        lesson = self._make(seed)
        pad = Pad(lesson, new_job_file(self._folder / f"{seed}.json", lesson.job, "practice"))
        self._begun.append(pad)
        return pad

    @property
    def scores(self) -> list[Score]:
        """How each pad went, the first one first; one that nothing was taken down of is told of only if all are so."""
        scores = [pad.score for pad in self._begun]
        return [score for score in scores if score.shot] or scores[:1]
