"""The facts of a job in words: what each is now, and what a mended one changes."""

from __future__ import annotations

from collections.abc import Mapping

from rodcall.book.model.facts import FACTS
from rodcall.book.model.job import Job
from rodcall.book.model.mended_job import gaps_of
from rodcall.i18n import say
from rodcall.units import Unit, write
from rodcall.wording import words


def fact_words(job: Job) -> Mapping[str, str]:
    """What each fact of a job is, by its name; facts that only add to others are not among them."""
    return {
        "name": job.name,
        "place": job.place or words.NOTHING,
        "customer": job.customer or words.NOTHING,
        "site": job.site or words.NOTHING,
        "size": words.pad_words(job),
        "count": say("{along} out x {across} across", along=job.along, across=job.across),
        "spacing-along": _apart(job, "along"),
        "spacing-across": _apart(job, "across"),
        "inset": words.tape(job, job.inset) if job.inset else words.NOTHING,
        "unit": words.unit_word(job.heights),
        "step": _length(job, job.step),
        "crew-tolerance": _length(job, job.goal),
        "rounding": _length(job, job.round_to),
        "drop": _length(job, job.least_drop),
        "zero": job.zero,
        "slope-along": words.slope_words(job.slope_along, 0.0),
        "slope-across": words.slope_words(0.0, job.slope_across),
    }


def changes(before: Job, now: Job) -> list[str]:
    """One line for each fact that is another now, as `size of the pad: 60' x 40' -> 60' x 50'`."""
    was, becomes = fact_words(before), fact_words(now)
    return [f"{say(FACTS[name].called)}: {was[name]} -> {told}" for name, told in becomes.items() if was[name] != told]


def _length(job: Job, nm: int) -> str:
    """A small length in the job's unit as it was said, to the finest mark."""
    unit: Unit = job.heights
    return write(nm, unit, step=words.FINEST[unit], sign=False, mark=True)


def _apart(job: Job, axis: str) -> str:
    gaps = [words.tape(job, gap) for gap in gaps_of(job.grid, axis)]
    if len(set(gaps)) == 1:
        return gaps[0]
    shown = " ".join(gaps[:12])
    return shown if len(gaps) <= 12 else say("{distances} and so on", distances=shown)
