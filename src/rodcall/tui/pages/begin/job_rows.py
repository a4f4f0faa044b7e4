"""The list of jobs, a line each: name, place, customer, shots, round, day, verdict, punch list. No widget."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rich.cells import cell_len
from rich.style import Style
from rich.text import Text

from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.tablet.job_index import Glance
from rodcall.tui.widgets.lines import clause, fitted
from rodcall.tui.widgets.styles import BAR, FAINT, HIGH, LOW, PLAIN, STRONG
from rodcall.wording import words

ROOM_FOR_ROUND = 90
"""Columns from which the kind of round stands beside the day."""
ROOM_FOR_CUSTOMER = 100
"""Columns from which the customer has a column."""
SIGNS = {"PASS": "+", "FAIL": "!", "NOT PROVEN": "-"}
"""Before a verdict, so that it is told without colour."""
UNKNOWN = "..."
"""In place of a verdict that is being worked out."""
_STYLES = {"PASS": LOW + Style(bold=True), "FAIL": BAR, "NOT PROVEN": HIGH}
ROOM_FOR_PLACE = 29
"""Columns for name and place from which both have one."""
MOST_VERDICT = 17
"""Columns of verdict and punch list, where the list is narrow."""


class Columns(Frozen):
    """How wide the list's texts are; 0 for a column that has no room."""

    name: int
    place: int = 0
    customer: int = 0
    shots: int = 11
    state: int = 6

    @classmethod
    def of(cls, width: int, jobs: Sequence[Glance]) -> Columns:
        """As wide as what stands in them; where there is little room the customer goes first, then the place."""
        state = 17 if width >= ROOM_FOR_ROUND else 6
        shots = max((cell_len(_shots(job)) for job in jobs if _is_read(job)), default=0)
        shots = max(shots, cell_len(say("shots")))
        verdict = max((cell_len(_verdict(job)) for job in jobs if _is_read(job)), default=0)
        room = max(width - state - shots - max(min(verdict, MOST_VERDICT), MOST_VERDICT - 3) - 6, 4)
        longest = [
            max((cell_len(words.harmless(text)) for text in texts), default=0)
            for texts in zip(*((job.name, job.place, job.customer) for job in jobs), strict=True)
        ] or [0, 0, 0]
        name, place, customer = (max(each, least) for each, least in zip(longest, (14, 8, 8), strict=True))
        if width >= ROOM_FOR_CUSTOMER:
            beside = (room - min(name, room // 2) - 2) // 2
            place, customer = min(place, max(beside, 24)), min(customer, max(beside, 24))
            return cls(max(min(name, room - place - customer - 2), 4), place, customer, shots, state)
        if room >= max(ROOM_FOR_PLACE, min(name, 24) + 1 + 14):
            place = min(place, max(room - name - 1, 14))
            return cls(room - place - 1, place, shots=shots, state=state)
        return cls(room, shots=shots, state=state)

    def line(self, name: str, place: str, customer: str, shots: str, state: str) -> str:
        """One line of the list."""
        texts = ((name, self.name), (place, self.place), (customer, self.customer))
        told = " ".join(fitted(text, wide) for text, wide in texts if wide)
        return f" {told} {shots:>{self.shots}}  {fitted(state, self.state)}"


def heads(columns: Columns, width: int) -> Text:
    """What stands over the columns."""
    told = columns.line(say("job"), say("place"), say("customer"), say("shots"), say("state"))
    return Text(f"{told} {clause(say('verdict, open'), width - cell_len(told) - 1)}", FAINT)


def row(job: Glance, width: int, columns: Columns, *, here: bool) -> Text:
    """A job in one line; trouble with it has it all.

    Args:
        job: What is known of it.
        width: Columns of the screen.
        columns: Of the list.
        here: The bar is on it.
    """
    if not job.seen:
        return Text(fitted(f" {words.harmless(job.name)}", width), BAR if here else FAINT)
    if job.trouble:
        return Text(fitted(f" ! {words.harmless(job.trouble)}", width), BAR if here else HIGH)
    when = datetime.fromtimestamp(job.changed)
    day = when.strftime("%H:%M" if when.date() == datetime.now().date() else "%d %b")
    state = f"{say(job.round)}, {day}" if width >= ROOM_FOR_ROUND else day
    name, place, customer = (words.harmless(each) for each in (job.name, job.place, job.customer))
    told = f"{columns.line(name, place, customer, _shots(job), state)} "
    listed = clause(_verdict(job), width - cell_len(told))
    if here:
        return Text(fitted(f"{told}{listed}", width), BAR)
    return Text(told, STRONG if job.shot else PLAIN).append(
        fitted(listed, max(width - len(told), 0)), _STYLES.get(job.verdict, PLAIN)
    )


def _is_read(job: Glance) -> bool:
    return job.seen and not job.trouble


def _shots(job: Glance) -> str:
    return say("{shot} of {positions}", shot=job.shot, positions=job.positions)


def _verdict(job: Glance) -> str:
    """Verdict and how much is open, with a sign."""
    if not job.verdict:
        return f"  {UNKNOWN}"
    verdict = f"{SIGNS.get(job.verdict, ' ')} {say(job.verdict)}"
    return f"{verdict}, {job.open}" if job.open else verdict
