"""Where the helper walks: every position once, the shortest way, and never back over the pad with nothing to do."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.fold.round_page import UNSHOT
from rodcall.book.model.entries import RoundKind, Walk
from rodcall.book.model.grid import Grid
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.units import FOOT
from tests.kit import a_book, a_job, say

SIDE = st.integers(2, 7)


def standing(book: Book) -> str:
    """Name of the position where the crew stands."""
    return book.job.grid.name(book.page.standing)


def walked(book: Book) -> list[int]:
    """Shoot on from where the crew stands until nothing is left; the positions in the order shot."""
    grid, at, order = book.job.grid, book.page.standing, []
    while book.page.round.state[at] == UNSHOT:
        order.append(at)
        book.shoot(grid.name(at), "0")
        at = book.page.standing
    return order


def tape(grid: Grid, order: list[int]) -> int:
    """How far the helper walks along lines and columns, nanometres."""
    spots = [(int(grid.along_nm[at // grid.across]), int(grid.across_nm[at % grid.across])) for at in order]
    return sum(abs(y - v) + abs(x - u) for (y, x), (v, u) in pairwise(spots))


@given(SIDE, SIDE, st.integers(1, 3))
def test_rounds_one_after_the_other_walk_each_spot_once_and_no_step_is_longer_than_a_spacing(along, across, rounds):
    book = a_book(job=a_job(along=along, across=across))
    grid, order = book.job.grid, []
    for number in range(rounds):
        if number:
            book.begin_round(RoundKind.WORKING)
        this = walked(book)
        assert sorted(this) == list(range(grid.size))
        order += this
    # Common practice, by hand: each line's full width, and each gap between lines once; rounds join without a step.
    once = along * int(grid.across_nm[-1]) + int(grid.along_nm[-1])
    assert tape(grid, order) == rounds * once


@given(SIDE, SIDE, st.data())
def test_what_is_left_over_is_met_in_one_sweep_on_and_one_back(along, across, data):
    book = a_book(job=a_job(along=along, across=across))
    grid = book.job.grid
    if data.draw(st.booleans(), "the round walks back"):
        walked(book)
        book.begin_round(RoundKind.WORKING)
    done = data.draw(st.sets(st.integers(0, grid.size - 1), max_size=grid.size - 1), "shot out of order")
    for at in done:
        book.shoot(grid.name(at), "0")
    begin = data.draw(st.integers(0, grid.size - 1), "where the helper stands")
    book.shoot(grid.name(begin), "0")
    left = {at for at in range(grid.size) if book.page.round.state[at] == UNSHOT}
    steps = [book.page.walk.step(at) for at in (begin, *walked(book))]
    assert {book.page.walk.at(step) for step in steps[1:]} == left
    turn = steps.index(max(steps))
    assert steps[: turn + 1] == sorted(steps[: turn + 1]), "on"
    assert steps[turn:] == sorted(steps[turn:], reverse=True), "and back"


@given(SIDE, SIDE, st.sampled_from(list(Walk)), st.booleans(), st.data())
def test_onward_meets_all_and_the_path_is_the_steps(along, across, order, back, data):
    walk = a_job(along=along, across=across).grid.walk(order, back=back)
    size = along * across
    assert walk.path.tolist() == [walk.at(step) for step in range(size)]
    begin = data.draw(st.one_of(st.none(), st.integers(0, size - 1)))
    met = walk.onward(begin).tolist()
    assert sorted(met) == list(range(size))
    assert begin in (None, met[-1])


def test_a_round_begins_where_the_helper_stands_and_lines_always_at_the_left():
    job = a_job(along=4, across=3, length=60 * FOOT, width=40 * FOOT)
    book = a_book("A1 0", "B1 0", "C4 0", job=job)
    book.begin_round(RoundKind.WORKING)
    assert standing(book) == "A4"
    say(book, "A4 0", "B4 0")
    assert standing(book) == "C4"
    say(book, "C1 0")
    book.begin_round(RoundKind.FINAL)
    assert standing(book) == "A1"
    say(book, "C4 0")
    book.begin_round(RoundKind.FINAL)
    book.walk(Walk.LINES)
    assert standing(book) == "A1"


def test_the_way_back_is_kept_in_the_file(tmp_path):
    book = a_book("A4 0", job=a_job(along=4, across=3))
    book.begin_round(RoundKind.WORKING)
    say(book, "A4 -1/2")
    JobFile(tmp_path / "pad.json", book).save()
    again = open_job(tmp_path / "pad.json", "tablet-b").book
    assert standing(again) == standing(book) == "B4"


def test_a_spot_passed_over_on_the_way_is_met_on_the_way_back():
    book = a_book("A1 0", "C1 0", job=a_job(along=2, across=3))
    assert [book.job.grid.name(at) for at in walked(book)] == ["C2", "B2", "A2", "B1"]
