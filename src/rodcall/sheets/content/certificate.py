"""The certificate: the first page, which a customer reads in a minute, complete by itself."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import numpy as np

from rodcall.figures.checks.check_shots import State
from rodcall.figures.punch_list import Verdict
from rodcall.figures.summary import Summary
from rodcall.figures.target import Tolerance
from rodcall.i18n import counted, phrase, say
from rodcall.sheets.content.blocks import Certificate, Contractor, Facts, Strip
from rodcall.sheets.content.evidence import earth_facts
from rodcall.sheets.content.history import at_the_place
from rodcall.sheets.content.plan import plan_of
from rodcall.sheets.content.record import Record
from rodcall.sheets.digest import code_of, grouped
from rodcall.units import MM, in_words, write
from rodcall.wording import words
from rodcall.wording.punch_list import reasons

OUTCOMES = {Verdict.PASS: "pass", Verdict.FAIL: "fail", Verdict.NOT_PROVEN: "open"}
MOST_REASONS = 6
"""Lines of the punch list that stand on the first page."""


def certificate(summary: Summary, record: Record, contractor: Contractor) -> Certificate:
    """The first page of a customer's sheet."""
    told = reasons(summary, summary.punch_list)
    rest = len(told) - MOST_REASONS
    if rest > 0:
        told = [*told[:MOST_REASONS], say("and {number} more", number=rest)]
    return Certificate(
        contractor=contractor,
        report=tuple(report_facts(record)),
        facts=tuple(_facts(summary)),
        outcome=OUTCOMES[summary.verdict],
        word=say(summary.verdict),
        sentence=" ".join([*_sentences(summary), *_from_files(summary, record)]),
        reasons=tuple(told),
        band=tuple(_band(summary, record)),
        plan=plan_of(summary),
        numbers=Facts(say("The pad in numbers"), tuple(_numbers(summary))),
        strip=_strip(summary),
        signatures=(say("for the contractor"), say("for the customer")),
        digest=(say("Digest of the book"), grouped(record.digest)),
        code=code_of(record.digest),
        validity=say("valid with its annex"),
    )


def report_facts(record: Record) -> Iterator[tuple[str, str]]:
    """Number, revision and date of issue; a sheet that was not issued says so."""
    issued, last = record.issued, record.issues[-1] if record.issues else None
    if issued is not None:
        yield say("report"), issued.report
        yield say("revision"), str(issued.revision)
        yield say("issued"), f"{day_and_time(issued.time)} {zone(issued.time)}"
    elif last is not None:
        yield say("report"), last.report
        yield say("revision"), say("draft, changed since revision {number}", number=last.revision)
    else:
        yield say("report"), say("draft, not issued")


def report_name(record: Record) -> str:
    """The same in a few words for the foot of each page."""
    if record.issued is None:
        return say("draft, not issued")
    return say("{report} revision {number}", report=record.issued.report, number=record.issued.revision)


def _facts(summary: Summary) -> Iterator[tuple[str, str]]:
    job, terms = summary.job, summary.terms
    yield say("customer"), words.harmless(job.customer) or words.NOTHING
    yield say("place"), words.harmless(job.place) or words.NOTHING
    yield say("job"), words.harmless(job.name)
    yield say("{kind} round", kind=say(summary.kind)), shot_span(summary)
    yield say("pad"), f"{words.pad_words(job)}, {words.area(job, summary.area_m2)}"
    spots = counted(summary.positions, "{number} spot", "{number} spots")
    whole, part = phrase("{spots}, all shot"), phrase("{spots}, {number} shot")
    told = whole if summary.counted == summary.positions else part
    yield say("shots"), say(told, spots=spots, number=summary.counted)
    if terms.said.get("instrument"):
        yield say("instrument"), words.harmless(str(terms.said["instrument"]))
    if terms.said.get("agreed-by"):
        yield say("agreed by"), words.harmless(str(terms.said["agreed-by"]))


def shot_span(summary: Summary) -> str:
    """Date and hours of the round's shots, with the time zone of the place."""
    if not summary.counted:
        return say("not shot yet")
    seconds = summary.evidence.seconds[summary.counts]
    begun, ended = (at_the_place(summary, float(each)) for each in (seconds.min(), seconds.max()))
    if begun.date() == ended.date():
        return f"{begun:%Y-%m-%d, %H:%M} - {ended:%H:%M} {zone(ended)}"
    return f"{day_and_time(begun)} - {day_and_time(ended)} {zone(ended)}"


