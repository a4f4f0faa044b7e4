"""Lessons: everything follows from the seed, and what is planted is off by what it says."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.figures.outliers.mistakes import Mistake
from rodcall.practice.lesson import MARKS, Lesson, LessonError, make_lesson
from rodcall.practice.score import score_of, score_words
from rodcall.practice.script import run
from rodcall.units import FOOT, Unit, parse_height
from tests.cli.kit import rodcall
from tests.kit import START, ticking
from tests.practice.kit import a_lesson

LESSONS = st.builds(
    lambda along, across, unit, seed: make_lesson(along, across, unit, mistakes=2, seed=seed, pace_s=0, created=START),
    st.integers(4, 8),
    st.integers(4, 8),
    st.sampled_from([Unit.IN, Unit.FT, Unit.MM]),
    st.integers(0, 10**6),
)


def book_of(lesson: Lesson) -> Book:
    return Book(lesson.job, "practice", ticking())


class Typist:
    """Types what is called; at a question as it was told to.

    Args:
        at_questions: What to answer; None for what is called again.
    """

    def __init__(self, at_questions: str | None = None) -> None:
        self.at_questions = at_questions
        self.told: list[str] = []
        self.typed: list[str] = []

    def tell(self, line: str) -> None:
        self.told.append(line)

    def __iter__(self) -> Typist:
        return self

    def __next__(self) -> str:
        last = self.told[-1]
        if last.startswith("?"):
            again = last.rsplit("  ", 1)[1].split(" ", 1)[1]
            line = again if self.at_questions is None else self.at_questions
        else:
            line = last.split(" ", 1)[1]
        self.typed.append(line)
        return line


def shot_by(typist: Typist, lesson: Lesson):
    return run(lesson, book_of(lesson), iter(typist), typist.tell)


@given(LESSONS)
@settings(max_examples=60)
def test_what_is_planted_is_off_by_what_it_says(lesson):
    unit = lesson.job.heights
    assert len(lesson.planted) == 2
    for call in lesson.calls:
        called, right = parse_height(call.called, unit), parse_height(call.right, unit)
        assert right == call.right_nm
        if call.mistake is None:
            assert called == right
        elif call.mistake is Mistake.SIGN:
            assert called == -right != right
        else:
            assert abs(called - right) == MARKS[unit][call.mistake]


@given(LESSONS)
@settings(max_examples=40)
def test_who_types_what_is_called_and_has_it_called_again_misses_only_what_was_not_asked(lesson):
    typist = Typist()
    score = shot_by(typist, lesson)
    asked = {line.rsplit("  ", 1)[1].split()[0] for line in typist.told if line.startswith("?")}
    planted = {lesson.job.grid.name(index) for index in lesson.planted}
    assert (score.shot, score.typing) == (score.positions, ())
    assert set(score.missed) == planted - asked
    assert score.keys == sum(len(line) + 1 for line in typist.typed)


@given(LESSONS)
@settings(max_examples=40)
def test_who_goes_on_regardless_misses_everything_planted(lesson):
    score = shot_by(Typist(""), lesson)
    assert set(score.missed) == {lesson.job.grid.name(index) for index in lesson.planted}
    assert score.caught == ()
    assert not score.perfect


def test_a_typist_that_reads_again_needs_the_fewest_keys():
    typist = Typist()
    score = shot_by(typist, a_lesson())
    assert score.perfect
    assert len(score.caught) == 2
    assert score.keys == sum(len(line) + 1 for line in typist.typed)
    # On the screen each of the two takes `=` as well; a script is asked without it.
    assert score.keys == score.fewest - 2


def test_the_same_seed_is_the_same_lesson():
    assert a_lesson(7).calls == a_lesson(7).calls
    assert a_lesson(7).calls != a_lesson(8).calls


def test_a_small_pad_has_room_for_few_mistakes():
    with pytest.raises(LessonError, match="too many mistakes: a pad of 5 x 4 takes 5"):
        a_lesson(mistakes=6)


def test_what_is_typed_other_than_called_is_told():
    lesson = a_lesson(mistakes=0)
    book = book_of(lesson)
    for index, call in enumerate(lesson.calls):
        book.shoot(lesson.job.grid.name(index), call.called if index else "+1ft")
    score = score_of(lesson, book.page, keys=100, seconds=40.0)
    assert score.typing == (() if lesson.calls[0].right_nm == FOOT else ("A1",))
    assert "typed wrong: A1" in list(score_words(score))
    assert "2.0 seconds a shot" in list(score_words(score))


def test_what_was_left_open_is_told():
    lesson = a_lesson()
    score = score_of(lesson, book_of(lesson).page, keys=0, seconds=0.0)
    assert (score.shot, score.perfect) == (0, False)
    assert "20 positions were not shot" in list(score_words(score))


# -- as a program ------------------------------------------------------------------------------------------


def test_a_script_practises():
    told = subprocess.Popen(
        [sys.executable, "-m", "rodcall", "practice", "--script", "--seed", "5", "--json"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    typist = Typist()
    assert told.stdin is not None
    assert told.stdout is not None
    for line in told.stdout:
        typist.tell(line.rstrip("\n"))
        if line.startswith(("{", "not taken")):
            break
        told.stdin.write(f"{next(typist)}\n")
        told.stdin.flush()
    told.stdin.close()
    assert told.wait() == 0
    score = json.loads(typist.told[-1])
    assert (score["perfect"], score["planted"], score["missed"]) == (True, 2, [])


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--pad", "5"), "--pad: lines x columns"),
        (("--pad", "1x4"), "--pad: lines x columns"),
        (("--pad", "3x3", "--mistakes", "50"), "too many mistakes"),
        (("--unit", "ell"), "ell"),
        (("--pace", "-1"), "-1"),
    ],
)
def test_what_cannot_be_practised_is_one_line(words, told):
    refused = rodcall("practice", "--script", *words)
    assert refused.status == 2
    assert told in refused.err
    assert refused.err.count("\n") == 1


def test_the_end_of_the_input_is_the_end_of_the_lesson():
    told = rodcall("practice", "--script", "--seed", "5", stdin="-3/4\n")
    assert told.status == 0
    assert "1 of 20 positions" in told.out
