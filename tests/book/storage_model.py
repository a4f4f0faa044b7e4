"""Storage under chance: sessions of two programs, kills, locks that fail or vanish, and calls that are refused.

Whatever the schedule, a reading that was called saved is in the opened book, or `recover` brings it back.
"""

from __future__ import annotations

import errno
import os
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rodcall.book.storage import atomic_write, job_file, journal, lock, safe_read
from rodcall.book.storage.opening import JobFile, JobFileError, new_job_file, open_to_write
from rodcall.book.storage.rescue.gather import gather
from rodcall.units import Unit
from tests.book.disk import die
from tests.kit import a_job, ticking

ERRORS = (errno.EACCES, errno.EPERM, errno.EIO, errno.ENOSPC, errno.EDQUOT, errno.EMFILE, errno.EROFS, errno.ESTALE)
CALLS = ("open", "write", "fsync", "replace", "unlink", "fstat", "stat", "lstat", "chmod", "listdir", "ftruncate")
MODULES = (atomic_write, journal, safe_read, lock, job_file)


class Chance:
    """Stands for the module `os`: a call is refused, or writes half, as the dice fall."""

    def __init__(self, dice: random.Random, share: float) -> None:
        self._dice, self._share = dice, share

    def __getattr__(self, name: str) -> Any:
        real = getattr(os, name)
        return self._refusing(name, real) if name in CALLS else real

    def _refusing(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **named: Any) -> Any:
            if self._dice.random() < self._share:
                if name == "write":
                    real(arguments[0], arguments[1][: len(arguments[1]) // 2])
                error = self._dice.choice(ERRORS)
                raise OSError(error, os.strerror(error))
            if name == "write" and self._dice.random() < 0.2:
                return real(arguments[0], arguments[1][: max(len(arguments[1]) // 2, 1)])
            return real(*arguments, **named)

        return call


def no_lock(_: int) -> None:
    """A disk that knows no locks."""
    raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))


def readings_in(raw: bytes) -> set[str]:
    """What was said, in the bytes of a file."""
    return {said.decode() for said in re.findall(rb'"said": "(-[0-9]+)"', raw)}


def schedule(folder: Path, seed: int) -> str:
    """Work off one schedule of chance; returns what was done, for who wants to see it.

    Raises:
        AssertionError: when a reading that was called saved is nowhere.
    """
    dice = random.Random(seed)
    path = folder / "pad.json"
    new_job_file(path, a_job(Unit.MM), "tablet-a").close()
    open_now: list[JobFile] = []
    saved: set[str] = set()
    count = 0
    done: list[str] = []
    states: list[bytes] = []
    share = dice.choice((0.0, 0.01, 0.05, 0.2))
    clock = ticking()
    with pytest.MonkeyPatch.context() as patch:
        if dice.random() < 0.3:
            for module in (lock, journal):
                patch.setattr(module, "seize", no_lock)
            done.append("no locks")
        for module in MODULES:
            patch.setattr(module, "os", Chance(dice, share))
        for _ in range(dice.randrange(5, 40)):
            act = dice.choice(("open", "write", "write", "write", "write", "close", "kill", "unlock", "replace"))
            done.append(act)
            states.append(path.read_bytes() if path.exists() else b"")
            if act == "open" and len(open_now) < 2:
                try:
                    file = open_to_write(path, dice.choice(("tablet-a", "tablet-b")))
                except (JobFileError, OSError):
                    continue
                if file.read_only:
                    file.close()
                    continue
                file.book.clock = clock
                open_now.append(file)
            elif act == "unlock":
                path.with_name("pad.json.lock").unlink(missing_ok=True)
            elif act == "replace" and open_now and states[-1] and dice.random() < 0.5:
                # Another program puts an older state there, or takes the file away: what only that held is gone.
                state = dice.choice([*filter(None, states), None])
                saved -= readings_in(states[-1]) - readings_in(state or b"")
                path.unlink() if state is None else path.write_bytes(state)
            elif open_now:
                file = dice.choice(open_now)
                if act == "write":
                    count += 1
                    file.book.shoot(dice.choice(("A1", "B2", "C3")), f"-{count}")
                    try:
                        kept = file.append()
                    except OSError:
                        continue
                    # What the program itself writes, that entries were damaged, says nothing.
                    saved |= {entry.said for entry in file.book.entries[:kept] if entry.said}
                else:
                    open_now.remove(file)
                    file.close() if act == "close" else die(file)
    for file in open_now:
        die(file)
    if not path.exists():
        brought = {entry.said for entry in gather(path).book.entries} if saved else set()
        assert saved <= brought, (seed, sorted(saved - brought), done, sorted(os.listdir(folder)))
        return " ".join(done)
    found = open_to_write(path, "tablet-c")
    here = {entry.said for entry in found.book.entries}
    assert not found.read_only, (seed, found.read_only)
    found.close()
    if not saved <= here:
        brought = {entry.said for entry in gather(path).book.entries}
        assert saved <= brought, (seed, sorted(saved - brought), done, sorted(os.listdir(folder)))
        assert found.is_grave, (seed, sorted(saved - here), found.recovered)
    last = open_to_write(path, "tablet-c")
    again = {entry.said for entry in last.book.entries}
    last.close()
    assert here <= again, (seed, sorted(here - again))
    return " ".join(done)
