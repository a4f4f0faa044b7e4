"""What the entry line names, through moves, readings and undo: no widget, no key."""

from __future__ import annotations

from rodcall.book.book import Book
from rodcall.figures.next_up import Do, Next, next_up
from rodcall.tui.shot_grid.naming import Named, Naming
from tests.kit import a_book, figures

SHOT = ("A1 0", "B1 0", "C1 0")
"""C2 comes next on a snake of four lines of three."""
C2, A4 = 5, 9


def queue(book: Book, after: int | None = None) -> tuple[Next, ...]:
    summary = figures(book)
    return next_up(summary, summary.punch_list, after)


def test_it_names_the_first_that_is_up() -> None:
    book = a_book(*SHOT)
    assert Naming(book.page).named(queue(book)) == Named(Do.SHOOT, C2, left=9)


def test_where_the_first_takes_no_reading_it_names_nothing() -> None:
    book = a_book()
    for do in (Do.TARGET, Do.CHECK, Do.DIG, Do.NEW_ROUND, Do.SIGN, Do.LOOK, Do.READ_AGAIN):
        assert Naming(book.page).named((Next(do, 3, "BM1"),)) is None


def test_a_move_names_another_spot_until_something_is_written_there() -> None:
    book = a_book(*SHOT)
    naming = Naming(book.page)
    naming.choose(A4)
    assert naming.named(queue(book)) == Named(Do.SHOOT, A4)
    book.shoot("A4", "0")
    naming.written_at(A4, undone=False)
    assert naming.after == A4
    named = naming.named(queue(book, naming.after))
    assert named is not None
    assert (named.do, named.spot) == (Do.SHOOT, 10), "B4: the helper walks on from there"


def test_read_again_then_on_where_it_was() -> None:
    book = a_book(*SHOT)
    naming = Naming(book.page)
    naming.read_again(1, C2)
    naming.read_again(0, 1)
    assert naming.named(queue(book)) == Named(Do.READ_AGAIN, 0)
    book.shoot("A1", "0")
    naming.written_at(0, undone=False)
    assert naming.named(queue(book, naming.after)) == Named(Do.SHOOT, C2), "the second = kept where it was"


def test_read_again_does_not_go_back_to_a_spot_that_was_shot_meanwhile() -> None:
    book = a_book(*SHOT)
    naming = Naming(book.page)
    naming.read_again(0, 2)
    naming.written_at(0, undone=False)
    named = naming.named(queue(book, naming.after))
    assert named is not None
    assert named.spot == C2


def test_what_was_struck_is_named_where_it_is_open_again() -> None:
    book = a_book(*SHOT)
    naming = Naming(book.page)
    book.undo()
    naming.written_at(2, undone=True)
    assert naming.named(queue(book)) == Named(Do.SHOOT, 2)
    twice = a_book(*SHOT, "B1 -1")
    naming = Naming(twice.page)
    twice.undo()
    naming.written_at(1, undone=True)
    named = naming.named(queue(twice))
    assert named is not None
    assert named.spot == C2, "one reading still counts at B1: nothing to do there"


def test_a_check_or_a_round_drops_what_was_chosen() -> None:
    book = a_book(*SHOT)
    naming = Naming(book.page)
    naming.choose(A4)
    naming.written_elsewhere()
    assert naming.after == 2
    named = naming.named(queue(book))
    assert named is not None
    assert named.spot == C2


def test_giving_up_goes_back_to_what_is_next() -> None:
    book = a_book(*SHOT)
    naming = Naming(book.page)
    assert naming.give_up() is False
    naming.choose(A4)
    assert naming.give_up() is True
    named = naming.named(queue(book))
    assert named is not None
    assert named.spot == C2
