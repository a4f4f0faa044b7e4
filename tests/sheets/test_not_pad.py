"""Positions that are no part of the pad, on sheets of every kind."""

from __future__ import annotations

import re

import pytest

from rodcall.sheets.content.plan import OFF_PAD, plan_of
from rodcall.sheets.make import Output, make
from tests.kit import say
from tests.sheets.exports.test_landxml import landxml_of, surfaces_of
from tests.sheets.exports.test_landxml import test_every_element_is_as_the_schema_has_it as has_the_elements
from tests.sheets.exports.test_landxml import (
    test_the_ground_comes_first_and_is_the_surface_of_cut_and_fill as has_the_surface,
)
from tests.sheets.kit import a_file, figures_of, finished, pdf, shoot, sloped, text_of
from tests.sheets.test_points import points_of


def with_parts_missing():
    """An inset pad of 21 x 10 spots: a corner, a rectangle at the edge, and a stump."""
    opened = sloped()
    say(opened.book, "A1 not pad", "F15:J21 not pad no pad there", "C5 not pad stump")
    return opened


def with_a_corner_missing():
    opened = finished()
    say(opened.book, "C4 not pad corner", "A1:B1 not pad shed")
    return opened


@pytest.mark.parametrize("job", [with_parts_missing, with_a_corner_missing])
def test_a_tin_is_the_surface_of_cut_and_fill(job):
    """Area and mean over the triangles by themselves; every point of it is used."""
    has_the_elements(job)
    has_the_surface(job)
    told = landxml_of(job()).find(".//{*}Surface").get("desc")
    summary = figures_of(job())
    assert told.endswith(f"{summary.counted} shot, {summary.positions - summary.counted} estimated")


def test_no_triangle_stands_where_there_is_no_pad():
    opened = with_parts_missing()
    summary = figures_of(opened)
    corners = {
        tuple(at)
        for at in surfaces_of(landxml_of(opened))[opened.book.job.name][:, :, :2].reshape(-1, 2).round(3).tolist()
    }
    for index in summary.not_pad:
        row, column = divmod(index, summary.grid.across)
        assert (round(summary.along_m[row], 3), round(summary.across_m[column], 3)) not in corners
    assert len(points_of(opened)) == summary.counted == 210 - 1 - 35 - 1


def test_the_as_built_sheet_lists_it_with_its_reason():
    """Not among the positions; beside what was struck and left out."""
    text = text_of(pdf(with_a_corner_missing()))
    assert re.search(r"\d+ 2026-04-18 \d\d:\d\d 3 not pad C4 corner", text)
    assert re.search(r"\d+ 2026-04-18 \d\d:\d\d 3 not pad A1:B1 shed", text)
    assert "9 spots, all shot" in text
    assert "All 9 positions" in text


def test_what_is_out_stands_out_in_its_own_row():
    """Rows of the list are fewer than positions."""
    opened = shoot(a_file(), 1)
    say(opened.book, "A1 not pad", "C4 +9", "target 0")
    plain = make(opened, ".txt", Output.AS_BUILT).content.decode("utf-8")
    assert re.search(r"C4\b.*HIGH !", plain)
    assert not re.search(r"^\W*A1 .*(inside|not shot)", plain, re.MULTILINE)


def test_the_plan_has_a_slash_there_and_says_what_it_means():
    opened = shoot(a_file(), 1)
    say(opened.book, "B2 not pad stump")
    plain = make(opened, ".txt", Output.AS_BUILT).content.decode("utf-8")
    assert re.search(r"^  2 +\S+ +/ +\S+$", plain, re.MULTILINE)
    assert "/ not pad" in plain
    blank = text_of(pdf(opened, Output.BLANK))
    assert "B2" not in blank
    assert re.search(r"\b6 A2\b", blank), "turns keep their number in the walk"


def test_the_picture_is_blank_there():
    """Sheets with a picture are made, and the colour map is clear where no pad is."""
    summary = figures_of(with_parts_missing())
    shades = plan_of(summary).shades
    job = summary.job
    missing = 1 - summary.area_m2 / (job.length * job.width * 1e-18)
    assert (shades == OFF_PAD).mean() == pytest.approx(missing, abs=0.01)
    assert pdf(with_parts_missing())
