"""What did not fit and was kept or put right in an older book is on its as-built sheet."""

from __future__ import annotations

from rodcall.book.storage.opening import JobFile
from rodcall.figures.summary import summarise
from rodcall.sheets.content.plan import legend, marks
from rodcall.sheets.content.record import record_of
from tests.kit import a_book, confirm, put_right


def test_a_kept_reading_has_its_mark_while_it_is_kept():
    book = a_book("target +6", "A1 0", "B1 +12", "C1 -1")
    confirm(book, book.page.round.readings_at(1)[-1])
    assert [marks(summarise(book.page), index) for index in range(3)] == ["!z", "!k", "!"]
    book.undo()
    assert "k" not in marks(summarise(book.page), 1)
    assert legend("k").startswith("k does not fit")


def test_kept_and_put_right_are_remarks(tmp_path):
    book = a_book("A1 0", "B1 +12", "C1 +11")
    confirm(book, book.page.round.readings_at(1)[-1], odds=4.0)
    put_right(book, "C1", "-1", "one foot")
    told = [remark.text for remark in record_of(JobFile(tmp_path / "pad.json", book)).remarks]
    assert told == ["B1: +12 did not fit its neighbours, and was kept", "C1: corrected to -1 (one foot)"]
    book.undo()
    book.undo()
    assert record_of(JobFile(tmp_path / "pad.json", book)).remarks == ()


def test_a_reading_that_was_read_again_says_so_where_it_is_struck(tmp_path):
    book = a_book(*(f"{name} 0" for name in ("A1", "B1", "C1", "C2", "B2", "A2")), "A3 +12")
    book.shoot("A3", "0", lambda spot: summarise(book.page).judged(spot) is not None)
    (dropped,) = record_of(JobFile(tmp_path / "pad.json", book)).dropped
    assert (dropped.at, dropped.said) == ("A3", "+12")
    assert dropped.why.endswith(": read again")
