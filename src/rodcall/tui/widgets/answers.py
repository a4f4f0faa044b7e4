"""What can be keyed while something is typed or asked, as buttons for a footer. No widget."""

from __future__ import annotations

from typing import Any

from rodcall.i18n import phrase, say
from rodcall.tui.terminal.keys import Stroke, takes_back
from rodcall.tui.widgets.buttons import Button
from rodcall.tui.widgets.entry_line import EntryLine

_STAR = "*"
_GIVE_UP = Button("escape", phrase("cancel"))
_ANSWERS = {
    "y": phrase("yes"),
    "n": phrase("no"),
    "h": phrase("HIGH"),
    "l": phrase("LOW"),
}
"""Answers that the question itself does not spell out by number."""


def answers(line: EntryLine[Any]) -> list[Button]:
    """What can be keyed while something is typed or asked."""
    question = line.question
    if question is None:
        return _typing(say("write it"), say("clear"), line.text)
    if question.take is not None:
        return _typing(say("take it"), say("cancel"), line.text)
    if question.text:
        return _typing(say("take it"), say("clear"), question.text)
    seen, buttons = set(), []
    for key, answer in question.choices.items():
        # One answer has several keys; the first is its name, and the others do the same.
        if id(answer) not in seen:
            seen.add(id(answer))
            buttons.append(Button(key, say(_ANSWERS[key]) if key in _ANSWERS else ""))
    buttons.append(Button(_GIVE_UP.key, say(_GIVE_UP.words)))
    return buttons if _STAR in question.choices else [*buttons, _as_escape()]


def _typing(enter: str, escape: str, typed: str) -> list[Button]:
    buttons = [Button("enter", enter), Button("backspace", say("delete")), Button("escape", escape)]
    return [*buttons, _as_escape()] if takes_back(Stroke(character=_STAR), typed) else buttons


def _as_escape() -> Button:
    """What the numeric pad has instead, where there is room to say so."""
    return Button(_STAR, say("cancel"))
