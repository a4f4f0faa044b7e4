"""Damage costs what it hits: one wrong bit anywhere in a book of 60 costs at most one reading, never in silence."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.opening import JobFile, JobFileError, new_job_file, open_job, open_to_write
from tests.book.disk import die
from tests.kit import a_job, ticking

READINGS = 60
FLIPS = 400
"""tests/benchmarks/broken_files.py does 10,000."""


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    """A job of 60 readings, in its file."""
    file = written(tmp_path / "site" / "pad.json", READINGS)
    file.close()
    return file.path


@pytest.fixture
def crashed(tmp_path: Path) -> Path:
    """A job of 60 readings, in its journal."""
    file = written(tmp_path / "site" / "pad.json", READINGS)
    die(file)
    return file.path


def written(path: Path, readings: int) -> JobFile:
    job = a_job(along=10, across=6)
    file = new_job_file(path, job, "tablet-a")
    file.book.clock = ticking()
    for number in range(readings):
        file.book.shoot(job.grid.name(number), f"-{number // 7 + 1}-{number % 7 + 1}/8")
    file.append()
    return file


def readings(file: JobFile) -> dict[int, tuple[str, str]]:
    return {entry.number: (getattr(entry, "position", ""), entry.said) for entry in file.book.entries}


def flipped(whole: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(whole))
    return whole[:at] + bytes([whole[at] ^ 1 << chance.randrange(8)]) + whole[at + 1 :]


def held_against(opened: JobFile, right: dict[int, tuple[str, str]], changed: bytes) -> None:
    """At most one is missing, none is wrong, and it is said."""
    found = readings(opened)
    assert found.items() <= right.items(), changed
    assert len(found) >= len(right) - 1, changed
    assert opened.recovered or opened.broken_seals, changed


@pytest.mark.parametrize("before", [True, False], ids=["with the file before", "alone"])
def test_a_flipped_bit_in_a_file_costs_one_reading_at_most(pad, before):
    if not before:
        pad.with_name("pad.json.before").unlink()
    whole, right, chance = pad.read_bytes(), readings(open_job(pad, "reader")), random.Random(11)
    for _ in range(FLIPS):
        changed = flipped(whole, chance)
        pad.write_bytes(changed)
        held_against(open_job(pad, "reader"), right, changed)


def test_a_flipped_bit_in_a_journal_costs_one_reading_at_most(crashed):
    (journal,) = journals_of(crashed)
    whole, chance = journal.read_bytes(), random.Random(12)
    right = readings(open_job(crashed, "reader"))
    for _ in range(FLIPS):
        changed = flipped(whole, chance)
        journal.write_bytes(changed)
        found = readings(open_job(crashed, "reader"))
        assert found.items() <= right.items(), changed
        assert len(found) >= len(right) - 1, changed


def test_what_was_mended_is_as_it_was_and_the_damaged_file_is_kept(pad):
    whole = pad.read_bytes()
    changed = whole.replace(b'"said": "-1-7/8"', b'"said": "-1-5/8"', 1)
    assert changed != whole
    pad.write_bytes(changed)
    file = open_to_write(pad, "tablet-a")
    assert file.recovered.startswith(
        "the file was damaged; 60 entries of it are whole and are here; one wrong bit in 1"
    )
    assert "kept in pad.json.torn-1" in file.recovered
    file.close()
    assert pad.read_bytes() == whole
    assert pad.with_name("pad.json.torn-1").read_bytes() == changed


@pytest.mark.parametrize("at", [0, 1, 30, 58, 59])
@pytest.mark.parametrize("own", [True, False], ids=["own seals", "an old file"])
def test_a_line_of_nonsense_costs_itself(pad, at, own):
    """An old file has no seals of the lines' own: the chain alone tells."""
    pad.with_name("pad.json.before").unlink()
    lines = pad.read_bytes().split(b"\n")
    first = next(place for place, line in enumerate(lines) if line.startswith(b'  {"number"'))
    if not own:
        lines = [without_own(line) for line in lines]
    lines[first + at] = lines[first + at][:40] + b"\x00" * 40 + lines[first + at][80:]
    pad.write_bytes(b"\n".join(lines))
    opened = open_job(pad, "reader")
    assert sorted(readings(opened)) == [number for number in range(1, 61) if number != at + 1]
    assert f"left out: entry {at + 1} cannot be read" in opened.recovered
    file = open_to_write(pad, "tablet-b")
    file.book.shoot("A1", "-1")
    file.append()
    file.close()
    again = open_job(pad, "reader")
    assert again.recovered == ""
    assert again.broken_seals == (at + 1,), "it is told for ever"


def without_own(line: bytes) -> bytes:
    head, found, rest = line.partition(b', "own": ')
    return head + rest[rest.index(b",") :] if found else line


def test_a_hole_of_a_sector_costs_the_lines_that_it_hits(pad):
    """512 bytes of nothing, as a disk's lost sector leaves."""
    pad.with_name("pad.json.before").unlink()
    whole = pad.read_bytes()
    for at in range(2048, len(whole) - 512, 512):
        pad.write_bytes(whole[:at] + bytes(512) + whole[at + 512 :])
        assert len(readings(open_job(pad, "reader"))) >= READINGS - 4


def test_what_a_line_of_nonsense_took_comes_from_the_file_before(pad):
    file = open_to_write(pad, "tablet-a")
    file.book.shoot("A1", "-1")
    file.append()
    file.close()
    lines = pad.read_bytes().split(b"\n")
    at = next(place for place, line in enumerate(lines) if b'"number": 31,' in line)
    lines[at] = lines[at][:20] + b"#" * 90 + lines[at][110:]
    pad.write_bytes(b"\n".join(lines))
    opened = open_job(pad, "reader")
    assert sorted(readings(opened)) == list(range(1, 62))
    assert opened.broken_seals == ()


@pytest.mark.parametrize("where", ["file", "journal"])
def test_a_doubled_line_costs_nothing(crashed, where):
    pad, right = crashed, readings(open_job(crashed, "reader"))
    if where == "file":
        open_to_write(pad, "tablet-a").close()
    for path in [pad] if where == "file" else journals_of(pad):
        lines = path.read_bytes().split(b"\n")
        at = next(place for place, line in enumerate(lines) if b'"number": 31,' in line)
        lines.insert(at, lines[at])
        path.write_bytes(b"\n".join(lines))
    assert readings(open_job(pad, "reader")) == right


def test_a_line_written_behind_half_of_another_counts(crashed):
    (journal,) = journals_of(crashed)
    lines = journal.read_bytes().split(b"\n")
    lines[30] = lines[30][:90] + lines[30]
    journal.write_bytes(b"\n".join(lines))
    assert len(readings(open_job(crashed, "reader"))) == READINGS


def test_an_entry_that_cannot_be_in_sound_lines_is_of_a_newer_program_and_refused(tmp_path):
    from rodcall.book.storage.job_format import document_text, first_seal, sealed

    head = a_job().model_dump(mode="json")
    line, _ = sealed({"kind": "from tomorrow", "number": 1}, first_seal(head, {}))
    path = tmp_path / "pad.json"
    path.write_text(document_text(head, {}, [line]), "utf-8")
    with pytest.raises(JobFileError, match="entry 1: kind 'from tomorrow' is not known"):
        open_to_write(path, "tablet-a")
