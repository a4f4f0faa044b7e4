"""Why a value was refused by the checker of types, in our words and the language that is spoken."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from rodcall.i18n import phrase, say

_NO_TIME = phrase("a time is text such as 2026-04-18T07:30:00-07:00")
_NO_WHOLE_NUMBER, _NO_LIST = phrase("a whole number is wanted"), phrase("a list is wanted")
_WHY: Mapping[str, str] = {
    "missing": phrase("it is missing"),
    "extra_forbidden": phrase("no such field is known"),
    "string_type": phrase("a text is wanted"),
    "int_type": _NO_WHOLE_NUMBER,
    "int_from_float": _NO_WHOLE_NUMBER,
    "int_parsing": _NO_WHOLE_NUMBER,
    "float_type": phrase("a number is wanted"),
    "finite_number": phrase("a finite number is wanted"),
    "bool_type": phrase("true or false is wanted"),
    "tuple_type": _NO_LIST,
    "list_type": _NO_LIST,
    "greater_than_equal": phrase("at least {ge} is wanted"),
    "greater_than": phrase("more than {gt} is wanted"),
    "less_than_equal": phrase("at most {le} is wanted"),
    "less_than": phrase("less than {lt} is wanted"),
    "string_too_long": phrase("longer than {max_length} characters"),
    "string_pattern_mismatch": phrase("not of the form that is wanted"),
    "too_short": phrase("at least {min_length} of them"),
    "too_long": phrase("more than {max_length} of them"),
    "enum": phrase("it is one of {expected}"),
    "datetime_type": _NO_TIME,
    "datetime_parsing": _NO_TIME,
    "datetime_from_date_parsing": _NO_TIME,
    "timezone_aware": phrase("a time is wanted with the offset of its place"),
}
"""By pydantic's type of the error; the names are those of its context. Of another type its own words are told."""


def first_trouble(error: ValidationError) -> tuple[tuple[int | str, ...], str]:
    """Where the first value stands that was refused, and why, in one line."""
    first = error.errors(include_url=False)[0]
    return first["loc"], _why(first["type"], first["msg"], first.get("ctx", {}))


def _why(kind: str, told: str, context: Mapping[str, Any]) -> str:
    if kind in _WHY:
        return say(_WHY[kind], **context)
    # What our own checks raise is said in the right language already.
    return told.removeprefix("Value error, ").splitlines()[0]
