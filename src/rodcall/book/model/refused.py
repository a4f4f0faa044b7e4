"""Says in one line, in the chosen language, why pydantic refused a value."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from rodcall.i18n import phrase, say

_NO_TIME = phrase("a time is text such as 2026-04-18T07:30:00-07:00")
_NO_WHOLE_NUMBER, _NO_LIST = phrase("must be a whole number"), phrase("must be a list")
_WHY: Mapping[str, str] = {
    "missing": phrase("is missing"),
    "extra_forbidden": phrase("unknown field"),
    "string_type": phrase("must be a text"),
    "int_type": _NO_WHOLE_NUMBER,
    "int_from_float": _NO_WHOLE_NUMBER,
    "int_parsing": _NO_WHOLE_NUMBER,
    "float_type": phrase("must be a number"),
    "finite_number": phrase("must be a finite number"),
    "bool_type": phrase("must be true or false"),
    "tuple_type": _NO_LIST,
    "list_type": _NO_LIST,
    "greater_than_equal": phrase("must be at least {ge}"),
    "greater_than": phrase("must be more than {gt}"),
    "less_than_equal": phrase("must be at most {le}"),
    "less_than": phrase("must be less than {lt}"),
    "string_too_long": phrase("too long: the limit is {max_length} characters"),
    "string_pattern_mismatch": phrase("wrong form"),
    "too_short": phrase("too few: at least {min_length}"),
    "too_long": phrase("too many: the limit is {max_length}"),
    "enum": phrase("must be one of {expected}"),
    "datetime_type": _NO_TIME,
    "datetime_parsing": _NO_TIME,
    "datetime_from_date_parsing": _NO_TIME,
    "timezone_aware": phrase("must be a time with its offset from UTC"),
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
