"""`rodcall recover` finds what lies about of a job, says what it is, and writes over nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.opening import open_job
from tests.book.disk import die
from tests.book.sessions import contents, damaged, new_pad, said, session
from tests.cli.kit import rodcall


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    return new_pad(tmp_path)


def test_a_job_in_order_is_told_and_nothing_is_changed(pad):
    session(pad, "-1", "-2").close()
    session(pad, "-3").close()
    before = contents(pad.parent)
    told = rodcall("recover", pad)
    assert (told.status, told.err) == (0, "")
    assert told.out.splitlines() == [
        "pad.json: 3 entries",
        "pad.json.before: 2 entries, 0 of them in no other file",
        "all together: 3 entries",
    ]
    assert contents(pad.parent) == before


def test_what_was_torn_off_comes_back_into_a_new_file_in_its_place(pad, tmp_path):
    """A line that one file lacks is whole in what was put aside."""
    session(pad, "-1", "-2", "-3", "-4").close()
    whole = pad.read_bytes()
    lines = whole.split(b"\n")
    at = next(place for place, line in enumerate(lines) if b'"said": "-2"' in line)
    pad.write_bytes(b"\n".join([*lines[:at], b"  {}," + b" " * 40, *lines[at + 1 :]]))
    pad.with_name("pad.json.before").unlink()
    session(pad, "-5").close()
    pad.with_name("pad.json.before").unlink()
    pad.with_name("pad.json.torn-2").write_bytes(lines[at])
    assert said(pad) == ["-1", "-3", "-4", "-5"]
    to = tmp_path / "found.json"
    told = rodcall("recover", pad, "--to", to)
    assert "pad.json.torn-2: 1 entry, 1 of them in no other file" in told.out
    assert said(to) == ["-1", "-2", "-3", "-4", "-5"]
    assert rodcall("recover", pad, "--to", to).refusal.startswith("found.json: the file already exists")


def test_journals_whose_job_file_is_gone_are_read(pad, tmp_path):
    die(session(pad, "-1", "-2", "-3"))
    pad.unlink()
    pad.with_name("pad.json.before").unlink(missing_ok=True)
    to = tmp_path / "found.json"
    told = rodcall("recover", pad, "--to", to)
    (journal,) = journals_of(pad)
    assert f"{journal.name}: 3 entries, 3 of them in no other file" in told.out
    assert said(to) == ["-1", "-2", "-3"]
    assert open_job(to, "reader").book.job.name == "Greenhouse pad"


def test_a_damaged_file_with_the_one_before(pad):
    cut = damaged(pad)
    session(pad).close()
    assert pad.with_name("pad.json.torn-1").read_bytes() == cut
    told = rodcall("recover", pad)
    assert "pad.json: 4 entries" in told.out, "the fourth tells of the damage"
    assert "pad.json.torn-1: 3 entries, 0 of them in no other file" in told.out


def test_what_is_of_another_job_or_cannot_be_read_is_said(pad):
    session(pad, "-1").close()
    other = pad.read_bytes().replace(b'"id": "' + b"0" * 32, b'"id": "' + b"1" * 32)
    pad.with_name("pad.json.other-1").write_bytes(other)
    pad.with_name("pad.json.torn-1").mkdir()
    told = rodcall("recover", pad)
    assert "pad.json.other-1: 0 entries, 0 of them in no other file, it belongs to another job" in told.out
    assert "pad.json.torn-1: 0 entries, 0 of them in no other file, cannot be read (is a directory)" in told.out


@pytest.mark.parametrize("content", [None, b"", b"[]"])
def test_where_nothing_is_there_it_says_so(tmp_path: Path, content):
    path = tmp_path / "pad.json"
    if content is not None:
        path.write_bytes(content)
    assert rodcall("recover", path).refusal.startswith("pad.json: ")
