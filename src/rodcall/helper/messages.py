"""The messages a phone may send; anything else is refused unread."""

from __future__ import annotations

import json
import re
from typing import Any

from rodcall.frozen import Frozen

MOST_CHARACTERS = 32
"""Of one reading."""

_ID = re.compile(r"[0-9a-f]{32}")
_SAID = re.compile(rf"[0-9hlgHLG +\-./,'\"a-z]{{1,{MOST_CHARACTERS}}}")
_LANGUAGE = re.compile(r"[a-z]{2}")
MOST_TURN = 2**53
"""The largest whole number that a browser counts to exactly."""


class MalformedError(ValueError):
    """Nothing that our page sends."""


class Hello(Frozen):
    """The first message: who it is, and which language it reads."""

    me: str
    language: str


class Sent(Frozen):
    """A reading."""

    id: str
    """Made at its Enter; sent again under the same one after the connection was lost."""
    turn: int
    """Of the view that was shown when its first key was touched."""
    said: str


class TakeBack(Frozen):
    """Undo of a reading that this phone sent."""

    id: str
    of: str
    """Id of the reading."""


Message = Hello | Sent | TakeBack


def parse(text: str) -> Message:
    """Read one message.

    Raises:
        MalformedError: when it is anything else.
    """
    try:
        said = json.loads(text)
    except (ValueError, RecursionError):
        raise MalformedError from None
    if not isinstance(said, dict):
        raise MalformedError
    match sorted(said):
        case ["hello", "language"]:
            return Hello(_text(said["hello"], _ID), _text(said["language"], _LANGUAGE))
        case ["id", "said", "turn"]:
            return Sent(_text(said["id"], _ID), _whole(said["turn"]), _text(said["said"], _SAID))
        case ["id", "of"]:
            return TakeBack(_text(said["id"], _ID), _text(said["of"], _ID))
    raise MalformedError


def _text(value: Any, pattern: re.Pattern[str]) -> str:
    if not isinstance(value, str) or not pattern.fullmatch(value):
        raise MalformedError
    return value


def _whole(value: Any) -> int:
    if type(value) is not int or not 0 <= value <= MOST_TURN:
        raise MalformedError
    return value
