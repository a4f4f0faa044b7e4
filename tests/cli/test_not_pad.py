"""`not pad` from a shell: what `enter` writes, and what `figures` and `sheet` make of it."""

from __future__ import annotations

import csv
import io

import pytest

from tests.cli.kit import figures, rodcall


def test_enter_takes_a_spot_and_a_rectangle(pad):
    before = figures(pad)
    assert (before["not_pad"], before["positions"], before["counted"]) == ([], 12, 12)
    assert rodcall("enter", pad, stdin="C4 not pad corner\nA1:B1 not pad\n").out == "2 entries written\n"
    told = figures(pad)
    assert told["not_pad"] == ["A1", "B1", "C4"]
    assert (told["positions"], told["counted"], told["missing"], told["left_out"]) == (12, 9, [], [])
    assert set(told["heights_mm"]).isdisjoint(told["not_pad"])
    assert told["covered"] == pytest.approx(1)
    # 60 x 40 ft in 3 x 2 squares: the square at A1 B1 is gone, that at C1 lost one corner, and so did that at C4.
    assert told["area_m2"] == pytest.approx(before["area_m2"] * (6 - 1 - 0.5 - 0.5) / 6)
    assert rodcall("enter", pad, stdin="strike B1\nstrike C4\n").status == 0
    assert {**figures(pad), "checks": None, "digest": None} == {**before, "checks": None, "digest": None}


def test_it_holds_in_the_rounds_before(pad):
    rodcall("enter", pad, stdin="round working\nA1 -1/2\nA1 not pad\n")
    assert (figures(pad, "--round", "1")["not_pad"], figures(pad)["not_pad"]) == (["A1"], ["A1"])
    assert (figures(pad, "--round", "1")["counted"], figures(pad)["counted"]) == (11, 0)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("A1 -1", "line 2: A1 is not pad; to make it pad again: strike A1"),
        ("A1:C4 not pad", "line 2: that leaves no pad: keep at least three spots of one square"),
        ("B2 not sure", "line 2: 'not sure' is not understood; say B3 not pad stump"),
    ],
)
def test_what_is_refused_writes_nothing(pad, line, why):
    told = rodcall("enter", pad, stdin=f"A1 not pad\n{line}\n")
    assert why in told.refusal
    assert figures(pad)["not_pad"] == []


def test_a_blank_sheet_passes_it_by(pad, folder):
    rodcall("enter", pad, stdin="B2 not pad stump\n")
    rodcall("sheet", pad, "--blank", "--to", folder / "blank.txt")
    lines = (folder / "blank.txt").read_text("utf-8").splitlines()
    names = [line.split()[0] for line in lines if "____" in line and not line.startswith("#")]
    assert len(names) == 11
    assert "B2" not in names


def test_a_table_says_so(pad, folder):
    rodcall("enter", pad, stdin="B2 not pad stump\n")
    rodcall("sheet", pad, "--to", folder / "pad.csv")
    table = csv.DictReader(io.StringIO((folder / "pad.csv").read_text("utf-8-sig")))
    states = {row["position"]: (row["state"], row["height mm"], row["difference mm"]) for row in table}
    assert states["B2"] == ("not pad", "", "")
    assert len(states) == 12
    assert [at for at, (state, *_) in states.items() if state == "not pad"] == ["B2"]


def test_figures_in_words_name_it(pad):
    assert "not pad" not in rodcall("figures", pad).out
    rodcall("enter", pad, stdin="B2 not pad\nA1 not pad\n")
    told = rodcall("figures", pad).out
    assert "10 shot of 10, 0 left out" in told
    assert any(line.split() == ["not", "pad", "A1", "B2"] for line in told.splitlines())
