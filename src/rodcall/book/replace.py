"""Replace a file's content so that a power cut leaves either the old file or the new one, whole."""

from __future__ import annotations

import contextlib
import os
import stat
import sys
import tempfile
from pathlib import Path

if sys.platform == "darwin":
    import fcntl

    def _sync(descriptor: int) -> None:
        # macOS keeps fsync'd data in the drive's own cache; only this flushes it.
        fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
else:

    def _sync(descriptor: int) -> None:
        os.fsync(descriptor)


def replace_file(path: Path, content: bytes) -> None:
    """Write `content` beside `path`, make it durable, and put it in its place.

    The order is what matters: temporary file in the same folder, fsync, replace, fsync of the folder. A symbolic
    link is followed, and the file's permissions are kept.

    Raises:
        OSError: the first thing that went wrong; the old file is untouched and the temporary one removed.
    """
    target = Path(os.path.realpath(path))
    descriptor, temporary = tempfile.mkstemp(prefix=f".{target.name[:40]}.", suffix=".part", dir=target.parent)
    try:
        with open(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            _sync(file.fileno())
        os.chmod(temporary, _mode(target))
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise
    _sync_folder(target.parent)


def _mode(target: Path) -> int:
    try:
        return stat.S_IMODE(target.stat().st_mode)
    except OSError:
        return 0o644


def _sync_folder(folder: Path) -> None:
    """Make the new name durable. Windows has no such call: its replace is journalled by the file system."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        _sync(descriptor)
    finally:
        os.close(descriptor)
