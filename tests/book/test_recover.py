"""Openings after an end that was none: what was durable is found, what is torn is kept aside, and it is said."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from rodcall.book.fold.page import PageError
from rodcall.book.storage.autosave import Kept
from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.lock import HeldError, Lock
from rodcall.book.storage.opening import JobFileError, new_job_file, open_job, open_to_write
from tests.book.disk import die
from tests.cli.kit import rodcall
from tests.kit import a_job, ticking


@pytest.fixture
def crashed(tmp_path: Path) -> Path:
    """A job with two entries in its file and three in its journal, whose program is gone."""
    file = new_job_file(tmp_path / "pad.json", a_job(), "tablet-a")
    file.book.clock = ticking()
    for reading in ("-1", "-2"):
        file.book.shoot("A1", reading)
    file.save()
    for reading in ("-3", "-4", "-5"):
        file.book.shoot("A1", reading)
        file.append()
    die(file)
    return file.path


def journal_of(path: Path) -> Path:
    """The one journal of a job."""
    (journal,) = journals_of(path)
    return journal


def said(path: Path) -> list[str]:
    return [entry.said for entry in open_job(path, "reader").book.entries]


def test_looking_at_a_job_left_open_finds_all_and_changes_nothing(crashed):
    before = {path.name: path.read_bytes() for path in crashed.parent.iterdir()}
    assert said(crashed) == ["-1", "-2", "-3", "-4", "-5"]
    assert {path.name: path.read_bytes() for path in crashed.parent.iterdir()} == before


def test_the_next_opening_says_what_it_found_and_goes_on_there(crashed):
    found = open_to_write(crashed, "tablet-a")
    assert found.recovered == "the program was cut off; everything saved is here, 3 entries since"
    assert journals_of(crashed) == []
    change = found.book.shoot("A1", "-6")
    assert change.line.entry.number == 6
    found.append()
    found.close()
    assert said(crashed)[-1] == "-6"
    assert open_to_write(crashed, "tablet-a").recovered == ""


def test_a_torn_end_is_cut_at_the_last_whole_entry_and_kept(crashed):
    journal = journal_of(crashed)
    whole = journal.read_bytes()
    torn = whole[: whole.rindex(b'"seal"')]
    journal.write_bytes(torn)
    found = open_to_write(crashed, "tablet-a")
    assert [entry.said for entry in found.book.entries] == ["-1", "-2", "-3", "-4"]
    assert found.recovered.endswith("2 entries since; what could not be read is kept in pad.json.torn-1")
    kept = crashed.with_name("pad.json.torn-1").read_bytes()
    assert whole.startswith(torn[: -len(kept)] + kept)
    assert b'"said": "-5"' in kept


def test_every_torn_end_of_the_journal_leaves_the_whole_entries(crashed):
    whole = journal_of(crashed).read_bytes()
    for cut in range(len(whole)):
        journal_of(crashed).write_bytes(whole[:cut])
        found = said(crashed)
        assert found == ["-1", "-2", "-3", "-4", "-5"][: len(found)]
        assert len(found) >= 2 + whole[:cut].count(b"\n") - 1


@pytest.mark.parametrize("at", range(0, 900, 7))
def test_a_byte_changed_in_the_journal_is_never_a_changed_height(crashed, at):
    journal = journal_of(crashed)
    content = bytearray(journal.read_bytes())
    content[at % len(content)] ^= 1
    journal.write_bytes(content)
    found = open_to_write(crashed, "tablet-a")
    entries = [entry.said for entry in found.book.entries]
    assert entries == ["-1", "-2", "-3", "-4", "-5"][: len(entries)]
    kept = b"".join(path.read_bytes() for path in crashed.parent.glob("*.torn-*"))
    assert len(entries) == 5 or kept


def test_the_journal_of_another_job_or_of_a_longer_book_is_kept_aside(crashed):
    other = new_job_file(crashed.parent / "tank.json", a_job(name="Tank"), "tablet-a")
    other.close()
    other.path.with_name("tank.json.journal").write_bytes(journal_of(crashed).read_bytes())
    found = open_to_write(other.path, "tablet-a")
    assert found.book.entries == []
    assert "kept in tank.json.torn-1" in found.recovered


def test_a_journal_that_was_folded_in_already_doubles_nothing(crashed):
    journal = journal_of(crashed)
    left = journal.read_bytes()
    open_to_write(crashed, "tablet-a").close()
    journal.write_bytes(left)
    found = open_to_write(crashed, "tablet-a")
    assert [entry.said for entry in found.book.entries] == ["-1", "-2", "-3", "-4", "-5"]
    assert not list(crashed.parent.glob("*.torn-*"))


def test_a_file_cut_short_gives_its_whole_entries_and_is_kept(crashed):
    open_to_write(crashed, "tablet-a").close()
    crashed.with_name("pad.json.before").unlink()
    whole = crashed.read_bytes()
    cut = whole[: whole.index(b'"said": "-4"')]
    crashed.write_bytes(cut)
    found = open_to_write(crashed, "tablet-a")
    assert [entry.said for entry in found.book.entries] == ["-1", "-2", "-3", ""]
    assert found.damaged == (4, 5)
    assert found.recovered.startswith("the file was damaged; 3 entries are whole and are here; ")
    assert crashed.with_name("pad.json.torn-1").read_bytes() == cut
    found.close()
    assert said(crashed) == ["-1", "-2", "-3", ""]


def test_what_a_damaged_file_lacks_comes_from_the_one_before(crashed):
    """The file before has two entries, the damaged one all but its first: together they are whole."""
    open_to_write(crashed, "tablet-a").close()
    whole = crashed.read_bytes()
    crashed.write_bytes(whole.replace(b'"said": "-1"', b'"said": "-1', 1))
    found = open_to_write(crashed, "tablet-a")
    assert [entry.said for entry in found.book.entries] == ["-1", "-2", "-3", "-4", "-5"]
    assert found.broken_seals == ()


def test_a_file_of_nothing_is_taken_from_the_one_before_or_refused(crashed):
    open_to_write(crashed, "tablet-a").close()
    crashed.write_bytes(b"")
    assert said(crashed) == ["-1", "-2"]
    crashed.with_name("pad.json.before").unlink()
    with pytest.raises(JobFileError, match=r"pad\.json: empty; rodcall recover lists what is left"):
        open_to_write(crashed, "tablet-a")
    with pytest.raises(JobFileError, match=r"pad\.json: empty; rodcall recover lists what is left"):
        open_to_write(crashed, "tablet-a")


# -- two at once --------------------------------------------------------------------------------------------


def test_a_second_program_opens_it_read_only_and_says_who_has_it(tmp_path):
    first = new_job_file(tmp_path / "pad.json", a_job(), "tablet-a")
    first.book.shoot("A1", "-1")
    first.append()
    second = open_to_write(first.path, "tablet-b")
    assert f"open in process {os.getpid()} on " in second.read_only
    assert [entry.said for entry in second.book.entries] == ["-1"]
    with pytest.raises(PageError, match=r"^read only: "):
        second.book.shoot("A2", "-2")
    first.book.shoot("A2", "-2")
    first.append()
    first.close()
    third = open_to_write(first.path, "tablet-b")
    assert third.read_only == ""
    assert len(third.book.entries) == 2


def test_a_lock_is_free_again_when_its_program_was_killed(tmp_path):
    path = tmp_path / "pad.json"
    imports = "from pathlib import Path; from rodcall.book.storage.lock import Lock"
    code = f"{imports}; Lock.take(Path({str(path)!r})); print(1)"
    program = subprocess.Popen(
        [sys.executable, "-c", f"{code}; import sys; sys.stdout.flush(); sys.stdin.read()"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    assert program.stdout.read(1) == b"1"
    with pytest.raises(HeldError, match=f"process {program.pid} on .* since "):
        Lock.take(path)
    program.kill()
    program.communicate()
    lock = Lock.take(path)
    assert lock.left_by.startswith(f"process {program.pid} on ")
    lock.release()
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize("note", [b"", b"[" * 5000, b'{"process": "\\u001b[2J", "host": 1, "since": []}', b"\xff"])
def test_a_strange_note_is_told_harmlessly(tmp_path, note):
    path = tmp_path / "pad.json"
    held = Lock.take(path)
    os.ftruncate(held._descriptor, 0)
    os.lseek(held._descriptor, 0, os.SEEK_SET)
    os.write(held._descriptor, note)
    with pytest.raises(HeldError) as refusal:
        Lock.take(path)
    assert str(refusal.value).isprintable()
    held.release()


def test_where_no_lock_can_be_kept_work_goes_on(tmp_path):
    assert Lock.take(tmp_path / "no folder" / "pad.json").left_by == ""


# -- from the shell -----------------------------------------------------------------------------------------


def test_the_shell_writes_nothing_into_a_job_that_is_open(tmp_path):
    held = new_job_file(tmp_path / "pad.json", a_job(), "tablet-a")
    refusal = rodcall("enter", held.path, stdin="A1 -1\n").refusal
    assert refusal.startswith(f"pad.json: read only: 'Greenhouse pad' is open in process {os.getpid()} on ")
    held.close()
    assert rodcall("enter", held.path, stdin="A1 -1\n").status == 0
    assert said(held.path) == ["-1"]


def test_the_shell_says_what_it_found_after_a_crash(crashed):
    told = rodcall("enter", crashed, stdin="A1 -6\n")
    assert told.status == 0
    assert told.err == "pad.json: the program was cut off; everything saved is here, 3 entries since\n"
    assert said(crashed)[-2:] == ["-5", "-6"]


def test_a_mistake_of_the_program_is_one_line_at_the_shell_too(crashed, home, monkeypatch):
    def broken(*_):
        raise KeyError("Mrs Somebody")

    monkeypatch.setattr("rodcall.figures.summary.summarise", broken)
    told = rodcall("figures", crashed)
    assert (told.status, told.out, told.err.count("\n")) == (70, "", 1)
    assert told.err.startswith("rodcall: internal error (KeyError); nothing written is lost. Report")
    (report,) = (home / "reports").iterdir()
    assert "Somebody" not in told.err + report.read_text("utf-8")


# -- what the top line says ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kept", "words"),
    [
        (Kept(3, 3), "saved"),
        (Kept(2, 3), "saving"),
        (Kept(3, 3, took=2.34), "saved, slow disk (2.3 s)"),
        (Kept(2, 3, "no space left on device", took=2.0), "NOT SAVED: no space left on device"),
        (Kept(3, 3, read_only=True), "READ ONLY"),
    ],
)
def test_the_words_of_what_is_kept(kept, words):
    assert kept.words == words
