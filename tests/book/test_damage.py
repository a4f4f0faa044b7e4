"""Damage costs what it hits: one wrong bit anywhere in a book of 60 costs at most one reading, never in silence."""

from __future__ import annotations

import errno
import random
from pathlib import Path

import pytest

from rodcall.book.fold.page import PageError
from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.opening import JobFile, JobFileError, new_job_file, open_job, open_to_write
from rodcall.figures.punch_list import Doubts, Kind
from rodcall.figures.summary import summarise
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
    assert bool(opened.damaged) == (len(found) < len(right)), changed


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
    assert file.recovered.startswith("the file was damaged; 60 entries are whole and are here; one wrong bit in 1")
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
    assert (again.damaged, again.broken_seals) == ((at + 1,), ()), "it is told for ever, and nobody edited it"
    listed = summarise(again.book.page).punch_list_knowing(Doubts())
    assert [item.names for item in listed.of(Kind.DAMAGED)] == [(str(at + 1),)]
    assert not listed.of(Kind.EDITED)


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
    with pytest.raises(JobFileError, match="entry 1: unknown kind 'from tomorrow'"):
        open_to_write(path, "tablet-a")


# -- it stays on the list for ever -------------------------------------------------------------------------


def on_the_list(file: JobFile) -> dict[str, tuple[str, ...]]:
    listed = summarise(file.book.page).punch_list_knowing(Doubts())
    return {str(item.kind): item.names for item in listed.items if item.kind in (Kind.DAMAGED, Kind.EDITED)}


@pytest.mark.parametrize("again", [0, 1, 3], ids=["looked at", "saved", "saved three times"])
@pytest.mark.parametrize("cut", [1, 2, 20])
@pytest.mark.parametrize("neatly", [True, False], ids=["whole lines", "mid-line"])
def test_entries_missing_at_the_end_are_told_for_ever(pad, cut, again, neatly):
    """Cut neatly, every seal that is left fits: only what the file says of its last entry tells."""
    pad.with_name("pad.json.before").unlink()
    lines = pad.read_bytes().split(b"\n")
    entries = [place for place, line in enumerate(lines) if b'"number": ' in line]
    first = entries[-cut]
    if neatly:
        kept = [*lines[: first - 1], lines[first - 1].rstrip(b","), *lines[entries[-1] + 1 :]]
        pad.write_bytes(b"\n".join(kept))
    else:
        pad.write_bytes(b"\n".join(lines[:first])[:] + b"\n" + lines[first][:50])
    for number in range(again):
        file = open_to_write(pad, "tablet-b")
        assert (file.recovered != "") == (number == 0)
        file.book.shoot("A1", "-1")
        file.append()
        file.close()
    opened = open_job(pad, "reader")
    gone = tuple(str(number) for number in range(READINGS - cut + 1, READINGS + 1))
    assert on_the_list(opened) == {"book damaged": gone}
    assert len([entry for entry in opened.book.entries if entry.kind == "shot"]) == READINGS - cut + again


def test_a_damaged_line_of_a_journal_is_told_for_ever(crashed):
    (journal,) = journals_of(crashed)
    lines = journal.read_bytes().split(b"\n")
    lines[30] = lines[30][:40] + bytes(60) + lines[30][100:]
    journal.write_bytes(b"\n".join(lines))
    assert on_the_list(open_job(crashed, "reader")) == {"book damaged": ("30",)}
    open_to_write(crashed, "tablet-a").close()
    assert on_the_list(open_job(crashed, "reader")) == {"book damaged": ("30",)}


def test_the_torn_end_of_a_line_that_was_never_called_saved_is_no_damage(crashed):
    (journal,) = journals_of(crashed)
    journal.write_bytes(journal.read_bytes()[:-30])
    open_to_write(crashed, "tablet-a").close()
    assert on_the_list(open_job(crashed, "reader")) == {}


def test_damage_and_an_edit_are_two_things(pad):
    pad.with_name("pad.json.before").unlink()
    lines = pad.read_bytes().split(b"\n")
    first = next(place for place, line in enumerate(lines) if line.startswith(b'  {"number"'))
    lines[first + 9] = b"  {nothing},"
    lines[first + 19] = lines[first + 19].replace(b'"shot"', b'"shot" ', 1).replace(b'"said": "-', b'"said": " -', 1)
    pad.write_bytes(b"\n".join(lines))
    for _ in range(2):
        file = open_to_write(pad, "tablet-b")
        assert on_the_list(file) == {"book damaged": ("10",), "book edited outside": ("19",)}
        file.close()


def test_damage_cannot_be_struck_or_undone(pad):
    test_damage_and_an_edit_are_two_things(pad)
    file = open_to_write(pad, "tablet-b")
    (damage,) = (entry for entry in file.book.entries if entry.kind == "damage")
    with pytest.raises(PageError, match="cannot be struck"):
        file.book._strike(file.book.page.lines[damage.tablet, damage.number])
    file.book.undo()
    assert file.damaged == (10,)
    file.close()


def test_a_disk_without_locks_tells_of_damage_once(pad, monkeypatch):
    """The damaged file stays as it is there; the journal of the first session tells of it."""
    pad.with_name("pad.json.before").unlink()
    lines = pad.read_bytes().split(b"\n")
    lines[-20] = b"  {nothing},"
    pad.write_bytes(b"\n".join(lines))

    def no_lock(_: int) -> None:
        raise OSError(errno.ENOLCK, "no locks")

    for module in ("lock", "journal"):
        monkeypatch.setattr(f"rodcall.book.storage.{module}.seize", no_lock)
    for reading in ("-1", "-2", "-3"):
        file = open_to_write(pad, "tablet-b")
        file.book.shoot("A1", reading)
        file.append()
        die(file)
    opened = open_job(pad, "reader")
    assert len([entry for entry in opened.book.entries if entry.kind == "damage"]) == 1
    assert len(on_the_list(opened)["book damaged"]) == 1
    assert "book edited outside" not in on_the_list(opened)
