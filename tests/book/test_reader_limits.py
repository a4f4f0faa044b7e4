"""The writer keeps the limits of the reader, and says so at the entry before."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.fold import writing
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import MOST_NUMBER, MOST_PLACES, TEXT_LIMIT, RoundKind
from rodcall.book.storage import job_file, job_format
from rodcall.book.storage.opening import JobFileError, open_job
from rodcall.book.storage.rescue.gather import gather
from tests.book.sessions import READINGS, new_pad, session


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    return new_pad(tmp_path)


@pytest.mark.parametrize("limit", ["MOST_ENTRIES", "MOST_BYTES", "MOST_PARTS"])
def test_a_book_that_is_full_says_so_and_opens(pad, monkeypatch, limit):
    value = {"MOST_ENTRIES": 6, "MOST_BYTES": 6000, "MOST_PARTS": 4200}[limit]
    monkeypatch.setattr(job_file if limit == "MOST_ENTRIES" else job_format, limit, value)
    file = session(pad)
    with pytest.raises(PageError, match=r"the book is full with .* begin a new job"):
        any(file.book.note(f"{number},,,") is None for number in range(200))
    file.append()
    file.close()
    monkeypatch.undo()
    for module in (
        "rodcall.book.storage.job_format",
        "rodcall.book.storage.rescue.recovery",
        "rodcall.book.storage.journal",
    ):
        monkeypatch.setattr(f"{module}.{limit}", value, raising=False)
    assert len(open_job(pad, "reader").book.entries) == len(file.book.entries) > 4


def test_the_last_entries_of_a_full_book_are_told_before_it_is_full(pad, monkeypatch):
    monkeypatch.setattr(job_file, "MOST_ENTRIES", 60)
    file = session(pad)
    for number in range(9):
        file.book.note(f"{number}")
    assert file.note == "room for 50 more"
    for number in range(50):
        file.book.note(f"{number}")
    assert file.note == "room for 0 more"
    with pytest.raises(PageError, match="the book is full with 59 entries; begin a new job"):
        file.book.note("one more")
    file.append()
    file.close()
    assert len(open_job(pad, "reader").book.entries) == 59


def test_what_two_books_come_to_is_refused_where_one_does_not_hold_it(pad, monkeypatch):
    """Joined, or brought together from what lies about."""
    session(pad, *READINGS).close()
    monkeypatch.setattr(job_file, "MOST_ENTRIES", 5)
    with pytest.raises(JobFileError, match=r"new\.json: cannot be written \(more entries than one book holds\)"):
        gather(pad).write(pad.with_name("new.json"))
    assert not pad.with_name("new.json").exists()


@pytest.mark.parametrize("field", ["number", "text", "places"])
def test_what_a_model_refuses_to_read_it_refuses_to_write(pad, field):
    file = session(pad)
    if field == "number":
        file.book._number = MOST_NUMBER
        with pytest.raises(PageError, match="number"):
            file.book.shoot("A1", "-1")
    elif field == "text":
        file.book.note("x" * (TEXT_LIMIT + 9))
        assert file.append() == 1
    else:
        file.book.tell_of_damage(range(1, 2 * MOST_PLACES), ())
        assert file.append() == 1
    file.close()
    assert open_job(pad, "reader").broken_seals == ()


def test_rounds_and_decisions_end_for_the_writer_where_they_end_for_the_reader(pad, monkeypatch):
    """Both fold by `Page.add`, which says so."""
    monkeypatch.setattr(writing, "MOST_ROUNDS", 2)
    file = session(pad)
    file.book.begin_round(RoundKind.WORKING)
    file.book.begin_round(RoundKind.WORKING)
    with pytest.raises(PageError, match="too many rounds: the limit is 2"):
        file.book.begin_round(RoundKind.WORKING)
    file.append()
    file.close()
    assert len(open_job(pad, "reader").book.entries) == 2
