"""Where jobs live on this tablet, and the tablet's own name."""

from __future__ import annotations

import contextlib
import os
import re
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import platformdirs

from rodcall.book.file import JobFile, JobFileError, open_job
from rodcall.book.replace import replace_file


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
    try:
        name = kept.read_text("utf-8").strip()
        if re.fullmatch(r"[0-9a-z-]{1,64}", name):
            return name
    except (OSError, UnicodeDecodeError):
        pass
    name = f"tablet-{uuid.uuid4().hex[:6]}"
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        replace_file(kept, f"{name}\n".encode())
    except OSError:
        pass
    return name


def file_for(name: str, folder: Path | None = None) -> Path:
    """A free file name for a job, made of the letters and digits of its name."""
    folder = folder or jobs_folder()
    stem = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40] or "job"
    path, number = folder / f"{stem}.json", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}.json", number + 1
    return path


def rescue(file: JobFile) -> Path | None:
    """Save a book that its own disk refuses to the folder of jobs of this tablet; None where that refuses too."""
    path = file_for(file.book.job.name)
    try:
        file.save_elsewhere(path)
    except JobFileError:
        return None
    file.close()
    return path


@dataclass(frozen=True)
class Glance:
    """One file of the list of jobs: what it is, or why it cannot be opened."""

    path: Path
    changed: float
    """Seconds since 1970."""
    name: str = ""
    place: str = ""
    shot: int = 0
    positions: int = 0
    round: str = ""
    trouble: str = ""


def glances(folder: Path | None = None) -> Iterator[Glance]:
    """All jobs of a folder, newest first; a broken file is told with its message and stops nothing."""
    found = []
    try:
        for path in (folder or jobs_folder()).glob("*.json"):
            try:
                found.append((path.stat().st_mtime, path))
            except OSError:
                continue
    except OSError:
        return
    for changed, path in sorted(found, reverse=True):
        yield glance(path, changed)


def glance(path: Path, changed: float = 0.0) -> Glance:
    """Look at one job file."""
    try:
        book = open_job(path, "glance").book
    except JobFileError as error:
        return Glance(path, changed, trouble=str(error))
    here = book.page.round
    return Glance(path, changed, book.job.name, book.job.place, here.shots, book.job.grid.size, str(here.kind))


def cautions_seen(today: date) -> bool:
    """Whether the cautions were shown on this tablet today."""
    try:
        return (home() / "cautions").read_text("utf-8").strip() == today.isoformat()
    except (OSError, UnicodeDecodeError):
        return False


def mark_cautions_seen(today: date) -> None:
    """They were; a tablet that cannot keep that shows them again."""
    with contextlib.suppress(OSError):
        home().mkdir(parents=True, exist_ok=True)
        replace_file(home() / "cautions", f"{today.isoformat()}\n".encode())
