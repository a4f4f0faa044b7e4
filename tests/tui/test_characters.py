"""The screens in ASCII alone: every character has another one, widths stay, and what differs goes on to differ."""

from __future__ import annotations

import ast
import shutil
import subprocess
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from unicodedata import category, numeric

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color

import rodcall
from rodcall.tui.terminal.charset import UNKNOWN, Plain, customary, in_ascii
from rodcall.tui.widgets.block_digits import block_letters

GROUND = Color(0, 0, 0)
HOUSE = Path(rodcall.__file__).parent
UNSHOWABLE = "·□"
"""What stands where a character cannot be shown, on screens and on paper."""


def texts() -> Iterator[str]:
    """Every text in the program's sources, but for what is written about it in docstrings."""
    for file in HOUSE.rglob("*.py"):
        tree = ast.parse(file.read_text("utf-8"))
        told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
                yield node.value


OURS = sorted({char for text in texts() for char in text if not char.isascii()})
FRACTIONS = [char for char in OURS if category(char) == "No" and numeric(char) % 1]


def filtered(*texts: str) -> str:
    segments = [Segment(text) for text in texts]
    return "".join(segment.text for segment in Plain().apply(segments, GROUND))


def test_the_sources_have_such_characters() -> None:
    """Else the next tests prove nothing."""
    assert {"█", "▀", "▄", "ñ", "¿", "½"} <= set(OURS)


@pytest.mark.parametrize("char", OURS)
def test_every_character_of_the_program_has_another_one(char: str) -> None:
    plain = in_ascii(char)
    assert plain.isascii()
    assert plain.isprintable()
    assert (UNKNOWN in plain) is (char in UNSHOWABLE)


def test_letters_marks_and_quotes_are_what_glibc_makes_of_them() -> None:
    """COMPUTED by iconv's transliteration (glibc), apart from what it makes wider or has nothing for."""
    if shutil.which("iconv") is None:
        pytest.skip("no iconv here")
    chars = [char for char in OURS if category(char) != "So" and char not in f"¿¡«»—{UNSHOWABLE}"]
    command = ["iconv", "-f", "UTF-8", "-t", "ASCII//TRANSLIT"]
    environment = {"LC_ALL": "C.UTF-8"}
    told = subprocess.run(
        command, input="\n".join(chars), capture_output=True, text=True, encoding="utf-8", env=environment, check=False
    )
    theirs = dict(zip(chars, told.stdout.split("\n"), strict=False))
    if theirs.get("ñ") != "n":
        pytest.skip("this iconv does not transliterate")
    known = {char: plain.strip() for char, plain in theirs.items() if "?" not in plain}
    assert len(known) > 20
    assert {char: in_ascii(char).strip() for char in known} == known


def test_the_parts_of_large_letters_stay_apart() -> None:
    """Each letter and figure is still told from every other one."""
    letters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ+-/.,:'\"!?^>"
    drawn = ["\n".join(map(in_ascii, block_letters(letter))) for letter in letters]
    assert len(set(drawn)) == len(letters)
    assert all(text.isascii() for text in drawn)


@pytest.mark.parametrize("char", FRACTIONS)
def test_a_fraction_is_written_out(char: str) -> None:
    """As Unicode's own tables have it (COMPUTED by Python's unicodedata); 4½ must not become 41/2."""
    share = Fraction(numeric(char)).limit_denominator(16)
    for before, whole in (("", 0), ("4", 4)):
        assert sum(map(Fraction, in_ascii(f"{before}{char}").split())) == whole + share


def test_what_gets_longer_takes_its_room_from_gaps_behind_it() -> None:
    told = "½ acre      8 of 12   saved"
    assert filtered(told) == "1/2 acre    8 of 12   saved"
    assert filtered("½ acre ", "x", "   8 of 12") == "1/2 acre x 8 of 12"
    assert filtered("3½", " in") == "3 1/2", "and from the end where there is no gap"
    assert filtered("4", "½", "    ") == "4 1/2 "


@given(st.lists(st.text(st.characters(exclude_categories=["C", "Zl", "Zp"])), max_size=6))
def test_any_line_becomes_ascii_of_the_same_width(parts: list[str]) -> None:
    """Wide characters and such without a width of their own as well, whatever a crew calls a job."""
    shown = filtered(*parts)
    assert shown.isascii()
    assert len(shown) == sum(map(cell_len, parts))


@given(st.text(st.characters(max_codepoint=126, min_codepoint=32)))
def test_ascii_stays_as_it_is(text: str) -> None:
    assert filtered(text) == text


LOCALES = [
    ({}, "ascii"),
    ({"LANG": "C"}, "ascii"),
    ({"LANG": "POSIX"}, "ascii"),
    ({"LANG": "es_MX.ISO-8859-1"}, "ascii"),
    ({"LANG": "en_US"}, "ascii"),
    ({"LANG": "en_US.UTF-8"}, "utf-8"),
    ({"LANG": "es_ES.utf8"}, "utf-8"),
    ({"LANG": "de_DE.UTF-8@euro"}, "utf-8"),
    ({"LANG": "C", "LC_CTYPE": "es_MX.UTF-8"}, "utf-8"),
    ({"LANG": "es_MX.UTF-8", "LC_CTYPE": "C"}, "ascii"),
    ({"LANG": "es_MX.UTF-8", "LC_ALL": "C"}, "ascii"),
    ({"LANG": "es_MX.UTF-8", "LC_ALL": "", "LC_CTYPE": ""}, "utf-8"),
    ({"LANG": "C", "LC_CTYPE": "C.UTF-8"}, "utf-8"),
]
"""The order of the variables: SEEN, POSIX.1-2017, 8.2. A locale without an encoding has an old one (MEMORY)."""


@pytest.mark.parametrize(("environment", "expected"), LOCALES)
def test_the_locale_tells_what_the_terminal_can_show(environment: dict[str, str], expected: str) -> None:
    assert customary(environment, coerced=False) == expected


def test_what_python_sets_by_itself_tells_nothing() -> None:
    """SEEN, PEP 538: in the C locale Python sets LC_CTYPE to C.UTF-8 before anything of ours runs."""
    assert customary({"LANG": "C", "LC_CTYPE": "C.UTF-8"}, coerced=True) == "ascii"
    assert customary({"LANG": "C", "LC_CTYPE": "es_MX.UTF-8"}, coerced=True) == "utf-8"
