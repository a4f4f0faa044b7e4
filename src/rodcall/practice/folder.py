"""A temporary folder for practice pads; removed at the end, or at the next start after a crash."""

from __future__ import annotations

import shutil
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rodcall.book.storage.job_format import JobFileError
from rodcall.book.storage.lock import HeldError, Lock
from rodcall.book.storage.safe_read import reason
from rodcall.i18n import say
from rodcall.tablet.paths import home


@contextmanager
def passing_folder() -> Iterator[Path]:
    """A new folder that is gone when the block is left, however that is left; those left behind before go first.

    Its lock lies beside it from before it is there until after it is gone: a folder whose lock is free is nobody's.

    Raises:
        JobFileError: when the disk does not take it.
    """
    above = home() / "practice"
    folder = above / uuid.uuid4().hex
    try:
        above.mkdir(parents=True, exist_ok=True)
        _clear(above)
        lock = Lock.take(folder)
        folder.mkdir()
    except OSError as error:
        raise JobFileError(above, say("cannot be written ({why})", why=reason(error))) from None
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)
        lock.release()


def _clear(above: Path) -> None:
    """Take away what a practice left behind that was killed, or whose tablet lost its power."""
    for folder in {each.with_suffix("") for each in above.iterdir()}:
        try:
            lock = Lock.take(folder)
        except HeldError:
            continue
        if lock.is_held:
            shutil.rmtree(folder, ignore_errors=True)
            lock.release()
