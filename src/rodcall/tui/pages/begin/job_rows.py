"""The list of jobs, a line each. No widget."""

from __future__ import annotations

from datetime import datetime

from rodcall.i18n import say
from rodcall.tablet.job_index import Glance
from rodcall.tui.widgets.lines import fitted
from rodcall.wording import words

ROOM_FOR_ROUND = 70
"""Columns from which the kind of round stands beside the day."""


def heads(width: int) -> str:
    """What stands over the columns."""
    return _columns(width, say("job"), say("place"), say("shots"), say("state"), say("punch list"))


def row(job: Glance, width: int) -> str:
    """A job in one line: name, place, shots, round and day, verdict and what is open; trouble with it has it all."""
    if not job.seen:
        return f" {words.harmless(job.name)}"
    if job.trouble:
        return f" {words.harmless(job.trouble)}"
    when = datetime.fromtimestamp(job.changed)
    day = when.strftime("%H:%M" if when.date() == datetime.now().date() else "%d %b")
    shots = say("{shot} of {positions}", shot=job.shot, positions=job.positions)
    verdict = say(job.verdict) if job.verdict else ""
    listed = f"{verdict} {job.open}" if job.open else verdict
    state = f"{say(job.round)}, {day}" if width >= ROOM_FOR_ROUND else day
    return _columns(width, words.harmless(job.name), words.harmless(job.place), shots, state, listed)


def _columns(width: int, name: str, place: str, shots: str, state: str, listed: str) -> str:
    """One line of the list; where there is little room the place goes first, then the end of the name."""
    columns = 18 if width >= ROOM_FOR_ROUND else 6
    room = min(max(width - columns - 30, 4), 64)
    if room >= 32:
        name, place = fitted(name, room - 15), fitted(place, 14)
        return f" {name} {place} {shots:>11}  {fitted(state, columns)} {listed}"
    return f" {fitted(name, room)} {shots:>11}  {fitted(state, columns)} {listed}"
