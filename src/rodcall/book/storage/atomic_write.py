"""Durable writes: a file is whole or not there, whenever the power fails.

All calls that change a disk go through this module's `os`, so that tests can fail, tear or drop each of them. What is
there and cannot be read (`fetch`) is never replaced. New files follow the umask.
"""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import stat
import sys
from pathlib import Path

from rodcall.book.storage.safe_read import READ, open_regular
from rodcall.frozen import Frozen

if sys.platform == "darwin":
    import fcntl

    def sync(descriptor: int) -> None:
        """Return once all that was written is on the disk: macOS keeps it in the drive's cache after a mere fsync."""
        fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
else:

    def sync(descriptor: int) -> None:
        """Return once all that was written is on the disk."""
        os.fsync(descriptor)


_BINARY = getattr(os, "O_BINARY", 0)
NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY
"""Flags for a file that must not be there yet; no link is followed."""
GROWING = NEW | os.O_APPEND
"""Flags for a new file that only grows."""

_LONGEST_NAME = 120
"""Characters of a file's name that its temporary file repeats; file systems allow 255 bytes."""


class Stamp(Frozen):
    """Tells whether a file is still the one that was read or written."""

    time: int
    size: int

    @classmethod
    def of(cls, path: Path) -> Stamp | None:
        """None where there is none.

        Raises:
            OSError: when it cannot be looked at.
        """
        try:
            now = os.stat(path)
        except FileNotFoundError:
            return None
        return cls(now.st_mtime_ns, now.st_size)


def beside(path: Path, ending: str) -> Path:
    """The file that goes with another one, in the folder where that one really lies: `pad.json.journal`."""
    real = Path(os.path.realpath(path))
    return real.with_name(real.name + ending)


def write(descriptor: int, content: bytes) -> None:
    """Write all of it; one call may take less."""
    while content:
        content = content[os.write(descriptor, content) :]


def replace_file(path: Path, content: bytes) -> None:
    """Write `content` beside `path`, make it durable, and put it in its place.

    The order is what matters: temporary file in the same folder, fsync, replace, fsync of the folder. A symbolic
    link is followed, and the file's permissions are kept.

    Raises:
        OSError: the first thing that went wrong, as where there is something that cannot be read; the old file is
            untouched and the temporary one removed.
    """
    target = Path(os.path.realpath(path))
    mode = _mode(target)
    temporary = target.with_name(f".{target.name[:_LONGEST_NAME]}.{secrets.token_hex(4)}.part")
    try:
        _write_new(temporary, content, mode)
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise
    sync_folder(target.parent)


def new_file(path: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole or not at all: two that try the same name do not both succeed.

    Raises:
        FileExistsError: when anything is there by that name.
        OSError: when the disk does not take it.
    """
    os.close(os.open(path, NEW, 0o666))
    try:
        replace_file(path, content)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(path)
        raise


def put_aside(path: Path, content: bytes, ending: str) -> Path:
    """Keep bytes that are not to be lost as `pad.json.torn-1`, or the next free number.

    Raises:
        OSError: when the disk does not take them.
    """
    number = 1
    while True:
        kept = beside(path, f".{ending}-{number}")
        try:
            new_file(kept, content)
        except FileExistsError:
            number += 1
        else:
            return kept


def remove(path: Path) -> None:
    """Take a file away, where it is there, for good.

    Raises:
        OSError: when it stays.
    """
    with contextlib.suppress(FileNotFoundError):
        os.unlink(path)
        sync_folder(path.parent)


def sweep(path: Path) -> None:
    """Take away the temporary files that a crash left of this file and those beside it; nobody may be writing them."""
    target = Path(os.path.realpath(path))
    left = re.compile(re.escape(f".{target.name}"[: _LONGEST_NAME + 1]) + r"(\.before|\.\w+-\d+)?\.[0-9a-f]{8}\.part")
    with contextlib.suppress(OSError):
        for name in os.listdir(target.parent):
            if left.fullmatch(name):
                os.unlink(target.parent / name)


def sync_folder(folder: Path) -> None:
    """Make names durable. Windows has no such call: its replace is journalled by the file system."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        sync(descriptor)
    finally:
        os.close(descriptor)


def _write_new(path: Path, content: bytes, mode: int | None) -> None:
    """A new file: as the umask says, or with the permissions of the one that it replaces, never wider meanwhile."""
    descriptor = os.open(path, NEW, 0o666 if mode is None else 0o600)
    try:
        write(descriptor, content)
        sync(descriptor)
    finally:
        os.close(descriptor)
    if mode is not None:
        os.chmod(path, mode)


def _mode(target: Path) -> int | None:
    """The permissions of what is to be replaced; None where there is nothing.

    Raises:
        OSError: when there is something that cannot be read.
    """
    try:
        descriptor = open_regular(target, READ)
    except FileNotFoundError:
        return None
    try:
        return stat.S_IMODE(os.fstat(descriptor).st_mode)
    finally:
        os.close(descriptor)
