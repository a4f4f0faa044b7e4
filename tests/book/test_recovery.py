"""After a crash every durable entry is found again, and nothing that was on the disk is thrown away."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book import replace
from rodcall.book.file import JobFile, new_job_file, open_job, open_to_write
from rodcall.book.journal import journal_of
from rodcall.book.recover import before_of
from tests.kit import a_job


@pytest.fixture
def begun(tmp_path: Path) -> JobFile:
    """A job whose three readings are in the journal only, as after a crash: it was never closed."""
    file = new_job_file(tmp_path / "pad.json", a_job(), "tablet-a")
    for position, said in (("A1", "0"), ("B1", "-1-3/8"), ("C1", "+1/2")):
        file.book.shoot(position, said)
        file.append()
    return file


def let_go(file: JobFile) -> None:
    """What the system does for a program that was killed: its lock is gone, and nothing else happens."""
    assert file.lock is not None
    file.lock.release()


def said(file: JobFile) -> list[str]:
    return [entry.said for entry in file.book.entries]


def test_what_was_appended_is_found_without_being_folded_in(begun):
    assert begun.path.read_bytes().count(b'"kind": "shot"') == 0, "the file itself was not rewritten"
    assert said(open_job(begun.path, "reader")) == ["0", "-1-3/8", "+1/2"]


def test_opening_after_a_crash_folds_the_journal_in_and_says_so(begun):
    let_go(begun)
    opened = open_to_write(begun.path, "tablet-a")
    assert said(opened) == ["0", "-1-3/8", "+1/2"]
    assert "3 entries" in opened.recovered
    assert opened.broken_seals == ()
    opened.book.shoot("C2", "-1")
    opened.append()
    opened.close()
    assert said(open_job(begun.path, "reader")) == ["0", "-1-3/8", "+1/2", "-1"]
    assert not journal_of(begun.path).exists()


def test_every_torn_end_of_the_journal_leaves_the_whole_entries(begun):
    journal = journal_of(begun.path)
    whole = journal.read_bytes()
    for cut in range(len(whole)):
        journal.write_bytes(whole[:cut])
        found = said(open_job(begun.path, "reader"))
        assert found == ["0", "-1-3/8", "+1/2"][: len(found)]
        assert len(found) >= whole[:cut].count(b"\n") - 1


def test_a_torn_end_is_kept_aside(begun):
    let_go(begun)
    journal = journal_of(begun.path)
    torn = journal.read_bytes()[:-20]
    journal.write_bytes(torn)
    opened = open_to_write(begun.path, "tablet-a")
    assert said(opened) == ["0", "-1-3/8"]
    aside = [path.read_bytes() for path in begun.path.parent.iterdir() if "torn" in path.name]
    assert any(torn.endswith(kept) and kept for kept in aside)
    opened.close()


def test_the_file_before_the_last_is_kept(begun):
    begun.close()
    opened = open_to_write(begun.path, "tablet-a")
    first = begun.path.read_bytes()
    opened.book.shoot("C2", "-1")
    opened.append()
    opened.close()
    assert before_of(begun.path).read_bytes() == first


def test_a_second_program_reads_only_and_says_who_has_it(begun):
    second = open_to_write(begun.path, "tablet-b")
    assert "read only" in second.read_only
    assert said(second) == ["0", "-1-3/8", "+1/2"]
    second.close()
    let_go(begun)
    third = open_to_write(begun.path, "tablet-b")
    assert third.read_only == ""
    third.close()


def test_a_journal_that_fails_gives_way_to_the_whole_file(begun, monkeypatch):
    real, failed = replace.sync, []

    def fails_once(descriptor: int) -> None:
        if not failed:
            failed.append(descriptor)
            raise OSError(28, "No space left on device")
        real(descriptor)

    monkeypatch.setattr(replace, "sync", fails_once)
    begun.book.shoot("C2", "-1")
    begun.append()
    assert failed
    assert said(open_job(begun.path, "reader")) == ["0", "-1-3/8", "+1/2", "-1"]
