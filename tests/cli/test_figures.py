"""`figures`: the same in words and as JSON, whose keys are a promise, with the values of the book."""

from __future__ import annotations

import math
import re
import statistics
from datetime import datetime

import numpy as np
import pytest

from tests.cli.kit import NEEDED, SHOTS, figures, on_disk, rodcall


def test_figures_in_words_say_the_same(pad):
    told = rodcall("figures", pad)
    assert (told.status, told.err) == (0, "")
    assert re.search(r"^average +-3/8$", told.out, re.MULTILINE)
    assert re.search(r"^suggested target +-1/2, 1/8 below the average, .* more cut$", told.out, re.MULTILINE)
    assert re.search(r"^verdict +NOT PROVEN$", told.out, re.MULTILINE)


def test_figures_of_an_earlier_round_or_of_none(pad):
    rodcall("enter", pad, stdin="round final\nA1 -1/2")
    assert (figures(pad)["round"], figures(pad)["kind"], figures(pad)["shot"]) == (2, "final", 1)
    assert (figures(pad, "--round", "1")["kind"], figures(pad, "--round", "1")["shot"]) == ("existing", 12)
    for number in ("0", "3", "-1"):
        assert "there is no round" in rodcall("figures", pad, "--round", number).refusal
    assert "'last' is not a valid integer" in rodcall("figures", pad, "--round", "last").refusal


def test_looking_changes_nothing_anywhere(tmp_path, folder):
    """No tablet's name is made up either: that is for who writes."""
    rodcall("sample", folder)
    before = on_disk(tmp_path)
    for path in folder.glob("*.json"):
        for words in (("figures", path), ("figures", path, "--json"), ("verdict", path), (path,)):
            assert rodcall(*words).status in (0, 1, 3)
    assert on_disk(tmp_path) == before


def test_an_edited_book_is_told_of_and_still_works(pad):
    text = pad.read_text("utf-8")
    pad.write_text(text.replace('"said": "-1/2"', '"said": "-0.5"'), "utf-8")
    told = rodcall("figures", pad)
    assert told.status == 0
    assert told.err == "pad.json: entry 2 was edited outside of rodcall\n"


# -- the promise -------------------------------------------------------------------------------------------

PROMISED = {
    *("job", "round", "kind", "positions", "shot", "counted", "left_out", "missing"),
    *("heights_mm", "average_mm", "area_average_mm", "highest", "lowest", "spread_mm", "tilt"),
    *("suggested_target_mm", "target", "rod_on_grade_mm"),
    *("deviations_mm", "outside", "worst", "within_tolerance", "within_goal"),
    *("balance_mm", "cut_m3", "fill_m3", "spare_m3", "area_m2", "covered"),
    *("busts", "doubt_mm", "marginal", "checks", "suspect", "verdict", "reasons"),
}
"""Never renamed; others may come beside them."""


def test_the_keys_are_those_promised(pad):
    assert figures(pad).keys() >= PROMISED


def test_the_keys_within_are_those_promised(pad):
    rodcall("enter", pad, stdin="check ZERO +1/8")
    told = figures(pad)
    for spot in ("highest", "lowest", "worst"):
        assert told[spot].keys() == {"at", "mm"}
    assert told["tilt"].keys() == {"along", "across", "rms_mm", "at_zero_mm"}
    assert told["target"].keys() == {"offset_mm", "along", "across", "chosen"}
    (check,) = told["checks"]
    assert check.keys() == {"n", "reference", "drift_mm", "state"}
    assert (check["n"], check["reference"], check["drift_mm"]) == (13, "ZERO", in_mm(1))
    assert told["doubt_mm"].keys() == told["heights_mm"].keys()


