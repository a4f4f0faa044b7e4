"""Every call of saving fails or is the last before the power goes: nothing that was called saved is lost."""

from __future__ import annotations

import errno
import itertools
import os
from datetime import timedelta
from pathlib import Path

import pytest

from rodcall.book.book import Book
from rodcall.book.storage import atomic_write
from rodcall.book.storage.autosave import Keeper
from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.opening import JobFile, new_job_file, open_job, open_to_write
from tests.book.disk import CALLS, Calls, Failing, PowerCut, die, install
from tests.kit import START, a_job, ticking

READINGS = ("-1", "-2", "+1/2", "0", "-3/8")


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    folder = tmp_path / "site"
    new_job_file(folder / "pad.json", a_job(), "tablet-a").close()
    return folder / "pad.json"


def opened(pad: Path) -> JobFile:
    file = open_to_write(pad, "tablet-a")
    file.book.clock = ticking()
    return file


def said(book: Book) -> tuple[str, ...]:
    return tuple(entry.said for entry in book.entries)


@pytest.mark.parametrize("error", [errno.ENOSPC, errno.EIO, errno.EROFS, errno.EACCES], ids=errno.errorcode.get)
@pytest.mark.parametrize("always", [False, True], ids=["once", "always"])
@pytest.mark.parametrize(("kind", "number"), [(kind, number) for kind in CALLS for number in (1, 2, 3, 5, 8)])
def test_a_call_that_fails_loses_nothing(pad, monkeypatch, kind, number, always, error):
    failing = Failing(kind, number, always=always, error=error)
    file = opened(pad)
    keeper = Keeper(file, retry=60)
    install(monkeypatch, Calls(failing))
    durable = 0
    for at, reading in enumerate(READINGS):
        file.book.shoot(f"A{at % 4 + 1}", reading)
        kept = keeper.flush()
        durable = max(durable, kept.saved)
        on_disk = said(open_job(pad, "reader").book)
        assert on_disk[:durable] == said(file.book)[:durable]
        assert kept.words == "saved" or kept.words == f"NOT SAVED: {os.strerror(error).lower()}"
        assert (kept.words == "saved") == (kept.saved == len(file.book.entries))
    assert said(file.book) == READINGS, "what the disk refuses stays in memory"
    failing.healed = True
    assert keeper.close().words == "saved"
    again = open_to_write(pad, "tablet-b")
    assert said(again.book) == READINGS
    assert again.broken_seals == ()
    again.close()


def test_each_kind_of_call_was_made_to_fail(pad, monkeypatch):
    """So that the test above tests something: each kind of call happens in such a session."""
    for kind in CALLS:
        failing = Failing(kind, 1, always=False)
        with monkeypatch.context() as patch:
            file = opened(pad)
            install(patch, Calls(failing))
            file.book.shoot("A1", "-1")
            file.append()
            file.close()
        assert failing.failed == 1, kind


def session(pad: Path, cut: PowerCut, patch: pytest.MonkeyPatch) -> dict[int, int]:
    """Two sittings, one of them left without closing; returns by the length of the log how many are called saved."""
    durable = {0: 0}
    install(patch, cut.calls())
    for readings, closing in ((READINGS[:2], True), (READINGS[2:4], False), (READINGS[4:], True)):
        file = opened(pad)
        for reading in readings:
            file.book.shoot("A1", reading)
            durable[len(cut.log)] = durable[max(durable)]
            durable[len(cut.log)] = file.append()
        if closing:
            file.close()
        else:
            die(file)
    return durable


def test_the_power_may_go_at_any_call(pad, tmp_path, monkeypatch):
    """After each call, whatever the disk may then hold, the next opening finds all that was called saved."""
    known = {pad.name: pad.read_bytes()}
    cut = PowerCut(pad.parent)
    with monkeypatch.context() as patch:
        durable = session(pad, cut, patch)
    assert durable[max(durable)] == len(READINGS)
    tried = 0
    for until in range(len(cut.log) + 1):
        saved = max(count for length, count in durable.items() if length <= until)
        for number, state in enumerate(cut.states(until, known)):
            folder = tmp_path / f"after-{until}-{number}"
            folder.mkdir()
            for name, content in state.items():
                (folder / name).write_bytes(content)
            found = open_to_write(folder / pad.name, "tablet-b")
            entries = said(found.book)
            assert entries == READINGS[: len(entries)]
            assert len(entries) >= saved, (until, cut.log[until - 1])
            assert found.broken_seals == ()
            found.book.shoot("B1", "-1")
            found.append()
            found.close()
            assert said(open_job(folder / pad.name, "reader").book) == (*entries, "-1")
            assert not [left for left in os.listdir(folder) if left.endswith((".part", ".lock")) or ".journal" in left]
            tried += 1
    assert tried > 4 * len(cut.log)


