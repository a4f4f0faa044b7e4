"""What the shot grid's footer offers: what matters now, the most wanted first. No widget."""

from __future__ import annotations

from collections.abc import Iterable

from rodcall.figures.punch_list import GRAVITY, Item, Kind, PunchList
from rodcall.i18n import phrase, say
from rodcall.tui.bindings.actions import Action
from rodcall.tui.terminal.keys import Stroke, takes_back
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

_STAR = "*"
_GIVE_UP = Button("escape", phrase("give up"))
_ANSWERS = {
    "y": phrase("yes"),
    "n": phrase("no"),
    "h": phrase("HIGH"),
    "l": phrase("LOW"),
}
"""Answers that the question itself does not spell out by number."""


def offered(line: EntryLine, actions: Iterable[Action], *, all_shot: bool, listed: PunchList) -> list[Button]:
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


def answers(line: EntryLine) -> list[Button]:
    """What can be keyed while something is typed or asked."""
    question = line.question
    if question is None:
        return _typing(say("write it"), say("clear"), line.text)
    if question.take is not None:
        return _typing(say("take it"), say("give up"), line.text)
    seen, buttons = set(), []
    for key, answer in question.choices.items():
        # One answer has several keys; the first is its name, and the others do the same.
        if id(answer) not in seen:
            seen.add(id(answer))
            buttons.append(Button(key, say(_ANSWERS[key]) if key in _ANSWERS else ""))
    buttons.append(Button(_GIVE_UP.key, say(_GIVE_UP.words)))
    return buttons if _STAR in question.choices else [*buttons, _as_escape()]


def _to_see_to(item: Item) -> bool:
    """Is this more than what every round leaves open until its end? A spot to go to, or a fault of book or level."""
    return item.kind is not Kind.NOT_SHOT and (bool(item.spots) or GRAVITY[item.kind] < GRAVITY[Kind.NOT_SHOT])


def always(line: EntryLine) -> int:
    """How many of the last buttons have room before the others."""
    return 0 if line.question is not None or line.text else len(ALWAYS)


def _typing(enter: str, escape: str, typed: str) -> list[Button]:
    buttons = [Button("enter", enter), Button("backspace", say("a character back")), Button("escape", escape)]
    return [*buttons, _as_escape()] if takes_back(Stroke(character=_STAR), typed) else buttons


def _as_escape() -> Button:
    """What the numeric pad has instead, where there is room to say so."""
    return Button(_STAR, say("the same"))
