"""The keys in the shot grid's footer, the most useful first. No widget."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rodcall.figures.punch_list import GRAVITY, Item, Kind, PunchList
from rodcall.tui.bindings.actions import Action
from rodcall.tui.widgets.answers import answers
from rodcall.tui.widgets.buttons import Button, of_actions
from rodcall.tui.widgets.entry_line import EntryLine

ALWAYS = ("help", "menu")
"""Actions that always have room."""
FIRST = ("undo", "target", "check", "setup", "leave_out")
"""What is wanted most between two readings; a set-up only where a rod is read."""
TO_SEE_TO = ("punch_list", "next_worst")
"""What comes before those while something is on the punch list that a reading in walking order will not clear."""
WHEN_ALL_SHOT = ("score", "another", "round", "target", "as_built", "check", "leave", "undo")
"""What is wanted once every position is shot or left out."""


def offered(line: EntryLine[Any], actions: Iterable[Action], *, all_shot: bool, listed: PunchList) -> list[Button]:
    """The buttons for the state of the entry line.

    Args:
        line: What is typed and asked.
        actions: Those that are of use in this job, with the keys in force.
        all_shot: Every position is shot or left out.
        listed: What is open.
    """
    if line.question is not None or line.text:
        return answers(line)
    by_id = {action.id: action for action in actions}
    wanted = (*TO_SEE_TO, *FIRST) if any(map(_to_see_to, listed.items)) else FIRST
    if all_shot:
        wanted = (*WHEN_ALL_SHOT[:2], *(TO_SEE_TO if listed.items else ()), *WHEN_ALL_SHOT[2:])
    first = [id for id in wanted if id in by_id]
    rest = [id for id in by_id if id not in first and id not in ALWAYS]
    return of_actions(by_id[id] for id in [*first, *rest, *(id for id in ALWAYS if id in by_id)])


def _to_see_to(item: Item) -> bool:
    """Is this more than what every round leaves open until its end? A spot to go to, or a fault of book or level."""
    return item.kind is not Kind.NOT_SHOT and (bool(item.spots) or GRAVITY[item.kind] < GRAVITY[Kind.NOT_SHOT])


def always(line: EntryLine[Any]) -> int:
    """How many of the last buttons have room before the others."""
    return 0 if line.question is not None or line.text else len(ALWAYS)
