"""One job as a file for other programs, by its kind: nothing in it follows the language spoken."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path

from rodcall.book.storage.opening import JobFile
from rodcall.figures.summary import Summary, summarise
from rodcall.i18n import say
from rodcall.sheets.content.record import record_of


class Kind(StrEnum):
    """What to export."""

    TABLE = "table"
    POINTS = "points"
    LANDXML = "landxml"
    GEOJSON = "geojson"


ENDINGS = {".csv": Kind.TABLE, ".txt": Kind.POINTS, ".xml": Kind.LANDXML, ".geojson": Kind.GEOJSON}
"""What a file's name asks for where nothing else was said."""


class ExportError(ValueError):
    """A file that cannot be made; one line."""


def kind_of(to: Path) -> Kind:
    """What a file's name asks for.

    Raises:
        ExportError: when its ending is none of `ENDINGS`.
    """
    try:
        return ENDINGS[to.suffix.lower()]
    except KeyError:
        raise ExportError(
            say("name a file {endings}, or say what it is with --as", endings=", ".join(ENDINGS))
        ) from None


def export(
    opened: JobFile, kind: Kind, round_number: int | None = None, unit: str = "", *, header: bool = False
) -> bytes:
    """The file's content.

    Args:
        opened: The job.
        kind: What is asked for.
        round_number: From 1, the existing ground; the round in force when None.
        unit: Of points, m or ft; the job's own where it is empty.
        header: Whether points have a header line.

    Raises:
        ExportError: when there is no such round, or the job lacks what such a file needs.
    """
    try:
        return _made(opened, summarise(opened.book.page, round_number), kind, unit, header=header)
    except ValueError as error:
        raise ExportError(str(error)) from None


def _made(opened: JobFile, summary: Summary, kind: Kind, unit: str, *, header: bool) -> bytes:
    match kind:
        case Kind.TABLE:
            from rodcall.sheets.exports.data_table import to_data_csv

            return to_data_csv(summary).encode()
        case Kind.POINTS:
            from rodcall.sheets.exports.points import to_plain_points

            if not summary.counted:
                raise ExportError(say("no shots yet: no points to write"))
            return to_plain_points(summary, unit, header=header).encode("ascii")
        case Kind.LANDXML:
            from rodcall.sheets.exports.landxml import to_landxml

            return to_landxml(summary, record_of(opened), before_the_dig(opened, summary))
        case Kind.GEOJSON:
            from rodcall.sheets.exports.geojson import to_geojson

            return to_geojson(summary, record_of(opened)).encode()


def before_the_dig(opened: JobFile, summary: Summary) -> Summary | None:
    """The existing ground of a job, where a round is a later one."""
    return summarise(opened.book.page, 1) if summary.round > 1 else None
