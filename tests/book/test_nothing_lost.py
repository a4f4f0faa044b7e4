"""What kills do not find: what cannot be read, disks without locks, another program in the folder, a dead thread."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

import pytest

from rodcall.book.fold import writing
from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import MOST_NUMBER, MOST_PLACES, TEXT_LIMIT, RoundKind
from rodcall.book.storage import atomic_write, job_file, lock, opening, safe_read
from rodcall.book.storage.autosave import Keeper
from rodcall.book.storage.gather import gather
from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.opening import JobFile, JobFileError, new_job_file, open_job, open_to_write
from tests.book.disk import die
from tests.kit import a_job, ticking

READINGS = ("-1", "-2", "-3", "-4", "-5", "-6")


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    file = new_job_file(tmp_path / "site" / "pad.json", a_job(), "tablet-a")
    file.close()
    return file.path


def session(pad: Path, *readings: str, tablet: str = "tablet-a") -> JobFile:
    """Open a job and write readings that are called saved."""
    file = open_to_write(pad, tablet)
    file.book.clock = ticking()
    written(file, *readings)
    return file


def written(file: JobFile, *readings: str) -> None:
    for reading in readings:
        file.book.shoot("A1", reading)
        assert file.append() == len(file.book.entries)


def said(file: JobFile | Path) -> list[str]:
    opened = open_job(file, "reader") if isinstance(file, Path) else file
    return [entry.said for entry in opened.book.entries if entry.said]


def contents(folder: Path) -> dict[str, bytes]:
    return {each.name: each.read_bytes() for each in folder.iterdir() if each.is_file()}


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


def damaged(pad: Path) -> bytes:
    """Cut a job's file short; returns what is left of it."""
    session(pad, *READINGS).close()
    pad.with_name("pad.json.before").unlink()
    whole = pad.read_bytes()
    cut = whole[: whole.index(b'"said": "-4"')]
    pad.write_bytes(cut)
    return cut


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
        assert keeper.settle().words == "NOT SAVED: no space left on device"
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

    monkeypatch.setattr(job_file, "replace_file", full)
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


# -- two programs at once ----------------------------------------------------------------------------------