def test_before_the_first_shot_there_is_null_and_every_key(folder, pad):
    rodcall("new", folder / "empty.json", *NEEDED)
    told = figures(folder / "empty.json")
    assert told.keys() == figures(pad).keys()
    assert {key for key in PROMISED if told[key] is None} == {
        *("average_mm", "area_average_mm", "highest", "lowest", "spread_mm", "tilt", "suggested_target_mm", "target"),
        *("rod_on_grade_mm", "worst", "balance_mm", "cut_m3", "fill_m3", "spare_m3", "busts"),
    }
    assert (told["shot"], told["positions"], len(told["missing"]), told["covered"]) == (0, 12, 12, 0)
    assert (told["heights_mm"], told["deviations_mm"], told["outside"]) == ({}, {}, [])


EIGHTHS = dict(A1=0, B1=-4, C1=-2, A2=-6, B2=-11, C2=-1, A3=-3, B3=-5, C3=1, A4=0, B4=-3, C4=-2)  # noqa: C408
"""`SHOTS` in eighths of an inch: twelve shots whose average is 3/8 in low."""
IN_MM = 25.4


def in_mm(eighths: int) -> float:
    """Eighths of an inch in mm, the nearest float."""
    return eighths * 254 / 80


def test_the_heights_are_those_of_the_book(pad):
    told = figures(pad)
    assert told["heights_mm"] == {name: in_mm(eighths) for name, eighths in EIGHTHS.items()}
    assert (told["positions"], told["shot"], told["counted"], told["missing"]) == (12, 12, 12, [])
    assert told["highest"] == {"at": "C3", "mm": in_mm(1)}
    assert told["lowest"] == {"at": "B2", "mm": in_mm(-11)}


def test_the_rule_of_thumb(pad):
    """An average of 3/8 in low becomes a target of 1/2 in low (common practice)."""
    told = figures(pad)
    assert told["average_mm"] == in_mm(-3)
    assert told["suggested_target_mm"] == -IN_MM / 2
    assert told["target"] == {"offset_mm": -IN_MM / 2, "along": 0, "across": 0, "chosen": False}


def test_averages_spread_and_tilt(pad):
    """COMPUTED by the statistics module, numpy's least squares, and the handbook's weights (a corner counts 1/4)."""
    told = figures(pad)
    mm = np.array([EIGHTHS[f"{column}{line}"] for line in range(1, 5) for column in "ABC"]) * IN_MM / 8
    assert told["spread_mm"] == pytest.approx(statistics.stdev(mm.tolist()))
    weights = np.outer([1, 2, 2, 1], [1, 2, 1]).ravel()
    assert told["area_average_mm"] == pytest.approx((weights * mm).sum() / weights.sum())

    along, across = np.repeat([0, 20, 40, 60], 3) * 304.8, np.tile([0, 20, 40], 4) * 304.8
    places = np.column_stack([np.ones(12), along, across])
    (at_zero, rise_along, rise_across), residual, *_ = np.linalg.lstsq(places, mm, rcond=None)
    tilt = told["tilt"]
    assert (tilt["along"], tilt["across"]) == pytest.approx((rise_along, rise_across))
    assert (tilt["at_zero_mm"], tilt["rms_mm"]) == pytest.approx((at_zero, math.sqrt(residual[0] / (12 - 3))))


def test_deviations_and_what_is_inside_exactly(folder):
    """A deviation that equals a limit is inside (two do, at 1/2 in high); what lies in and out is counted by hand."""
    path = folder / "unequal.json"
    rodcall("new", path, *NEEDED, "--high", "1/2in", "--low", "3/4in", "--goal", "3/8in")
    rodcall("enter", path, stdin=SHOTS + "target -1/2in")
    told = figures(path)
    deviations = {name: eighths + 4 for name, eighths in EIGHTHS.items()}
    assert told["deviations_mm"] == {name: in_mm(eighths) for name, eighths in deviations.items()}
    assert told["outside"] == ["B2", "C3"]
    assert told["worst"] == {"at": "B2", "mm": in_mm(-7)}, "of two that are 1/8 in beyond, the first"
    assert told["within_tolerance"] == 10
    assert told["within_goal"] == 8
    assert told["target"]["chosen"] is True
    assert told["verdict"] == "FAIL"
    assert told["reasons"][0] == "2 spots out of tolerance: B2 C3"


