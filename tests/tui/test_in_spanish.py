"""The screens in Spanish: no English word of ours is left, and nothing that matters is cut off."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rodcall.book.model.terms import DIG_BY, SOIL_NAMES, SURFACES, TERMS
from rodcall.i18n import speak
from rodcall.tui.widgets.lines import Lines
from tests.kit import a_book
from tests.tui.kit import Crew, crew, painted

SHOTS = ("A1 0", "B1 +2", "C1 -4", "C2 +3", "B2 -1/4", "A2 out rut", "target -1/2", "reference BM1 +4", "check BM1 +4")
PAGES: dict[str, tuple[str, ...]] = {
    "grid": (),
    "question": ("1", "enter"),
    "overview": ("v",),
    "target": ("t",),
    "terms": ("e",),
    "proof": ("a",),
    "help": ("?",),
    "legend": ("k",),
    "menu": ("*",),
    "lay out": ("p",),
    "call out": ("j",),
    "worst": ("!",),
    "leave out": ("o",),
    "round": ("r",),
    "test": ("i",),
    "check": ("c",),
    "note": ("n",),
}
OURS_IN_BOTH = {
    *("Enter", "Greenhouse", "rodcall", "final", "zero", "along", "across", "Hollow", "with"),
    *(
        "Army",
        "Ohio",
        "WSDOT",
        "Design",
        "Manual",
        "ZERO",
        "Backspace",
        "Down",
        "base",
        *TERMS,
        *SOIL_NAMES,
        *SURFACES,
        *DIG_BY,
    ),
}
"""Names, marks and words that both languages have."""
DATA = re.compile(r"[a-z]+-[a-z0-9-]+")
"""Names of terms, as `enter` takes them."""


def seen(at: Crew) -> str:
    """All text of the screen that is up."""
    screen = at.pilot.app.screen
    widgets = [widget for widget in screen.query("*") if not widget.children and widget.display]
    return "\n".join(each.shown if isinstance(each, Lines) else painted([each]) for each in widgets)


def words_of(text: str) -> set[str]:
    return set(re.findall(r"[A-Za-zÀ-ÿ]{4,}", DATA.sub(" ", text)))


async def page(folder: Path, language: str, keys: tuple[str, ...]) -> str:
    book = a_book(*SHOTS)
    speak(language)
    async with crew(book, folder / language, (80, 24)) as at:
        speak(language)
        await at.press("enter")
        await at.press(*keys)
        await at.settled()
        return seen(at)


@pytest.mark.parametrize("name", PAGES)
async def test_no_english_word_is_left(tmp_path: Path, name: str) -> None:
    english = await page(tmp_path, "en", PAGES[name])
    spanish = await page(tmp_path, "es", PAGES[name])
    assert spanish != english
    left = words_of(spanish) & words_of(english) - OURS_IN_BOTH
    assert {word for word in left if set(word) - set("CFS")} == set(), "but for what the chart is drawn with"


async def test_large_letters_say_it_without_accents(tmp_path: Path) -> None:
    speak("es")
    async with crew(a_book(), tmp_path, (80, 24)) as at:
        speak("es")
        await at.key("-1-3/8\n")
        assert at.session.read_back.text.startswith("A1  BAJO 1-3/8")
        rows = at.shown("read_back").splitlines()
        assert set("".join(rows)) & set("▀▄█")
