"""How the pad came about: what was agreed and changed, the time line, checks, readings, what was struck and issued."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import groupby

from rodcall.book.fold.page import ALLOWED_DRIFT
from rodcall.book.fold.round_page import Fate, Reading
from rodcall.book.model.own_reasons import reason_words
from rodcall.book.model.terms import TERMS
from rodcall.figures.checks.agreed import Agreed
from rodcall.figures.checks.check_shots import State
from rodcall.figures.checks.evidence import CheckShot, Standing, length_agreed
from rodcall.figures.inspection import SPACING
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.sheets.content.blocks import Remarks, Table
from rodcall.sheets.content.record import CheckRecord, DecisionRecord, Record
from rodcall.sheets.digest import grouped
from rodcall.units import in_words, write
from rodcall.wording import words
from rodcall.wording.proof import check_words
from rodcall.wording.punch_list import called

_WITH_REASON = ("target", "tolerance-high", "tolerance-low", "drift", "closure", "spacing", "check-hours")
"""What a reason can be given for."""


_BEGAN = datetime(1970, 1, 1, tzinfo=UTC)


def at_the_place(summary: Summary, seconds: float) -> datetime:
    """A time of the figures as the clock of the place showed it; no file can name one that ends the program."""
    try:
        # Not `fromtimestamp`: Windows has none before 1970.
        return (_BEGAN + timedelta(seconds=seconds)).astimezone(summary.job.created.tzinfo)
    except OverflowError:
        return summary.job.created


def time_words(time: datetime) -> str:
    """A time as the sheet has it, at the place."""
    return f"{time:%Y-%m-%d %H:%M}"


# -- what was agreed ----------------------------------------------------------------------------------------


def agreed_and_changed(summary: Summary) -> Table:
    """What the job was set up with, and everything that was agreed since, as it was said, oldest first."""
    set_up = time_words(summary.job.created)
    first = tuple(
        (set_up, words.NOTHING, what, value, words.NOTHING, say("job setup")) for what, value in _set_up(summary)
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
        say("Agreed and changed"),
        (say("time"), say("entry"), say("what"), say("value"), say("tablet"), say("why")),
        (*first, *later),
        frozenset({0, 2, 3, 4, 5}),
        note=say("Targets as typed, from the zero of that time. Struck targets are listed under Struck out."),
    )


def facts_set(record: Record) -> Table:
    """Facts of the job as they were set and changed, as they were said, oldest first."""
    tablets = sorted({each.at for each in record.facts})
    several = len(tablets) > 1
    title = say("Terms of the job, as set on {tablet}", tablet=words.harmless(" ".join(tablets)))
    return Table(
        say("Terms of the job, as set") if several else title,
        (say("time"), say("entry"), *([say("tablet")] if several else []), say("value"), say("what")),
        tuple(
            (
                time_words(each.time),
                str(each.number),
                *([each.at] if several else []),
                words.harmless(each.said),
                # Without the examples that help at the key.
                say(TERMS[each.what].help).split(": ")[0],
            )
            for each in record.facts
        ),
        frozenset({0, 2, 3, 4}),
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
    yield called("drift"), say("{length} (default)", length=words.rod(job, ALLOWED_DRIFT[job.heights]))
    allowed = words.rounded(job, summary.published_closure(1), mark=True).removeprefix("+")
    yield called("closure"), say("{length} for one set-up (published rule)", length=allowed)
    yield called("spacing"), say("{length} (default)", length=words.tape(job, SPACING[job.heights]))


def _agreed(summary: Summary, each: Agreed) -> str:
    """What was agreed, as it was said; heights with what else belongs to them."""
    length = length_agreed(summary.evidence, each)
    if each.what == "target" and isinstance(each.value, tuple):
        _, along, across, *_ = each.value
        sloped = f", {words.slope_words(along, across)}" if along or across else ""
        return f"{each.said}{sloped}"
    if each.what.startswith("reference ") and length is not None:
        return words.level(summary, length, mark=True)
    return each.said


# -- the time line ------------------------------------------------------------------------------------------


def time_line(summary: Summary) -> Table:
    """Set-ups, check shots and shots of this round in the order of the book, with what was in force before it."""
    told, grid = summary.evidence, summary.grid
    first = min([told.opened, *(each.order for each in _before(summary))])
    events = [(each.order, each.seconds, _set_up_words(summary, each.order)) for each in told.setups]
    events += [(each.order, each.seconds, check_words(summary, each)) for each in told.checks]
    shots = [(int(told.order[at]), float(told.seconds[at]), at) for at in summary.counts.nonzero()[0].tolist()]
    lines: list[tuple[float, str]] = []
    merged = sorted([*events, *shots])
    for is_shot, group in groupby(merged, lambda each: isinstance(each[2], int)):
        run = [each for each in group if each[0] >= first]
        if not run:
            continue
        if not is_shot:
            lines += [(seconds, str(words_of_it)) for _, seconds, words_of_it in run]
            continue
        names = [grid.name(at) for _, _, at in run if isinstance(at, int)]
        number = counted(len(run), "{number} shot", "{number} shots")
        span = names[0] if len(names) == 1 else say("{first} to {last}", first=names[0], last=names[-1])
        lines.append((run[-1][1], f"{number}, {span}"))
    return Table(
        say("Time line of this round"),
        (say("time"), say("what")),
        tuple((time_words(at_the_place(summary, seconds)), what) for seconds, what in lines),
        frozenset({0, 1}),
        in_strips=True,
    )


def _before(summary: Summary) -> Iterator[CheckShot | Standing]:
    """The set-up and the check that were the last before the round began."""
    told = summary.evidence
    for each in (told.setups, told.checks):
        earlier = [one for one in each if one.order < told.opened]
        yield from earlier[-1:]


def _set_up_words(summary: Summary, order: int) -> str:
    return say("set-up {setup}", setup=_setup(summary, order))


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
    told = tuple(row for _, row in sorted(rows))
    if len(told) > MOST_CHECKS and not struck_any(summary) and all(trust.state(c) is State.GOOD for c in trust.checks):
        told = (_folded(summary, record),)
    back = [str(number) for _, number in summary.evidence.clock_ran_back]
    ran_back = say("The tablet's clock ran backwards at entry {entries}.", entries=" ".join(back)) if back else ""
    allowed = words.rod(summary.job, record.allowed_drift_nm)
    return Table(
        say("Check shots (allowed {allowed})", allowed=allowed),
        (
            *(say("entry"), say("time"), say("set-up"), say("on"), say("reads"), say("off by"), say("state")),
            say("decision about its shots"),
        ),
        told,
        frozenset({1, 2, 3, 6, 7}),
        none=f"{say('none written')} {ran_back}".rstrip(),
        note=ran_back,
    )


MOST_CHECKS = 12
"""Check shots that are listed one by one though all are true."""


def struck_any(summary: Summary) -> bool:
    """Was a check shot struck, or a decision taken about one? Then each is listed."""
    return bool(summary.evidence.withdrawn) or any(check.decided for check in summary.trust.checks)


def _folded(summary: Summary, record: Record) -> tuple[str, ...]:
    """Many checks, all true, in one row: `34 checks, all true, largest 0`."""
    drifts = [check.drift_nm for check in summary.trust.checks]
    largest = in_words(max(drifts, key=abs), summary.job.heights, mark=True)
    first, last = (time_words(record.checks[at].time) for at in (0, -1))
    names = " ".join(dict.fromkeys(check.reference for check in record.checks))
    return (
        counted(len(drifts), "{number} check", "{number} checks"),
        say("{first} to {last}", first=first, last=last),
        words.NOTHING,
        names,
        words.NOTHING,
        say("largest {drift}", drift=largest),
        say("all true"),
        words.NOTHING,
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
        return say("{state}, struck: still counts as bad", state=told)
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
    return Table(
        say("Spots read more than once in this round"),
        (say("position"), say("how often"), say("readings, in order"), say("height")),
        tuple(
            (
                summary.grid.name(index),
                say("read {number} times", number=len(readings)),
                "; ".join(_reading(summary, each) for each in readings),
                words.level(summary, summary.height_at(index)),
            )
            for index, readings in sorted(summary.evidence.read_more.items())
        ),
        frozenset({0, 1, 2}),
        note=say("The reading that counts, in the order read: two that agree, else the middle of three."),
    )


def _reading(summary: Summary, each: Reading) -> str:
    """As said; with its height where a rod was read or the zero moved, and its fate where it does not count."""
    said = words.harmless(each.said)
    if each.setup >= 0 or summary.evidence.zero_level_nm:
        height = words.level(summary, each.datum_nm - summary.evidence.zero_level_nm)
        said = say("{said} is {height}", said=said, height=height)
    return said if each.fate is Fate.COUNTS else f"{said} ({say(str(each.fate))})"


# -- struck, noted, issued ----------------------------------------------------------------------------------


def dropped(record: Record) -> Table:
    """What was written and does not count, and why."""
    return Table(
        say("Struck out and left out"),
        (say("entry"), say("time"), say("round"), say("what"), say("at"), say("typed"), say("why")),
        tuple(
            (
                str(each.number),
                time_words(each.time),
                str(each.round or words.NOTHING),
                each.what,
                each.at,
                each.said,
                each.why or say("no reason given"),
            )
            for each in record.dropped
        ),
        frozenset({1, 3, 4, 5, 6}),
    )


def notes(record: Record) -> Remarks:
    """Notes, decisions about shots, and readings put right."""
    return Remarks(say("Notes"), tuple(f"{time_words(note.time)}  {note.text}" for note in record.remarks))


MOST_CHANGES = 40
"""Entries since the certificate before that are listed one by one."""


def since_issue(record: Record) -> Iterator[Table]:
    """The certificates issued before, and what was written since the last of them."""
    before = [each for each in record.issues if each is not record.issued]
    if not before:
        return
    yield Table(
        say("Certificates issued before"),
        (say("report"), say("revision"), say("time"), say("verdict"), say("digest")),
        tuple(
            (
                each.report,
                str(each.revision),
                time_words(each.time),
                say(each.verdict) if each.verdict else words.NOTHING,
                grouped(each.digest[:16]),
            )
            for each in before
        ),
        frozenset({0, 2, 3, 4}),
    )
    more = len(record.since_issue) - MOST_CHANGES
    yield Table(
        say("Changed since revision {number}", number=before[-1].revision),
        (say("entry"), say("time"), say("what"), say("at"), say("typed")),
        tuple(
            (str(each.number), time_words(each.time), each.what, each.at or words.NOTHING, words.harmless(each.said))
            for each in record.since_issue[:MOST_CHANGES]
        ),
        frozenset({1, 2, 3, 4}),
        note=say("and {number} more", number=more) if more > 0 else "",
    )
