"""What a phone can say: three messages, and everything else is refused."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.helper.messages import Hello, MalformedError, Sent, TakeBack, parse

ONE, OTHER = "0" * 31 + "1", "f" * 32


def test_what_the_page_sends() -> None:
    assert parse(json.dumps({"hello": ONE, "language": "es"})) == Hello(ONE, "es")
    assert parse(json.dumps({"id": ONE, "turn": 7, "said": "-1-3/8"})) == Sent(ONE, 7, "-1-3/8")
    assert parse(json.dumps({"id": ONE, "of": OTHER})) == TakeBack(ONE, OTHER)


@pytest.mark.parametrize(
    "said",
    [
        "",
        "null",
        "[]",
        "{",
        "1e999",
        '"x"',
        "[" * 100_000,
        {"id": ONE, "turn": 7},
        {"id": ONE, "turn": 7, "said": "-1", "more": 1},
        {"id": ONE, "turn": True, "said": "-1"},
        {"id": ONE, "turn": -1, "said": "-1"},
        {"id": ONE, "turn": 2**60, "said": "-1"},
        {"id": ONE, "turn": 1.0, "said": "-1"},
        {"id": ONE.upper() + "x", "turn": 1, "said": "-1"},
        {"id": "../../../../etc/passwd", "turn": 1, "said": "-1"},
        {"id": ONE, "turn": 1, "said": ""},
        {"id": ONE, "turn": 1, "said": "<script>"},
        {"id": ONE, "turn": 1, "said": "-1\n-2"},
        {"id": ONE, "turn": 1, "said": "\u202e1"},
        {"id": ONE, "turn": 1, "said": "1" * 33},
        {"id": ONE, "turn": 1, "said": ["-1"]},
        {"id": f"{ONE}\n", "of": OTHER},
        {"hello": ONE, "language": "english"},
        {"hello": [ONE], "language": "en"},
    ],
    ids=repr,
)
def test_anything_else_is_refused(said: object) -> None:
    text = said if isinstance(said, str) else json.dumps(said)
    with pytest.raises(MalformedError):
        parse(text)


ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=40),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


@given(ANY)
def test_whatever_comes_is_understood_or_refused(said: Any) -> None:
    with pytest.raises(MalformedError):
        parse(json.dumps(said))


@given(st.text())
def test_whatever_text_comes_is_refused(text: str) -> None:
    with pytest.raises(MalformedError):
        parse(text)
