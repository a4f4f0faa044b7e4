"""How a proof is said: checks, what moved, closures, tests of the instrument, rounds and remarks on the verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rodcall.figures.as_built import SlopeReached
from rodcall.figures.checks.check_shots import Disagreement, State
from rodcall.figures.checks.evidence import CheckShot
from rodcall.figures.ground.drainage import Basin
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, phrase, say
from rodcall.units import in_words
from rodcall.wording import words
from rodcall.wording.punch_list import reads

if TYPE_CHECKING:
    from rodcall.figures.checks.drift import Movement
    from rodcall.figures.checks.levelling import LaserResult, LevelRun
    from rodcall.figures.checks.rounds import Tally


def check_words(summary: Summary, check: CheckShot) -> str:
    """What a check found and what follows: `BM1 reads 1/8 HIGH, good`."""
    return f"{reads(summary, check.reference, check.drift_nm)}, {say(CHECK_STATES[summary.trust.state(check)])}"


CHECK_STATES = {
    State.GOOD: phrase("good"),
    State.REPEAT: phrase("check again"),
    State.STOP: phrase("BAD"),
}
"""What a check says, as a crew reads it; the states' own names are codes."""


def movement_words(summary: Summary, moved: Movement) -> str:
    """Whether the level settled or was bumped: `bumped: all reads 3/8 HIGH after H5`."""
    if not moved.moved:
        return say("the level has not moved")
    by = _off(summary, moved.nm)
    if not moved.sure:
        return _what_is_known(summary, moved, by)
    if moved.steady:
        return say("steady drift: every reading is {by} at the last check", by=by)
    return say("bumped {after}: every reading is {by} from there on", after=_after(summary, moved), by=by)


def _what_is_known(summary: Summary, moved: Movement, by: str) -> str:
    """That the level moved, by about how much and between which checks; then what it may have been."""
    if moved.checked is None:
        known = say("moved: every reading is about {by} at the last check", by=by)
    else:
        first, last = (summary.grid.name(index) for index in moved.checked)
        known = say(
            "moved between the check before {first} and the one after {last}: every reading is about {by}",
            first=first,
            last=last,
            by=by,
        )
    if moved.untold:
        return known
    if moved.steady:
        return say("{known}; perhaps it settled", known=known)
    return say("{known}; perhaps bumped {after}", known=known, after=_after(summary, moved))


def _after(summary: Summary, moved: Movement) -> str:
    return (
        say("after {name}", name=summary.grid.name(moved.after))
        if moved.after is not None
        else say("before the first shot")
    )


def disagreement_words(summary: Summary, found: Disagreement) -> str:
    """Which reference moved, or that it cannot be told."""
    told = ", ".join(f"{name} {_off(summary, drift)}" for name, drift in found.drifts)
    if not found.moved:
        return say("references disagree ({told}), unclear which one moved; check a third", told=told)
    unsure = "" if found.sure else say(", or the backsight was off from the start: check a third")
    return say(
        "references disagree ({told}): {moved} moved{unsure}", told=told, moved=" ".join(found.moved), unsure=unsure
    )


def level_words(summary: Summary, run: LevelRun) -> str:
    """A run of levels: its page check, and how it closes."""
    job = summary.job
    sums = say(
        "backsights {back}, foresights {fore}",
        back=words.rod(job, run.backsights_nm),
        fore=words.rod(job, run.foresights_nm),
    )
    told = say(
        "{setups}: {sums}, change {height}",
        setups=counted(run.setups, "{number} set-up", "{number} set-ups"),
        sums=sums,
        height=words.height(job, run.change_nm),
    )
    if run.closure is None:
        return told
    allowed = words.rounded(job, summary.closure_allowed(run.setups)).removeprefix("+")
    return say(
        "{run}; misses {reference} by {height}, {allowed} allowed",
        run=told,
        reference=run.closure.reference,
        height=words.height(job, run.closure.misclosure_nm),
        allowed=allowed,
    )


def laser_words(result: LaserResult) -> str:
    """A test of the instrument beside its specification, in millimetres over 10 m."""
    state = say("good") if result.good else say("OFF")
    found, allowed = (
        say("{rise:.2f} mm in 10 m", rise=abs(slope) * 1e4) for slope in (result.slope, result.specification)
    )
    test = say(str(result.test))
    return say("{test}: {found}, {allowed} specified, {state}", test=test, found=found, allowed=allowed, state=state)


