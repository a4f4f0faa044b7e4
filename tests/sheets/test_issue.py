"""A certificate is issued by an explicit act: numbered on the tablet, counted in the book, followed by revisions."""

from __future__ import annotations

import re

import pytest

from rodcall.book.model.entries import Issue
from rodcall.book.storage.opening import JobFile, new_job_file, open_job
from rodcall.sheets.digest import code_of
from rodcall.sheets.issue import IssueError, issue
from rodcall.sheets.make import KINDS, Output, make
from rodcall.tablet.report_number import next_report_number
from tests.cli.kit import on_disk, rodcall
from tests.kit import a_job, say
from tests.sheets.kit import finished

WHO = 'contractor_name = "Fenwick Hollow Earthworks"'


def sheet(opened: JobFile, **more) -> str:
    return " ".join(make(opened, ".txt", Output.AS_BUILT, **more).content.decode().split())


def test_looking_issues_nothing(tmp_path, settings):
    settings(WHO)
    opened = finished()
    entries = len(opened.book.entries)
    for kind in KINDS[Output.AS_BUILT]:
        make(opened, kind, Output.AS_BUILT)
    assert len(opened.book.entries) == entries
    assert "report draft, not issued" in sheet(opened)


def test_it_is_numbered_dated_and_sealed(settings):
    settings(WHO, 'contractor_licence = "licence 004217"')
    opened = finished()
    before = opened.seal
    issue(opened)
    entry = opened.book.entries[-1]
    assert isinstance(entry, Issue)
    assert re.fullmatch(r"[A-Z0-9]{1,8}-0001", entry.report)
    assert (entry.revision, entry.digest, entry.verdict) == (1, before, "NOT PROVEN")
    text = sheet(opened)
    assert text.startswith("AS-BUILT CERTIFICATE")
    assert f"Fenwick Hollow Earthworks licence 004217 report {entry.report} revision 1 issued 2026-04-18" in text


def test_numbers_count_up_on_the_tablet_and_a_revision_keeps_its_own(settings):
    settings(WHO)
    first, other = finished(), finished(name="Another pad")
    issue(first)
    issue(other)
    say(first.book, "A1 -1/8", "note dug again")
    assert "draft, changed since revision 1" in sheet(first)
    issue(first)
    reports = [[entry for entry in each.book.entries if isinstance(entry, Issue)] for each in (first, other)]
    assert [(entry.report[-4:], entry.revision) for entry in reports[0]] == [("0001", 1), ("0001", 2)]
    assert reports[1][0].report.endswith("-0002")
    assert next_report_number().endswith("-0003")


def test_a_revision_says_what_changed_since_the_last(settings):
    settings(WHO)
    opened = finished()
    issue(opened)
    say(opened.book, "A1 -1/8", "note dug again", "strike B1")
    issue(opened)
    text = sheet(opened)
    told = text[text.index("Changed since revision 1") : text.index("All 12 positions")]
    assert re.search(r"reading A1 -1/8 .*note - dug again .*reading, struck B1", told)
    assert "Certificates issued before" in text
    assert "Changed since" not in sheet(finished())


def test_issuing_twice_on_the_same_book_is_refused(settings):
    settings(WHO)
    opened = finished()
    issue(opened)
    with pytest.raises(IssueError, match="no new entry since"):
        issue(opened)


def test_without_a_contractor_or_a_shot_nothing_is_issued(tmp_path, settings):
    settings("")
    with pytest.raises(IssueError, match="contractor_name"):
        issue(finished())
    settings(WHO)
    empty = new_job_file(tmp_path / "pad.json", a_job(), "tablet-a")
    with pytest.raises(IssueError, match="no shots in this round"):
        issue(empty)
    assert empty.book.entries == []


def test_undo_passes_an_issue_over(settings):
    """What left the tablet cannot be taken back."""
    settings(WHO)
    opened = finished()
    issue(opened)
    opened.book.undo()
    assert opened.book.page.issues
    assert not opened.book.page.issues[0].struck


def test_from_a_shell(tmp_path, settings):
    settings(WHO)
    path = tmp_path / "pad.json"
    path.write_bytes(finished().content())
    told = rodcall("issue", path)
    assert re.match(r"issued: report [A-Z0-9]+-0001, revision 1\ndigest [0-9a-f]{4} ", told.out)
    opened = open_job(path, "reader")
    assert rodcall("verify", code_of(opened.seal), path).status == 0
    before = on_disk(tmp_path)
    assert "no new entry since" in rodcall("issue", path).refusal
    assert on_disk(tmp_path) == before


def test_a_broken_logo_leaves_the_sheet_without_it_and_is_told(tmp_path, settings):
    logo = tmp_path / "logo.svg"
    logo.write_text('<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>', "utf-8")
    settings(WHO, f'contractor_logo = "{logo.as_posix()}"')
    made = make(finished(), ".pdf", Output.AS_BUILT)
    assert made.content.startswith(b"%PDF")
    assert [line for line in made.warnings if "logo.svg" in line and "\n" not in line]