def day_and_time(time: datetime) -> str:
    """A time as the sheet has it, at the place."""
    return f"{time:%Y-%m-%d %H:%M}"


def zone(time: datetime) -> str:
    """The time zone of a time: `UTC-06:00`."""
    said = f"{time:%z}" or "+0000"
    return "UTC" if said == "+0000" else f"UTC{said[:3]}:{said[3:5]}"


# -- the result in plain words ------------------------------------------------------------------------------


def _sentences(summary: Summary) -> Iterator[str]:
    if not summary.counted or summary.worst is None:
        yield say("No shots in this round.")
        return
    if not summary.has_verdict:
        yield say("No target chosen yet: no spot is judged.")
        yield _checked(summary)
        return
    out, missing = len(summary.outside), summary.positions - summary.counted
    within = _within(summary)
    if out:
        yield counted(
            out,
            "{number} of {total} spots is not within {within} of the agreed height.",
            "{number} of {total} spots are not within {within} of the agreed height.",
            total=summary.counted,
            within=within,
        )
    elif missing:
        yield say(
            "The {number} spots shot are within {within} of the agreed height.", number=summary.counted, within=within
        )
    else:
        yield say("All {number} spots are within {within} of the agreed height.", number=summary.counted, within=within)
    if missing:
        yield counted(missing, "{number} spot has no reading.", "{number} spots have no reading.")
    # With two tolerances the one nearest to its limit need not be the farthest off.
    worst = (
        phrase("The worst is {spot}, {by}.") if summary.zone is None else phrase("Nearest to its limit: {spot}, {by}.")
    )
    yield say(worst, spot=summary.grid.name(summary.worst.index), by=_off(summary))
    yield _checked(summary)


def _from_files(summary: Summary, record: Record) -> Iterator[str]:
    """Readings of the round that nobody keyed: whoever signs is to know it."""
    readings = sum(each.readings for each in record.sent if each.round == summary.round and each.from_file)
    if readings:
        yield counted(
            readings,
            "{number} reading is from a file and was not keyed.",
            "{number} readings are from a file and were not keyed.",
        )


def _within(summary: Summary) -> str:
    """The tolerance, and that of the zone where it has its own."""
    usual = _both(summary, summary.tolerance)
    if summary.zone is None:
        return usual
    there, where = _both(summary, summary.zone.tolerance), words.harmless(summary.zone.said)
    return say("{usual} ({there} in the zone {zone})", usual=usual, there=there, zone=where)


def _both(summary: Summary, tolerance: Tolerance) -> str:
    high, low = (words.rod(summary.job, nm) for nm in (tolerance.high_nm, tolerance.low_nm))
    return high if high == low else say("{high} above and {low} below", high=high, low=low)


def _off(summary: Summary) -> str:
    worst = summary.worst
    assert worst is not None
    if worst.nm == 0:
        return say("on target")
    job = summary.job
    step = None if worst.nm % job.step == 0 else words.FINEST[job.heights]
    by = write(abs(worst.nm), job.heights, step=step, sign=False, mark=True)
    return say("{by} high", by=by) if worst.nm > 0 else say("{by} low", by=by)


def _checked(summary: Summary) -> str:
    """Whether the level was checked before and after the shots of the round, and what that said."""
    trust, orders = summary.trust, summary.evidence.order[summary.counts]
    before = [check for check in trust.checks if check.order < orders.min()]
    after = [check for check in trust.checks if check.order > orders.max()]
    if not after:
        return say("The level was not checked after the last shot.")
    if trust.state(after[-1]) is not State.GOOD:
        off = in_words(after[-1].drift_nm, summary.job.heights, mark=True)
        return say("Level checked after the last shot: it read {off}.", off=off)
    if before and trust.state(before[-1]) is State.GOOD:
        return say("Level checked before and after: true.")
    return say("Level checked after the last shot: true.")