def machine_words(summary: Summary) -> str:
    """What the machine's display said last beside what is known: `BM1: machine shows 1/8 HIGH`."""
    check, off = summary.evidence.machine_checks[-1]
    return say("{at}: machine shows {height}", at=check.at, height=in_words(off, summary.job.heights))


DAYS = 48 * 60
"""Minutes from which an age is said in days."""


def days_words(minutes: int) -> str:
    """An age in days: `3 days`."""
    return counted(minutes // (24 * 60), "{number} day", "{number} days")


def check_age(summary: Summary, now: float) -> str:
    """State and age of the last check, or that one is due: `check good 12 min`, `CHECK DUE`, `no check yet`.

    Args:
        summary: What is known.
        now: Seconds since 1970.
    """
    trust = summary.trust
    if trust.last is None:
        return say("CHECK DUE") if trust.due(now) else say("no check yet")
    minutes = max(int((now - trust.last.seconds) // 60), 0)
    age = f"{minutes} min" if minutes < 600 else f"{minutes // 60} h" if minutes < DAYS else days_words(minutes)
    state = say(CHECK_STATES[trust.state(trust.last)])
    return say("CHECK DUE, last {age}", age=age) if trust.due(now) else say("check {state} {age}", state=state, age=age)


def slope_words(slope: SlopeReached) -> str:
    """A slope reached against the one asked: `along: -0.80% of -1.00% asked, short`."""
    state = say(", does not drain") if not slope.drains else say(", short") if slope.short else ""
    return say(
        "{side}: {reached} of {asked} agreed{state}",
        side=words.side_words(slope.side, slope.part),
        reached=words.percent(slope.reached),
        asked=words.percent(slope.asked),
        state=state,
    )


def tally_words(summary: Summary, tally: Tally) -> str:
    """How far a round is: `2 working: 20 in, 3 out, 1 not shot`; ground that no target was chosen for is not out."""
    if not summary.has_verdict:
        return say(
            "{round} {kind}: {shot} shot, {unshot} not shot",
            round=tally.round,
            kind=say(str(tally.kind)),
            shot=tally.inside + tally.outside,
            unshot=tally.unshot,
        )
    return say(
        "{round} {kind}: {inside} in, {outside} out, {unshot} not shot",
        round=tally.round,
        kind=say(str(tally.kind)),
        inside=tally.inside,
        outside=tally.outside,
        unshot=tally.unshot,
    )


def remarks(summary: Summary) -> list[str]:
    """What a reader of the verdict should know beside it, gravest first."""
    job, told = summary.job, []
    if summary.trust.disagreement is not None:
        told.append(disagreement_words(summary, summary.trust.disagreement))
    moved = summary.trust.movement
    if moved is not None and moved.moved:
        told.append(movement_words(summary, moved))
    if summary.offset is not None:
        by = words.rounded(job, summary.offset.nm, mark=True)
        stone, other = (
            phrase("every spot is {by} off the target: the stone"),
            phrase("every spot is {by} off the target"),
        )
        told.append(say(stone if summary.offset.stone else other, by=by))
    if summary.marginal:
        marginal = " ".join(summary.names(summary.marginal))
        told.append(say("too close to call: {positions}", positions=marginal))
    return [*told, *(basin_words(summary, basin) for basin in summary.as_built.basins)]


def basin_words(summary: Summary, basin: Basin) -> str:
    """Where water stands: `water stands at B2 B3, 1/2 deep at B2; it runs off over B4`."""
    return say(
        "standing water at {positions}, {depth} deep at {deepest}; it runs off over {lip}",
        positions=" ".join(summary.names(basin.spots)),
        depth=words.rounded(summary.job, basin.depth_m * 1e9).removeprefix("+"),
        deepest=summary.grid.name(basin.deepest),
        lip=summary.grid.name(basin.spills_at),
    )


def _off(summary: Summary, nm: float) -> str:
    return in_words(round(nm), summary.job.heights, step=words.FINEST[summary.job.heights])
