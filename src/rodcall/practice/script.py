"""A lesson without a screen: calls go out line by line, and what is typed comes in; for scripts and tests."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from time import monotonic

from rodcall import words_doubt
from rodcall.book.book import Book
from rodcall.book.round_page import Line
from rodcall.figures.busts import Bust
from rodcall.figures.summary import summarise
from rodcall.language import say
from rodcall.practice.lesson import Lesson
from rodcall.practice.score import Score, score_of

Tell = Callable[[str], None]


def run(lesson: Lesson, book: Book, typed: Iterator[str], tell: Tell) -> Score:
    """Call each position in walking order and take what is typed, until that ends.

    A line is what one types before Enter. Where a reading does not fit, `?` and the doubt are told, and the next line
    answers: `*` takes what would fit, `/` keeps it, `o` leaves it out, and a reading is the spot read again.

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
            keys += _answered(book, bust, shot, lesson, typed, tell)
    return score_of(lesson, book.page, keys, monotonic() - began)


def _taken(book: Book, name: str, line: str, tell: Tell) -> Line | None:
    try:
        return book.shoot(name, line).line
    except ValueError as error:
        tell(say("not taken: {why}", why=error))
        return None


def _answered(book: Book, bust: Bust, shot: Line, lesson: Lesson, typed: Iterator[str], tell: Tell) -> int:
    """Ask about a reading until there is an answer; returns the keys of it."""
    summary, name = summarise(book.page), book.job.grid.name(bust.index)
    why = bust.explanations[0] if bust.explanations else None
    tell(f"? {words_doubt.question(summary, bust, why)}  {name} {lesson.calls[bust.index].right}")
    keys = 0
    for line in typed:
        match line.strip():
            case "*" if why is not None:
                book.put_right(name, why.text, str(why.mistake))
                return keys + 1
            case "/":
                book.confirm(shot, bust.score)
                return keys + 1
            case "o":
                book.leave_out(name)
                return keys + 1
        keys += len(line) + 1
        try:
            book.shoot(name, line)
        except ValueError as error:
            tell(say("not taken: {why}", why=error))
        else:
            return keys
    return keys