def test_the_power_may_go_while_mending(pad, tmp_path, monkeypatch):
    """The opening after a crash is itself cut short at each call; the one after that finds the same."""
    file = opened(pad)
    for reading in READINGS:
        file.book.shoot("A1", reading)
    file.append()
    die(file)
    (journal,) = journals_of(pad)
    journal.write_bytes(journal.read_bytes() + b'{"number": 6, "time')
    known = {name: (pad.parent / name).read_bytes() for name in ("pad.json", journal.name)}
    cut = PowerCut(pad.parent)
    with monkeypatch.context() as patch:
        install(patch, cut.calls())
        open_to_write(pad, "tablet-b").close()
    assert (pad.parent / "pad.json.torn-1").read_bytes() == b'{"number": 6, "time'
    for until in range(len(cut.log) + 1):
        for number, state in enumerate(cut.states(until, known)):
            folder = tmp_path / f"after-{until}-{number}"
            folder.mkdir()
            for name, content in state.items():
                (folder / name).write_bytes(content)
            found = open_to_write(folder / pad.name, "tablet-b")
            assert said(found.book) == READINGS
            found.close()
            torn = [name for name in os.listdir(folder) if ".torn-" in name]
            assert any((folder / name).read_bytes() == b'{"number": 6, "time' for name in torn)


# -- what a crew meets --------------------------------------------------------------------------------------


@pytest.mark.skipif(os.name == "nt", reason="Windows takes no file away that is open")
def test_a_file_or_folder_taken_away_is_noticed_at_the_next_entry(pad):
    file = opened(pad)
    file.book.shoot("A1", "-1")
    file.append()
    for name in os.listdir(pad.parent):
        os.unlink(pad.parent / name)
    file.book.shoot("A2", "-2")
    assert file.append() == 2
    assert said(open_job(pad, "reader").book) == ("-1", "-2")
    for name in os.listdir(pad.parent):
        os.unlink(pad.parent / name)
    pad.parent.rmdir()
    file.book.shoot("A3", "-3")
    with pytest.raises(OSError, match="No such file"):
        file.append()
    pad.parent.mkdir()
    assert file.append() == 3
    assert said(open_job(pad, "reader").book) == ("-1", "-2", "-3")


def test_a_book_that_its_disk_refuses_can_be_saved_elsewhere_and_goes_on_there(pad, tmp_path, monkeypatch):
    file = opened(pad)
    keeper = Keeper(file, retry=60)
    file.book.shoot("A1", "-1")
    keeper.flush()
    before = pad.read_bytes()
    with monkeypatch.context() as patch:
        patch.setattr(atomic_write, "sync", _refuse)
        file.book.shoot("A2", "-2")
        assert keeper.flush().words == "NOT SAVED: no space left on device"
    elsewhere = tmp_path / "stick" / "pad.json"
    assert keeper.save_elsewhere(elsewhere).words == "saved"
    file.book.shoot("A3", "-3")
    assert keeper.close().words == "saved"
    assert said(open_job(elsewhere, "reader").book) == ("-1", "-2", "-3")
    assert pad.read_bytes() == before
    open_to_write(pad, "tablet-b").close()


def test_saving_elsewhere_never_takes_the_place_of_a_file(pad, tmp_path):
    other = new_job_file(tmp_path / "other.json", a_job(name="Other"), "tablet-a")
    file = opened(pad)
    with pytest.raises(Exception, match=r"other\.json: is open in process"):
        file.save_elsewhere(other.path)
    other.close()
    with pytest.raises(Exception, match="the file already exists"):
        file.save_elsewhere(other.path)
    assert file.path == pad
    assert open_job(other.path, "reader").book.job.name == "Other"


def test_a_clock_set_back_changes_nothing(pad):
    file = opened(pad)
    hours = itertools.count()
    file.book.clock = lambda: START - timedelta(hours=next(hours))
    for reading in READINGS:
        file.book.shoot("A1", reading)
        file.append()
    file.close()
    assert said(open_job(pad, "reader").book) == READINGS


def test_the_file_before_the_last_one_is_kept(pad):
    for reading in READINGS[:3]:
        file = opened(pad)
        file.book.shoot("A1", reading)
        file.append()
        file.close()
    before = open_job(pad.with_name("pad.json.before"), "reader")
    assert said(before.book) == READINGS[:2]


def test_a_file_that_another_program_wrote_meanwhile_is_kept(pad):
    file = opened(pad)
    file.book.shoot("A1", "-1")
    file.append()
    pad.write_bytes(b"something else")
    file.close()
    assert pad.with_name("pad.json.other-1").read_bytes() == b"something else"
    assert said(open_job(pad, "reader").book) == ("-1",)


def test_temporary_files_of_a_crash_are_swept_and_no_others(pad):
    ours, others = pad.with_name(".pad.json.0123abcd.part"), pad.with_name(".tank.json.0123abcd.part")
    for path in (ours, others):
        path.write_bytes(b"half")
    open_to_write(pad, "tablet-a").close()
    assert not ours.exists()
    assert others.exists()


def _refuse(descriptor: int) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")
