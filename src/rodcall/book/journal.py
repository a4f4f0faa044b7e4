"""What was written since the job file was last replaced: one sealed entry a line, each durable by itself.

Two ways were measured (`tests/benchmarks/durable.py`), in ms from an entry to its being on the disk, beside one write
and fsync of the same line on the same disk (one whose fsync takes 4 ms; with one of 0.2 ms: 0.2, 0.4, 2 to 15):

    entries in the book      12     1,200    10,000    50,000
    write and fsync         4.0       4.0       4.0       4.0
    line in the journal     4.0       4.0       4.0       4.0
    whole file replaced    16.2      20.0      28.0      60.4

The journal costs the same on any page, so it takes the entries; the file is replaced when a crew leaves, and at the
next opening where it could not. The journal's first line says on which entry it follows, and its lines go on with the
file's seals, so that one that was folded in already, or that belongs to another file, is known for what it is.
"""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path

from rodcall.book import replace
from rodcall.book.replace import APPEND, beside, sync_folder, write
from rodcall.book.sealed import MOST_BYTES, read_line
from rodcall.language import say

FORMAT = "rodcall journal"


def journal_of(path: Path) -> Path:
    """Where the journal of a job file is."""
    return beside(path, ".journal")


class Journal:
    """Begun anew beside a job file that holds everything so far.

    Raises:
        OSError: when the disk does not take it.
    """

    def __init__(self, path: Path, job: str, entries: int, seal: str) -> None:
        self._job_file = path
        self.path = journal_of(path)
        self._descriptor = os.open(self.path, APPEND, 0o644)
        try:
            head = {"format": FORMAT, "version": 1, "job": job, "entries": entries, "seal": seal}
            write(self._descriptor, f"{json.dumps(head)}\n".encode())
            replace.sync(self._descriptor)
            sync_folder(self.path.parent)
        except BaseException:
            self.close()
            raise

    def append(self, lines: list[str]) -> None:
        """Write lines behind the last; they are on the disk when this returns.

        Raises:
            OSError: when the disk did not take them, or the files are gone. What the journal holds is then unknown.
        """
        write(self._descriptor, "".join(f"{line}\n" for line in lines).encode("utf-8", "surrogatepass"))
        replace.sync(self._descriptor)
        # A file whose folder was taken away still takes writes, and nobody will ever find them.
        os.stat(self._job_file)
        if not os.path.samestat(os.fstat(self._descriptor), os.stat(self.path)):
            raise FileNotFoundError(2, say("the journal was taken away"))

    def close(self) -> None:
        """Let go of the file, which stays."""
        os.close(self._descriptor)


@dataclass(frozen=True)
class Found:
    """A journal as it was found on the disk."""

    raw: bytes
    lines: list[str]
    """Those that end with a line feed; of one without, nobody was told that it is saved."""
    job: object = None
    """What its first line says: the job's id. None where that line cannot be read."""
    entries: object = None
    """How many entries the file held when the journal was begun."""
    seal: str = ""
    """The seal of the last of those."""

    def after(self, number: int) -> bytes:
        """What stands behind so many lines."""
        return b"\n".join(self.raw.split(b"\n")[1 + number :])


def find_journal(path: Path) -> Found | None:
    """The journal of a job file, where there is one with anything in it."""
    try:
        with open(journal_of(path), "rb") as file:
            raw = file.read(MOST_BYTES)
    except OSError:
        return None
    head, *lines = raw.decode("utf-8", "replace").split("\n")
    try:
        told = read_line(head, dict)
    except (ValueError, RecursionError):
        return Found(raw, []) if raw else None
    return Found(raw, lines[:-1], told.made.get("job"), told.made.get("entries"), told.seal)
