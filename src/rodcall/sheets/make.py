"""A sheet as the bytes of a file, by the kind that its name asks for."""

from __future__ import annotations

from enum import Enum, StrEnum, auto
from pathlib import Path
from typing import NamedTuple

from rodcall.book.storage.opening import JobFile
from rodcall.book.storage.photos import photo_of
from rodcall.book.storage.pictures import PictureError
from rodcall.figures.summary import Summary, summarise
from rodcall.i18n import phrase, say, speaking, spoken
from rodcall.sheets.content.blocks import Contractor, Sheet
from rodcall.sheets.content.record import Record, record_of
from rodcall.tablet.logo import read_logo
from rodcall.tablet.settings import Settings, read
from rodcall.wording import words


class Output(Enum):
    """The kind of sheet to make, and its reader."""

    AS_BUILT = auto()
    BLANK = auto()
    POINTS = auto()


class Reader(StrEnum):
    """Whom an as-built sheet is for."""

    CUSTOMER = "customer"
    """The certificate: nothing of the crew's own on it."""
    CREW = "crew"


KINDS = {
    Output.AS_BUILT: (".pdf", ".html", ".txt", ".csv", ".xml"),
    Output.BLANK: (".pdf", ".txt"),
    Output.POINTS: (".csv",),
}
NAMES = {
    Output.AS_BUILT: phrase("a sheet"),
    Output.BLANK: phrase("a blank sheet"),
    Output.POINTS: phrase("a table of points"),
}


class SheetError(ValueError):
    """A sheet that cannot be made; one line."""


class Made(NamedTuple):
    """A file's content, characters in it that stand as a box, and what else the crew should know, in lines."""

    content: bytes
    missing: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


def kind_of(to: Path, form: Output) -> str:
    """The ending of a file's name, which says what it is to hold.

    Raises:
        SheetError: when it is none of those that this form has.
    """
    kind = to.suffix.lower()
    if kind not in KINDS[form]:
        raise SheetError(say("{what} is {endings}", what=say(NAMES[form]), endings=say(" or ").join(KINDS[form])))
    return kind


def make(
    opened: JobFile,
    kind: str,
    form: Output,
    paper: str = "",
    language: str = "",
    reader: Reader = Reader.CUSTOMER,
    round_number: int | None = None,
) -> Made:
    """Make the file of one job as it stands; points and .xml are for programs, and the same in every language.

    Args:
        opened: The job.
        kind: As from `kind_of`.
        form: What is asked for.
        paper: `letter` or `a4`; by the job's units where it is empty.
        language: One of `LANGUAGES`; where it is empty, what the job's term says, else the one that is spoken.
        reader: Of an as-built sheet.
        round_number: From 1, the existing ground; the round in force when None.

    Raises:
        SheetError: when there is nothing to show yet, or no such round.
    """
    wanted = language or str(opened.book.page.terms.said.get("sheet-language", "")) or spoken()
    with speaking(wanted):
        try:
            summary = summarise(opened.book.page, round_number)
        except ValueError as error:
            raise SheetError(str(error)) from None
        return _made(opened, summary, kind, form, paper, reader)


def _made(opened: JobFile, summary: Summary, kind: str, form: Output, paper: str, reader: Reader) -> Made:
    if kind == ".csv":
        from rodcall.sheets.exports.points import to_points
        from rodcall.sheets.exports.table import to_csv

        text = to_points(summary) if form is Output.POINTS else to_csv(summary)
        # A spreadsheet takes the mark for the encoding; a points table is plain ASCII and read by stricter programs.
        return Made(text.encode("ascii" if form is Output.POINTS else "utf-8-sig"))
    record = record_of(opened)
    if kind == ".xml":
        from rodcall.sheets.exports.export import before_the_dig
        from rodcall.sheets.exports.landxml import to_landxml

        try:
            return Made(to_landxml(summary, record, before_the_dig(opened, summary)))
        except ValueError as error:
            raise SheetError(str(error)) from None
    if form is Output.BLANK:
        from rodcall.sheets.content.blank_sheet import field_sheet, to_entry_lines

        if kind == ".txt":
            return Made(to_entry_lines(summary, record).encode())
        return _typeset(field_sheet(summary, record), kind, summary, paper, ())
    settings = read()[0]
    logo, warnings = _logo(settings)
    if reader is Reader.CREW:
        from rodcall.sheets.content.crew_sheet import crew_sheet

        return _typeset(crew_sheet(summary, record), kind, summary, paper, ())
    from rodcall.sheets.content.as_built import as_built

    photos = {} if kind == ".txt" else _photos(opened, record)
    sheet = as_built(summary, record, contractor_of(settings, logo), photos)
    return _typeset(sheet, kind, summary, paper, warnings)


def _typeset(sheet: Sheet, kind: str, summary: Summary, paper: str, warnings: tuple[str, ...]) -> Made:
    if kind == ".txt":
        from rodcall.sheets.typeset.plain import to_text

        return Made(to_text(sheet).encode(), (), warnings)
    if kind == ".html":
        from rodcall.sheets.typeset.web import to_html

        return Made(to_html(sheet).encode(), (), warnings)
    from rodcall.sheets.typeset.pdf import Paper, to_pdf

    size = Paper(paper or (Paper.LETTER if words.is_imperial(summary.job) else Paper.A4))
    return Made(*to_pdf(sheet, size), warnings)


def contractor_of(settings: Settings, logo: str = "") -> Contractor:
    """Who issues the sheets of this tablet, as its settings have it."""
    lines = (settings.contractor_address, settings.contractor_contact, settings.contractor_licence)
    return Contractor(settings.contractor_name, tuple(filter(None, lines)), logo)


def _logo(settings: Settings) -> tuple[str, tuple[str, ...]]:
    """The logo, or why the sheet has none: a crew at the end of its day gets its sheet all the same."""
    if not settings.contractor_logo:
        return "", ()
    try:
        return read_logo(settings.contractor_logo), ()
    except PictureError as error:
        return "", (say("no logo on the sheet: {why}", why=error),)


def _photos(opened: JobFile, record: Record) -> dict[str, bytes | str]:
    """Each photo small, or why it cannot be shown."""
    from rodcall.sheets.typeset.pdf import thumbnail

    found: dict[str, bytes | str] = {}
    for each in record.photos:
        try:
            found[each.sha256] = thumbnail(photo_of(opened.path, each.sha256))
        except PictureError as error:
            found[each.sha256] = str(error)
        except ValueError:
            found[each.sha256] = say("a damaged picture")
    return found
