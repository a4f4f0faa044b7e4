"""The as-built certificate for the customer: the first page, the evidence behind it, and the annex of all positions.

DEVELOPERS.md (Reports) holds it beside three published kinds of report, item by item.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rodcall.figures.punch_list import Verdict
from rodcall.figures.summary import Summary
from rodcall.i18n import phrase, say
from rodcall.sheets.content import evidence, history
from rodcall.sheets.content.blocks import Beside, Block, Contractor, Facts, Picture, Pictures, Remarks, Sheet
from rodcall.sheets.content.certificate import certificate, report_name
from rodcall.sheets.content.record import Record
from rodcall.sheets.digest import grouped
from rodcall.wording import words
from rodcall.wording.cautions import NO_SURVEY

SIGNS = phrase(
    "Heights are measured from the zero. Difference = height minus target: + is HIGH (cut), - is LOW (fill)."
)
VERIFY = phrase("rodcall verify DIGEST JOB.json says whether a book is the one that this sheet was made from.")

Photos = Mapping[str, bytes | str]
"""A small PNG of each photo by its SHA-256, or why it cannot be shown."""


def as_built(summary: Summary, record: Record, contractor: Contractor, photos: Photos) -> Sheet:
    """All that the customer's sheet says of one round of a job."""
    blocks: list[Block] = [
        evidence.decision_rule(summary),
        *evidence.budget(summary),
        evidence.instrument(summary),
        *evidence.tests(summary, record),
        history.time_line(summary),
        evidence.references(summary, record),
        *evidence.datum(summary),
        *evidence.setups(summary, record),
        history.checks(summary, record),
        history.agreed_and_changed(summary),
        *_if_any(history.facts_set(record)),
        *_if_any(history.read_more_than_once(summary)),
        *_if_any(history.dropped(record)),
        *_side_by_side([*evidence.size(summary), *evidence.earth(summary)]),
        *_pictures(record, photos),
        *_if_any(history.notes(record)),
        *history.since_issue(record),
        evidence.positions(summary),
        Remarks(
            say("How to read this sheet"), (say(SIGNS), say(NO_SURVEY), *_nothing_else(summary, record), say(VERIFY))
        ),
    ]
    return Sheet(
        title=say("As-built certificate"),
        subject=summary.job.name,
        foot=say("{report}; digest {digest}", report=report_name(record), digest=grouped(record.digest[:12])),
        made=record.ended,
        blocks=tuple(blocks),
        date=f"{record.ended:%Y-%m-%d}",
        author=contractor.name,
        certificate=certificate(summary, record, contractor),
    )


def _if_any(block: Block) -> Iterator[Block]:
    """A block, where there is something in it."""
    if getattr(block, "rows", ()) or getattr(block, "lines", ()):
        yield block


def _side_by_side(facts: list[Facts]) -> Iterator[Block]:
    """Two blocks of facts beside each other; one by itself."""
    yield from [Beside(*facts)] if len(facts) == 2 else facts


def _nothing_else(summary: Summary, record: Record) -> Iterator[str]:
    """What is not there is said in a line, so that nobody looks for it."""
    absent = [
        name
        for name, there in (
            (say("spots read more than once"), summary.evidence.read_more),
            (say("readings struck or left out"), record.dropped),
            (say("notes"), record.remarks),
            (say("photos"), record.photos),
        )
        if not there
    ]
    if absent:
        yield say("There are none of these: {names}.", names=", ".join(absent))
    if summary.verdict is not Verdict.PASS and len(summary.punch_list.items) > 0:
        yield say("Open items are on the first page.")


def digest(record: Record) -> Facts:
    """The digest in full, and what it is good for."""
    return Facts(
        say("Digest of the book"),
        (
            (say("digest"), grouped(record.digest)),
            (say("entries"), str(record.entries)),
            (say("to verify"), say(VERIFY)),
        ),
    )


def _pictures(record: Record, photos: Photos) -> Iterator[Pictures]:
    if not record.photos:
        return
    pictures = []
    for number, each in enumerate(record.photos, 1):
        found = photos.get(each.sha256, b"")
        shown = f"{number}  {words.harmless(each.file)}"
        told = [shown, *([each.at] if each.at else []), history.time_words(each.time)]
        told += [found] if isinstance(found, str) else []
        told.append(f"SHA-256 {grouped(each.sha256[:16])}")
        pictures.append(Picture(", ".join(told), found if isinstance(found, bytes) else b""))
    yield Pictures(say("Photos"), tuple(pictures))
