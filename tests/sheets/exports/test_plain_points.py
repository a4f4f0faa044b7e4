"""The plain file of points: five columns, metres or feet, the zero and the references by name."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.book.storage.opening import JobFile
from rodcall.sheets.exports.export import ExportError, Kind, export
from rodcall.units import FOOT, M
from tests.kit import say
from tests.sheets.exports.test_landxml import an_l
from tests.sheets.kit import a_file, figures_of, finished, shoot, sloped


def rows_of(opened: JobFile, unit: str = "", *, header: bool = False) -> list[list[str]]:
    content = export(opened, Kind.POINTS, None, unit, header=header).decode("ascii")
    return list(csv.reader(io.StringIO(content, newline=""), strict=True))


@pytest.mark.parametrize("job", [finished, sloped, an_l])
def test_five_columns_and_no_header(job):
    """Point, north, east, height, description (common practice); RFC 4180: each line has as many fields."""
    opened = job()
    rows = rows_of(opened)
    assert {len(row) for row in rows} == {5}
    assert len(rows) - figures_of(opened).counted in (0, 1)
    for row in rows:
        assert all(float(cell) == float(cell) for cell in row[1:4])
        assert "-0.00000" not in row


def test_a_header_names_the_unit_and_what_the_heights_are():
    assert rows_of(finished(), header=True)[0] == ["point", "north_ft", "east_ft", "height_ft", "description"]
    assert rows_of(an_l(), "m", header=True)[0] == ["point", "north_m", "east_m", "elevation_m", "description"]


def test_feet_are_international_feet():
    """0.3048 m (24 FR 5348)."""
    for feet, metres in zip(rows_of(an_l(), "ft"), rows_of(an_l(), "m"), strict=True):
        assert feet[0] == metres[0]
        for one, other in zip(feet[1:4], metres[1:4], strict=True):
            assert float(one) * 0.3048 == pytest.approx(float(other), abs=1e-5)


def test_heights_are_those_of_the_book():
    opened = an_l()
    summary = figures_of(opened)
    for name, *_, height, _ in rows_of(opened, "m"):
        told = int(summary.heights[summary.grid.index(name)]) + summary.datum.zero_nm
        assert float(height) == pytest.approx(told / M, abs=1e-5)


def test_the_zero_and_a_benchmark_on_the_pad_are_named():
    dug = {row[0]: row for row in rows_of(finished())}
    assert dug["ZERO"] == ["ZERO", "0.00000", "0.00000", "0.00000", "the zero, A1"]
    assert dug["A1"][4] == "final round, inside"
    before = shoot(a_file("A1 0"))
    say(before.book, "strike A1", "A1 0")
    rows = rows_of(before)
    assert rows[0][4] == "existing round, shot, the zero"
    assert "ZERO" not in [row[0] for row in rows]


def test_a_reference_that_nobody_placed_has_no_line():
    assert "BM1" not in [row[0] for row in rows_of(an_l())]


def test_nothing_shot_is_refused():
    with pytest.raises(ExportError, match="no shots yet"):
        export(a_file(), Kind.POINTS)


@settings(max_examples=20, deadline=None)
@given(st.floats(0, 359.99).map(lambda degrees: round(degrees, 2)), st.sampled_from(["m", "ft"]))
def test_distances_are_those_of_the_pad_whatever_way_it_lies(bearing, unit):
    opened = shoot(a_file(f"set bearing {bearing}", "set a1 5000m,2000m"))
    at = {row[0]: complex(float(row[1]), float(row[2])) for row in rows_of(opened, unit)}
    metres = 1.0 if unit == "m" else FOOT / M
    assert abs(at["A4"] - at["A1"]) * metres == pytest.approx(18.288, abs=2e-5)
    assert abs(at["C1"] - at["A1"]) * metres == pytest.approx(12.192, abs=2e-5)
