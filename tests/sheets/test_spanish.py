"""Sheets in Spanish: no English word of ours is left on them, and they are sheets of the same book."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from pypdf import PdfReader

from rodcall.book.model.entries import LaserTest, Readings, Remedy
from rodcall.book.storage.opening import JobFile
from rodcall.i18n import LANGUAGES, speaking, spoken
from rodcall.sheets.digest import grouped, verify
from rodcall.sheets.make import Output, make
from rodcall.sheets.typeset.lettering import Lettering
from rodcall.units import MM, M, Unit
from tests import catalogue
from tests.kit import put_right, say
from tests.sheets.kit import a_file, finished, shoot, text_of

CREW = (
    *("set people Ana y Luis", "set weather seco", "set agreed-by el cliente", "set instrument nivel 7"),
    *("note césped quitado", "B2 out bache", "set north ne", "set stone 4in", "set margin-near 6ft"),
)
WRITTEN = "Vivero, Ana y Luis, seco, el cliente, nivel, césped quitado, bache, viento"
"""What a crew that speaks Spanish wrote: it is the same on both sheets, and no English word hides in it."""


def our_words(text: str) -> set[str]:
    """Words of two letters and more, in small letters, but for groups of a digest and the tablet's name."""
    without_names = re.sub(r"(\b[0-9a-f]{4}\b ?){3,}|\btablet-a\b", "", text)
    return {word.lower() for word in re.findall(r"[^\W\d_]{2,}", without_names)}


TYPED = "rodcall verify enter JOB.json ZERO BM1 BM2 TP1 setup check out rut ne"
STANDARDS = "ASTM E29, JCGM 106, ISO IEC, UTC, rms"
UNITS = "in ft yd mm min"
SPANISH_TOO = "final no simple"
MARKS = "sz"
SAME = our_words(" ".join((WRITTEN, TYPED, STANDARDS, UNITS, SPANISH_TOO, MARKS)))


def a_day() -> JobFile:
    """Three rounds with everything that a sheet can tell of heights: bad checks, what follows, water, dirt, stone."""
    opened = shoot(a_file(*CREW, "reference BM1 low 4 1/2in", name="Vivero", slope_along=-0.01), 1)
    book = opened.book
    say(book, "A2 again +3", "strike C3", "target suggested", "check BM1 -2in", "round working")
    shoot(opened, 2)
    say(book, "check BM1 -3in", "machine BM1 -4in")
    book.decide(Remedy.SHIFT, book.page.checks[-1], "viento")
    book.test_laser(LaserTest.TWO_PEGS, ["4'", "5'", "4'", "5' 1/4\""], ["10ft", "100ft", "100ft", "10ft"])
    put_right(book, "A1", "-1/2", "wrong sign")
    say(book, "round final")
    shoot(opened, 3, 4 * MM)
    say(book, "check ZERO +1/2", "check BM1 -4 1/2")
    return opened


def a_rod_day() -> JobFile:
    """From a plain rod in metres, over a turning point, with nothing chosen and one position not shot."""
    opened = a_file(
        *("reference BM1 high 0.2m", "reference BM2 high 0.1m", "setup BM1 1.31", "turn TP1 1.48", "setup TP1 1.52"),
        *("set margin-far 2m", "check BM2 1.7"),
        heights=Unit.M,
        along=5,
        across=4,
        length=40 * M,
        width=30 * M,
        readings=Readings.ROD,
        name="Vivero",
    )
    shoot(opened, 5)
    say(opened.book, "strike C2", "check BM1 1.43", "check TP1 1.62")
    return opened


DAYS = {"a day": a_day, "a day with a rod": a_rod_day, "an empty book": lambda: a_file(name="Vivero")}


@pytest.mark.parametrize("form", [Output.AS_BUILT, Output.BLANK])
@pytest.mark.parametrize("day", DAYS)
def test_no_english_word_is_left(day, form):
    opened = DAYS[day]()
    english, other = (make(opened, ".txt", form, language=each).content.decode() for each in ("en", "es"))
    assert our_words(english) & our_words(other) <= SAME


@pytest.mark.parametrize("form", [Output.AS_BUILT, Output.BLANK])
def test_no_english_word_is_left_on_paper(form):
    opened = a_day()
    made = {language: make(opened, ".pdf", form, language=language) for language in ("en", "es")}
    english, other = (our_words(text_of(PdfReader(BytesIO(made[each].content)))) for each in ("en", "es"))
    assert english & other <= SAME
    assert made["es"].missing == (), "a letter that the font lacks"


def test_the_font_has_every_letter_of_the_catalogue():
    lettering = Lettering()
    for sentence in (text for entry in catalogue.read("es") for text in (entry.msgstr, *entry.msgstr_plural.values())):
        lettering.printable(sentence)
    assert lettering.missing == ()


@pytest.mark.parametrize("language", LANGUAGES)
def test_numbers_marks_and_digest_are_the_same_in_every_language(language):
    """Read back from the text: each number of the English sheet stands on the other, as often."""
    opened = a_day()
    english, other = (
        make(opened, ".txt", Output.AS_BUILT, language=each).content.decode() for each in ("en", language)
    )
    numbers = [sorted(re.findall(r"[-+]?\d+(?:[-/.:]\d+)*", text)) for text in (english, other)]
    assert numbers[0] == numbers[1]
    assert grouped(opened.seal) in other


def test_the_digest_of_a_spanish_sheet_is_that_of_the_book():
    opened = finished()
    sheet = make(opened, ".txt", Output.AS_BUILT, language="es").content.decode()
    printed = re.search(r"(?:[0-9a-f]{4} ){15}[0-9a-f]{4}", sheet)
    assert printed is not None
    with speaking("es"):
        answer = verify(printed[0], opened)
        assert answer.same
        assert answer.words == (
            f"sí: este es el libro del que se hizo la hoja ({len(opened.book.entries)} anotaciones)",
        )
    assert verify(printed[0], opened).words[0].startswith("yes: ")


def test_a_sheet_speaks_the_language_that_was_asked_else_the_jobs_else_the_one_that_is_spoken():
    opened = a_file(name="Vivero")

    def title(language: str = "") -> str:
        return make(opened, ".txt", Output.AS_BUILT, language=language).content.decode().splitlines()[0]

    english, spanish = "AS-BUILT CERTIFICATE", "CERTIFICADO DE OBRA TERMINADA"
    assert title() == english
    with speaking("es"):
        assert title() == spanish
    say(opened.book, "set sheet-language es")
    assert (title(), title("en"), spoken()) == (spanish, english, "en")
    say(opened.book, "set sheet-language en")
    with speaking("es"):
        assert (title(), title("es"), spoken()) == (english, spanish, "es")


def test_a_reason_of_the_program_is_said_and_one_of_the_crew_stands_as_it_was_typed():
    opened = a_file("A1 +3", "B1 out rut or pile", "C1 out typed twice", "target suggested", name="Vivero")
    english, other = (make(opened, ".txt", Output.AS_BUILT, language=each).content.decode() for each in ("en", "es"))
    assert all(reason in english for reason in ("rut or pile", "typed twice", "suggested"))
    assert all(reason in other for reason in ("rodada o montón", "typed twice", "sugerido"))
    assert "rut or pile" not in other


def test_lines_for_enter_in_spanish_are_lines_for_enter():
    opened = a_file(*CREW, name="Vivero")
    lines = make(opened, ".txt", Output.BLANK, language="es").content.decode()
    filled = lines.replace("____", "-1/2").replace("# check", "check").replace("# setup", "setup")
    say(opened.book, *filled.splitlines())
    assert opened.book.page.round.shots == opened.book.job.grid.size
