"""Any bytes at all give the job, part of it with a word, or one clear line; in bounded time and memory."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from rodcall.book.fold.page import MOST_ROUNDS
from rodcall.book.storage.job_format import MOST_BYTES
from rodcall.book.storage.opening import JobFile, JobFileError, open_job
from tests.book.broken import changed_bytes, outcome, truncations
from tests.kit import a_book, a_job


@pytest.fixture
def sample(tmp_path: Path) -> JobFile:
    book = a_book("A1 0", "B1 -1-3/8", "C1 h1/2", "note é", "strike C1", "C1 -1/2", job=a_job(name="Pad é"))
    (tmp_path / "site").mkdir()
    return JobFile(tmp_path / "site" / "pad.json", book)


def heights(file: JobFile) -> dict[int, int | None]:
    return {entry.number: getattr(entry, "reading_nm", None) for entry in file.book.entries}


def test_every_truncation(sample):
    """The last two bytes are the closing brace and the line feed: without them it is still told for what it is."""
    outcomes = Counter(outcome(sample.path, cut, heights(sample)) for cut in truncations(sample.content()))
    assert set(outcomes) <= {"in part", "refused", "whole"}
    assert outcomes["in part"] > outcomes["refused"] / 2
    assert outcomes["whole"] <= 1, "only the last line feed is no loss"


def test_bytes_changed_anywhere(sample):
    """tests/benchmarks/broken_files.py does 5,000 and more."""
    outcomes = Counter(outcome(sample.path, each, heights(sample)) for each in changed_bytes(sample.content(), 400, 1))
    assert outcomes["edited"] > 20
    assert outcomes["refused"] > 20
    assert outcomes["in part"] > 20


def document(sample: JobFile) -> dict:
    return json.loads(sample.content())


def refusal(path: Path, content: bytes) -> str:
    path.write_bytes(content)
    with pytest.raises(JobFileError) as refused:
        open_job(path, "reader")
    text = str(refused.value)
    assert text.startswith("pad.json: ")
    assert text.isprintable()
    assert len(text) < 220
    return text


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"[" * 1_000_000, "nested"),
        (b'{"a":' * 100_000, "nested"),
        (b"9" * 5_000_000, "not a job"),
        (b'{"format": "rodcall job", "version": 1' + b"0" * 5_000 + b"}", "not a job"),
        (b"[]," * 2_000_000, "too many parts for a job"),
        (b'{"a":1,' * 2_000_000, "too many parts for a job"),
        (b" " * (MOST_BYTES + 1), "too large: the limit is"),
        (b"\x00" * 1000, "empty"),
        ("é".encode("latin-1"), "not UTF-8 text"),
        ('{"format": "rodcall job"}'.encode("utf-16"), "not UTF-8 text"),
        (b'{"format": "rodcall job", "version": 1e999}', "version"),
        (b'{"format": "rodcall job", "version": Infinity}', "Infinity is not a number"),
    ],
    ids=range(12),
)
def test_bytes_that_no_job_can_be(sample, content, message):
    assert message in refusal(sample.path, content)


HOSTILE = "\x1b]0;x\x07\x1b[2J‮abc‏../../etc/passwd=cmd|' /C calc'!A0 [bold]$(rm)`\u2028x\ud800"


@pytest.mark.parametrize(
    "where", [("job", "name"), ("job", "zero"), ("job", "heights"), ("job", "length"), ("format",)]
)
def test_a_hostile_word_in_a_message_is_harmless(sample, where):
    changed = document(sample)
    inner = changed
    for step in where[:-1]:
        inner = inner[step]
    inner[where[-1]] = HOSTILE
    refusal(sample.path, json.dumps(changed).encode())


@pytest.mark.parametrize("field", ["position", "said", "tablet", "kind", "time", HOSTILE])
def test_a_hostile_word_in_an_entry_is_harmless(sample, field):
    changed = document(sample)
    changed["entries"][1][field] = HOSTILE
    sample.path.write_bytes(json.dumps(changed).encode())
    opened = open_job(sample.path, "reader")
    assert opened.recovered.isprintable()
    assert "entry 2" in opened.recovered


def test_a_hostile_key_is_harmless(sample):
    refusal(sample.path, json.dumps({**document(sample), HOSTILE: 1}).encode())
    refusal(sample.path, json.dumps({**document(sample), "version": HOSTILE}).encode())


def test_a_file_s_own_name_is_harmless(tmp_path):
    path = tmp_path / "a\x1b[2J\nb.json"
    with pytest.raises(JobFileError) as refused:
        open_job(path, "reader")
    assert str(refused.value).isprintable()


def test_a_million_positions_and_numbers_out_of_all_bounds(sample):
    for field, value in (("along", 10**6), ("across", 10**6), ("length", "9" * 400 + " ft"), ("step", "1e9 m")):
        changed = document(sample)
        changed["job"][field] = value
        refusal(sample.path, json.dumps(changed).encode())


def test_keys_that_stand_twice_are_found_at_once_among_a_million(sample):
    keys = ",".join(f'"{number}":0' for number in range(1_000_000))
    assert "'999999' is twice" in refusal(sample.path, f'{{{keys},"999999":1}}'.encode())


def test_rounds_without_end_are_refused_before_they_fill_the_memory(sample):
    changed = document(sample)
    changed["job"].update(along=100, across=200)
    entry = {"time": changed["entries"][0]["time"], "tablet": "t", "kind": "round", "round": "working"}
    changed["entries"] = [{**entry, "number": number} for number in range(1, MOST_ROUNDS + 2)]
    sample.path.write_bytes(json.dumps(changed).encode())
    opened = open_job(sample.path, "reader")
    assert f"too many rounds: the limit is {MOST_ROUNDS}" in opened.recovered
    assert len(opened.book.page.rounds) <= MOST_ROUNDS + 1


def test_text_saved_by_another_program_is_still_sealed(sample):
    """A byte order mark, Windows line ends, another indent and a reordered top change no meaning."""
    whole = sample.content()
    for content in (
        b"\xef\xbb\xbf" + whole,
        whole.replace(b"\n", b"\r\n"),
        json.dumps(json.loads(whole), indent=4).encode(),
        json.dumps(dict(reversed(json.loads(whole).items()))).encode(),
    ):
        sample.path.write_bytes(content)
        opened = open_job(sample.path, "reader")
        assert opened.broken_seals == ()
        assert opened.book.entries == sample.book.entries
        assert opened.content() == whole
