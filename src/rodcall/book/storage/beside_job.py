"""What lies beside a job's file and belongs to it: the file before, journals; a new job takes no such name.

Nothing is replaced before what it replaces is safe: the file as it was becomes the one before.
"""

from __future__ import annotations

import os
from pathlib import Path

from rodcall.book.storage.atomic_write import beside, replace_file
from rodcall.book.storage.job_format import MOST_BYTES, JobFileError
from rodcall.book.storage.journal import journals_of
from rodcall.book.storage.lock import HeldError, Lock
from rodcall.book.storage.safe_read import fetch, is_there
from rodcall.i18n import say

_MOST_BEFORE = 20
"""Names that are tried for the file before, where somebody else's lies by the first ones."""
HEAD_BYTES = 4096
"""The job's id stands within these first bytes of a file."""


MOST_NAME = 210
"""Bytes of a job file's name; what goes with it has longer ones, and file systems allow 255."""


def before_of(path: Path) -> Path:
    """Where the last good file but one is."""
    return beside(path, ".before")


def left_of(path: Path) -> list[Path]:
    """What lies beside a job's file and may hold entries of it.

    Raises:
        OSError: when the folder cannot be looked into.
    """
    before = before_of(path)
    return [*journals_of(path), *([before] if is_there(before) else [])]


def free_lock(path: Path) -> Lock:
    """The lock of a job that is to be begun.

    Raises:
        JobFileError: when there is something already, or something is left of a job of that name.
    """
    if len(os.fsencode(path.name)) > MOST_NAME:
        raise JobFileError(path.with_name(f"{path.name[:20]}..."), say("the name is too long; choose a shorter one"))
    try:
        lock = Lock.take(path)
    except HeldError as held:
        raise JobFileError(path, say("is open in {who}", who=held)) from None
    why = ""
    if is_there(path):
        why = say("the file already exists; open it or choose another name")
    elif left := left_of(path):
        why = say(
            "{file} belongs to an older job of that name; choose another name, or see rodcall recover",
            file=left[0].name,
        )
    if why:
        lock.release()
        raise JobFileError(path, why)
    return lock


def keep_before(path: Path, id: bytes) -> None:
    """Keep the file that is about to be replaced as the one before.

    Args:
        path: The job file.
        id: The job's, as it stands in the file.

    Raises:
        OSError: when it cannot be kept; then it may not be replaced.
    """
    content = fetch(path, MOST_BYTES)
    if content is None:
        return
    names = ("", *(f"-{number}" for number in range(2, _MOST_BEFORE)))
    befores = (beside(before_of(path), name) for name in names)
    replace_file(next((each for each in befores if _may_replace(each, id)), before_of(path)), content)


def _may_replace(before: Path, id: bytes) -> bool:
    """Is there nothing by that name, or an older book of the same job, which can be read?"""
    try:
        content = fetch(before, HEAD_BYTES, links=False)
    except OSError:
        return False
    return content is None or id in content