def _band(summary: Summary, record: Record) -> Iterator[tuple[str, str]]:
    """Tolerance, agreed height, decision rule, plus/minus, and how many are too close to call."""
    job = summary.job
    high, low = (words.rod(job, nm) for nm in (summary.tolerance.high_nm, summary.tolerance.low_nm))
    yield say("tolerance"), say("{high} high, {low} low", high=high, low=low)
    if summary.zone is not None:
        yield say("tolerance, zone"), words.zone_words(summary)
    yield say("agreed height"), agreed_height(summary, record)
    yield say("decision rule"), say("as read; equal to a limit is inside (see annex)")
    if summary.largest_uncertainty is not None:
        by = write(summary.largest_uncertainty.nm, job.heights, step=words.FINEST[job.heights], sign=False, mark=True)
        yield say("plus/minus"), say("{by} at most (k = 2)", by=by)
    if summary.counted and summary.has_verdict:
        close = summary.names(summary.marginal)
        shown = " ".join(close[:8]) + (" .." if len(close) > 8 else "")
        number = say("{close} of {shot}", close=len(close), shot=summary.counted)
        yield say("too close to call"), f"{number}: {shown}" if close else number


def agreed_height(summary: Summary, record: Record) -> str:
    """The target in force from the zero, its slopes and shape, and whether somebody chose it."""
    target = summary.target
    if target is None:
        return say("none")
    zero, height = summary.grid.name(summary.zero), words.level(summary, target.offset_nm, mark=True)
    told = [say("{height} from the zero {zero}", height=height, zero=zero)]
    if target.along or target.across:
        told.append(words.slope_words(target.along, target.across))
    if record.shape:
        told.append(words.harmless(record.shape))
    if summary.chosen is None:
        told.append(say("only suggested"))
    return ", ".join(told)


def _numbers(summary: Summary) -> Iterator[tuple[str, str]]:
    """What the differences, the checks and the earth come to; nothing that another line of the page says."""
    job, name, told = summary.job, summary.grid.name, summary.differences
    if told is not None and summary.has_verdict:
        for label, spot in ((say("highest difference"), told.highest), (say("lowest difference"), told.lowest)):
            at = say("{told} at {position}", told=words.difference(job, spot.nm), position=name(spot.index))
            yield label, at
        yield say("mean difference"), words.rounded(job, told.mean)
        yield say("usual difference (rms)"), words.rounded(job, told.rms).removeprefix("+")
    elif summary.counted:
        yield say("average"), words.rounded_level(summary, summary.average)
    if summary.trust.checks:
        yield say("check shots"), _all_checks(summary)
    if summary.evidence.read_more:
        yield say("read more than once"), counted(len(summary.evidence.read_more), "{number} spot", "{number} spots")
    if summary.left_out:
        yield say("left out"), counted(len(summary.left_out), "{number} spot", "{number} spots")
    yield from earth_facts(summary)


def _all_checks(summary: Summary) -> str:
    """How many, how far off at most, and on what."""
    checks, trust = summary.trust.checks, summary.trust
    good = sum(trust.state(check) is State.GOOD for check in checks)
    largest = write(max(abs(check.drift_nm) for check in checks), summary.job.heights, sign=False, mark=True)
    number = say("{good} of {number} good, largest {by}", good=good, number=len(checks), by=largest)
    references = " ".join(dict.fromkeys(check.reference for check in checks))
    return f"{number} ({words.harmless(references)})"


def _strip(summary: Summary) -> Strip | None:
    if summary.deviations is None or not summary.counted or not summary.has_verdict:
        return None
    job, tolerance, zone = summary.job, summary.tolerance, summary.zone
    shown = summary.counts if zone is None else summary.counts & ~zone.inside
    if not shown.any():
        return None
    told = summary.deviations[shown].astype(np.float64) / MM
    low, high = (words.rod(job, nm) for nm in (tolerance.low_nm, tolerance.high_nm))
    said = phrase("All {number} differences from the agreed height, between the limits.")
    if zone is not None:
        said = phrase("{number} differences from the agreed height, between the limits; the zone is not shown.")
    return Strip(
        said=say(said, number=told.size),
        values=tuple(told.tolist()),
        low=-tolerance.low_nm / MM,
        high=tolerance.high_nm / MM,
        step=job.step / MM,
        labels=(say("{by} low", by=low), say("agreed height"), say("{by} high", by=high)),
    )
