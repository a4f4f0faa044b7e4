"""The keeper behind the keyboard: whatever fails in it is said, and what comes next is saved all the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.storage.autosave import Keeper, Kept
from rodcall.book.storage.opening import JobFile, JobFileError, new_job_file, open_job
from tests.kit import a_job


@pytest.fixture
def file(tmp_path: Path) -> JobFile:
    return new_job_file(tmp_path / "pad.json", a_job(), "tablet-a")


def said(path: Path) -> list[str]:
    return [entry.said for entry in open_job(path, "reader").book.entries]


def test_a_mistake_in_saving_is_said_and_the_next_save_takes_all(file, monkeypatch):
    keeper = Keeper(file, retry=3600.0)
    append = file.append

    def broken():
        raise KeyError("unheard of")

    monkeypatch.setattr(file, "append", broken)
    file.book.shoot("A1", "-1")
    told = keeper.flush()
    assert (told.saved, told.written, told.trouble) == (0, 1, "internal error (KeyError)")
    assert told.words == "NOT SAVED: internal error (KeyError)"
    monkeypatch.setattr(file, "append", append)
    file.book.shoot("A2", "-2")
    assert keeper.close() == Kept(2, 2, "", keeper.kept.took)
    assert said(file.path) == ["-1", "-2"]


def test_what_the_disk_says_is_told_in_its_words(file, monkeypatch):
    keeper = Keeper(file, retry=3600.0)

    def full():
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(file, "append", full)
    file.book.shoot("A1", "-1")
    assert keeper.flush().words == "NOT SAVED: no space left on device"
    monkeypatch.undo()
    keeper.close()
    assert said(file.path) == ["-1"]


def test_who_listens_and_breaks_stops_no_saving(file):
    def gone(kept):
        raise RuntimeError("the screen is gone")

    keeper = Keeper(file, gone)
    for reading in ("-1", "-2", "-3"):
        file.book.shoot("A1", reading)
        keeper.keep()
    keeper.close()
    assert said(file.path) == ["-1", "-2", "-3"]


def test_where_the_thread_has_died_the_writer_saves(file, monkeypatch):
    """Nothing but the interpreter's own end stops it; then a key saves what it wrote."""
    keeper = Keeper(file, retry=3600.0)

    def stop():
        raise SystemExit

    monkeypatch.setattr(keeper, "_save", stop)
    file.book.shoot("A1", "-1")
    keeper._wake.set()
    keeper._thread.join()
    assert keeper.kept.trouble == "internal error (SystemExit)"
    monkeypatch.undo()
    file.book.shoot("A2", "-2")
    keeper.keep()
    assert (keeper.kept.saved, keeper.kept.trouble) == (2, "")
    keeper.close()
    assert said(file.path) == ["-1", "-2"]


def test_a_file_that_cannot_be_put_in_order_keeps_its_journal(file, monkeypatch):
    keeper = Keeper(file, retry=3600.0)
    file.book.shoot("A1", "-1")
    close = file.close

    def broken():
        raise ValueError("not now")

    monkeypatch.setattr(file, "close", broken)
    told = keeper.close()
    assert (told.saved, told.trouble) == (1, "internal error (ValueError)")
    assert said(file.path) == ["-1"], "from the journal"
    monkeypatch.undo()
    close()


def test_saved_under_another_name_all_of_it_and_it_goes_on_there(file, tmp_path):
    keeper = Keeper(file, retry=3600.0)
    file.book.shoot("A1", "-1")
    keeper.flush()
    (tmp_path / "taken.json").write_text("{}")
    with pytest.raises(JobFileError, match="already exists"):
        keeper.save_elsewhere(tmp_path / "taken.json")
    with pytest.raises(JobFileError, match="is open in process"):
        keeper.save_elsewhere(file.path)
    told = keeper.save_elsewhere(tmp_path / "stick.json")
    assert (told.saved, told.written, told.trouble) == (1, 1, "")
    file.book.shoot("A2", "-2")
    keeper.close()
    assert said(tmp_path / "stick.json") == ["-1", "-2"]
    assert said(tmp_path / "pad.json") == ["-1"]


def test_a_slow_disk_is_said_from_one_second_on():
    assert Kept(1, 1, took=0.99).words == "saved"
    assert Kept(1, 1, took=1.0).words == "saved, slow disk (1.0 s)"
    assert Kept(1, 2, note="no lock").words == "saving, no lock"
