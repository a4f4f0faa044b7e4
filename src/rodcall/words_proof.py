"""How a proof is said: checks, what moved, closures, tests of the instrument, rounds and remarks on the verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rodcall import words
from rodcall.figures.as_built import SlopeReached, reads
from rodcall.figures.checks import Disagreement
from rodcall.figures.evidence import CheckShot
from rodcall.figures.summary import Summary
from rodcall.lengths import in_words

if TYPE_CHECKING:
    from rodcall.figures.drift import Movement
    from rodcall.figures.levelling import LaserResult, LevelRun
    from rodcall.figures.rounds import Tally


def check_words(summary: Summary, check: CheckShot) -> str:
    """What a check found and what follows: `BM1 reads 1/8 HIGH, good`."""
    return f"{reads(check, summary.job.heights)}, {summary.trust.state(check)}"


def movement_words(summary: Summary, moved: Movement) -> str:
    """Whether the level settled or was bumped: `bumped: all reads 3/8 HIGH after H5`."""
    if not moved.moved:
        return "the level has not moved"
    by = _off(summary, moved.nm)
    likely = "" if moved.sure else "likely "
    if moved.steady:
        return f"{likely}steady drift: all reads {by} by the last check"
    after = f"after {summary.grid.name(moved.after)}" if moved.after is not None else "before the first shot"
    return f"{likely}bumped {after}: all reads {by} from there on"


def disagreement_words(summary: Summary, found: Disagreement) -> str:
    """Which reference moved, or that it cannot be told."""
    told = ", ".join(f"{name} {_off(summary, drift)}" for name, drift in found.drifts)
    if not found.moved:
        return f"references disagree ({told}): which one moved cannot be told; check a third"
    unsure = "" if found.sure else ", or the backsight was off from the start: check a third"
    return f"references disagree ({told}): {' '.join(found.moved)} moved{unsure}"


def level_words(summary: Summary, run: LevelRun) -> str:
    """A run of levels: its page check, and how it closes."""
    job = summary.job
    sums = f"backsights {words.rod(job, run.backsights_nm)}, foresights {words.rod(job, run.foresights_nm)}"
    told = f"{words.counted(run.setups, 'setup')}: {sums}, change {words.height(job, run.change_nm)}"
    if run.closure is None:
        return told
    allowed = words.rounded(job, summary.allowed_closure(run)).removeprefix("+")
    return (
        f"{told}; misses {run.closure.reference} by {words.height(job, run.closure.misclosure_nm)}, {allowed} allowed"
    )


def laser_words(result: LaserResult) -> str:
    """A test of the instrument beside its specification, in millimetres over 10 m."""
    state = "good" if result.good else "OFF"
    found, allowed = (f"{abs(slope) * 1e4:.2f} mm in 10 m" for slope in (result.slope, result.specification))
    return f"{result.test}: {found}, {allowed} specified, {state}"


def machine_words(summary: Summary) -> str:
    """What the machine's display said last beside what is known: `BM1: machine shows 1/8 HIGH`."""
    check, off = summary.evidence.machine_checks[-1]
    return f"{check.at}: machine shows {in_words(off, summary.job.heights)}"


def check_age(summary: Summary, now: float) -> str:
    """State and age of the last check, or that one is due: `check good 12 min`, `CHECK DUE`, `no check yet`.

    Args:
        summary: What is known.
        now: Seconds since 1970.
    """
    trust = summary.trust
    if trust.last is None:
        return "CHECK DUE" if trust.due(now) else "no check yet"
    minutes = max(int((now - trust.last.seconds) // 60), 0)
    age = f"{minutes} min" if minutes < 600 else f"{minutes // 60} h"
    state = str(trust.state(trust.last))
    return f"CHECK DUE, last {age}" if trust.due(now) else f"check {state} {age}"


def slope_words(slope: SlopeReached) -> str:
    """A slope reached against the one asked: `along: -0.80% of -1.00% asked, short`."""
    state = ", does not drain" if not slope.drains else ", short" if slope.short else ""
    return f"{slope.side}: {words.percent(slope.reached)} of {words.percent(slope.asked)} asked{state}"


def tally_words(tally: Tally) -> str:
    """How far a round is: `2 working: 20 in, 3 out, 1 unshot`."""
    return f"{tally.round} {tally.kind}: {tally.inside} in, {tally.outside} out, {tally.unshot} unshot"


def remarks(summary: Summary) -> list[str]:
    """What a reader of the verdict should know beside it, gravest first."""
    job, told = summary.job, []
    if summary.chosen is None and summary.target is not None:
        told.append("the target is suggested, not chosen")
    if summary.trust.disagreement is not None:
        told.append(disagreement_words(summary, summary.trust.disagreement))
    moved = summary.trust.movement
    if moved is not None and moved.moved:
        told.append(movement_words(summary, moved))
    if summary.offset is not None:
        by = words.rounded(job, summary.offset.nm, mark=True)
        told.append(f"all stands {by} off the target{': the stone' if summary.offset.stone else ''}")
    if summary.marginal:
        told.append(f"nearer to the limit than their doubt: {' '.join(summary.names(summary.marginal))}")
    if summary.as_built.ponds:
        told.append(f"water stands at {' '.join(summary.names(summary.as_built.ponds))}")
    return told


def _off(summary: Summary, nm: float) -> str:
    return in_words(round(nm), summary.job.heights, step=words.FINEST[summary.job.heights])
