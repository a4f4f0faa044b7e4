"""Names print in Latin, Greek and Cyrillic letters; what the font lacks is a box, and is told."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest
from fontTools.ttLib import TTFont

from rodcall.sheets.make import Output, make
from rodcall.sheets.typeset.lettering import BOLD, BOX, REGULAR, Lettering, _widths, fonts_folder, width_of
from tests.cli.kit import NEEDED, rodcall
from tests.kit import say
from tests.sheets.kit import a_file, pdf, text_of

NAMES = {
    "Spanish": "Plataforma nº 3, señor Íñigo Núñez Güell",
    "Polish": "Płyta pod szklarnię: źdźbło żółtej trawy",
    "Greek": "Θερμοκήπιο Ελαιώνα ΐΰ",
    "Cyrillic": "Белая Гора, щебень, ґанок",
    "signs of the trade": "½ ⅜ ⅞ 3′ 6″ → ↑ ▲ □ ± × ≤ – ² ³ µ",
}


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
def test_a_name_prints_as_it_is(name):
    opened = a_file(name=name, customer=name)
    assert make(opened, ".pdf", Output.AS_BUILT).missing == ()
    assert text_of(pdf(opened)).count(name) >= 3, "in the head, among the facts, on each page after the first"


def test_what_the_font_lacks_is_a_box_and_is_told_once_each():
    opened = a_file("note \u679c\u56ed \u679c", name="\u6e29\u5ba4 7")
    made = make(opened, ".pdf", Output.AS_BUILT)
    assert made.missing == ("\u6e29", "\u5ba4", "\u679c", "\u56ed")
    text = text_of(pdf(opened))
    assert f"{BOX * 2} 7" in text
    assert f"{BOX * 2} {BOX}" in text


@pytest.mark.parametrize("text", ["a\u202eb", "a\x1b[2Jb", "a\nb", "\ud800", "\u200d\u200f", "\U0001f6a7", "\ufffe"])
def test_no_text_disturbs_the_sheet(text):
    letters = Lettering()
    shown = letters.printable(text)
    assert len(shown) == len(text)
    assert shown.isprintable()
    assert width_of(shown, 8.0) > 0


def test_an_accent_that_stands_by_itself_joins_its_letter():
    assert Lettering().printable("e\u0301") == "\u00e9"


def test_letters_are_measured_as_the_font_has_them():
    """DejaVu Sans 2.37 advances `H` by 1540 of 2048 units (read from the font's own table with fonttools)."""
    assert width_of("HH", 8.0) == pytest.approx(2 * 1540 / 2048 * 8.0, rel=1e-3)


@pytest.mark.parametrize("name", [REGULAR, BOLD])
def test_the_fonts_tables_are_read_as_another_reader_reads_them(name):
    """Every character and its advance, COMPUTED with fonttools."""
    font = TTFont(fonts_folder() / f"{name}.ttf")
    widths = {code: font["hmtx"][glyph][0] / font["head"].unitsPerEm for code, glyph in font.getBestCmap().items()}
    assert _widths(name) == {code: pytest.approx(width) for code, width in widths.items() if code < 0xFFFF}


def test_the_licence_travels_with_the_fonts():
    folder = files("rodcall.sheets") / "typeset" / "fonts"
    names = {entry.name for entry in folder.iterdir()}
    assert names == {"DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "LICENSE-DejaVu.txt"}
    licence = re.sub(r"\s+", " ", (folder / "LICENSE-DejaVu.txt").read_text("utf-8"))
    assert "above copyright and trademark notices and this permission notice shall be included" in licence


def test_the_shell_tells_on_stderr_what_is_a_box(tmp_path):
    path = tmp_path / "pad.json"
    rodcall("new", path, *NEEDED, "--customer", "\u6e29")
    told = rodcall("sheet", path, "--to", tmp_path / "pad.pdf")
    assert (told.status, told.out) == (0, f"{tmp_path / 'pad.pdf'}\n")
    assert "printed as a box" in told.err
    assert "(U+6E29)" in told.err
    assert told.err.count("\n") == 1


def test_a_struck_reading_with_odd_words_prints():
    opened = a_file("A1 -1", "B1 out \u6e29\u202e rut")
    say(opened.book, "strike A1")
    assert make(opened, ".pdf", Output.AS_BUILT).missing == ("\u6e29",)
