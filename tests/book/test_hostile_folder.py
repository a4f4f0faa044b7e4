"""Folders as tablets have them: pulled out, copied into, kept the same on two tablets; long names, other line ends."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from rodcall.book.storage import opening
from rodcall.book.storage.autosave import Keeper
from rodcall.book.storage.beside_job import MOST_NAME
from rodcall.book.storage.opening import JobFileError, new_job_file, open_job, open_to_write
from tests.book.disk import die
from tests.book.sessions import READINGS, new_pad, said, session, written
from tests.cli.kit import rodcall
from tests.kit import a_job

WINDOWS = pytest.mark.skipif(os.name == "nt", reason="Windows moves no folder in which a file is open")


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    return new_pad(tmp_path)


# -- a stick that is pulled out -----------------------------------------------------------------------------


@WINDOWS
@pytest.mark.parametrize("ending", ["close", "kill"])
def test_a_stick_that_is_pulled_out_and_put_back_lacks_nothing(pad, ending):
    file = session(pad, "-1")
    keeper = Keeper(file, retry=60)
    stick, away = pad.parent, pad.parent.with_name("away")
    stick.rename(away)
    for reading in ("-2", "-3"):
        file.book.shoot("A1", reading)
    assert keeper.flush().words == "NOT SAVED: no such file or directory"
    away.rename(stick)
    file.book.shoot("A1", "-4")
    assert keeper.flush().words.startswith("saved")
    if ending == "close":
        keeper.close()
    else:
        keeper._closing = True
        keeper._wake.set()
        keeper._thread.join()
        die(file)
    assert said(open_to_write(pad, "tablet-b")) == ["-1", "-2", "-3", "-4"]


@WINDOWS
def test_a_stick_that_does_not_come_back_holds_what_was_called_saved_and_the_rest_goes_elsewhere(pad, tmp_path):
    file = session(pad, "-1")
    keeper = Keeper(file, retry=60)
    away = pad.parent.with_name("away")
    pad.parent.rename(away)
    file.book.shoot("A1", "-2")
    assert keeper.flush().trouble
    keeper.save_elsewhere(tmp_path / "tablet" / "pad.json")
    file.book.shoot("A1", "-3")
    assert keeper.close().words == "saved"
    assert said(tmp_path / "tablet" / "pad.json") == ["-1", "-2", "-3"]
    assert said(away / "pad.json")[:1] == ["-1"]


# -- a folder that is kept the same on two tablets ----------------------------------------------------------


@WINDOWS
def test_a_file_that_is_renamed_under_an_open_job_is_written_anew(pad):
    """As a program does it that keeps two folders the same and met a conflict."""
    session(pad, "-1").close()
    file = session(pad, "-2")
    copy = pad.with_name("pad (conflict).json")
    pad.rename(copy)
    written(file, "-3")
    file.close()
    assert said(pad) == ["-1", "-2", "-3"]
    assert said(copy) == ["-1"]


def test_a_file_that_is_still_being_copied_is_no_damaged_one(pad, monkeypatch):
    """The rest comes while the opening waits: nothing is told of damage, least of all for ever."""
    session(pad, *READINGS).close()
    pad.with_name("pad.json.before").unlink()
    whole = pad.read_bytes()
    pad.write_bytes(whole[: len(whole) // 2])
    parts = iter((whole[: len(whole) * 3 // 4], whole))

    def copied_meanwhile(_: float) -> None:
        if (part := next(parts, None)) is not None:
            pad.write_bytes(part)

    monkeypatch.setattr(opening, "sleep", copied_meanwhile)
    file = open_to_write(pad, "tablet-b")
    assert (file.recovered, file.damaged) == ("", ())
    assert said(file) == list(READINGS)
    file.close()
    assert pad.read_bytes() == whole


def test_a_damaged_file_that_nobody_writes_is_looked_at_twice_and_opened(pad, monkeypatch):
    session(pad, *READINGS).close()
    pad.with_name("pad.json.before").unlink()
    pad.write_bytes(pad.read_bytes()[:-200])
    looked: list[float] = []
    monkeypatch.setattr(opening, "sleep", looked.append)
    file = open_to_write(pad, "tablet-b")
    assert len(looked) == 1
    assert file.recovered.startswith("the file was damaged")
    file.close()


# -- names and line ends ------------------------------------------------------------------------------------


def test_a_name_too_long_for_what_goes_with_it_is_refused_at_once(tmp_path):
    """Journal and file before have longer names; a job that could be begun and never saved is none."""
    with pytest.raises(JobFileError, match=r"x\.\.\.: the name is too long; choose a shorter one"):
        new_job_file(tmp_path / f"{'x' * (MOST_NAME - 4)}.json", a_job(), "tablet-a")
    assert list(tmp_path.iterdir()) == []
    file = new_job_file(tmp_path / f"{'x' * (MOST_NAME - 5)}.json", a_job(), "a-tablet-with-a-long-name-of-its-own")
    written(file, "-1")
    die(file)
    again = open_to_write(file.path, "tablet-b")
    assert said(again) == ["-1"]
    again.close()


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such names there")
def test_a_name_that_is_too_long_and_lies_there_already_is_worked_on_all_the_same(tmp_path):
    """Its journal cannot be made: the whole file is replaced at each entry."""
    short = new_pad(tmp_path)
    path = short.with_name(f"{'x' * 240}.json")
    short.rename(path)
    file = open_to_write(path, "tablet-a")
    written(file, "-1", "-2")
    file.close()
    assert said(path) == ["-1", "-2"]


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "with a byte order mark"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"], ids=["lf", "crlf", "cr"])
def test_other_line_ends_are_neither_damage_nor_an_edit(pad, mark, end):
    """As an editor or a program that moves files writes them."""
    session(pad, "-1", "-2").close()
    pad.with_name("pad.json.before").unlink()
    pad.write_bytes(mark + pad.read_bytes().replace(b"\n", end))
    file = open_to_write(pad, "tablet-a")
    assert (file.recovered, file.broken_seals, file.damaged) == ("", (), ())
    written(file, "-3")
    file.close()
    assert said(pad) == ["-1", "-2", "-3"]


@pytest.mark.parametrize("end", [b"\r\n", b"\n\n"], ids=["crlf", "empty lines"])
def test_other_line_ends_in_a_journal_cost_nothing(pad, end):
    file = session(pad, "-1", "-2")
    journal = file._journal.path
    die(file)
    journal.write_bytes(journal.read_bytes().replace(b"\n", end))
    assert said(open_to_write(pad, "tablet-b")) == ["-1", "-2"]


@pytest.mark.parametrize("content", [b"", b"\n", bytes(4096)], ids=["empty", "a line feed", "zero bytes"])
@pytest.mark.parametrize("before", [True, False], ids=["with the file before", "alone"])
def test_a_file_that_was_made_and_never_written_is_told(pad, content, before):
    """What a power cut leaves on some disks."""
    session(pad, "-1").close()
    session(pad, "-2").close()
    pad.write_bytes(content)
    if before:
        assert said(pad) == ["-1"]
        assert "the file was damaged" in open_job(pad, "reader").recovered
    else:
        pad.with_name("pad.json.before").unlink()
        refusal = rodcall("figures", pad).refusal
        assert refusal == "pad.json: empty; rodcall recover lists what is left of the job"


@pytest.mark.skipif(os.name == "nt", reason="links need a right there")
def test_a_folder_that_is_a_link_and_one_that_is_not_are_the_same_job(pad, tmp_path):
    link = tmp_path / "link"
    link.symlink_to(pad.parent, target_is_directory=True)
    file = session(link / "pad.json", "-1")
    assert "open in process" in open_to_write(pad, "tablet-b").read_only
    file.close()
    assert said(pad) == ["-1"]
    assert {each.name for each in pad.parent.iterdir()} == {"pad.json", "pad.json.before"}


@pytest.mark.skipif(os.name == "nt", reason="links need a right there")
def test_a_hard_link_keeps_the_file_as_it_was(pad):
    """A copy made by linking is a copy: the job goes on in its own file."""
    session(pad, "-1").close()
    copy = pad.with_name("copy.json")
    os.link(pad, copy)
    session(pad, "-2").close()
    assert (said(pad), said(copy)) == (["-1", "-2"], ["-1"])


def test_a_clock_that_is_set_back_costs_nothing(pad):
    file = session(pad, "-1", "-2")
    file.close()
    again = open_to_write(pad, "tablet-a")
    first = file.book.entries[0].time
    again.book.clock = lambda: first.replace(year=1970)
    written(again, "-3")
    die(again)
    last = open_to_write(pad, "tablet-a")
    assert said(last) == ["-1", "-2", "-3"]
    last.close()
    assert said(pad) == ["-1", "-2", "-3"]
