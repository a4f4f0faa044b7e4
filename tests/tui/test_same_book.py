"""One book in every language: the same keys write the same entries, and the program's own reasons are codes in it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from rodcall.book.model.entries import Readings
from rodcall.book.model.own_reasons import OwnReason, reason_words
from rodcall.book.model.terms import TERMS
from rodcall.book.storage.opening import open_job
from rodcall.i18n import LANGUAGES, speak, speaking
from rodcall.units import Unit
from tests.kit import a_book, a_job
from tests.tui.kit import Crew, crew

GROUND = ("A1 0", "B1 +2", "C1 -4", "C2 +3", "B2 -1/4", "A2 +1/2", "A3 +1", "B3 -1", "C3 +2")
TARGETS: dict[OwnReason, tuple[str, ...]] = {
    OwnReason.AS_IT_WAS: ("t", "enter"),
    OwnReason.BY_HAND: ("t", "up", "enter"),
    OwnReason.AVERAGE: ("t", "a", "enter"),
    OwnReason.BY_AREA: ("t", "r", "enter"),
    OwnReason.BALANCE: ("t", "b", "enter"),
    OwnReason.SUGGESTED: ("t", "s", "enter"),
    OwnReason.CHOSEN: ("t", "c", "enter"),
    OwnReason.LEVEL: ("t", "v", "enter"),
    OwnReason.SLOPES_TYPED: ("t", "f", "1", "%", "enter", "enter", "enter"),
    OwnReason.SLOPES_OF_GROUND: ("t", "t", "enter"),
    OwnReason.BEST_FIT: ("t", "m", "enter"),
    OwnReason.LEAST_EARTH: ("t", "e", "enter"),
    OwnReason.TYPED: ("t", "-", "1", "enter"),
}
A_DAY = (
    *("enter", "+1/2\n", "g\n", "-3/8\n", "u", "y"),
    *("bBM1\n", "+4\n", "nail\n", "cBM1\n", "+4\n"),
    *("o1\n", "o2\n", "stump\n", "o3\n"),
    *("ndry\n", "w", "2\n", "i", "1\n", "100ft\n", "+4\n", "+4\n", "+4\n", "+4\n", "i", "3\n", "BM1\n", "+4\n"),
    *("r", "1\n", "-1/4\n", "r", "2\n", "-1/4\n"),
)
A_DAY_OF_ROD = (
    *("enter", "s", "1\n", "BM1\n", "48\n", "50\n", "49-1/2\n", "bBM2\n", "1\n", "47\n", "stake\n", "cBM1\n", "48\n"),
    *("o1\n", "i", "2\n", "120ft\n", "48\n", "49\n", "20ft\n", "50\n", "51\n"),
)


async def written(folder: Path, language: str, keys: tuple[str, ...], *lines: str, **known: Any) -> list[str]:
    """The entries that these keys leave on the disk, each as it stands in a file."""
    book = a_book(*lines, job=a_job(**known))
    speak(language)
    async with crew(book, folder / language, (80, 24)) as at:
        speak(language)
        await typed(at, keys)
        await at.settled()
        return [entry.model_dump_json() for entry in open_job(at.path, "reader").book.entries]


async def typed(at: Crew, keys: tuple[str, ...]) -> None:
    for each in keys:
        await (at.press(each) if each.isalpha() and len(each) > 1 else at.key(each))


@pytest.mark.parametrize("reason", TARGETS, ids=str)
async def test_a_target_keeps_how_it_was_found_as_a_code(tmp_path: Path, reason: OwnReason) -> None:
    known = await written(tmp_path, "en", TARGETS[reason], *GROUND, "target -1/2")
    assert json.loads(known[-1])["why"] == reason.value
    assert await written(tmp_path, "es", TARGETS[reason], *GROUND, "target -1/2") == known


DAYS: dict[str, tuple[tuple[str, ...], tuple[str, ...], dict[str, Any], str]] = {
    "heights": (
        A_DAY,
        ("target 0",),
        {"heights": Unit.IN},
        "target shot strike reference check leave-out not-pad note walk laser-check machine-check round",
    ),
    "a rod": (
        A_DAY_OF_ROD,
        ("reference BM1 0",),
        {"heights": Unit.IN, "readings": Readings.ROD},
        "reference setup shot check leave-out laser-check",
    ),
    "suspect shots": (
        ("tab", "down", "k", "dry ground\n", "escape", "t", "s", "enter"),
        ("reference BM1 0", "A1 0", "B1 +1/2", "C1 -1/4", "check BM1 +1"),
        {"heights": Unit.IN},
        "reference shot check decision target",
    ),
    "a limit": (
        ("e", *["down"] * list(TERMS).index("drift"), "enter", "1/2\n", "a worn rod\n", "escape"),
        ("A1 0",),
        {"heights": Unit.IN},
        "shot term",
    ),
}


@pytest.mark.parametrize("day", DAYS)
async def test_a_day_is_the_same_in_every_language(tmp_path: Path, day: str) -> None:
    keys, lines, known, kinds = DAYS[day]
    books = {each: await written(tmp_path, each, keys, *lines, **known) for each in LANGUAGES}
    assert {json.loads(entry)["kind"].replace(" ", "-") for entry in books["en"]} == set(kinds.split())
    assert all(books[each] == books["en"] for each in LANGUAGES)


def test_each_reason_is_one_of_these_or_that_of_a_spot_left_out():
    assert {*TARGETS, OwnReason.RUT} == {*OwnReason}


def test_a_code_is_said_and_the_words_of_an_older_book_are_left_as_they_are():
    with speaking("es"):
        said = {reason_words(reason.value) for reason in OwnReason}
        assert said & {*OwnReason} == set()
        assert [reason_words(each) for each in ("promedio", "typed twice", "")] == ["promedio", "typed twice", ""]
    assert [reason_words(each) for each in ("promedio", "average")] == ["promedio", "average"]
