"""Published level notes, run through the book's setups and turning points."""

from __future__ import annotations

import pytest

from rodcall.book.model.entries import Readings
from rodcall.units import MM, Unit, parse_length, write
from tests.kit import a_book, a_job, say


def run(unit: Unit, benchmark: str, pairs: list[tuple[str, str]]) -> list[int]:
    """Carry a height through setups: backsight on the last point, foresight on the next; heights in nm.

    The foresight is written as a shot at A1, and its height becomes the turning point's reference.
    """
    job = a_job(unit, readings=Readings.ROD)
    book = a_book(f"reference P0 high {benchmark}", job=job)
    heights = [book.page.references["P0"]]
    for number, (backsight, foresight) in enumerate(pairs):
        say(book, f"setup P{number} {backsight}", f"A1 {foresight}")
        height = book.page.round.height_at(0)
        assert height is not None
        say(book, f"reference P{number + 1} high {write(height, unit, sign=False)}")
        heights.append(height)
    return heights


def test_four_setups_in_feet():
    """A university levelling exercise of four set-ups (SEEN, its page recomputed): BM A 100.00 to BM B."""
    pairs = [("3.10", "9.82"), ("6.44", "6.96"), ("8.76", "3.27"), ("7.12", "10.42")]
    heights = run(Unit.FT, "100.00", pairs)
    expected = ["100.00", "93.28", "92.76", "98.25", "94.95"]
    assert heights == [parse_length(text, Unit.FT) for text in expected]
    change = sum(parse_length(b, Unit.FT) - parse_length(f, Unit.FT) for b, f in pairs)
    assert change == heights[-1] - heights[0] == -parse_length("5.05ft"), "the page check"
    assert heights[-1] - parse_length("94.91ft") == parse_length("0.04ft"), "computed minus fixed, FM 5-233 App. B"


def test_eight_setups_in_metres_back_to_the_start():
    """NPTEL course 105107122 Surveying, module 4, Ex13-1 (SEEN; the page misprints one fall and one elevation)."""
    pairs = [
        ("1.205", "1.860"),
        ("0.125", "1.915"),
        ("0.395", "2.615"),
        ("0.880", "1.760"),
        ("1.960", "0.920"),
        ("2.595", "0.915"),
        ("2.255", "0.515"),
        ("2.305", "1.170"),
    ]
    heights = run(Unit.M, "150.485", pairs)
    expected = ["149.830", "148.040", "145.820", "144.940", "145.980", "147.660", "149.400", "150.535"]
    assert heights[1:] == [parse_length(text, Unit.M) for text in expected]
    assert heights[-1] - heights[0] == 50 * MM, "misclosure +0.050"


@pytest.mark.parametrize(("readings", "sign"), [(Readings.ROD, -1), (Readings.DIRECT_ROD, 1)])
def test_the_same_reading_as_the_backsight_is_the_references_height(readings, sign):
    """Height of instrument: plain rod reference + backsight - reading; direct-reading rod the other way round."""
    book = a_book(
        "reference BM1 low 0.35", "setup BM1 4.28", "A1 4.28", "B1 4.30", job=a_job(Unit.FT, readings=readings)
    )
    at_reference, other = book.page.round.height_at(0), book.page.round.height_at(1)
    assert at_reference == -parse_length("0.35ft")
    assert other - at_reference == sign * parse_length("0.02ft")
