"""The published checks: values of documents from outside that the tests hold our figures against, a row each.

The values are in `checks.toml`, so that the installed program can print them; `tests/checks` works ours out.
"""

from __future__ import annotations

import tomllib
from enum import StrEnum
from functools import cache
from importlib.resources import files
from itertools import groupby
from math import nan
from typing import Any

from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say


class Read(StrEnum):
    """How a published value came here."""

    SEEN = phrase("read in the document")
    COMPUTED = phrase("given figures read in the document, answer worked out without the program")
    MEMORY = phrase("known as the document's, not read again")
    PRACTICE = phrase("common practice, no document found")


class Check(Frozen):
    """One published value, what it is worked out from, and how near ours must come."""

    id: str
    topic: str
    given: str
    """The figures it is worked out from."""
    published: float
    unit: str
    tolerance: float
    """How far ours may lie off; 0 where both are exact."""
    why: str
    """Why so far."""
    source: str
    where: str
    """In the document."""
    read: Read
    ours: float
    """Our figure, to eight digits: `python -m tests.checks` writes it."""


@cache
def checks() -> tuple[Check, ...]:
    """All of them, by topic."""
    rows, ours = _read("checks.toml"), _read("checks_ours.toml")
    return tuple(_check(ours.get(row[0], nan), topic, *row) for topic, of_topic in rows.items() for row in of_topic)


def _read(name: str) -> dict[str, Any]:
    return tomllib.loads((files("rodcall.manual") / name).read_text("utf-8"))


def _check(
    ours: float,
    topic: str,
    id: str,
    given: str,
    published: float,
    unit: str,
    tolerance: float,
    why: str,
    source: str,
    where: str,
    read: str,
) -> Check:
    return Check(id, topic, given, float(published), unit, float(tolerance), why, source, where, Read[read], ours)


def checks_page() -> str:
    """All published checks by topic, as the manual's Markdown: both values, the document, and where in it."""
    head = say(
        "Each value below is published in an outside document. The tests of the program work it "
        "out from the same given figures with the code of the screens. They fail if ours is "
        "farther off than it says."
    )
    lines = [head, ""]
    for topic, rows in groupby(checks(), key=lambda check: check.topic):
        lines += [f"## {topic}", "", *map(_row, rows), ""]
    lines += [f"## {say('How each was read')}", "", *(f"- {read.name.lower()}: {say(read)}" for read in Read)]
    return "\n".join(lines) + "\n"


def _row(check: Check) -> str:
    """A check as an item of a list: the given figures, both values, the document."""
    value = f"{check.published:.15g} {check.unit}".rstrip()
    values = say("published {value}, ours {ours}, exactly", value=value, ours=f"{check.ours:.8g}")
    if check.tolerance:
        values = say(
            "published {value}, ours {ours}; within {tolerance}: {why}",
            value=value,
            ours=f"{check.ours:.8g}",
            tolerance=f"{check.tolerance:g}",
            why=check.why,
        )
    source = f"{check.source}, {check.where}" if check.where else check.source
    return f"- {check.given}: {values}. {source} ({check.read.name.lower()})."
