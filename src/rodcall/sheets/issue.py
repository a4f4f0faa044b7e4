"""Issuing a certificate: an explicit act, an entry in the book; looking at a sheet issues nothing."""

from __future__ import annotations

from rodcall.book.fold.round_page import Change
from rodcall.book.model.entries import Issue
from rodcall.book.storage.opening import JobFile
from rodcall.figures.summary import summarise
from rodcall.i18n import say
from rodcall.tablet.report_number import next_report_number
from rodcall.tablet.settings import read


class IssueError(ValueError):
    """Why no certificate can be issued; one line."""


def issue(opened: JobFile) -> Change:
    """Write that a certificate is issued on the book as it stands: its number, revision and digest.

    Raises:
        IssueError: when nothing is shot, nobody issues it, or the tablet cannot count.
        PageError: when nothing was written since the last one, or nothing may be written here.
    """
    page = opened.book.page
    summary = summarise(page)
    if not summary.counted:
        raise IssueError(say("nothing is shot in this round: there is nothing to certify"))
    if not read()[0].contractor_name:
        raise IssueError(say("nobody issues it: set contractor_name in the settings first"))
    if opened.book.closed:
        raise IssueError(opened.book.closed)
    issued = [line.entry for line in page.issues if isinstance(line.entry, Issue)]
    if issued and opened.book.entries[-1] is issued[-1]:
        raise IssueError(say("nothing was written since the last certificate was issued"))
    try:
        report = issued[-1].report if issued else next_report_number()
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise IssueError(say("the report cannot be numbered ({why})", why=why)) from None
    return opened.book.issue(report, opened.seal, str(summary.verdict))


def issued_words(change: Change) -> str:
    """What was issued, in a line."""
    entry = change.line.entry
    assert isinstance(entry, Issue)
    return say("issued: report {report}, revision {number}", report=entry.report, number=entry.revision)