def test_dirt_of_a_level_pad_by_hand(folder):
    """1 in above the zero everywhere, to be dug to 1 in below it: 2 in over 60 x 40 ft; 10 % is lost when compacted."""
    path = folder / "level.json"
    rodcall("new", path, *NEEDED, "--shrink", "10%")
    rodcall("enter", path, stdin="\n".join(f"{name} +1" for name in EIGHTHS) + "\ntarget -1in")
    told = figures(path)
    area = 60 * 40 * 0.3048**2
    assert told["area_m2"] == pytest.approx(area)
    assert (told["cut_m3"], told["fill_m3"]) == pytest.approx((2 * 0.0254 * area, 0))
    assert told["spare_m3"] == pytest.approx(0.9 * 2 * 0.0254 * area)
    assert told["balance_mm"] == pytest.approx(IN_MM)
    assert told["covered"] == pytest.approx(1)


@pytest.mark.parametrize(("readings", "on_grade"), [("rod", 51.875), ("direct-rod", 50.875)])
def test_rod_on_grade(folder, readings, on_grade):
    """Backsight 51-3/8 in and target 1/2 in low: a plain rod then reads more, a direct one less, by half an inch."""
    path = folder / "rod.json"
    rodcall("new", path, *NEEDED, "--readings", readings)
    rodcall("enter", path, stdin="reference ZERO\nsetup ZERO 4' 3 3/8\"\nA1 4' 3 3/8\"\nB1 4' 4\"\ntarget -1/2in")
    told = figures(path)
    assert told["rod_on_grade_mm"] == pytest.approx(on_grade * IN_MM)
    sign = -1 if readings == "rod" else 1
    assert told["heights_mm"] == {"A1": 0, "B1": sign * 0.625 * IN_MM}


def test_left_out_and_missing_by_name(pad):
    rodcall("enter", pad, stdin="B2 out rut\nstrike A4")
    told = figures(pad)
    assert (told["left_out"], told["missing"], told["shot"], told["counted"]) == (["B2"], ["A4"], 10, 10)
    assert told["verdict"] == "NOT PROVEN"
    # A corner and a spot in the middle lack, a quarter and a whole of the six squares.
    assert told["covered"] == pytest.approx(1 - 1.25 / 6)


def test_what_was_agreed_has_its_time_and_its_length(pad):
    """An inch is 25.4 mm exactly; a person's name is not a length."""
    rodcall("enter", pad, stdin="target -1/2\nset drift 1/4in because wind\nset agreed-by J. Doe\nset check-hours 30")
    told = {each["what"]: each for each in figures(pad)["agreed"]}
    assert {what: each["value_mm"] for what, each in told.items()} == {
        "target": -12.7,
        "drift": 6.35,
        "agreed-by": None,
        "check-hours": None,
    }
    assert told["drift"].keys() == {"what", "said", "n", "tablet", "why", "time", "value_mm"}
    assert all(datetime.fromisoformat(each["time"]).utcoffset() is not None for each in told.values())


def test_readings_of_a_spot_read_more_than_once_are_all_there(pad):
    """Struck and replaced ones too, in the order read; a spot that was read once is not among them."""
    before = figures(pad)["heights_mm"]["A1"]
    assert figures(pad)["readings"] == {}
    rodcall("enter", pad, stdin="A1 -2\nstrike A1\nA1 -1")
    assert figures(pad)["readings"] == {"A1": [before, -50.8, -25.4]}


def test_a_later_round_tells_how_many_spots_it_touched(pad):
    assert (figures(pad)["touched"], figures(pad)["of_before"]) == (None, None)
    rodcall("enter", pad, stdin="target -1/2\nround final")
    before = figures(pad, "--round", "1")
    began = figures(pad)
    assert (began["touched"], began["of_before"], began["covered"]) == (0, 12, 0)
    assert (began["cut_m3"], began["fill_m3"]) == (before["cut_m3"], before["fill_m3"])
    rodcall("enter", pad, stdin="A1 -1/2\nB1 -1/2")
    assert (figures(pad)["touched"], figures(pad)["of_before"]) == (2, 12)
