"""What the as-built sheet says of how it came about: what was agreed and changed, checks, spots read more than once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from rodcall.book.fold.page import ALLOWED_DRIFT
from rodcall.book.fold.round_page import Fate, Reading
from rodcall.book.model.own_reasons import reason_words
from rodcall.figures.checks.check_shots import State
from rodcall.figures.checks.evidence import Agreed, CheckShot, length_agreed
from rodcall.figures.inspection import SPACING
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.sheets.content.blocks import Table
from rodcall.sheets.content.record import CheckRecord, DecisionRecord, Record
from rodcall.units import in_words, write
from rodcall.wording import words
from rodcall.wording.punch_list import called

_WITH_REASON = ("target", "tolerance-high", "tolerance-low", "drift", "closure", "spacing", "check-hours")
"""What a reason can be given for."""


def time_words(time: datetime) -> str:
    """A time as the sheet has it, at the place."""
    return f"{time:%Y-%m-%d %H:%M}"


# -- what was agreed ----------------------------------------------------------------------------------------


def agreed_and_changed(summary: Summary) -> Table:
    """What the job was set up with, and everything that was agreed since, as it was said, oldest first."""
    set_up = time_words(summary.job.created)
    first = tuple(
        (set_up, words.NOTHING, what, value, words.NOTHING, say("job set-up")) for what, value in _set_up(summary)
    )
    later = tuple(
        (
            time_words(datetime.fromisoformat(each.time)),
            str(each.number),
            called(each.what),
            _agreed(summary, each),
            each.tablet,
            reason_words(each.why) or (say("no reason given") if each.what in _WITH_REASON else words.NOTHING),
        )
        for each in summary.evidence.agreed
    )
    return Table(
        say("What was agreed and changed"),
        (say("time"), say("entry"), say("what"), say("value"), say("tablet"), say("why")),
        (*first, *later),
        frozenset({0, 2, 3, 4, 5}),
        note=say("Targets as they were said, from the zero of that time. What was struck is listed under Struck out."),
    )


def _set_up(summary: Summary) -> Iterator[tuple[str, str]]:
    """What was in force before anybody set it."""
    job = summary.job
    target = say("none", "of targets")
    if job.slope_along or job.slope_across:
        slopes = words.slope_words(job.slope_along, job.slope_across)
        target = say("none, slopes {slopes}", slopes=slopes)
    yield called("target"), target
    yield called("zero"), job.zero
    yield called("tolerance-high"), words.rod(job, job.tolerance_high)
    yield called("tolerance-low"), words.rod(job, job.tolerance_low)
    yield called("drift"), say("{length} (customary)", length=words.rod(job, ALLOWED_DRIFT[job.heights]))
    allowed = words.rounded(job, summary.published_closure(1), mark=True).removeprefix("+")
    yield called("closure"), say("{length} for one set-up (published rule)", length=allowed)
    yield called("spacing"), say("{length} (customary)", length=words.tape(job, SPACING[job.heights]))


def _agreed(summary: Summary, each: Agreed) -> str:
    """What was agreed, as it was said; heights with what else belongs to them."""
    job, length = summary.job, length_agreed(summary.evidence, each)
    if each.what == "target" and isinstance(each.value, tuple):
        _, along, across, *_ = each.value
        sloped = f", {words.slope_words(along, across)}" if along or across else ""
        return f"{each.said}{sloped}"
    if each.what.startswith("reference ") and length is not None:
        return words.height(job, length, mark=True)
    return each.said


# -- check shots --------------------------------------------------------------------------------------------


def checks(summary: Summary, record: Record) -> Table:
    """Every check shot with what became of it; those struck too where they were not good."""
    trust = summary.trust
    kept = zip(record.checks, trust.checks, strict=True)
    struck = zip(record.withdrawn, summary.evidence.withdrawn, strict=True)
    rows = [(check.order, _check(summary, told, check, struck=False)) for told, check in kept]
    rows += [
        (check.order, _check(summary, told, check, struck=True))
        for told, check in struck
        if trust.state(check) is not State.GOOD
    ]
    back = [str(number) for _, number in summary.evidence.clock_ran_back]
    ran_back = say("The tablet's clock ran backwards at entry {entries}.", entries=" ".join(back)) if back else ""
    allowed = words.rod(summary.job, record.allowed_drift_nm)
    return Table(
        say("Check shots (allowed {allowed})", allowed=allowed),
        (
            *(say("entry"), say("time"), say("set-up"), say("on"), say("reads"), say("off by"), say("state")),
            say("decision about its shots"),
        ),
        tuple(row for _, row in sorted(rows)),
        frozenset({1, 2, 3, 6, 7}),
        none=f"{say('none written')} {ran_back}".rstrip(),
        note=ran_back,
    )


def _check(summary: Summary, told: CheckRecord, check: CheckShot, *, struck: bool) -> tuple[str, ...]:
    return (
        str(told.number),
        time_words(told.time),
        _setup(summary, check.setup),
        told.reference,
        (words.rod if told.off_a_rod else words.height)(summary.job, told.reading_nm),
        in_words(told.drift_nm, summary.job.heights, mark=True),
        _state(summary, check, struck=struck),
        _decision(summary, told.decision) if told.decision is not None else words.NOTHING,
    )


def _setup(summary: Summary, order: int) -> str:
    """Which of the set-ups it was, counted from 1, and on what."""
    for number, each in enumerate(summary.evidence.setups, 1):
        if each.order == order:
            return f"{number} ({each.reference})"
    return words.NOTHING


def _state(summary: Summary, check: CheckShot, *, struck: bool) -> str:
    state = summary.trust.state(check)
    told = say(str(state))
    misread = state is State.STOP and check.order in summary.trust.misread
    if struck and state is State.STOP and not misread:
        return say("{state}, struck: it counts as bad all the same", state=told)
    if struck:
        told = say("{state}, struck", state=told)
    return say("{state}, misread: repeated true", state=told) if misread else told


def _decision(summary: Summary, decision: DecisionRecord) -> str:
    reason = decision.reason or say("no reason given")
    if not decision.moved:
        return say("accepted by decision: {reason}", reason=reason)
    by = write(abs(decision.by_nm), summary.job.heights, sign=False)
    corrected = counted(decision.moved, "{number} shot", "{number} shots")
    if decision.by_nm > 0:
        return say("{shots} corrected by {by} up: {reason}", shots=corrected, by=by, reason=reason)
    return say("{shots} corrected by {by} down: {reason}", shots=corrected, by=by, reason=reason)


# -- readings -----------------------------------------------------------------------------------------------


def read_more_than_once(summary: Summary) -> Table:
    """Every reading of each spot that was read more than once in this round, oldest first."""
    job = summary.job
    return Table(
        say("Spots read more than once in this round"),
        (say("position"), say("how often"), say("readings, in order"), say("height")),
        tuple(
            (
                summary.grid.name(index),
                say("read {number} times", number=len(readings)),
                "; ".join(_reading(summary, each) for each in readings),
                words.height(job, summary.height_at(index)),
            )
            for index, readings in sorted(summary.evidence.read_more.items())
        ),
        frozenset({0, 1, 2}),
        note=say("Readings that count are settled in the order read: two that agree, else the middle of three."),
    )


def _reading(summary: Summary, each: Reading) -> str:
    """As said; with its height where a rod was read or the zero moved, and its fate where it does not count."""
    said = words.harmless(each.said)
    if each.setup >= 0 or summary.evidence.zero_level_nm:
        height = words.height(summary.job, each.datum_nm - summary.evidence.zero_level_nm)
        said = say("{said} is {height}", said=said, height=height)
    return said if each.fate is Fate.COUNTS else f"{said} ({say(str(each.fate))})"
