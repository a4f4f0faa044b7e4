"""One table of all jobs in a folder, for what comes after a tablet: a spreadsheet, or an engine that reads files."""

from __future__ import annotations

import csv
import io
import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from rodcall.book.model.entries import Damage
from rodcall.book.storage.opening import JobFileError, open_job
from rodcall.figures.summary import summarise
from rodcall.i18n import say, speaking
from rodcall.sheets.digest import damaged_words
from rodcall.sheets.exports.table import MM, inert


@dataclass(frozen=True)
class Row:
    """One job, or a file that is none with its message; None where there is nothing to say."""

    path: str
    name: str = ""
    place: str = ""
    area_m2: float | None = None
    cut_m3: float | None = None
    """Bank measure, to the target in force, in the last round."""
    fill_m3: float | None = None
    """Compacted."""
    spare_m3: float | None = None
    """Above 0 left over, below 0 short."""
    verdict: str = ""
    first_day: str | None = None
    """Date of the first entry, ISO 8601, where it was written."""
    last_day: str | None = None
    rounds: int = 0
    shots: int = 0
    """Shots that count, in all rounds."""
    message: str = ""
    customer: str = ""
    limit_high_mm: float | None = None
    """The tolerance in force."""
    limit_low_mm: float | None = None
    outside: int | None = None
    """Spots out of tolerance in the last round; None without a target."""
    moved_cut_m3: float | None = None
    """Earth dug from the existing ground to the last round; None where there is one round only."""
    moved_fill_m3: float | None = None
    digest: str = ""
    """Seal of the book's last entry, as printed on its sheets."""


def rows(folder: Path) -> Iterator[Row]:
    """All jobs in a folder and the folders in it, by path; a broken file stops nothing."""
    listed: tuple[Path, list[str] | None] = folder, None
    for path in sorted(folder.rglob("*.json")):
        if path.parent != listed[0] or listed[1] is None:
            listed = path.parent, _names(path.parent)
        yield row(path, listed[1])


def _names(folder: Path) -> list[str] | None:
    try:
        return os.listdir(folder)
    except OSError:
        # Each job tells of it.
        return None


@speaking("en")
def row(path: Path, names: Iterable[str] | None = None) -> Row:
    """The row of one file; its words are the same in every language, since programs read them.

    Args:
        path: The file.
        names: What is in its folder, where that is known already.
    """
    try:
        opened = open_job(path, "season", names)
    except JobFileError as error:
        return Row(str(path), message=str(error))
    book, summary = opened.book, summarise(opened.book.page)
    dirt, days = (
        summary.dirt,
        [entry.time.date().isoformat() for entry in book.entries if not isinstance(entry, Damage)],
    )
    moved = summary.moved_since_first
    edited = (
        say("entry {number} was edited outside of rodcall", number=opened.broken_seals[0])
        if opened.broken_seals
        else ""
    )
    return Row(
        str(path),
        book.job.name,
        book.job.place,
        summary.area_m2,
        dirt.earth.cut if dirt is not None else None,
        dirt.earth.fill if dirt is not None else None,
        dirt.spare if dirt is not None else None,
        str(summary.verdict),
        min(days, default=None),
        max(days, default=None),
        len(book.page.rounds_counted),
        sum(book.page.shots_in(index) for index in book.page.rounds_counted),
        opened.recovered or damaged_words(opened) or edited,
        book.job.customer,
        summary.tolerance.high_nm / MM,
        summary.tolerance.low_nm / MM,
        len(summary.outside) if summary.target is not None else None,
        moved.cut if moved is not None else None,
        moved.fill if moved is not None else None,
        opened.seal,
    )


def to_csv(table: Iterable[Row]) -> Iterator[str]:
    """Comma-separated values (RFC 4180), line by line; no text is a formula."""
    yield _csv_line([field.name for field in fields(Row)])
    for each in table:
        yield _csv_line([inert(value) if isinstance(value, str) else value for value in asdict(each).values()])


def to_json_lines(table: Iterable[Row]) -> Iterator[str]:
    """One JSON object a line; keys are added to but never renamed."""
    for each in table:
        yield json.dumps(asdict(each), allow_nan=False) + "\n"


def _csv_line(cells: Iterable[object]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerow(["" if cell is None else cell for cell in cells])
    return out.getvalue()
