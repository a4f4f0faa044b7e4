"""The job file: what is written is read back the same, and every doubt is one clear line with its place."""

from __future__ import annotations

import json
import os
import re

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rodcall.book.book import Book
from rodcall.book.model.entries import LaserTest, RoundKind
from rodcall.book.model.job import Job, write_size
from rodcall.book.storage import atomic_write
from rodcall.book.storage.autosave import Keeper
from rodcall.book.storage.opening import JobFile, JobFileError, new_job_file, open_job, open_to_write
from rodcall.book.storage.schema import json_schema
from rodcall.units import parse_length
from tests.kit import a_book, a_job, say


@pytest.fixture
def kept(tmp_path):
    """A saved job with a few entries of most kinds."""
    book = a_book("note =windy [bold]é", "reference BM1 low 4 1/2in")
    say(
        book,
        "A1 0",
        "B1 -1-3/8",
        "C1 h1/2",
        "B2 out rut",
        "strike C1",
        "target -1/2",
        "round working",
        "A1 -1/2",
        "zero A1",
    )
    say(
        book,
        "set stone 4in",
        "set tripod 30ft,-10ft",
        "check BM1 low 4-1/2",
        "check BM1 low 4",
        "keep wind",
        "machine BM1 -4-1/4",
    )
    book.test_laser(LaserTest.TWO_PEGS, ["1.476m", "1.432m", "1.556m", "1.472m"], ["40m", "10m"])
    file = JobFile(tmp_path / "pad.json", book)
    file.save()
    return file


def test_what_was_saved_opens_the_same(kept):
    opened = open_job(kept.path, "tablet-b")
    assert opened.book.job == kept.book.job
    assert opened.book.entries == kept.book.entries
    assert opened.broken_seals == ()
    assert opened.content() == kept.content()


def test_entries_go_on_after_opening(kept):
    opened = open_job(kept.path, "tablet-b")
    opened.book.shoot("B1", "-1/4")
    assert opened.book.entries[-1].number == kept.book.entries[-1].number + 1
    opened.save()
    again = open_job(kept.path, "tablet-c")
    assert again.book.entries == opened.book.entries
    assert again.broken_seals == ()


def test_the_file_can_be_read_by_a_person(kept):
    text = kept.path.read_text("utf-8")
    assert '"length": "60 ft"' in text
    lines = [line for line in text.splitlines() if '"kind": "shot"' in line]
    assert len(lines) == 4, "one entry a line"
    assert '"said": "-1-3/8"' in text


def test_the_schema_takes_what_is_written_and_refuses_what_is_not(kept):
    """Checked with the jsonschema library (JSON Schema 2020-12)."""
    validator = jsonschema.Draft202012Validator(json_schema())
    jsonschema.Draft202012Validator.check_schema(json_schema())
    document = json.loads(kept.path.read_text("utf-8"))
    validator.validate(document)
    document["entries"][0]["kind"] = "guess"
    assert not validator.is_valid(document)


def edited(kept, change):
    """The file with its document changed by hand."""
    document = json.loads(kept.path.read_text("utf-8"))
    change(document)
    kept.path.write_text(json.dumps(document), "utf-8")
    return kept.path


def _set(*path_and_value):
    *path, value = path_and_value

    def change(document):
        for step in path[:-1]:
            document = document[step]
        document[path[-1]] = value

    return change


REFUSED = {
    "unknown version": (_set("version", 2), "version '2'"),
    "version of a wrong type": (_set("version", "1"), "version"),
    "not a job file": (_set("format", "something"), "not a job file"),
    "unknown key": (_set("extra", 1), "unknown: 'extra'"),
    "entries no list": (_set("entries", {}), "entries: must be a list"),
    "job without a size": (_set("job", "length", "0ft"), "job"),
    "job with a bare size": (_set("job", "length", "60"), "job: length"),
    "too many positions": (_set("job", "along", 10**9), "job"),
    "zero off the grid": (_set("job", "zero", "Z99"), "Z99 is off the grid"),
}

