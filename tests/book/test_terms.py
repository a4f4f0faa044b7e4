"""Terms as entries of the book: set, set anew, undone, kept in the file, and refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rodcall.book.book import Book
from rodcall.book.entry_lines import DictationError
from rodcall.book.model.terms import EXIT_NAMES, SOIL_NAMES, TERMS, Kind, TermError, parse_term
from rodcall.book.storage.opening import JobFile, open_job
from rodcall.figures.earthwork.dig import Exit
from rodcall.figures.earthwork.stone import SOILS
from rodcall.units import FOOT, INCH
from tests.kit import a_book, say

EXAMPLES = {
    Kind.LENGTH: "3ft", Kind.VOLUME: "2yd3", Kind.SHARE: "12%", Kind.DENSITY: "1.9ton/yd3", Kind.COUNT: "30",
    Kind.BEAM: "1/8in/100ft", Kind.DEGREES: "37.5",
}  # fmt: skip
PLACES = {
    "datum": "BM1 812.40ft",
    "a1": "5000ft,2000ft",
    "a1-wgs84": "46.2087310,-116.8800000",
    "bearing": "37.5",
    "zone": "B2:C3",
    "grid-meridian": "-117",
}


def an_example(name: str) -> str:
    """Something that can be said for a term."""
    term = TERMS[name]
    return term.choices[-1] if term.choices else PLACES.get(name) or EXAMPLES.get(term.kind, "C1")


def test_a_term_is_set_and_set_anew() -> None:
    book = a_book("set lane 12ft", "set lane 18'")
    assert book.page.terms.length("lane") == 18 * FOOT
    assert book.page.terms_set["lane"].said == "18'"


def test_undo_brings_back_what_was_said_before_and_then_the_custom() -> None:
    book = a_book("set bucket 1m3", "set bucket 2m3")
    book.undo()
    assert book.page.terms.number("bucket") == 1.0
    book.undo()
    assert book.page.terms.said == {}
    assert book.page.terms.number("bucket") == TERMS["bucket"].default
    book.redo()
    assert book.page.terms.number("bucket") == 1.0


@pytest.mark.parametrize("name", TERMS)
def test_every_term_comes_back_from_the_file(name: str, tmp_path: Path) -> None:
    book = a_book(f"set {name} {an_example(name)}")
    JobFile(tmp_path / "pad.json", book).save()
    again = open_job(tmp_path / "pad.json", "reader").book.page
    assert dict(again.terms.said) == dict(book.page.terms.said) == {name: parse_term(name, an_example(name))}
    assert again.terms_set[name].said == an_example(name)


def _set_in_file(path: Path, book: Book, **fields: object) -> None:
    JobFile(path, book).save()
    told = json.loads(path.read_text("utf-8"))
    told["entries"][-1] |= fields
    path.write_text(json.dumps(told), "utf-8")


@pytest.mark.parametrize(
    "fields",
    [{"value": 0.2}, {"said": "20%"}, {"value": "10%"}, {"name": "swell", "value": 0.2}, {"name": "no-such-term"}],
)
def test_a_term_whose_words_and_value_disagree_is_left_out_and_named(fields: dict[str, object], tmp_path: Path) -> None:
    path = tmp_path / "pad.json"
    _set_in_file(path, a_book("set shrink 10%"), **fields)
    before = path.read_bytes()
    opened = open_job(path, "reader")
    assert opened.book.entries == []
    assert "left out: entry 1" in opened.recovered
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("name", "said", "part"),
    [
        ("shrnk", "10%", "no such term: 'shrnk'"),
        ("shrink", "10", "say 10%"),
        ("shrink", "100%", "between"),
        ("swell", "-5%", "0 % or more"),
        ("bucket", "0yd3", "must be above 0"),
        ("truck", "ten", "say"),
        ("lane", "0ft", "must be above 0"),
        ("lane", "12", "which unit"),
        ("soil", "mud", "sand loam clay rock"),
        ("exit", "behind", "near-left"),
        ("stone-density", "2", "2.1t/m3"),
        ("check-shots", "0", "above 0"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(name: str, said: str, part: str) -> None:
    book = a_book()
    with pytest.raises(ValueError, match=part.replace(".", r"\.")) as refusal:
        book.set_term(name, said)
    assert book.entries == []
    assert "\n" not in str(refusal.value)


def test_a_choice_may_be_said_with_a_space_and_in_capitals() -> None:
    assert parse_term("exit", " Far Left ") == "far-left"


def test_set_wants_a_name_and_a_value() -> None:
    book = a_book()
    for line in ("set", "set shrink"):
        with pytest.raises(DictationError, match="incomplete"):
            say(book, line)


def test_unknown_terms_are_named_with_those_that_are_known() -> None:
    with pytest.raises(TermError, match="known: soil shrink swell"):
        parse_term("gravel", "4in")


def test_margins_make_a_footprint_and_those_not_set_are_zero() -> None:
    assert a_book("set lane 9ft").page.terms.footprint is None
    assert a_book("set margin-far 6in", "set margin-left 2ft").page.terms.footprint == (0, 6 * INCH, 2 * FOOT, 0)


def test_the_names_that_the_book_takes_are_those_that_the_figures_know() -> None:
    assert tuple(soil.name for soil in SOILS) == SOIL_NAMES
    assert tuple(str(exit_).replace(" ", "-") for exit_ in Exit) == EXIT_NAMES
