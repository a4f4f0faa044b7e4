"""What kills do not find: what cannot be read, disks without locks, another program in the folder, a dead thread."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

import pytest

from rodcall.book.fold.page import PageError
from rodcall.book.storage import atomic_write, beside_job, job_file, safe_read
from rodcall.book.storage.autosave import Keeper
from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.opening import JobFileError, new_job_file, open_job, open_to_write
from tests.book.disk import die
from tests.book.sessions import contents, damaged, new_pad, said, session, written
from tests.kit import a_job


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    return new_pad(tmp_path)


class Refusing:
    """Stands for the module `os`: opening a name that ends so is refused, as another user's file is."""

    def __init__(self, ending: str, error: int, modes: int = 0) -> None:
        self._ending, self._error, self._modes = ending, error, modes

    def __getattr__(self, name: str) -> object:
        return getattr(os, name)

    def open(self, path: object, flags: int, mode: int = 0o777) -> int:
        if str(path).endswith(self._ending) and (not self._modes or flags & self._modes):
            raise OSError(self._error, os.strerror(self._error))
        return os.open(path, flags, mode)


# -- what cannot be read is not absent -----------------------------------------------------------------------


@pytest.mark.parametrize("error", [errno.EACCES, errno.EIO, errno.EMFILE, errno.ESTALE], ids=errno.errorcode.get)
def test_a_journal_that_cannot_be_read_makes_the_job_read_only_and_is_left_alone(pad, monkeypatch, error):
    die(session(pad, "-1", "-2", "-3", "-4"))
    (journal,) = journals_of(pad)
    before = contents(pad.parent)
    with monkeypatch.context() as patch:
        patch.setattr(safe_read, "os", Refusing(journal.name, error))
        opened = open_to_write(pad, "tablet-b")
        assert opened.read_only.startswith(f"read only: {journal.name} cannot be read (")
        with pytest.raises(PageError, match="read only"):
            opened.book.shoot("A1", "-9")
        opened.close()
        with pytest.raises(JobFileError, match="cannot be read"):
            open_job(pad, "reader")
    assert {name: raw for name, raw in contents(pad.parent).items() if not name.endswith(".lock")} == {
        name: raw for name, raw in before.items() if not name.endswith(".lock")
    }
    assert said(open_to_write(pad, "tablet-b")) == ["-1", "-2", "-3", "-4"]


def test_a_folder_that_cannot_be_listed_may_hold_journals(pad, monkeypatch):
    def refused(*_: object) -> list[str]:
        raise PermissionError(errno.EACCES, "Permission denied")

    die(session(pad, "-1"))
    with monkeypatch.context() as patch:
        patch.setattr(os, "listdir", refused)
        assert "cannot be read (permission denied)" in open_to_write(pad, "tablet-b").read_only
    assert said(pad) == ["-1"]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such file")
@pytest.mark.parametrize("ending", ["", ".journal", ".before", ".lock"])
@pytest.mark.parametrize("kind", ["pipe", "folder", "link"])
def test_what_is_no_regular_file_is_refused_at_once_and_stays(pad, kind, ending):
    """A pipe without a writer would hang whoever opens it; a link's target is somebody else's."""
    target = pad.parent.parent / "somebody.txt"
    target.write_bytes(b"somebody's")
    session(pad, "-1").close()
    path = pad.with_name(pad.name + ending)
    path.unlink(missing_ok=True)
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    else:
        path.symlink_to(target)
    if not ending and kind != "link":
        with pytest.raises(JobFileError, match="cannot be read"):
            session(pad)
    elif not ending:
        with pytest.raises(JobFileError, match="not JSON"):
            session(pad)
    else:
        opened = session(pad)
        assert ending == ".before" or opened.read_only.startswith("read only: ")
        if not opened.read_only:
            written(opened, "-2")
        opened.close()
        assert said(opened)[:1] == ["-1"]
    assert target.read_bytes() == b"somebody's"
    assert path.is_symlink() == (kind == "link")
    assert path.is_dir() == (kind == "folder")
    assert path.is_fifo() == (kind == "pipe")


def test_another_user_s_file_before_is_left_and_the_next_name_taken(pad, monkeypatch):
    session(pad, "-1").close()
    before = pad.with_name("pad.json.before")
    kept = before.read_bytes()
    file = session(pad, "-2")
    with monkeypatch.context() as patch:
        patch.setattr(safe_read, "os", Refusing(".before", errno.EACCES))
        file.close()
    assert before.read_bytes() == kept
    assert said(pad.with_name("pad.json.before-2")) == ["-1"]
    assert said(pad) == ["-1", "-2"]


def test_a_lock_that_cannot_be_opened_makes_the_job_read_only(pad, monkeypatch):
    held = session(pad, "-1")
    with monkeypatch.context() as patch:
        patch.setattr(safe_read, "os", Refusing(".lock", errno.EACCES))
        second = open_to_write(pad, "tablet-b")
    assert second.read_only == "read only: pad.json.lock cannot be opened (permission denied)"
    written(held, "-2")
    held.close()
    assert said(pad) == ["-1", "-2"]


