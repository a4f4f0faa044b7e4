"""What the entry line names: suspects in the order of the helper's feet, checks before the bucket, the line closed."""

from __future__ import annotations

from rodcall.book.book import Book
from rodcall.book.model.entries import Readings
from rodcall.figures.next_up import Do, next_up
from rodcall.units import Unit
from rodcall.wording.punch_list import next_words
from tests.kit import a_book, a_job, figures, say
from tests.terminal.crew import snake

WALK = snake(4, 3)
BUMPED = ("check BM1 +2-1/2in", "check BM1 +2-1/2in", "check BM1 +2")
"""Twice bad, levelled, good: what was shot since the last good check is suspect."""


DOWN_TO_THE_NEAR_EDGE = {4: "0", 3: "-3/8", 2: "-3/4", 1: "-1-1/8"}
"""By line: a slope that fits itself, out of the 1 in allowed at the near edge."""


def named(book: Book, count: int) -> list[str]:
    """The spots that the line names, each shot when it is named."""
    told = []
    for _ in range(count):
        summary = figures(book)
        first = next_up(summary, summary.punch_list)[0]
        assert first.do is Do.RESHOOT
        assert first.left == count - len(told)
        told.append(summary.grid.name(first.spot))
        say(book, f"{told[-1]} 0")
    return told


def test_suspects_in_the_middle_of_a_round_are_walked_once_and_end_where_the_walk_goes_on() -> None:
    lines = [f"{spot} 0" for spot in WALK[:7]]
    book = a_book("reference BM1 +2in", *lines[:3], "check BM1 +2", *lines[3:], *BUMPED)
    assert named(book, 4) == WALK[3:7]
    summary = figures(book)
    assert summary.grid.name(next_up(summary, summary.punch_list)[0].spot) == WALK[7]


def test_where_all_is_shot_the_helper_walks_back_from_the_nearer_end() -> None:
    book = a_book("reference BM1 +2in", *(f"{spot} 0" for spot in WALK), *BUMPED)
    assert named(book, 12) == WALK[::-1]


def test_a_check_comes_before_the_bucket() -> None:
    book = a_book("reference BM1 +2in", *(f"{spot} 0" for spot in WALK), "target -1-1/2in")
    queue = [each.do for each in next_up(figures(book), figures(book).punch_list)]
    assert queue.index(Do.CHECK) < queue.index(Do.DIG)


def test_what_to_dig_says_which_key_comes_after_it() -> None:
    shot = [f"{spot} {DOWN_TO_THE_NEAR_EDGE[int(spot[1:])]}" for spot in WALK]
    book = a_book("reference BM1 +2in", *shot, "target 0", "check BM1 +2")
    assert first_words(book) == "dig, worst A1 fill 1-1/8; then r begins a round"
    say(book, "round final", *shot, "check BM1 +2")
    assert first_words(book) == "A1 fill 1-1/8; then ! names A1 to read it"


def test_a_line_of_levels_is_closed_on_a_reference_that_was_not_read_on_the_way() -> None:
    book = a_book(
        *("reference BM1 +1ft", "reference BM2 +0.5ft", "setup BM1 5.00", "turn TP1 6.00", "setup TP1 5.00"),
        *(f"{spot} 5.00" for spot in WALK),
        "target 0",
        job=a_job(Unit.FT, readings=Readings.ROD),
    )
    summary = figures(book)
    (check,) = (each for each in next_up(summary, summary.punch_list) if each.do is Do.CHECK)
    assert check.reference == "BM2"


def first_words(book: Book) -> str:
    """What the line says comes next."""
    summary = figures(book)
    return next_words(summary, next_up(summary, summary.punch_list)[0])
