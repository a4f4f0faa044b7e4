"""A disk that fails, and one whose power goes: put in place of `os` where the program writes.

What a power cut may leave follows the strictest reading of POSIX: of a file nothing that was not fsynced is there for
certain, and a name that was made, replaced or taken away is only after an fsync of its folder, in the order made.
"""

from __future__ import annotations

import errno
import itertools
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from rodcall.book.storage import atomic_write, journal
from rodcall.book.storage.opening import JobFile

CALLS = ("open", "write", "fsync", "replace", "unlink")


class Calls:
    """Stands for the module `os`; each call that changes a disk goes through `call` first."""

    def __init__(self, call: Callable[[str, Any], None]) -> None:
        self._call = call

    def __getattr__(self, name: str) -> Any:
        real = getattr(os, name)
        if name not in CALLS:
            return real

        def called(*arguments: Any) -> Any:
            self._call(name, arguments)
            return real(*arguments)

        return called


def install(monkeypatch: pytest.MonkeyPatch, calls: Calls) -> None:
    """Let the program's writes go through it."""
    for module in (atomic_write, journal):
        monkeypatch.setattr(module, "os", calls)


def die(file: JobFile) -> None:
    """As the system leaves it when a program is killed: the lock is free, its note is there, the journal stays."""
    for held in (file._journal, file.lock):
        if held is not None and held._descriptor is not None:
            os.close(held._descriptor)
    file._journal = None
    if file.lock is not None:
        file.lock._descriptor = None


class Failing:
    """Fails the n-th call of a kind, once or from then on; a failed write may have written half."""

    def __init__(self, kind: str, number: int, *, always: bool, error: int = errno.ENOSPC) -> None:
        self._kind, self._number, self._always, self._error = kind, number, always, error
        self._seen = 0
        self.healed = False
        self.failed = 0

    def __call__(self, kind: str, arguments: Any) -> None:
        if kind != self._kind or self.healed:
            return
        self._seen += 1
        if self._seen == self._number or (self._always and self._seen > self._number):
            self.failed += 1
            if kind == "write":
                os.write(arguments[0], arguments[1][: len(arguments[1]) // 2])
            raise OSError(self._error, os.strerror(self._error))


@dataclass
class _File:
    durable: bytes = b""
    written: bytes = b""


@dataclass
class PowerCut:
    """Writes down every call, so that what the disk may hold after each of them can be made."""

    folder: Path
    log: list[tuple[str, Any]] = field(default_factory=list)
    _open: dict[int, Any] = field(default_factory=dict)
    _numbers: Iterator[int] = field(default_factory=itertools.count)

    def calls(self) -> Any:
        """In place of `os`."""
        log, opened, folder, numbers = self.log, self._open, self.folder, self._numbers

        class Recording:
            def __getattr__(self, name: str) -> Any:
                return getattr(os, name)

            def open(self, path: Any, flags: int, mode: int = 0o777) -> int:
                descriptor = os.open(path, flags, mode)
                if Path(path) == folder:
                    opened[descriptor] = "folder"
                elif flags & (os.O_WRONLY | os.O_RDWR):
                    opened[descriptor] = number = next(numbers)
                    log.append(("create", (Path(path).name, number)))
                return descriptor

            def write(self, descriptor: int, content: bytes) -> int:
                taken = os.write(descriptor, content)
                log.append(("write", (opened[descriptor], content[:taken])))
                return taken

            def fsync(self, descriptor: int) -> None:
                log.append(("fsync", opened[descriptor]))

            def replace(self, old: Any, new: Any) -> None:
                os.replace(old, new)
                log.append(("replace", (Path(old).name, Path(new).name)))

            def unlink(self, path: Any) -> None:
                os.unlink(path)
                log.append(("unlink", Path(path).name))

        return Recording()

    def states(self, until: int, known: dict[str, bytes]) -> Iterator[dict[str, bytes]]:
        """What the folder may hold when the power goes after so many calls, given what was there at the start."""
        names: dict[str, _File] = {name: _File(content, content) for name, content in known.items()}
        files: dict[int, _File] = {}
        pending: list[tuple[str, Any]] = []
        for kind, told in self.log[:until]:
            if kind == "create":
                files[told[1]] = _File()
                pending.append(("name", (told[0], files[told[1]])))
            elif kind == "write":
                files[told[0]].written += told[1]
            elif kind == "fsync" and told == "folder":
                for change in pending:
                    _apply(names, change)
                pending = []
            elif kind == "fsync":
                files[told].durable = files[told].written
            else:
                pending.append((kind, told))
        for done in range(len(pending) + 1):
            here = dict(names)
            for change in pending[:done]:
                _apply(here, change)
            for tear in (_nothing, _half, _all, _zeros):
                yield {name: tear(file) for name, file in here.items()}


def _apply(names: dict[str, _File], change: tuple[str, Any]) -> None:
    kind, told = change
    if kind == "name":
        names[told[0]] = told[1]
    elif kind == "replace":
        names[told[1]] = names.pop(told[0])
    else:
        names.pop(told, None)


def _nothing(file: _File) -> bytes:
    return file.durable


def _half(file: _File) -> bytes:
    unsure = file.written[len(file.durable) :]
    return file.durable + unsure[: len(unsure) // 2]


def _all(file: _File) -> bytes:
    return file.written


def _zeros(file: _File) -> bytes:
    return file.durable + bytes(len(file.written) - len(file.durable))