LEFT_OUT = {
    "entry no object": (_set("entries", 0, 7), "entry 1 cannot be read"),
    "number of a wrong type": (_set("entries", 2, "number", "3"), "entry 3 cannot be read"),
    "height as text": (_set("entries", 2, "reading_nm", "0"), "entry 3 cannot be read"),
    "height as a fraction": (_set("entries", 2, "reading_nm", 0.5), "entry 3 cannot be read"),
    "absurd height": (_set("entries", 2, "reading_nm", 10**13), "entry 3 cannot be read"),
    "duplicate number": (_set("entries", 3, "number", 3), "entry 4: entry 3 of tablet tablet-a comes after entry 3"),
    "unordered numbers": (_set("entries", 3, "number", 2), "entry 4: entry 2"),
    "said and stored disagree": (_set("entries", 3, "said", "-1-5/8"), "entry 4: '-1-5/8' means"),
    "said is not a reading": (
        _set("entries", 3, "said", "about two"),
        "entry 4: 'about two' is not a reading",
    ),
    "said without its sign": (_set("entries", 3, "said", "1-3/8"), "is not a reading"),
    "off the grid": (_set("entries", 2, "position", "D9"), "entry 3: D9 is off the grid"),
    "unknown kind": (_set("entries", 2, "kind", "guess"), "entry 3 cannot be read"),
    "time as a number": (_set("entries", 2, "time", 1234567), "entry 3 cannot be read"),
    "time without a zone": (_set("entries", 2, "time", "2026-04-18T07:30:00"), "entry 3 cannot be read"),
    "unknown field": (_set("entries", 2, "colour", "red"), "entry 3 cannot be read"),
    "strikes nothing": (_set("entries", 6, "strikes", 99), "entry 7: it strikes entry 99"),
}


@pytest.mark.parametrize(("change", "message"), REFUSED.values(), ids=REFUSED)
def test_a_wrong_file_is_refused_in_one_line_with_its_place_and_left_alone(kept, change, message):
    path = edited(kept, change)
    before = path.read_bytes()
    with pytest.raises(JobFileError) as refusal:
        open_job(path, "tablet-b")
    text = str(refusal.value)
    assert text.startswith("pad.json: ")
    assert message in text
    assert "\n" not in text
    assert path.read_bytes() == before


@pytest.mark.parametrize(("change", "message"), LEFT_OUT.values(), ids=LEFT_OUT)
def test_a_wrong_entry_costs_itself_and_is_named_and_the_file_is_left_alone(kept, change, message):
    path = edited(kept, change)
    before = path.read_bytes()
    opened = open_job(path, "tablet-b")
    assert message in opened.recovered
    assert "\n" not in opened.recovered
    assert path.read_bytes() == before
    lost = [entry for entry in kept.book.entries if entry not in opened.book.entries]
    assert 1 <= len(lost) <= 2, "itself, and the strike of what is not here"
    assert len(opened.book.entries) + len(lost) == len(kept.book.entries)


@pytest.mark.parametrize("change", [change for change, _ in LEFT_OUT.values()], ids=LEFT_OUT)
def test_going_on_keeps_the_file_with_the_wrong_entry_and_tells_for_ever(kept, change):
    path = edited(kept, change)
    before = path.read_bytes()
    opened = open_to_write(path, "tablet-b")
    assert path.with_name("pad.json.torn-1").read_bytes() == before
    opened.book.note("on")
    opened.append()
    opened.close()
    again = open_job(path, "tablet-b")
    assert again.damaged
    assert again.book.entries == opened.book.entries
    assert again.recovered == ""


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe\x00",
        b"[]",
        b"{",
        b"[" * 100_000,
        b'{"format": "rodcall job", "version": 1, "version": 1, "job": {}, "entries": []}',
        b'{"format": "rodcall job", "version": NaN}',
        b'{"format": "rodcall job", "version": ' + b"9" * 10_000 + b"}",
        b'"\\ud800"',
    ],
)
def test_any_bytes_give_one_clear_line(tmp_path, content):
    path = tmp_path / "broken.json"
    path.write_bytes(content)
    with pytest.raises(JobFileError) as refusal:
        open_job(path, "tablet-b")
    assert str(refusal.value).startswith("broken.json: ")
    assert "\n" not in str(refusal.value)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_a_cut_file_gives_its_whole_entries_or_one_clear_line(kept, data):
    whole = kept.content()
    cut = data.draw(st.integers(0, len(whole) - 3))
    path = kept.path.with_name("cut.json")
    path.write_bytes(whole[:cut])
    try:
        found = open_job(path, "tablet-b").book.entries
    except JobFileError as refusal:
        refused = str(refusal)
        found = []
    else:
        refused = ""
    assert "\n" not in refused
    if refused:
        return
    assert found == kept.book.entries[: len(found)], "no height changes in silence"
    assert len(found) == len(re.findall(rb'"seal": "[0-9a-f]{64}"}', whole[:cut]))


