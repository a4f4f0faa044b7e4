"""The digest on a sheet: it tells this book from any other, and from itself with a byte changed."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.book.storage.opening import JobFileError, open_job
from rodcall.sheets.digest import DigestError, grouped, verify
from tests.cli.kit import rodcall
from tests.kit import say
from tests.sheets.kit import a_file, finished, pdf, text_of


@pytest.fixture(scope="module")
def kept(tmp_path_factory) -> Path:
    """A day's book on the disk."""
    path = tmp_path_factory.mktemp("books") / "pad.json"
    path.write_bytes(finished().content())
    return path


def test_the_digest_on_the_sheet_says_yes(kept):
    opened = open_job(kept, "reader")
    printed = grouped(opened.seal)
    assert printed in text_of(pdf(opened))
    told = rodcall("verify", printed, kept)
    assert (told.status, told.err) == (0, "")
    assert told.out.startswith(f"yes: this is the book that the sheet was made from ({len(opened.book.entries)} ")


@pytest.mark.parametrize("form", [str.upper, lambda told: told[:12], lambda told: f" {told[:4]}-{told[4:20]}:"])
def test_a_digest_may_be_shortened_and_spaced(kept, form):
    opened = open_job(kept, "reader")
    assert verify(form(opened.seal), opened).same


@pytest.mark.parametrize("said", ["", "12345678901", "no digest at all", "0" * 65, "\u0661" * 12])
def test_what_is_no_digest_is_refused(kept, said):
    with pytest.raises(DigestError):
        verify(said, open_job(kept, "reader"))
    assert rodcall("verify", "--", said, kept).refusal


def test_another_book_says_no(kept):
    told = rodcall("verify", finished(name="Another pad").seal, kept)
    assert (told.status, told.out) == (1, "no: this is not the book that the sheet was made from\n")
    assert "missing.json" in rodcall("verify", "0" * 64, kept.with_name("missing.json")).refusal


def test_a_book_that_has_grown_names_the_entry_it_stood_at():
    opened = a_file()
    began = opened.seal
    say(opened.book, "A1 -1/8", "B1 +1/4")
    printed = opened.seal
    assert verify(began, opened).words[0].endswith("before the first entry")
    say(opened.book, "C1 0")
    answer = verify(printed, opened)
    assert answer.same
    assert answer.words[0].endswith("as it was after entry 2")
    assert answer.words[1] == "it has grown since by 1 entry"


def test_an_edited_book_says_no_and_names_the_place(kept, tmp_path):
    raw = kept.read_text("utf-8")
    edited = tmp_path / "edited.json"
    edited.write_text(raw.replace('"sod stripped"', '"sod STRIPPED"', 1), "utf-8")
    assert edited.read_text("utf-8") != raw
    place = 1 + next(at for at, entry in enumerate(json.loads(raw)["entries"]) if entry.get("text") == "sod stripped")
    told = rodcall("verify", open_job(kept, "reader").seal, edited)
    assert told.status == 1
    assert told.out == f"no: this book was changed\nentry {place} was edited outside of rodcall\n"
    assert f"book changed outside rodcall at entry {place}" in text_of(pdf(open_job(edited, "reader")))


def test_a_damaged_file_says_no_though_all_entries_are_left(kept, tmp_path):
    damaged = tmp_path / "damaged.json"
    damaged.write_bytes(kept.read_bytes()[:-1] + b"\0")
    told = rodcall("verify", open_job(kept, "reader").seal, damaged)
    assert told.status == 1
    assert told.out.startswith("no: this book was changed\nthe file was damaged")


@given(data=st.data())
def test_a_changed_byte_anywhere_says_no(kept, tmp_path_factory, data):
    """Any one byte set to any other: the file is refused, or verify says no; unless the JSON still means the same."""
    raw = kept.read_bytes()
    at = data.draw(st.integers(0, len(raw) - 1), label="at")
    byte = data.draw(st.integers(0, 255).filter(lambda value: value != raw[at]), label="byte")
    changed = raw[:at] + bytes([byte]) + raw[at + 1 :]
    with suppress(ValueError):
        if json.loads(changed) == json.loads(raw):
            return
    path = tmp_path_factory.getbasetemp() / "changed.json"
    path.write_bytes(changed)
    try:
        opened = open_job(path, "reader")
    except JobFileError:
        return
    assert not verify(open_job(kept, "reader").seal, opened).same
