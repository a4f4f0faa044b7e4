"""Entries about the book itself and the papers of a job: strikes, notes, photos, certificates, damage."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from rodcall.book.model.kinds.fields import (
    MOST_NUMBER,
    MOST_PLACES,
    Digest,
    EntryNumber,
    FileName,
    ReportNumber,
    SentFrom,
    TabletName,
    Text,
)
from rodcall.book.model.kinds.readings import Entry, Placed


class Strike(Entry):
    """Strikes an earlier entry: still legible, in no figure. Undo writes this."""

    kind: Literal["strike"] = "strike"
    sent_from: SentFrom = ""
    strikes: EntryNumber
    """Number of the struck entry."""
    written_on: TabletName
    """Tablet of the struck entry."""
    together: bool = False
    """One act with this tablet's entry before it: what one undo struck, one redo brings back."""


class Note(Entry):
    """A note: weather, who was there, what was agreed."""

    kind: Literal["note"] = "note"
    text: Text


class Photo(Placed):
    """A picture of the work: a copy lies beside the job's file, and its digest in the book."""

    kind: Literal["photo"] = "photo"
    file: FileName
    """Of the copy, in the job's folder."""
    sha256: Digest
    """Of the copy's bytes."""
    at: Annotated[str, Field(max_length=24)] = ""
    """The position or the reference that it shows; empty for the whole pad."""


class Issue(Entry):
    """A certificate was issued: what was written before it is what that certificate says."""

    kind: Literal["issue"] = "issue"
    report: ReportNumber
    """Counted on the tablet that issued the job's first certificate; every revision keeps it."""
    revision: Annotated[int, Field(ge=1, le=MOST_NUMBER)]
    """Counted in the book, from 1."""
    digest: Digest
    """Seal of the entry before this one."""
    verdict: Annotated[str, Field(max_length=24)] = ""
    """As the certificate says it, a code."""


class Damage(Entry):
    """Entries that an opening found damaged and in no file: written by the program, and never to be struck."""

    kind: Literal["damage"] = "damage"
    places: Annotated[tuple[EntryNumber, ...], Field(strict=False, min_length=1, max_length=MOST_PLACES)]
    """Where they stood in the book as it was found; 1 is the first."""
    before: Annotated[
        tuple[Annotated[tuple[TabletName, EntryNumber], Field(strict=False)], ...],
        Field(strict=False, max_length=MOST_PLACES),
    ] = ()
    """Tablet and number of the entries that follow on one of them: their seals do not fit, and nobody edited them."""
