"""The list of jobs, a line each: name, place, customer, shots, round, day, verdict, punch list. No widget."""

from __future__ import annotations

from datetime import datetime

from rich.style import Style
from rich.text import Text

from rodcall.i18n import say
from rodcall.tablet.job_index import Glance
from rodcall.tui.widgets.lines import fitted
from rodcall.tui.widgets.styles import BAR, FAINT, HIGH, LOW, PLAIN, STRONG
from rodcall.wording import words

ROOM_FOR_ROUND = 90
"""Columns from which the kind of round stands beside the day."""
ROOM_FOR_CUSTOMER = 100
"""Columns from which the customer has a column."""
SIGNS = {"PASS": "+", "FAIL": "!", "NOT PROVEN": "-"}
"""Before a verdict, so that it is told without colour."""
_STYLES = {"PASS": LOW + Style(bold=True), "FAIL": BAR, "NOT PROVEN": HIGH}
ROOM_FOR_PLACE = 29
"""Columns for name and place from which both have one."""
VERDICT = 17
"""Columns of verdict and punch list."""


def heads(width: int) -> Text:
    """What stands over the columns."""
    columns = _columns(width, say("job"), say("place"), say("customer"), say("shots"), say("state"))
    return Text(f"{columns} {say('verdict, open')}", FAINT)


def row(job: Glance, width: int, *, here: bool) -> Text:
    """A job in one line; trouble with it has it all.

    Args:
        job: What is known of it.
        width: Columns.
        here: The bar is on it.
    """
    if not job.seen:
        return Text(fitted(f" {words.harmless(job.name)}", width), BAR if here else FAINT)
    if job.trouble:
        return Text(fitted(f" ! {words.harmless(job.trouble)}", width), BAR if here else HIGH)
    when = datetime.fromtimestamp(job.changed)
    day = when.strftime("%H:%M" if when.date() == datetime.now().date() else "%d %b")
    shots = say("{shot} of {positions}", shot=job.shot, positions=job.positions)
    verdict = f"{SIGNS.get(job.verdict, ' ')} {say(job.verdict)}" if job.verdict else ""
    listed = f"{verdict}, {job.open}" if job.open else verdict
    state = f"{say(job.round)}, {day}" if width >= ROOM_FOR_ROUND else day
    name, place, customer = (words.harmless(each) for each in (job.name, job.place, job.customer))
    told = f"{_columns(width, name, place, customer, shots, state)} "
    if here:
        return Text(fitted(f"{told}{listed}", width), BAR)
    return Text(told, STRONG if job.shot else PLAIN).append(
        fitted(listed, max(width - len(told), 0)), _STYLES.get(job.verdict, PLAIN)
    )


def _columns(width: int, name: str, place: str, customer: str, shots: str, state: str) -> str:
    """One line of the list; where there is little room the customer goes first, then the place, then the name's end."""
    columns = 17 if width >= ROOM_FOR_ROUND else 6
    room = max(width - columns - VERDICT - 17, 4)
    end = f"{shots:>11}  {fitted(state, columns)}"
    if width >= ROOM_FOR_CUSTOMER:
        beside = min(room // 4, 24)
        own = min(room - 2 * beside - 2, 48)
        return f" {fitted(name, own)} {fitted(place, beside)} {fitted(customer, beside)} {end}"
    if room >= ROOM_FOR_PLACE:
        return f" {fitted(name, room - 15)} {fitted(place, 14)} {end}"
    return f" {fitted(name, room)} {end}"
