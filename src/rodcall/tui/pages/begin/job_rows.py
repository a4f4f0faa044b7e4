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


class Columns(Frozen):
    """How wide the list's texts are; 0 for a column that has no room."""

    name: int
    place: int = 0
    customer: int = 0
    state: int = 6

    @classmethod
    def of(cls, width: int, jobs: Sequence[Glance]) -> Columns:
        """As wide as what stands in them; where there is little room the customer goes first, then the place."""
        state = 17 if width >= ROOM_FOR_ROUND else 6
        room = max(width - state - VERDICT - 17, 4)
        longest = [
            max((cell_len(words.harmless(text)) for text in texts), default=0)
            for texts in zip(*((job.name, job.place, job.customer) for job in jobs), strict=True)
        ] or [0, 0, 0]
        name, place, customer = (max(each, least) for each, least in zip(longest, (14, 8, 8), strict=True))
        if width >= ROOM_FOR_CUSTOMER:
            beside = (room - min(name, room // 2) - 2) // 2
            place, customer = min(place, max(beside, 24)), min(customer, max(beside, 24))
            return cls(max(min(name, room - place - customer - 2), 4), place, customer, state)
        if room >= ROOM_FOR_PLACE:
            place = min(place, max(room - name - 1, 14))
            return cls(room - place - 1, place, state=state)
        return cls(room, state=state)

    def line(self, name: str, place: str, customer: str, shots: str, state: str) -> str:
        """One line of the list."""
        texts = ((name, self.name), (place, self.place), (customer, self.customer))
        told = " ".join(fitted(text, wide) for text, wide in texts if wide)
        return f" {told} {shots:>11}  {fitted(state, self.state)}"


def heads(columns: Columns) -> Text:
    """What stands over the columns."""
    told = columns.line(say("job"), say("place"), say("customer"), say("shots"), say("state"))
    return Text(f"{told} {say('verdict, open')}", FAINT)


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
    shots = say("{shot} of {positions}", shot=job.shot, positions=job.positions)
    verdict = f"{SIGNS.get(job.verdict, ' ')} {say(job.verdict)}" if job.verdict else ""
    listed = f"{verdict}, {job.open}" if job.open else verdict
    state = f"{say(job.round)}, {day}" if width >= ROOM_FOR_ROUND else day
    name, place, customer = (words.harmless(each) for each in (job.name, job.place, job.customer))
    told = f"{columns.line(name, place, customer, shots, state)} "
    if here:
        return Text(fitted(f"{told}{listed}", width), BAR)
    return Text(told, STRONG if job.shot else PLAIN).append(
        fitted(listed, max(width - len(told), 0)), _STYLES.get(job.verdict, PLAIN)
    )
