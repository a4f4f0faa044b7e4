"""The plan on paper: every position once, its number clear of its neighbours', within the page, on any pad."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rodcall.sheets.typeset.paper import Flow, Heads, Paper
from rodcall.sheets.typeset.plan_drawing import CLEAR, HEADING, LABELS, _Drawing, draw_plan

from rodcall.sheets.content.blocks import Plan
from rodcall.sheets.typeset.lettering import Lettering
from rodcall.units import FOOT, Unit
from tests.sheets.kit import a_file, figures_of, shoot, sloped


def flow_on(paper: Paper) -> Flow:
    return Flow(paper, Heads("As-built check", "Pad", "", datetime(2026, 4, 18, tzinfo=UTC), ""), Lettering())


def frames_of(opened, flow: Flow):
    drawing = _Drawing(flow, Plan("Plan", figures_of(opened), ""))
    room = flow.whole_room - HEADING
    return drawing, drawing.frames(room) or drawing.parts(room)


@given(
    along=st.integers(2, 60),
    across=st.integers(2, 40),
    length=st.integers(10, 900),
    width=st.integers(10, 900),
    inset=st.integers(0, 4),
    paper=st.sampled_from(Paper),
)
def test_every_position_is_drawn_once_and_clear_of_others(along, across, length, width, inset, paper):
    size = {"length": length * FOOT, "width": width * FOOT, "inset": inset * FOOT}
    flow = flow_on(paper)
    drawing, frames = frames_of(a_file("A1 +1", "B2 -1-3/8", along=along, across=across, **size), flow)
    drawn = Counter((line, column) for frame in frames for line in frame.lines for column in frame.columns)
    assert drawn == dict.fromkeys(((line, column) for line in range(along) for column in range(across)), 1)
    for frame in frames:
        box = drawing.box(frame.tall)
        assert frame.across >= box[0] + CLEAR - 1e-9
        assert frame.along >= box[1] + CLEAR - 1e-9
        assert frame.width + box[0] <= flow.width - LABELS + 1e-9
        assert frame.height + box[1] <= flow.whole_room - HEADING


def test_a_small_pad_is_drawn_to_scale():
    """60 x 40 ft, 4 x 3: lines are 20 ft apart and so are columns, on paper too."""
    _, (frame,) = frames_of(shoot(a_file()), flow_on(Paper.LETTER))
    assert frame.to_scale
    assert frame.along == pytest.approx(frame.across)


@pytest.mark.parametrize(("along", "across", "parts"), [(4, 3, 1), (20, 10, 1), (40, 30, 6)])
def test_only_a_big_pad_is_cut_into_parts(along, across, parts):
    opened = shoot(a_file(heights=Unit.FT, along=along, across=across))
    _, frames = frames_of(opened, flow_on(Paper.LETTER))
    assert len(frames) == parts
    assert len({(len(frame.columns), len(frame.lines)) for frame in frames}) == 1, "of equal size"


def test_the_pad_and_its_numbers_are_painted():
    flow = flow_on(Paper.A4)
    draw_plan(flow, Plan("Plan", figures_of(sloped()), "sw"))
    assert flow.paint().startswith(b"%PDF-")
