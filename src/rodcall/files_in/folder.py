"""Files of a folder that may be read into a job, newest first."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path

from rodcall.frozen import Frozen

SUFFIXES = (".csv", ".txt", ".xml")
"""Points, tables and readings; surfaces. Any other file is read by its path."""
MOST_OFFERED = 500


class Offered(Frozen):
    """One file."""

    path: Path
    size: int
    """Bytes."""
    changed: datetime
    """By this tablet's clock."""


def offered(folder: Path) -> list[Offered]:
    """The files of a folder that have such an ending; none where the folder cannot be read."""
    found: list[Offered] = []
    try:
        for entry in os.scandir(folder):
            if entry.name.lower().endswith(SUFFIXES) and not entry.name.startswith(".") and entry.is_file():
                stat = entry.stat()
                when = datetime.fromtimestamp(stat.st_mtime).astimezone()
                found.append(Offered(Path(entry.path), stat.st_size, when))
    except OSError:
        return found
    return sorted(found, key=lambda each: (each.changed, each.path.name), reverse=True)[:MOST_OFFERED]