@pytest.fixture
def no_locks(monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that knows no locks, as some network drives."""

    def refused(_: int) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr(lock, "seize", refused)
    monkeypatch.setattr("rodcall.book.storage.journal.seize", refused)


def test_two_programs_without_locks_lose_nothing_of_each_other(pad, no_locks):
    one, other = session(pad, tablet="tablet-a"), session(pad, tablet="tablet-a")
    assert one.note == "no lock here"
    assert Keeper(one).kept.words == "saved, no lock here"
    for at, reading in enumerate(READINGS):
        written((one, other)[at % 2], reading)
    one.close()
    written(other, "-7")
    other.close()
    assert sorted(said(pad)) == sorted([*READINGS, "-7"])
    third = session(pad, "-8", tablet="tablet-b")
    third.close()
    assert sorted(said(pad)) == sorted([*READINGS, "-7", "-8"])


def test_what_was_written_without_locks_is_put_in_by_the_next_who_has_one(pad, monkeypatch):
    with monkeypatch.context() as patch:
        no = OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

        def refused(_: int) -> None:
            raise no

        patch.setattr(lock, "seize", refused)
        patch.setattr("rodcall.book.storage.journal.seize", refused)
        one, other = session(pad, "-1"), session(pad, "-2")
        written(one, "-3")
        written(other, "-4")
        die(one)
        die(other)
    file = open_to_write(pad, "tablet-b")
    assert file.note == ""
    assert sorted(said(file)) == ["-1", "-2", "-3", "-4"]
    assert "that the file lacked" in file.recovered
    file.close()
    assert journals_of(pad) == []
    assert sorted(said(pad)) == ["-1", "-2", "-3", "-4"]


def test_a_lock_taken_away_under_an_open_job_costs_nothing(pad):
    """The second one sees by its journal that the first is alive."""
    first = session(pad, "-1")
    pad.with_name("pad.json.lock").unlink()
    second = open_to_write(pad, "tablet-a")
    assert "read only" in second.read_only
    written(first, "-2")
    first.close()
    assert said(pad) == ["-1", "-2"]


def test_a_lock_taken_away_before_the_first_entry_costs_nothing(pad):
    """Both are of one tablet and count alike: the second's entries are signed with its session."""
    first = session(pad)
    pad.with_name("pad.json.lock").unlink()
    second = session(pad)
    assert second.read_only == ""
    written(first, "-1")
    written(second, "-2")
    written(first, "-3")
    written(second, "-4")
    second.close()
    written(first, "-5")
    first.close()
    assert sorted(said(pad)) == ["-1", "-2", "-3", "-4", "-5"]
    third = session(pad, "-6")
    third.close()
    assert sorted(said(pad)) == ["-1", "-2", "-3", "-4", "-5", "-6"]
    assert len({(entry.tablet, entry.number) for entry in third.book.entries}) == 6


@pytest.mark.parametrize("ending", ["kill", "close"])
@pytest.mark.parametrize("kept", range(4))
def test_a_file_that_another_program_put_there_under_an_open_job_costs_nothing(pad, tmp_path, kept, ending):
    """As a folder that is kept the same on two tablets does it: an older state of the same job comes back."""
    states = [pad.read_bytes()]
    for reading in READINGS[:3]:
        session(pad, reading).close()
        states.append(pad.read_bytes())
    file = session(pad, "-4")
    pad.write_bytes(states[kept])
    os.utime(pad, (1, 1))
    written(file, "-5")
    assert "FILE CHANGED" in Keeper(file).kept.words
    die(file) if ending == "kill" else file.close()
    again = open_to_write(pad, "tablet-a")
    assert said(again) == ["-1", "-2", "-3", "-4", "-5"]
    written(again, "-6")
    again.close()
    assert said(pad) == list(READINGS)


def test_a_file_changed_and_killed_before_the_next_entry_keeps_what_the_journal_has(pad):
    session(pad, "-1", "-2").close()
    older = pad.read_bytes()
    session(pad, "-3").close()
    file = session(pad, "-4", "-5")
    pad.write_bytes(older)
    die(file)
    pad.with_name("pad.json.before").unlink()
    again = open_to_write(pad, "tablet-a")
    assert said(again) == ["-1", "-2", "-4", "-5"], "the third is in no file any more"
    assert "entry 3 is in no file" in again.recovered
    again.close()
    assert open_job(pad, "reader").broken_seals, "and that is told for ever"


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
        assert keeper.settle().words == "NOT SAVED: internal error (RuntimeError)"
    file.book.shoot("A1", "-2")
    keeper.keep()
    assert keeper.settle().words == "saved"
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


# -- the writer keeps the reader's limits -------------------------------------------------------------------


@pytest.mark.parametrize("limit", ["MOST_ENTRIES", "MOST_BYTES", "MOST_PARTS"])
def test_a_book_that_is_full_says_so_and_opens(pad, monkeypatch, limit):
    value = {"MOST_ENTRIES": 6, "MOST_BYTES": 6000, "MOST_PARTS": 4200}[limit]
    monkeypatch.setattr(job_file, limit, value)
    file = session(pad)
    with pytest.raises(PageError, match=r"the book is full with .* begin a new job"):
        any(file.book.note(f"{number},,,") is None for number in range(200))
    file.append()
    file.close()
    monkeypatch.undo()
    for module in ("rodcall.book.storage.job_format", "rodcall.book.storage.recovery", "rodcall.book.storage.journal"):
        monkeypatch.setattr(f"{module}.{limit}", value, raising=False)
    assert len(open_job(pad, "reader").book.entries) == len(file.book.entries) > 4


def test_the_last_entries_of_a_full_book_are_told_before_it_is_full(pad, monkeypatch):
    monkeypatch.setattr(job_file, "MOST_ENTRIES", 60)
    file = session(pad)
    for number in range(9):
        file.book.note(f"{number}")
    assert file.note == "room for 50 more"
    for number in range(50):
        file.book.note(f"{number}")
    assert file.note == "room for 0 more"
    with pytest.raises(PageError, match="the book is full with 59 entries; begin a new job"):
        file.book.note("one more")
    file.append()
    file.close()
    assert len(open_job(pad, "reader").book.entries) == 59


def test_what_two_books_come_to_is_refused_where_one_does_not_hold_it(pad, monkeypatch):
    """Joined, or brought together from what lies about."""
    session(pad, *READINGS).close()
    monkeypatch.setattr(job_file, "MOST_ENTRIES", 5)
    with pytest.raises(JobFileError, match=r"new\.json: cannot be written \(more entries than one book holds\)"):
        gather(pad).write(pad.with_name("new.json"))
    assert not pad.with_name("new.json").exists()


def test_what_another_session_wrote_stays_apart_where_the_book_has_no_room(pad, no_locks, monkeypatch):
    one, other = session(pad), session(pad)
    written(one, "-1", "-2")
    written(other, "-3", "-4")
    die(one)
    die(other)
    monkeypatch.setattr(opening, "MOST_ENTRIES", 3)
    assert len(open_job(pad, "reader").book.entries) == 2


@pytest.mark.parametrize("field", ["number", "text", "places"])
def test_what_a_model_refuses_to_read_it_refuses_to_write(pad, field):
    file = session(pad)
    if field == "number":
        file.book._number = MOST_NUMBER
        with pytest.raises(PageError, match="number"):
            file.book.shoot("A1", "-1")
    elif field == "text":
        file.book.note("x" * (TEXT_LIMIT + 9))
        assert file.append() == 1
    else:
        file.book.tell_of_damage(range(1, 2 * MOST_PLACES), ())
        assert file.append() == 1
    file.close()
    assert open_job(pad, "reader").broken_seals == ()


def test_rounds_and_decisions_end_for_the_writer_where_they_end_for_the_reader(pad, monkeypatch):
    """Both fold by `Page.add`, which says so."""
    monkeypatch.setattr(writing, "MOST_ROUNDS", 2)
    file = session(pad)
    file.book.begin_round(RoundKind.WORKING)
    file.book.begin_round(RoundKind.WORKING)
    with pytest.raises(PageError, match="too many rounds: the limit is 2"):
        file.book.begin_round(RoundKind.WORKING)
    file.append()
    file.close()
    assert len(open_job(pad, "reader").book.entries) == 2


def test_a_journal_that_grew_since_it_was_read_is_not_taken_away(pad, no_locks):
    """Two sessions without locks; the job file is taken away, and the one that is left writes it anew."""
    one = session(pad, "-1")
    other = session(pad)
    written(one, "-2")
    die(one)
    pad.unlink()
    written(other, "-3")
    other.close()
    assert sorted(said(open_to_write(pad, "tablet-b"))) == ["-1", "-2", "-3"]


def test_a_session_without_its_lock_and_its_file_keeps_all_in_its_journal(pad):
    """The lock is taken away, an older state of the file put back, and another program opens that."""
    states = [pad.read_bytes()]
    session(pad, "-1", "-2").close()
    first = session(pad)
    pad.with_name("pad.json.lock").unlink()
    pad.write_bytes(states[0])
    pad.with_name("pad.json.before").unlink()
    second = open_to_write(pad, "tablet-b")
    written(first, "-3")
    die(first)
    die(second)
    assert said(open_to_write(pad, "tablet-a")) == ["-1", "-2", "-3"]
