"""What the jobs of one site share: each check shot told once, with the jobs that have it, lack it or cannot take it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from rodcall.book.book import Book
from rodcall.book.fold.page import PageError
from rodcall.book.sharing import carry, checks_to_carry, share_references, shared_checks, shared_setups
from rodcall.units import Unit
from tests.kit import START, a_job, say


@pytest.fixture
def books() -> list[Book]:
    """Three pads on one site by one clock: the second and the third have the first one's set-up."""
    seconds = iter(range(0, 100_000, 10))
    made = []
    for name, digit in (("Shed", "a"), ("Tank", "b"), ("Yard", "c")):
        job = a_job(Unit.FT, 2, 2, name=name, readings="rod", site="Juniper farm")
        job = job.model_copy(update={"id": digit * 32})
        made.append(Book(job, "tablet-a", lambda: START + timedelta(seconds=next(seconds))))
    made[0].refer("BM1", "+1.00", "nail in the oak")
    say(made[0], "setup BM1 4.00")
    for other in made[1:]:
        share_references(made[0], other)
    return made


def test_each_check_is_told_once_with_the_jobs_it_serves(books):
    shed, tank, yard = books
    say(tank, "A1 5.0")
    say(shed, "A1 5.0", "check BM1 4.00")
    say(yard, "A1 5.0")
    (told,) = shared_checks(books)
    assert told.line is shed.page.checks[0]
    assert (told.shot_in, told.stands_in, told.serves) == (0, (0,), (1,))
    assert told.refused == ((2, "Yard was written after that check; shoot a check there"),)
    carry(shed, told.line, tank)
    (told,) = shared_checks(books)
    assert (told.shot_in, told.stands_in, told.serves) == (0, (0, 1), ())
    (told,) = shared_checks(books[1:])
    assert (told.shot_in, told.stands_in) == (0, (0,)), "where the job it was shot in is away, one that has it"


def test_where_it_was_shot_is_told_whichever_job_comes_first(books):
    shed, tank, _ = books
    say(shed, "check BM1 4.00")
    carry(shed, shed.page.checks[0], tank)
    (told,) = shared_checks([tank, shed])
    assert (told.shot_in, told.line, told.stands_in) == (1, shed.page.checks[0], (0, 1))


def test_checks_are_told_by_their_time(books):
    shed, tank, _ = books
    say(tank, "check BM1 4.01")
    say(shed, "check BM1 4.00")
    assert [told.shot_in for told in shared_checks(books)] == [1, 0]


def test_every_set_up_once_with_the_jobs_shot_from_it(books):
    shed, tank, _ = books
    say(tank, "setup BM1 4.20")
    told = shared_setups(books)
    assert [(line, jobs) for line, jobs in told] == [(shed.page.setups[0], (0, 1, 2)), (tank.page.setups[-1], (1,))]


def test_a_reference_comes_with_the_words_that_describe_it(books):
    _, tank, _ = books
    (line,) = tank.page.references_written["BM1"]
    assert line.entry.description == "as in Shed; nail in the oak"


def test_a_check_on_a_reference_that_a_job_lacks_cannot_be_carried(books):
    shed, tank, _ = books
    say(shed, "turn TP1 3.00", "check TP1 3.00")
    ((check, why),) = checks_to_carry(shed, tank)
    assert why == "Tank has no reference TP1"
    with pytest.raises(PageError, match="Tank has no reference TP1"):
        carry(shed, check, tank)
    assert [entry.said for entry in tank.entries[2:]] == []


def test_a_job_without_a_set_up_takes_no_check(books):
    shed = books[0]
    say(shed, "check BM1 4.00")
    assert list(checks_to_carry(shed, Book(a_job(), "tablet-a"))) == []
