"""A pad's size typed in one go: length and width, then the shots along and across."""

from __future__ import annotations

import re

from rodcall.i18n import say

_PARTS = re.compile(r"\s*(?:[xX*]|\bby\b|\s)\s*")
"""What stands between the numbers of a size; a numeric pad has `*`."""
_UNITLESS = re.compile(r"[\d.,/' -]*[\d.]")


def size_of(said: str) -> tuple[str, ...]:
    """Length and width, then shots along and across where they are said: `60x30ft 4x5`, `60*30`, `18 by 9 m`.

    Raises:
        ValueError: when it is not two or four numbers; it says what would do.
    """
    said = re.sub(r"(\d)\s+(ft|m|in|mm|cm)\b", r"\1\2", said.strip())
    parts = [part for part in _PARTS.split(said) if part]
    if len(parts) not in (2, 4) or not all(part.isdigit() for part in parts[2:]):
        raise ValueError(say("type length x width, such as 60x30ft, then the shots: 60x30ft 4x5"))
    length, width, *shots = parts
    if _UNITLESS.fullmatch(length) and (unit := re.search(r"[a-z]+$", width)):
        # The unit is said once, behind the second.
        length += unit[0]
    return (length, width, *shots)
