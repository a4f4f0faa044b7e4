"""Two programs at one job, with locks and without: neither hurts the other, nor a file that is changed under them."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from rodcall.book.storage import lock, opening
from rodcall.book.storage.autosave import Keeper
from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.opening import open_job, open_to_write
from tests.book.disk import die
from tests.book.sessions import READINGS, new_pad, said, session, written


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    return new_pad(tmp_path)


@pytest.fixture
def no_locks(monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that knows no locks, as some network drives."""

    def refused(_: int) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(lock, "seize", refused)
    monkeypatch.setattr("rodcall.book.storage.journal.seize", refused)


def test_two_programs_without_locks_lose_nothing_of_each_other(pad, no_locks):
    one, other = session(pad, tablet="tablet-a"), session(pad, tablet="tablet-a")
    assert one.note == "no lock here"
    assert Keeper(one).kept.words == "saved, no lock here"
    for at, reading in enumerate(READINGS):
        written((one, other)[at % 2], reading)
    one.close()
    written(other, "-7")
    other.close()
    assert sorted(said(pad)) == sorted([*READINGS, "-7"])
    third = session(pad, "-8", tablet="tablet-b")
    third.close()
    assert sorted(said(pad)) == sorted([*READINGS, "-7", "-8"])


def test_what_was_written_without_locks_is_put_in_by_the_next_who_has_one(pad, monkeypatch):
    with monkeypatch.context() as patch:
        no = OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

        def refused(_: int) -> None:
            raise no

        patch.setattr(lock, "seize", refused)
        patch.setattr("rodcall.book.storage.journal.seize", refused)
        one, other = session(pad, "-1"), session(pad, "-2")
        written(one, "-3")
        written(other, "-4")
        die(one)
        die(other)
    file = open_to_write(pad, "tablet-b")
    assert file.note == ""
    assert sorted(said(file)) == ["-1", "-2", "-3", "-4"]
    assert "that the file lacked" in file.recovered
    file.close()
    assert journals_of(pad) == []
    assert sorted(said(pad)) == ["-1", "-2", "-3", "-4"]


def test_a_lock_taken_away_under_an_open_job_costs_nothing(pad):
    """The second one sees by its journal that the first is alive."""
    first = session(pad, "-1")
    pad.with_name("pad.json.lock").unlink()
    second = open_to_write(pad, "tablet-a")
    assert "read only" in second.read_only
    written(first, "-2")
    first.close()
    assert said(pad) == ["-1", "-2"]


def test_a_lock_taken_away_before_the_first_entry_costs_nothing(pad):
    """Both are of one tablet and count alike: the second's entries are signed with its session."""
    first = session(pad)
    pad.with_name("pad.json.lock").unlink()
    second = session(pad)
    assert second.read_only == ""
    written(first, "-1")
    written(second, "-2")
    written(first, "-3")
    written(second, "-4")
    second.close()
    written(first, "-5")
    first.close()
    assert sorted(said(pad)) == ["-1", "-2", "-3", "-4", "-5"]
    third = session(pad, "-6")
    third.close()
    assert sorted(said(pad)) == ["-1", "-2", "-3", "-4", "-5", "-6"]
    assert len({(entry.tablet, entry.number) for entry in third.book.entries}) == 6


@pytest.mark.parametrize("ending", ["kill", "close"])
@pytest.mark.parametrize("kept", range(4))
def test_a_file_that_another_program_put_there_under_an_open_job_costs_nothing(pad, tmp_path, kept, ending):
    """As a folder that is kept the same on two tablets does it: an older state of the same job comes back."""
    states = [pad.read_bytes()]
    for reading in READINGS[:3]:
        session(pad, reading).close()
        states.append(pad.read_bytes())
    file = session(pad, "-4")
    pad.write_bytes(states[kept])
    os.utime(pad, (1, 1))
    written(file, "-5")
    assert "FILE CHANGED" in Keeper(file).kept.words
    die(file) if ending == "kill" else file.close()
    again = open_to_write(pad, "tablet-a")
    assert said(again) == ["-1", "-2", "-3", "-4", "-5"]
    written(again, "-6")
    again.close()
    assert said(pad) == list(READINGS)


def test_a_file_changed_and_killed_before_the_next_entry_keeps_what_the_journal_has(pad):
    session(pad, "-1", "-2").close()
    older = pad.read_bytes()
    session(pad, "-3").close()
    file = session(pad, "-4", "-5")
    pad.write_bytes(older)
    die(file)
    pad.with_name("pad.json.before").unlink()
    again = open_to_write(pad, "tablet-a")
    assert said(again) == ["-1", "-2", "-4", "-5"], "the third is in no file any more"
    assert "entry 3 is in no file" in again.recovered
    again.close()
    assert open_job(pad, "reader").broken_seals, "and that is told for ever"


def test_what_another_session_wrote_stays_apart_where_the_book_has_no_room(pad, no_locks, monkeypatch):
    one, other = session(pad), session(pad)
    written(one, "-1", "-2")
    written(other, "-3", "-4")
    die(one)
    die(other)
    monkeypatch.setattr(opening, "MOST_ENTRIES", 3)
    assert len(open_job(pad, "reader").book.entries) == 2


def test_a_journal_that_grew_since_it_was_read_is_not_taken_away(pad, no_locks):
    """Two sessions without locks; the job file is taken away, and the one that is left writes it anew."""
    one = session(pad, "-1")
    other = session(pad)
    written(one, "-2")
    die(one)
    pad.unlink()
    written(other, "-3")
    other.close()
    assert sorted(said(open_to_write(pad, "tablet-b"))) == ["-1", "-2", "-3"]


def test_a_session_without_its_lock_and_its_file_keeps_all_in_its_journal(pad):
    """The lock is taken away, an older state of the file put back, and another program opens that."""
    states = [pad.read_bytes()]
    session(pad, "-1", "-2").close()
    first = session(pad)
    pad.with_name("pad.json.lock").unlink()
    pad.write_bytes(states[0])
    pad.with_name("pad.json.before").unlink()
    second = open_to_write(pad, "tablet-b")
    written(first, "-3")
    die(first)
    die(second)
    assert said(open_to_write(pad, "tablet-a")) == ["-1", "-2", "-3"]
