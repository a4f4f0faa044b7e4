"""The folder of jobs on this tablet, and the tablet's name."""

from __future__ import annotations

import contextlib
import glob
import os
import re
import uuid
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from rodcall.book.storage.atomic_write import replace_file
from rodcall.book.storage.beside_job import left_of
from rodcall.book.storage.job_format import JobFileError
from rodcall.book.storage.safe_read import fetch, reason
from rodcall.i18n import say

if TYPE_CHECKING:
    from rodcall.book.storage.opening import JobFile


SMALL = 1000
"""Bytes; what this tablet keeps about itself is shorter."""


def home() -> Path:
    """The folder for all that rodcall keeps: what platformdirs says, or RODCALL_HOME."""
    chosen = os.environ.get("RODCALL_HOME")
    return Path(chosen) if chosen else platformdirs.user_data_path("rodcall", appauthor=False)


def jobs_folder() -> Path:
    """The folder where jobs live when no path is given."""
    return home() / "jobs"


def tablet_name() -> str:
    """This tablet's name, made up at the first start and kept; a tablet that cannot keep one gets one a day."""
    kept = home() / "tablet"
    with contextlib.suppress(OSError):
        name = (fetch(kept, SMALL) or b"").decode("utf-8", "replace").strip()
        if re.fullmatch(r"[0-9a-z-]{1,64}", name):
            return name
    name = f"tablet-{uuid.uuid4().hex[:6]}"
    with contextlib.suppress(OSError):
        kept.parent.mkdir(parents=True, exist_ok=True)
        replace_file(kept, f"{name}\n".encode())
    return name


def file_for(name: str, folder: Path | None = None) -> Path:
    """A free file name for a job, made of the letters and digits of its name."""
    folder = folder or jobs_folder()
    return _free(re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "job", folder)


def _free(stem: str, folder: Path) -> Path:
    path, number = folder / f"{stem}.json", 2
    while _is_taken(path):
        path, number = folder / f"{stem}-{number}.json", number + 1
    return path


def _is_taken(path: Path) -> bool:
    """Is there a job by that name, or anything left of one?"""
    try:
        return os.path.lexists(path) or bool(left_of(path))
    except OSError:
        # Beginning it there says why it cannot be.
        return False


def rescue(file: JobFile) -> Path | None:
    """Save a book that its own disk refuses to the folder of jobs of this tablet; None where that refuses too."""
    path = file_for(file.book.job.name)
    try:
        file.save_elsewhere(path)
    except JobFileError:
        return None
    file.close()
    return path


def archive_of(folder: Path) -> Path:
    """Where the jobs of a folder go when they leave the list."""
    return folder / "archive"


def archive(path: Path) -> Path:
    """Move a job out of the list, with all that was kept beside its file; returns where it is now.

    Raises:
        JobFileError: when somebody has it open, or the disk refuses.
    """
    return _move(path, archive_of(path.parent))


def bring_back(path: Path) -> Path:
    """Move an archived job back into the list; as `archive`."""
    return _move(path, path.parent.parent)


def _move(path: Path, folder: Path) -> Path:
    held = ""
    with contextlib.suppress(JobFileError):
        # Opening brings the journal into the file; one that cannot be opened is moved as it is.
        from rodcall.book.storage.opening import open_to_write

        opened = open_to_write(path, "archive")
        opened.close()
        held = opened.read_only
    if held:
        raise JobFileError(path, held)
    try:
        folder.mkdir(exist_ok=True)
        target = _free(path.stem, folder)
        for other in [path, *path.parent.glob(f"{glob.escape(path.name)}.*")]:
            os.replace(other, folder / f"{target.name}{other.name.removeprefix(path.name)}")
    except OSError as error:
        raise JobFileError(path, say("cannot be moved ({why})", why=reason(error))) from None
    return target


def cautions_seen(today: date) -> bool:
    """Whether the cautions were shown on this tablet today."""
    try:
        return (fetch(home() / "cautions", SMALL) or b"").strip() == today.isoformat().encode()
    except OSError:
        return False


def mark_cautions_seen(today: date) -> None:
    """They were; a tablet that cannot keep that shows them again."""
    with contextlib.suppress(OSError):
        home().mkdir(parents=True, exist_ok=True)
        replace_file(home() / "cautions", f"{today.isoformat()}\n".encode())
