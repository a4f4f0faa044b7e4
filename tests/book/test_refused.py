"""Why a value is refused is said in our own words, in the language that is spoken."""

from __future__ import annotations

from string import Formatter
from typing import Any

import pytest
from pydantic import ValidationError
from pydantic_core import PydanticKnownError

from rodcall.book.model.entries import Setup, Shot
from rodcall.book.model.refused import _WHY, first_trouble
from rodcall.i18n import speaking

SHOT = {"number": 1, "time": "2026-04-18T07:30:00-07:00", "tablet": "a", "position": "A1", "reading_nm": 0, "said": "0"}
VALUES: dict[str, Any] = {
    "ge": 1,
    "gt": 1,
    "le": 1,
    "lt": 1,
    "max_length": 3,
    "min_length": 3,
    "pattern": "x",
    "expected": "a",
    "error": "e",
    "field_type": "T",
    "actual_length": 4,
}


@pytest.mark.parametrize(
    ("changed", "place", "english", "spanish"),
    [
        ({"number": None}, "number", "a whole number is wanted", "debe ser un número entero"),
        ({"number": 0}, "number", "at least 1 is wanted", "debe ser al menos 1"),
        ({"number": 1.5}, "number", "a whole number is wanted", "debe ser un número entero"),
        ({"colour": "red"}, "colour", "no such field is known", "no se conoce ese campo"),
        ({"said": 3}, "said", "a text is wanted", "debe ser un texto"),
        ({"position": "a one"}, "position", "not of the form that is wanted", "no tiene la forma debida"),
        ({"again": "yes"}, "again", "true or false is wanted", "debe ser true o false"),
        ({"time": 7}, "time", "a time is text such as 2026-04-18T07:30:00-07:00", "una hora es"),
        ({"time": "noon"}, "time", "a time is text such as 2026-04-18T07:30:00-07:00", "una hora es"),
        (
            {"time": "2026-04-18T07:30:00"},
            "time",
            "a time is wanted with the offset of its place",
            "la hora debe llevar",
        ),
    ],
)
def test_a_field_of_an_entry(changed: dict[str, Any], place: str, english: str, spanish: str) -> None:
    for language, told in (("en", english), ("es", spanish)):
        with speaking(language):
            where, why = refused(Shot, {**SHOT, **changed})
        assert where == (place,)
        assert told in why


def test_what_is_missing_and_a_word_that_is_none_of_its_list() -> None:
    shot = {key: value for key, value in SHOT.items() if key != "position"}
    assert refused(Shot, shot) == (("position",), "it is missing")
    entry = {"number": 1, "time": SHOT["time"], "tablet": "a", "reference": "BM1", "backsight_nm": 1}
    with speaking("es"):
        assert refused(Setup, {**entry, "readings": "upside down"}) == (
            ("readings",),
            "es uno de height, rod, direct-rod",
        )


@pytest.mark.parametrize("kind", _WHY)
def test_each_kind_is_one_of_pydantics_with_the_values_that_are_said(kind: str) -> None:
    """COMPUTED by pydantic_core, which refuses a kind that it does not know, and a context that lacks its values."""
    known = PydanticKnownError(kind, VALUES)  # type: ignore[arg-type]
    named = {name for _, name, _, _ in Formatter().parse(_WHY[kind]) if name}
    assert named <= {name for _, name, _, _ in Formatter().parse(known.message_template) if name}


def refused(kind: type[Any], fields: dict[str, Any]) -> tuple[tuple[int | str, ...], str]:
    with pytest.raises(ValidationError) as caught:
        kind.model_validate(fields)
    return first_trouble(caught.value)
