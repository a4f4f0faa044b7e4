"""A lesson without a screen: calls go out line by line, and what is typed comes in; for scripts and tests."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from time import monotonic

from rodcall.book.book import Book
from rodcall.book.fold.round_page import Line
from rodcall.figures.outliers.outlier import Bust
from rodcall.figures.summary import summarise
from rodcall.i18n import say
from rodcall.practice.lesson import Lesson
from rodcall.practice.score import Score, score_of
from rodcall.wording import outliers as words_doubt

Tell = Callable[[str], None]


def run(lesson: Lesson, book: Book, typed: Iterator[str], tell: Tell) -> Score:
    """Call each position in walking order and take what is typed, until that ends.

    A line is what one types before Enter. Where a reading does not fit, `?` and what would fit are printed with what
    the helper reads on looking again: a reading answers, `o` leaves the spot out, and an empty line goes on.

    Args:
        lesson: What is called.
        book: An empty book of the lesson's job.
        typed: Lines without their ends.
        tell: Takes one line.
    """
    began, keys = monotonic(), 0
    for index in book.page.walk.onward(None).tolist():
        name, call = book.job.grid.name(index), lesson.calls[index]
        tell(f"{name} {call.called}")
        shot = None
        while shot is None:
            line = next(typed, None)
            if line is None:
                return score_of(lesson, book.page, keys, monotonic() - began)
            keys += len(line) + 1
            shot = _taken(book, name, line, tell)
        bust = summarise(book.page).judged(index, shot.entry.said)
        if bust is not None:
            keys += _answered(book, bust, lesson, typed, tell)
    return score_of(lesson, book.page, keys, monotonic() - began)


def _taken(book: Book, name: str, line: str, tell: Tell) -> Line | None:
    try:
        return book.shoot(name, line).line
    except ValueError as error:
        tell(say("not taken: {why}", why=error))
        return None


def _answered(book: Book, bust: Bust, lesson: Lesson, typed: Iterator[str], tell: Tell) -> int:
    """Ask for a reading again until there is an answer; returns the keys of it."""
    summary, name = summarise(book.page), book.job.grid.name(bust.index)
    why = bust.explanations[0] if bust.explanations else None
    tell(f"? {name} {words_doubt.doubt_words(summary, bust, why)}  {name} {lesson.calls[bust.index].right}")
    keys = 0
    for line in typed:
        keys += len(line) + 1
        match line.strip():
            case "":
                return keys
            case "o":
                book.leave_out(name)
                return keys
        try:
            book.shoot(name, line, lambda index: summarise(book.page).judged(index) is not None)
        except ValueError as error:
            tell(say("not taken: {why}", why=error))
        else:
            return keys
    return keys
