"""A sheet as the bytes of a file, by the kind that its name asks for."""

from __future__ import annotations

from enum import Enum, auto
from pathlib import Path
from typing import NamedTuple

from rodcall.book.storage.opening import JobFile
from rodcall.figures.summary import summarise
from rodcall.i18n import phrase, say, speaking, spoken
from rodcall.sheets.content.record import record_of
from rodcall.sheets.typeset.paper import Paper, Progress
from rodcall.wording import words


class Form(Enum):
    """What is wanted."""

    AS_BUILT = auto()
    BLANK = auto()
    POINTS = auto()


KINDS = {
    Form.AS_BUILT: (".pdf", ".txt", ".csv", ".xml"),
    Form.BLANK: (".pdf", ".txt"),
    Form.POINTS: (".csv",),
}
NAMES = {
    Form.AS_BUILT: phrase("a sheet"),
    Form.BLANK: phrase("a blank sheet"),
    Form.POINTS: phrase("a table of points"),
}


class SheetError(ValueError):
    """A sheet that cannot be made; one line."""


class Made(NamedTuple):
    """A file's content, and characters in it that stand as a box."""

    content: bytes
    missing: tuple[str, ...] = ()


def kind_of(to: Path, form: Form) -> str:
    """The ending of a file's name, which says what it is to hold.

    Raises:
        SheetError: when it is none of those that this form has.
    """
    kind = to.suffix.lower()
    if kind not in KINDS[form]:
        raise SheetError(say("{what} is {endings}", what=say(NAMES[form]), endings=say(" or ").join(KINDS[form])))
    return kind


def make(
    opened: JobFile, kind: str, form: Form, paper: str = "", progress: Progress | None = None, language: str = ""
) -> Made:
    """Make the file of one job as it stands; points and .xml are for programs, and the same in every language.

    Args:
        opened: The job.
        kind: As from `kind_of`.
        form: What is wanted.
        paper: `letter` or `a4`; by the job's units where it is empty.
        progress: Told after each page of a PDF.
        language: One of `LANGUAGES`; where it is empty, what the job's term says, else the one that is spoken.

    Raises:
        SheetError: when there is nothing to show yet.
    """
    wanted = language or str(opened.book.page.terms.said.get("sheet-language", "")) or spoken()
    with speaking(wanted):
        return _made(opened, kind, form, paper, progress)


def _made(opened: JobFile, kind: str, form: Form, paper: str, progress: Progress | None) -> Made:
    summary, record = summarise(opened.book.page), record_of(opened)
    if kind == ".csv":
        from rodcall.sheets.exports.points import to_points
        from rodcall.sheets.exports.table import to_csv

        text = to_points(summary) if form is Form.POINTS else to_csv(summary)
        # A spreadsheet takes the mark for the encoding; a points table is plain ASCII and read by stricter programs.
        return Made(text.encode("ascii" if form is Form.POINTS else "utf-8-sig"))
    if kind == ".xml":
        from rodcall.sheets.exports.export import before_the_dig
        from rodcall.sheets.exports.landxml import to_landxml

        try:
            return Made(to_landxml(summary, record, before_the_dig(opened, summary)))
        except ValueError as error:
            raise SheetError(str(error)) from None
    from rodcall.sheets.content.as_built import as_built
    from rodcall.sheets.content.blank_sheet import field_sheet, to_entry_lines

    if kind == ".txt":
        from rodcall.sheets.typeset.plain import to_text

        text = to_entry_lines(summary, record) if form is Form.BLANK else to_text(as_built(summary, record))
        return Made(text.encode())
    from rodcall.sheets.typeset.pdf import to_pdf

    size = Paper(paper or (Paper.LETTER if words.is_imperial(summary.job) else Paper.A4))
    return Made(*to_pdf((field_sheet if form is Form.BLANK else as_built)(summary, record), size, progress))
