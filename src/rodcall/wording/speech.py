"""Speech: fractions as parts, letters apart, capitals as words."""

from __future__ import annotations

import re

from rodcall.i18n import counted, counted_phrase, say

_PARTS = {
    2: counted_phrase("{number} half", "{number} halves"),
    4: counted_phrase("{number} quarter", "{number} quarters"),
    8: counted_phrase("{number} eighth", "{number} eighths"),
    16: counted_phrase("{number} sixteenth", "{number} sixteenths"),
    32: counted_phrase("{number} thirty-second", "{number} thirty-seconds"),
    64: counted_phrase("{number} sixty-fourth", "{number} sixty-fourths"),
}
"""Parts of an inch. Numbers stay digits: a speech program knows how its own language says them."""

_FRACTION = re.compile(r"(?:(?<!\d)(\d+)-)?(?<!\d)(\d+)/(\d+)(?!\d)")
_FEET = re.compile(r"(\d+)'")
_NAME = re.compile(r"\b([A-Z]{1,2})(\d{1,4})\b")
_CAPITALS = re.compile(r"[^\W\d_]{2,}")
_SIGN = re.compile(r"(?<![\w.])([+-])(?=\d)")
_PAUSE = re.compile(r"[.,:]?\s{2,}")


def spoken(text: str) -> str:
    """A line of the screen as a speech program says it right: `B3  LOW 1-3/8` is `B 3, low 1 and 3 eighths`.

    What stands in brackets at its end, or as keys behind a question mark, is for the eye and left away.
    """
    told = text.partition("  (")[0]
    question, mark, _ = told.partition("?")
    told = _FRACTION.sub(_parts, question + mark)
    told = _FEET.sub(lambda found: counted(int(found[1]), "{number} foot", "{number} feet"), told).replace('"', "")
    told = _NAME.sub(lambda found: f"{' '.join(found[1])} {found[2]}", told)
    told = _SIGN.sub(lambda found: f"{say('minus') if found[1] == '-' else say('plus')} ", told)
    told = _CAPITALS.sub(lambda found: found[0].lower() if found[0].isupper() else found[0], told)
    return _PAUSE.sub(lambda found: f"{found[0].strip() or ','} ", told.strip())


def _parts(found: re.Match[str]) -> str:
    whole, number, of = found[1], int(found[2]), int(found[3])
    if of not in _PARTS:
        return found[0]
    parts = counted(number, *_PARTS[of])
    return say("{whole} and {parts}", whole=whole, parts=parts) if whole else parts
