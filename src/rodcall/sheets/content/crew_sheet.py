"""The sheet for the crew: rod, receiver and machine, the crew tolerance, the dirt, the order of work, the record."""

from __future__ import annotations

from collections.abc import Iterator

from rodcall.figures.machine_time import machine_time
from rodcall.figures.summary import Summary
from rodcall.i18n import phrase, say
from rodcall.sheets.content import evidence, history
from rodcall.sheets.content.as_built import SIGNS, digest
from rodcall.sheets.content.blocks import Beside, Block, Facts, Remarks, Sheet
from rodcall.sheets.content.history import time_words
from rodcall.sheets.content.plan import plan_of
from rodcall.sheets.content.record import Record
from rodcall.sheets.digest import grouped
from rodcall.sheets.exports.table import (
    dirt_facts,
    ground_facts,
    proof_facts,
    result_facts,
    target_facts,
    target_words,
)
from rodcall.units import in_words
from rodcall.wording import words
from rodcall.wording.cautions import CAUTIONS, NO_SURVEY
from rodcall.wording.dig import dig_lines
from rodcall.wording.layout import machine_lines
from rodcall.wording.machine_time import time_facts
from rodcall.wording.punch_list import reasons

_NOTED = (phrase("people"), phrase("weather"), phrase("instrument"))
"""Terms that the sheet shows as they were said."""


MOST_MOVES = 40
"""Moves of the order of work that are printed."""


def crew_sheet(summary: Summary, record: Record) -> Sheet:
    """All that a crew's sheet says of one round of a job."""
    job = summary.job
    dirt = tuple(dirt_facts(summary)) or (("", say("no shots yet")),)
    blocks: list[Block] = [
        Beside(_job_facts(summary, record), _agreed_facts(summary)),
        _headline(summary),
        plan_of(summary, crew=True),
        Beside(
            Facts(say("Ground"), tuple(ground_facts(summary))),
            Facts(say("Target and result"), (*target_facts(summary), *result_facts(summary))),
        ),
        Beside(
            Facts(say("Cut, fill and stone"), dirt),
            Facts(say("Machine"), tuple(("", line) for line in machine_lines(summary, summary.zero))),
        ),
        *_order_of_work(summary),
        *_time(summary),
        Facts(say("Proof"), tuple(_proof(summary))),
        *evidence.budget(summary),
        evidence.instrument(summary),
        evidence.references(summary, record),
        *evidence.datum(summary),
        *evidence.setups(summary, record),
        history.checks(summary, record),
        *evidence.tests(summary, record),
        history.agreed_and_changed(summary),
        evidence.positions(summary),
        history.read_more_than_once(summary),
        history.dropped(record),
        history.notes(record),
        *history.since_issue(record),
        Remarks(say("How to read this sheet"), (say(SIGNS), say(NO_SURVEY))),
        Remarks(say("Cautions"), tuple(map(say, CAUTIONS[:-1]))),
        digest(record),
    ]
    return Sheet(
        title=say("Crew sheet"),
        subject=job.name,
        foot=say("for the crew; digest {digest}", digest=grouped(record.digest[:12])),
        made=record.ended,
        blocks=tuple(blocks),
        date=f"{record.ended:%Y-%m-%d}",
    )


def _order_of_work(summary: Summary) -> Iterator[Remarks]:
    """The moves in order of work, where there is something to move."""
    plan = summary.dig()
    if plan is None or not plan.moves:
        return
    lines = dig_lines(summary, plan)
    yield Remarks(say("Order of work"), tuple(lines[:MOST_MOVES]))


# -- who, what, when ----------------------------------------------------------------------------------------


def _job_facts(summary: Summary, record: Record) -> Facts:
    job, terms = summary.job, summary.terms
    told = (
        (say("place"), job.place),
        (say("customer"), job.customer),
        (say("shot", "from when to when"), _span(record)),
        (say("round"), f"{summary.round} ({say(summary.kind)})"),
        *((say(name), str(terms.said.get(name, ""))) for name in _NOTED),
        (say("last check"), _last_check(summary, record)),
    )
    return Facts(say("Job"), tuple((label, value or words.NOTHING) for label, value in told))


def _time(summary: Summary) -> Iterator[Facts]:
    """Shots and dirt an hour as the book's times say, and what is left; nothing where none was measured."""
    told = tuple(time_facts(summary, machine_time(summary)))
    if told:
        yield Facts(say("Time"), told)


def _agreed_facts(summary: Summary) -> Facts:
    job, zero = summary.job, summary.grid.name(summary.zero)
    return Facts(
        say("Agreed"),
        (
            (say("target"), target_words(summary)),
            (say("allowed"), _allowed(summary)),
            *(((say("zone", "of the pad"), words.zone_words(summary)),) if summary.zone is not None else ()),
            (say("crew tolerance"), say("{goal} high and low", goal=_size(summary, job.goal))),
            (say("agreed by"), str(summary.terms.said.get("agreed-by", "")) or words.NOTHING),
            (say("pad"), words.pad_words(job)),
            (say("positions"), words.grid_words(job)),
            (say("zero"), say("{zero}, height 0", zero=zero)),
            (say("reading step"), _size(summary, job.step)),
        ),
    )


def _headline(summary: Summary) -> Facts:
    inside = say(
        "{inside} of {positions} spots in tolerance",
        inside=summary.within_tolerance,
        positions=summary.positions,
    )
    lines = (inside, *reasons(summary, summary.punch_list))
    return Facts(say(summary.verdict), tuple(("", line) for line in lines))


def _proof(summary: Summary) -> Iterator[tuple[str, str]]:
    """What the verdict rests on, uncertainty first."""
    if summary.guarded is not None:
        guarded = summary.guarded
        told = say(
            "{inside} proven inside, {outside} proven outside, {neither} neither (after JCGM 106)",
            inside=int(guarded.proven_in.sum()),
            outside=int(guarded.proven_out.sum()),
            neither=int(guarded.neither.sum()),
        )
        yield say("allowing for uncertainty"), told
    if not summary.uncertainty.tripod_known:
        yield say("plus/minus"), say("from the pad's farthest corner: no position noted for the level")
    if summary.as_built.drains is not None:
        yield say("drains"), say("yes") if summary.as_built.drains else say("no")
    if summary.stage is not None:
        yield say("shot on"), say(summary.stage)
    yield from proof_facts(summary)


def _last_check(summary: Summary, record: Record) -> str:
    if not record.checks:
        return say("none")
    check = record.checks[-1]
    drift = in_words(check.drift_nm, summary.job.heights, mark=True)
    time = time_words(check.time)
    return say("{reference} reads {drift} at {time}", reference=check.reference, drift=drift, time=time)


def _size(summary: Summary, nm: int) -> str:
    return words.rod(summary.job, nm)


def _allowed(summary: Summary) -> str:
    high, low = (_size(summary, nm) for nm in (summary.tolerance.high_nm, summary.tolerance.low_nm))
    return say("{high} high, {low} low", high=high, low=low)


def _span(record: Record) -> str:
    """From the first entry to the last; the day once where it is one."""
    if record.begun.date() == record.ended.date():
        return say("{begun} to {ended}", begun=f"{record.begun:%Y-%m-%d, %H:%M}", ended=f"{record.ended:%H:%M}")
    return say("{begun} to {ended}", begun=time_words(record.begun), ended=time_words(record.ended))
