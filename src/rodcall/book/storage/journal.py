"""The journal: entries since the job file was last replaced, one sealed entry a line.

Two ways were measured (`tests/benchmarks/durable.py`), in ms from an entry to its being on the disk, beside one write
and fsync of the same line on the same disk, one whose fsync takes 4 ms (on one of 0.12 ms the line takes 1.2 times
as long as the yardstick):

    entries in the book      12     1,200    10,000    50,000
    write and fsync         4.0       4.0       4.0       4.0
    line in the journal     4.0       4.0       4.0       4.0
    whole file replaced    16.2      20.0      28.0      60.4

The journal costs the same on any page, so it takes the entries; the file is replaced when a crew leaves, and at the
next opening where it could not. Each session writes a journal of its own, named by tablet and session, so that two
programs cannot hurt each other's, lock or no lock. Its first line says on which entry it follows, and what was agreed,
so that a journal whose job file is gone can still be told; its lines go on with the file's seals.
"""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from rodcall.book.storage import atomic_write
from rodcall.book.storage.atomic_write import GROWING, beside, sync_folder, write
from rodcall.book.storage.job_format import MOST_BYTES, Document, JobFileError, as_text, checked, with_seals
from rodcall.book.storage.lock import seize
from rodcall.book.storage.rescue.salvage import one_bit, read, split_lines
from rodcall.book.storage.safe_read import READ, fetch, open_regular
from rodcall.frozen import Frozen
from rodcall.i18n import say

FORMAT = "rodcall journal"
_ENDING = r"\.journal(?:-[A-Za-z0-9_-]{1,24}-(?P<session>[0-9a-f]{8})(?:\.\d{1,6})?)?"
"""Of the names of journals; before each session had one of its own there was one a job, `pad.json.journal`."""
NAME = re.compile(rf"(?P<job>.+){_ENDING}", re.DOTALL)


def journals_of(path: Path, names: Iterable[str] | None = None) -> list[Path]:
    """The journals of a job file, by name.

    Args:
        path: Where the job file is, or was.
        names: What is in its folder, where that is known already.

    Raises:
        OSError: when the folder cannot be looked into.
    """
    real = Path(os.path.realpath(path))
    if names is None:
        try:
            names = os.listdir(real.parent)
        except (FileNotFoundError, NotADirectoryError):
            return []
    ours = re.compile(re.escape(real.name) + _ENDING)
    return [real.with_name(name) for name in sorted(names) if name.startswith(real.name) and ours.fullmatch(name)]


class Journal:
    """Begun anew beside a job file, by one session, and known for alive as long as that session lasts.

    Args:
        path: The job file.
        tablet: Which tablet writes it.
        session: Names the session in eight hexadecimal digits; it may begin several, one after the other.
        head: What was agreed in the job.
        joined: Of a joined book: where it comes from.
        entries: How many entries stand before its first line.
        seal: The seal of the last of those.

    Raises:
        OSError: when the disk does not take it; nothing is left of it then.
    """

    def __init__(
        self,
        path: Path,
        tablet: str,
        session: str,
        head: dict[str, Any],
        joined: dict[str, Any],
        entries: int,
        seal: str,
    ) -> None:
        name = re.sub(r"[^A-Za-z0-9_-]", "-", tablet)[:24] or "tablet"
        self.path, self._descriptor = _begun(path, f".journal-{name}-{session}")
        # Asked at every entry: a path takes longer than its name.
        self._name, self._is_empty = str(self.path), True
        try:
            with contextlib.suppress(OSError):
                # It tells others that this session is alive, should somebody take the job's lock away.
                seize(self._descriptor)
            told = {"format": FORMAT, "version": 1, "job": head.get("id"), "entries": entries}
            line = with_seals(as_text({**told, "head": head, "joined": joined}), seal)
            write(self._descriptor, f"{line}\n".encode("utf-8", "surrogatepass"))
            atomic_write.sync(self._descriptor)
            sync_folder(self.path.parent)
        except BaseException:
            self.close()
            raise

    def append(self, lines: list[str], handed_over: Callable[[], None] = lambda: None) -> None:
        """Write lines behind the last; they are on the disk when this returns.

        Args:
            lines: Sealed entries.
            handed_over: Called once the system has them: from then on a killed program loses none, only a power cut.

        Raises:
            OSError: when the disk did not take them, or the file is gone. What the journal holds is then unknown.
        """
        write(self._descriptor, "".join(f"{line}\n" for line in lines).encode("utf-8", "surrogatepass"))
        handed_over()
        atomic_write.sync(self._descriptor)
        # A file that was taken away still takes writes, and nobody will ever find them.
        if not os.path.samestat(os.fstat(self._descriptor), os.lstat(self._name)):
            raise FileNotFoundError(2, say("the journal file is gone"))
        self._is_empty = False

    def close(self) -> None:
        """Let go of the file, which stays where anything in it was called saved."""
        os.close(self._descriptor)
        if self._is_empty:
            with contextlib.suppress(OSError):
                os.unlink(self.path)


def _begun(path: Path, ending: str) -> tuple[Path, int]:
    """A new file beside a job's; a session that has one by that name takes the next number."""
    number = 1
    while True:
        new = beside(path, f"{ending}.{number}" if number > 1 else ending)
        try:
            return new, os.open(new, GROWING, 0o666)
        except FileExistsError:
            number += 1


def is_alive(path: Path) -> bool:
    """Does a program write this journal now?"""
    try:
        descriptor = open_regular(path, READ, links=False)
    except OSError:
        return False
    try:
        seize(descriptor)
    except (BlockingIOError, PermissionError):
        return True
    except OSError:
        return False
    finally:
        os.close(descriptor)
    return False


class Found(Frozen):
    """A journal as it was found on the disk."""

    path: Path
    raw: bytes
    texts: list[str]
    """Its lines after the first."""
    job: object = None
    """What its first line says: the job's id. None where that line cannot be read."""
    entries: int = 0
    """How many entries stand before its first line."""
    seal: str = ""
    """The seal of the last of those; empty where that is not known."""
    agreed: Document | None = None
    """The job itself, without its entries, where the journal says it."""

    @property
    def session(self) -> str:
        """What names the session that wrote it."""
        named = NAME.fullmatch(self.path.name)
        return (named["session"] if named is not None else None) or "journal"


def find_journal(path: Path) -> Found | None:
    """What a journal holds; None where there is none.

    Raises:
        OSError: when there is something that cannot be read, or no journal can be as large.
    """
    raw = fetch(path, MOST_BYTES, links=False)
    if raw is None:
        return None
    if len(raw) > MOST_BYTES:
        raise OSError(27, say("too large: the limit is {most} MB", most=MOST_BYTES // 2**20))
    head, _, rest = raw.partition(b"\n")
    texts = list(split_lines(rest))
    first = head.decode("utf-8", "surrogateescape")
    told = read(first, dict)
    if told is None or ("head" in told.made and not told.is_sound):
        told = one_bit(first, "", dict)
    if told is None:
        return Found(path, raw, texts)
    content, entries = told.made, told.made.get("entries")
    is_count = isinstance(entries, int) and not isinstance(entries, bool) and 0 <= entries < 2**31
    return Found(path, raw, texts, content.get("job"), entries if is_count else 0, told.seal, _agreed(content, path))


def _agreed(content: dict[str, Any], path: Path) -> Document | None:
    top = {"format": "rodcall job", "version": 1, "job": content.get("head"), "joined": content.get("joined") or {}}
    try:
        return checked(top, path)
    except JobFileError:
        return None