def test_a_lock_that_may_only_be_read_is_still_a_lock(pad, monkeypatch):
    held = session(pad, "-1")
    with monkeypatch.context() as patch:
        patch.setattr(safe_read, "os", Refusing(".lock", errno.EACCES, modes=os.O_RDWR))
        assert "is open in process" in open_to_write(pad, "tablet-b").read_only
    held.close()


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
@pytest.mark.parametrize("mask", [0o022, 0o077, 0o002])
def test_new_files_follow_the_umask_and_replaced_ones_keep_their_own(tmp_path, mask):
    was = os.umask(mask)
    try:
        file = new_job_file(tmp_path / "new" / "pad.json", a_job(), "tablet-a")
        written(file, "-1")
        (journal,) = journals_of(file.path)
        made = [file.path, journal, file.path.with_name("pad.json.lock")]
        assert {each.stat().st_mode & 0o777 for each in made} == {0o666 & ~mask}
        assert file.path.parent.stat().st_mode & 0o777 == 0o777 & ~mask
        file.path.chmod(0o640)
        file.close()
        assert file.path.stat().st_mode & 0o777 == 0o640
    finally:
        os.umask(was)


def test_what_is_kept_is_read_in_one_place_alone():
    """Whoever opens a file by himself decides for himself what is absent; `safe_read` alone does."""
    sources = Path(safe_read.__file__).parents[2]
    opening = re.compile(r"(?<![\w.])open\(|\.(?:read_bytes|read_text|write_bytes|write_text)\(|os\.open\(")
    allowed = {"safe_read.py", "atomic_write.py", "journal.py", "samples.py", "lettering.py", "main.py", "web.py"}
    files = [
        each for room in ("book", "sheets", "practice", "tablet", "cli") for each in (sources / room).rglob("*.py")
    ]
    assert len(files) > 50
    assert {each.name for each in files if opening.search(each.read_text("utf-8"))} <= allowed


# -- nothing is replaced before its predecessor is safe -----------------------------------------------------


def test_a_damaged_file_is_not_replaced_while_it_cannot_be_put_aside(pad, monkeypatch):
    cut = damaged(pad)

    def full(*_: object) -> Path:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(job_file, "put_aside", full)
        file = open_to_write(pad, "tablet-a")
        assert "could not be repaired (no space left on device)" in file.recovered
        file.book.shoot("A1", "-9")
        keeper = Keeper(file, retry=60)
        file.book.shoot("A1", "-10")
        assert keeper.flush().words == "NOT SAVED: no space left on device"
        assert pad.read_bytes() == cut
    assert keeper.close().words == "saved"
    assert pad.with_name("pad.json.torn-1").read_bytes() == cut
    assert said(pad) == ["-1", "-2", "-3", "-9", "-10"]


def test_a_file_is_not_replaced_while_it_cannot_be_kept_as_the_one_before(pad, monkeypatch):
    session(pad, "-1").close()
    file = session(pad)
    file.book.shoot("A1", "-2")
    whole, real = pad.read_bytes(), atomic_write.replace_file

    def full(path: Path, content: bytes) -> None:
        if ".before" in path.name:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(path, content)

    monkeypatch.setattr(beside_job, "replace_file", full)
    with pytest.raises(OSError, match="No space"):
        file.save()
    assert pad.read_bytes() == whole


def test_a_new_job_leaves_what_is_left_of_a_lost_one(pad):
    session(pad, "-1", "-2").close()
    die(session(pad, "-3", "-4"))
    pad.unlink()
    before = contents(pad.parent)
    with pytest.raises(JobFileError, match=r"belongs to an older job of that name"):
        new_job_file(pad, a_job(name="Another"), "tablet-a")
    after = contents(pad.parent)
    assert {name: raw for name, raw in after.items() if ".lock" not in name} == {
        name: raw for name, raw in before.items() if ".lock" not in name
    }


# -- an alarm that nobody misses ----------------------------------------------------------------------------


def test_any_mistake_while_saving_is_said_at_once_and_saving_goes_on(pad, monkeypatch):
    file = session(pad)
    told: list[str] = []
    keeper = Keeper(file, lambda kept: told.append(kept.words), retry=0.01)

    def broken() -> int:
        raise RuntimeError("a mistake")

    with monkeypatch.context() as patch:
        patch.setattr(file, "append", broken)
        file.book.shoot("A1", "-1")
        assert keeper.flush().words == "NOT SAVED: internal error (RuntimeError)"
    file.book.shoot("A1", "-2")
    keeper.keep()
    assert keeper.flush().words == "saved"
    assert said(pad) == ["-1", "-2"]
    keeper.close()


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_where_the_thread_has_died_whoever_writes_saves(pad, monkeypatch):
    file = session(pad)

    def gone(_: object) -> None:
        raise SystemExit

    keeper = Keeper(file, gone, retry=60)
    file.book.shoot("A1", "-1")
    keeper.keep()
    keeper._thread.join(10)
    assert not keeper._thread.is_alive()
    assert keeper.kept.words == "NOT SAVED: internal error (SystemExit)"
    file.book.shoot("A1", "-2")
    keeper.keep()
    assert keeper.kept.words == "saved"
    assert said(pad) == ["-1", "-2"]
    keeper.close()


def test_a_mistake_while_leaving_is_said_and_the_journal_has_all(pad, monkeypatch):
    file = session(pad, "-1")
    keeper = Keeper(file)

    def broken() -> bytes:
        raise RuntimeError("a mistake")

    with monkeypatch.context() as patch:
        patch.setattr(file, "content", broken)
        assert keeper.close().words == "NOT SAVED: internal error (RuntimeError)"
    die(file)
    assert said(pad) == ["-1"]
