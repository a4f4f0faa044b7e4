"""Sessions of a job on the disk: opened, written into with what is called saved, and read again."""

from __future__ import annotations

from pathlib import Path

from rodcall.book.storage.opening import JobFile, new_job_file, open_job, open_to_write
from tests.kit import a_job, ticking

READINGS = ("-1", "-2", "-3", "-4", "-5", "-6")


def new_pad(folder: Path) -> Path:
    """A job without entries."""
    file = new_job_file(folder / "site" / "pad.json", a_job(), "tablet-a")
    file.close()
    return file.path


def session(pad: Path, *readings: str, tablet: str = "tablet-a") -> JobFile:
    """Open a job and write readings that are called saved."""
    file = open_to_write(pad, tablet)
    file.book.clock = ticking()
    written(file, *readings)
    return file


def written(file: JobFile, *readings: str) -> None:
    for reading in readings:
        file.book.shoot("A1", reading)
        assert file.append() == len(file.book.entries)


def said(file: JobFile | Path) -> list[str]:
    opened = open_job(file, "reader") if isinstance(file, Path) else file
    return [entry.said for entry in opened.book.entries if entry.said]


def contents(folder: Path) -> dict[str, bytes]:
    return {each.name: each.read_bytes() for each in folder.iterdir() if each.is_file()}


def damaged(pad: Path) -> bytes:
    """Cut a job's file short; returns what is left of it."""
    session(pad, *READINGS).close()
    pad.with_name("pad.json.before").unlink()
    whole = pad.read_bytes()
    cut = whole[: whole.index(b'"said": "-4"')]
    pad.write_bytes(cut)
    return cut
