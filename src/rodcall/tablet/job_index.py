"""The list of jobs, fast with thousands: what was read of each file is kept until it changes.

The index is a convenience: it is built anew where it is missing or broken, and nothing else is ever read from it.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from pathlib import Path
from time import perf_counter
from typing import Any

from rodcall.book.storage.atomic_write import replace_file
from rodcall.book.storage.job_format import MOST_BYTES
from rodcall.book.storage.journal import NAME
from rodcall.book.storage.opening import JobFileError, open_job
from rodcall.book.storage.safe_read import fetch
from rodcall.frozen import Frozen
from rodcall.i18n import spoken
from rodcall.tablet.paths import home, jobs_folder

Stamp = tuple[int, ...]
"""Time and size of a job's file, then of its journals: the same as long as none of them was written."""


class Glance(Frozen):
    """One file of the list of jobs: what it is, or why it cannot be opened."""

    path: Path
    changed: float
    """Seconds since 1970."""
    name: str = ""
    place: str = ""
    customer: str = ""
    shot: int = 0
    positions: int = 0
    round: str = ""
    trouble: str = ""
    verdict: str = ""
    """What its punch list says, in English; empty where nobody has worked that out yet."""
    open: int = 0
    """How much is on that list."""
    seen: bool = True
    """False for a file that was not looked into yet: its name stands for the job's."""

    def matches(self, text: str) -> bool:
        """Does every word of a search stand in the job's name, place, customer or file name?"""
        here = f"{self.name} {self.place} {self.customer} {self.path.stem}".casefold()
        return all(word in here for word in text.casefold().split())


class Index:
    """The jobs of a folder, newest first.

    Args:
        folder: Where they are; where jobs live when not given.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or jobs_folder()
        self._prefix = os.path.join(self._folder, "")
        self._file = home() / "list-of-jobs.json"
        self._known = _read(self._file)
        self._stamps: dict[str, Stamp] = {}
        """By the file's name: of thousands of paths each hash and comparison is felt."""
        self._journals: dict[str, list[str]] = {}
        self._changed = False
        self.glances: list[Glance] = []
        self.refresh()

    def refresh(self) -> None:
        """List the folder anew, without looking into any file."""
        found = list(_stamps(self._folder))
        self._stamps = {name: stamp for name, stamp, _ in found}
        self._journals = {name: journals for name, _, journals in found if journals}
        newest_first = sorted(((max(stamp[0], stamp[2]), name) for name, stamp in self._stamps.items()), reverse=True)
        self.glances = [self._remembered(name, changed / 1e9) for changed, name in newest_first]

    def look(self, seconds: float = float("inf")) -> bool:
        """Look into files not seen yet, newest first, for so long at most; True once all are seen."""
        until = perf_counter() + seconds
        for at, glance in enumerate(self.glances):
            if glance.seen:
                continue
            if perf_counter() > until:
                return False
            self.glances[at] = look_at(glance.path, glance.changed, self._journals.get(glance.path.name, ()))
            self._remember(self.glances[at])
        self._keep()
        return True

    def learn(self, proved: Glance) -> None:
        """Take down the verdict of a file, unless that was written meanwhile."""
        for at, glance in enumerate(self.glances):
            if (glance.path, glance.changed) == (proved.path, proved.changed):
                self.glances[at] = proved
                self._remember(proved)
                self._keep()

    def _remembered(self, name: str, changed: float) -> Glance:
        path = self._folder / name
        known = self._known.get(self._where(name))
        if isinstance(known, dict) and known.get("stamp") == list(self._stamps[name]):
            try:
                glance = Glance(path, changed, **known["glance"])
            except (TypeError, KeyError):
                return Glance(path, changed, path.stem, seen=False)
            # Trouble is told in the language that was spoken when it was found.
            if not glance.trouble or known.get("language") == spoken():
                return glance
        return Glance(path, changed, path.stem, seen=False)

    def _where(self, name: str) -> str:
        """What a file is known by in the index."""
        return f"{self._prefix}{name}"

    def _remember(self, glance: Glance) -> None:
        told = asdict(glance)
        for field in ("path", "changed", "seen"):
            del told[field]
        name = glance.path.name
        self._known[self._where(name)] = {"stamp": list(self._stamps[name]), "language": spoken(), "glance": told}
        self._changed = True

    def _keep(self) -> None:
        if not self._changed:
            return
        here = set(map(self._where, self._stamps))
        folder = str(self._folder)
        kept = {path: known for path, known in self._known.items() if path in here or os.path.dirname(path) != folder}
        with contextlib.suppress(OSError):
            replace_file(self._file, json.dumps(kept).encode())
            self._changed = False


def look_at(path: Path, changed: float = 0.0, names: Iterable[str] | None = None) -> Glance:
    """Look into one job file; `names` is what is in its folder, where that is known already."""
    try:
        book = open_job(path, "glance", names).book
    except JobFileError as error:
        return Glance(path, changed, trouble=str(error))
    page = book.page
    shot = page.shots_in(page.round_index)
    return Glance(
        path, changed, book.job.name, book.job.place, book.job.customer, shot, page.positions, str(page.round.kind)
    )


def _stamps(folder: Path) -> Iterator[tuple[str, Stamp, list[str]]]:
    """Each job of a folder by its file's name, and the names of its journals."""
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    journals: dict[str, list[os.DirEntry[str]]] = {}
    for entry in entries:
        of = NAME.fullmatch(entry.name) if ".journal" in entry.name else None
        if of is not None:
            journals.setdefault(of["job"], []).append(entry)
    for entry in entries:
        name = entry.name
        if name.endswith(".json") and not name.startswith("."):
            own = journals.get(name, ())
            try:
                times = [_times(each) for each in own]
                stamp = _times(entry)
            except OSError:
                continue
            beside = (max(time for time, _ in times), sum(size for _, size in times)) if times else (0, 0)
            yield name, stamp + beside, [each.name for each in own]


def _times(entry: os.DirEntry[str]) -> tuple[int, int]:
    now = entry.stat()
    return now.st_mtime_ns, now.st_size


def _read(file: Path) -> dict[str, Any]:
    try:
        known = json.loads(fetch(file, MOST_BYTES) or b"")
    except (OSError, ValueError, RecursionError):
        return {}
    return known if isinstance(known, dict) else {}
