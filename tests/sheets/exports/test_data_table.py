"""The table of all positions for programs: columns, types as pandas reads them, the same in every language."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime

import numpy as np
import pandas as pd
import pytest

from rodcall.book.storage.opening import JobFile
from rodcall.i18n import speaking
from rodcall.sheets.exports.data_table import COLUMNS, iso_time
from rodcall.sheets.exports.export import Kind, export
from rodcall.sheets.exports.figures_json import figures
from tests.kit import say
from tests.sheets.exports.test_landxml import an_l
from tests.sheets.kit import a_file, figures_of, finished, from_a_rod, shoot, sloped


def table_of(opened: JobFile, round_number: int | None = None) -> pd.DataFrame:
    """As anybody would load it: no type is named but that of the times."""
    return pd.read_csv(io.BytesIO(export(opened, Kind.TABLE, round_number)), parse_dates=["time"])


TYPES = {
    "job": "text", "round": "i", "kind": "text", "position": "text", "state": "text",
    "x_m": "number", "y_m": "number", "north_m": "f", "east_m": "f",
    "height_mm": "number", "elevation_m": "f", "design_mm": "number", "target_chosen": "b", "deviation_mm": "number",
    "limit_high_mm": "number", "limit_low_mm": "number", "uncertainty_mm": "f", "too_close": "b", "suspect": "b",
    "readings": "i", "setup": "number", "setup_reference": "text", "entry": "i", "time": "M",
}  # fmt: skip
KINDS = {"number": "if", "i": "i", "f": "f", "b": "b", "M": "M"}


def test_each_column_loads_with_its_type():
    """pandas' own guesses; a pad with every position shot from a set-up and a datum has no empty cell."""
    opened = from_a_rod()
    say(opened.book, "C2 4.31", "target 0", "datum BM1 812.40ft")
    table = table_of(opened)
    assert list(table.columns) == list(COLUMNS) == list(TYPES)
    for name, kind in TYPES.items():
        if kind == "text":
            assert table[name].map(type).eq(str).all(), name
        else:
            assert table[name].dtype.kind in KINDS[kind], (name, table[name].dtype)
    assert not table.isna().any(axis=None)
    assert str(table["time"].dtype).endswith("UTC]")
    assert set(table["setup_reference"]) == {"TP1"}
    assert set(table["setup"]) == {2}


@pytest.mark.parametrize("job", [finished, sloped, from_a_rod, an_l])
def test_its_numbers_are_those_of_figures_json(job):
    opened = job()
    told, table = figures(figures_of(opened)), table_of(opened).set_index("position")
    assert table["height_mm"].dropna().to_dict() == pytest.approx(told["heights_mm"], abs=0)
    assert table["deviation_mm"].dropna().to_dict() == pytest.approx(told["deviations_mm"], abs=0)
    assert table["uncertainty_mm"].dropna().to_dict() == pytest.approx(told["doubt_mm"], abs=1e-6)
    on_pad = table[table["state"] != "not pad"]
    assert on_pad["design_mm"].to_dict() == pytest.approx(told["design_mm"], abs=0)
    assert list(table.index[table["too_close"] == True]) == told["marginal"]  # noqa: E712 - an object column has blanks
    assert list(table.index[table["state"].isin(["HIGH", "LOW"])]) == (
        told["outside"] if figures_of(opened).has_verdict else []
    )
    assert set(table["limit_high_mm"]) == {told["limits"]["high_mm"]}
    out = {1: dict(zip(table.index, table["elevation_m"], strict=True))}
    if told["datum"] and told["datum"]["zero_elevation_mm"] is not None:
        for name, height in told["heights_mm"].items():
            assert out[1][name] == pytest.approx((height + told["datum"]["zero_elevation_mm"]) / 1e3, abs=1e-9)


def test_places_are_right_and_away_of_a1():
    """60 ft away and 40 ft to the right: 18.288 m and 12.192 m."""
    table = table_of(shoot(a_file("set north e"))).set_index("position")
    assert (table.loc["C4", "x_m"], table.loc["C4", "y_m"]) == (12.192, 18.288)
    assert (table.loc["C4", "north_m"], table.loc["C4", "east_m"]) == (-12.192, 18.288)


def test_no_language_changes_a_byte():
    opened = finished()
    with speaking("es"):
        spanish = export(opened, Kind.TABLE)
    assert spanish == export(opened, Kind.TABLE)
    assert spanish.isascii()


def test_the_lines_are_as_rfc_4180_has_them():
    """RFC 4180, 2: lines end in CRLF, the last one too; each has as many fields; quotes where a comma stands."""
    opened = shoot(a_file(name='Pad, "north"\n=1+1'))
    text = export(opened, Kind.TABLE).decode()
    assert text.endswith("\r\n")
    assert '"Pad, ""north""·=1+1"' in text
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert {len(row) for row in rows} == {len(COLUMNS)}
    assert len(rows) == 1 + opened.book.job.grid.size
    assert export(shoot(a_file(name="=1+1")), Kind.TABLE).decode().splitlines()[1].startswith("'=1+1,")


def test_what_was_not_shot_has_empty_cells():
    opened = a_file("A1 -1/2", "B1 out rut", "C1 not pad", "target -1/2")
    table = table_of(opened).set_index("position")
    assert table["state"][:4].tolist() == ["inside", "left out", "not pad", "not shot"]
    assert table["height_mm"].notna().tolist() == [True] + [False] * 11
    assert table["time"].notna().tolist() == [True] + [False] * 11
    assert table["design_mm"].tolist() == [-12.7] * 12


def test_a_round_can_be_named():
    first, last = (table_of(finished(), number) for number in (1, None))
    assert (set(first["kind"]), set(last["kind"])) == ({"existing"}, {"final"})
    assert not np.allclose(first["height_mm"].fillna(0), last["height_mm"].fillna(0))


@pytest.mark.parametrize(
    "when", ["1969-07-20T20:17:40+00:00", "2026-04-18T07:30:00+00:00", "0001-01-01T00:00:00+00:00"]
)
def test_times_are_iso_8601(when):
    time = datetime.fromisoformat(when)
    assert datetime.fromisoformat(iso_time(time.timestamp())) == time
    assert iso_time(datetime(9999, 12, 31, 23, 59, 59, tzinfo=UTC).timestamp() + 86400) == ""
