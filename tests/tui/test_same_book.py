"""One book in every language: the same keys write the same entries, and the program's own reasons are codes in it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from rodcall.book.model.own_reasons import OwnReason, reason_words
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
    *("bBM1\n", "2", "+4\n", "nail\n", "cBM1\n", "+4\n"),
    *("o1\n", "o2\n", "stump\n", "o3\n"),
    *("ndry\n", "w2", "i1", "100ft\n", "48\n", "48\n", "48\n", "48\n", "i3", "BM1\n", "+4\n"),
    *("r1", "r2"),
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


@pytest.mark.parametrize("heights", [Unit.IN, Unit.MM])
async def test_a_day_is_the_same_in_every_language(tmp_path: Path, heights: Unit) -> None:
    books = {each: await written(tmp_path, each, A_DAY, "target 0", heights=heights) for each in LANGUAGES}
    kinds = {json.loads(entry)["kind"] for entry in books["en"]}
    assert {"shot", "strike", "leave out", "not pad", "note", "walk", "round"} <= kinds
    assert all(books[each] == books["en"] for each in LANGUAGES)


def test_each_reason_is_one_of_these_or_that_of_a_spot_left_out():
    assert {*TARGETS, OwnReason.RUT} == {*OwnReason}


def test_a_code_is_said_and_the_words_of_an_older_book_are_left_as_they_are():
    with speaking("es"):
        said = {reason_words(reason.value) for reason in OwnReason}
        assert said & {*OwnReason} == set()
        assert [reason_words(each) for each in ("promedio", "typed twice", "")] == ["promedio", "typed twice", ""]
    assert [reason_words(each) for each in ("promedio", "average")] == ["promedio", "average"]