def test_an_edit_that_hangs_together_still_shows_by_its_seal(kept):
    def other_reading(document):
        document["entries"][3].update(said="-1-5/8", reading_nm=-41275000)

    opened = open_job(edited(kept, other_reading), "tablet-b")
    assert opened.broken_seals == (4,)
    opened.book.shoot("B1", "-1/4")
    opened.save()
    assert open_job(kept.path, "tablet-b").broken_seals == (4,), "saving again does not heal it"


def test_an_entry_taken_out_shows_by_the_seal_of_the_next(kept):
    def without(document):
        del document["entries"][3]

    assert 4 in open_job(edited(kept, without), "tablet-b").broken_seals


def test_the_job_itself_is_sealed(kept):
    assert open_job(edited(kept, _set("job", "customer", "somebody else")), "tablet-b").broken_seals == (1,)


def test_a_new_job_does_not_overwrite(kept):
    with pytest.raises(JobFileError, match="already exists"):
        new_job_file(kept.path, a_job(), "tablet-b")


def test_failing_to_save_leaves_the_old_file_and_no_other(kept, monkeypatch):
    before = kept.path.read_bytes()
    say(kept.book, "B1 -2")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic_write, "sync", full)
    with pytest.raises(OSError, match="No space"):
        kept.save()
    assert kept.path.read_bytes() == before
    assert os.listdir(kept.path.parent) == ["pad.json"]


def test_the_keeper_saves_and_says_what_is_not_saved(kept, monkeypatch):
    keeper = Keeper(kept, retry=0.01)
    real = atomic_write.sync

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic_write, "sync", full)
    say(kept.book, "B1 -2")
    assert keeper.flush().words == "NOT SAVED: no space left on device"
    monkeypatch.setattr(atomic_write, "sync", real)
    told = keeper.close()
    assert told.words == "saved"
    assert open_job(kept.path, "tablet-b").book.entries == kept.book.entries


READING = st.one_of(
    st.integers(-800, 800).map(lambda eighths: f"{eighths:+d}mm"),
    st.sampled_from(["-1-3/8", "+½", "l 3/8", "0", "g", "-.04ft", "1/2h"]),
)
ENTRY = st.one_of(
    st.tuples(st.sampled_from(["A1", "B2", "C4"]), READING).map(lambda pair: ("shoot", *pair)),
    st.tuples(st.sampled_from(["A1", "B2"]), st.text(max_size=40)).map(lambda pair: ("leave_out", *pair)),
    st.text(min_size=1, max_size=60).filter(str.strip).map(lambda text: ("note", text)),
    st.sampled_from([("undo",), ("redo",), ("aim", "-1/2"), ("begin_round", RoundKind.WORKING)]),
)


@settings(max_examples=50, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=st.lists(ENTRY, max_size=15))
def test_any_book_is_read_back_as_it_was(tmp_path, acts):
    book = a_book()
    for name, *arguments in acts:
        try:
            getattr(book, name)(*arguments)
        except ValueError:
            continue
    file = JobFile(tmp_path / "any.json", book)
    file.save()
    opened = open_job(file.path, "tablet-b")
    assert opened.book.entries == book.entries
    assert opened.broken_seals == ()


@given(st.integers(0, 10**13))
def test_sizes_in_the_file_are_exact(nm):
    assert parse_length(write_size(nm)) == nm


def test_a_job_needs_a_name():
    with pytest.raises(ValueError, match="needs a name"):
        a_job(name="  ")
    assert isinstance(a_job(), Job)
    assert Book(a_job(), "x").entries == []
