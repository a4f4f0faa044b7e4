"""Reads from the disk: a missing file is never confused with one that cannot be read.

Here alone it is decided what may be taken for absent. Whatever is there and cannot be read (another user's file, a
broken disk, a pipe, a folder, a link that was not made here) raises, so that nobody takes it for empty, writes over it
or takes it away.
"""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

from rodcall.i18n import say

_BINARY = getattr(os, "O_BINARY", 0)
# A pipe without a writer would keep the program waiting at the opening; of a regular file it changes nothing.
_AT_ONCE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_CLOEXEC", 0)
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)
READ = os.O_RDONLY | _BINARY
"""Flags for a file that is only looked at."""


def open_regular(path: Path, flags: int, *, links: bool = True) -> int:
    """Open a regular file and nothing else, without waiting; a new one follows the umask.

    Args:
        path: Its name.
        flags: As of `os.open`.
        links: Whether a symbolic link by that name is followed.

    Raises:
        FileNotFoundError: when there is none and none was to be made.
        OSError: when it is no regular file, or the disk refuses.
    """
    if not links and not _NO_LINK and os.path.islink(path):
        # Windows has no flag for it.
        raise OSError(errno.ELOOP, say("a symbolic link"))
    try:
        descriptor = os.open(path, flags | _AT_ONCE | (0 if links else _NO_LINK), 0o666)
    except OSError as error:
        if error.errno == errno.ELOOP and not links:
            raise OSError(errno.ELOOP, say("a symbolic link")) from None
        if error.errno == errno.ENXIO:
            raise OSError(errno.EINVAL, say("not a regular file")) from None
        raise
    try:
        kind = os.fstat(descriptor).st_mode
        if stat.S_ISDIR(kind):
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if not stat.S_ISREG(kind):
            raise OSError(errno.EINVAL, say("not a regular file"))
    except BaseException:
        os.close(descriptor)
        raise
    return descriptor


def fetch(path: Path, most: int, *, links: bool = True) -> bytes | None:
    """The bytes of a file; None where there is no file by that name. Of one larger than `most`, one byte more.

    Raises:
        OSError: when there is something that cannot be read.
    """
    try:
        descriptor = open_regular(path, READ, links=links)
    except FileNotFoundError:
        return None
    with os.fdopen(descriptor, "rb") as file:
        return file.read(most + 1)


def is_there(path: Path) -> bool:
    """Is anything by that name, a link to nothing too? What cannot be looked at is."""
    try:
        os.lstat(path)
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError:
        return True
    return True


def reason(error: OSError) -> str:
    """Why the disk refused, in the system's own words."""
    return (error.strerror or str(error) or say("no reason given")).lower()
