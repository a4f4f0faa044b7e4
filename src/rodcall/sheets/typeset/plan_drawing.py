"""The plan on paper: every number in a box at its place, the far end at the top, A1 at the near left.

It is drawn to scale where its numbers then stand clear of each other, else stretched so that they do; a pad too big
for that is cut into parts of equal size on pages of their own. Numbers never get smaller.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rodcall.book.fold.round_page import SHOT
from rodcall.book.model.grid import letters
from rodcall.book.model.job import Job
from rodcall.figures.summary import Summary
from rodcall.i18n import say
from rodcall.palette import HIGH, LOW, NEUTRAL, standing
from rodcall.sheets.content.blocks import Plan
from rodcall.sheets.content.marks import LEGEND, label
from rodcall.sheets.typeset.paper import GREY, GUTTER, LINE, Flow
from rodcall.units import FOOT, M
from rodcall.wording import words

LABELS = 22.0
"""Left of the pad, for the numbers of its lines."""
ABOVE, BELOW = 4 * LINE, 6 * LINE
"""Over it for `far end` and the arrow to the north; under it for letters, `near edge`, the key and the scale."""
CLEAR = 3.0
"""Between two boxes at least."""
LEAST_ON_A_PAGE = 230.0
HEADING = 3 * LINE
WIDEST, HIGHEST = 70.0, 44.0
"""Of a box and its share of the pad, where it is not to scale."""


@dataclass(frozen=True)
class Frame:
    """How a part of the grid lies on the page; points for each column and line, and where the first box stands."""

    columns: range
    lines: range
    across: float
    """From one column to the next."""
    along: float
    tall: bool
    """Boxes have room for the height under the difference."""
    to_scale: bool

    @property
    def width(self) -> float:
        """From the middle of the first box to that of the last."""
        return self.across * (len(self.columns) - 1)

    @property
    def height(self) -> float:
        """Likewise."""
        return self.along * (len(self.lines) - 1)


class _Drawing:
    """One plan: its labels measured, and the frames that they fit."""

    def __init__(self, flow: Flow, block: Plan) -> None:
        self.flow, self.block, self.summary, self.grid = flow, block, block.summary, block.summary.grid
        self.labels = [label(block, index) for index in range(self.grid.size)]
        measure = flow.lettering.width
        self.number_width = max(measure(f"{number}{marks}", bold=True) for number, marks in self.labels)
        self.heights = [self._height(index) for index in range(self.grid.size)]
        self.height_width = max(map(measure, self.heights))

    def _height(self, index: int) -> str:
        """What stands under a difference."""
        summary = self.summary
        if self.block.walking is not None or summary.deviation_at(index) is None:
            return ""
        return words.level(summary, summary.height_at(index))

    def box(self, tall: bool) -> tuple[float, float]:
        """Width and height of a box."""
        width = max(self.number_width, self.height_width if tall else 0.0) + 6
        return width, (2 * LINE + 2 if tall else LINE + 2)

    def frames_here(self) -> list[Frame]:
        """The whole plan on what is left of this page, or nothing."""
        room = self.flow.room - HEADING
        return self.frames(room) if room >= LEAST_ON_A_PAGE else []

    def frames(self, room: float) -> list[Frame]:
        """The whole plan in one frame of at most this height, or nothing."""
        grid = self.grid
        wide, high = self.flow.width - LABELS, room - ABOVE - BELOW
        every = range(grid.across), range(grid.along)
        heights_told = any(self.heights)
        # Boxes stand evenly on the page, so uneven spots are never to scale.
        for tall in ((True, False) if heights_told else (False,)) if grid.is_even else ():
            width, height = self.box(tall)
            scale = min((wide - width) / grid.width, (high - height) / grid.length)
            across = scale * float(grid.across_nm[-1]) / (grid.across - 1)
            along = scale * float(grid.along_nm[-1]) / (grid.along - 1)
            if across >= width + CLEAR and along >= height + CLEAR:
                return [Frame(*every, across, along, tall, True)]
        for tall in (True, False) if heights_told else (False,):
            width, height = self.box(tall)
            across, along = min(wide / grid.across, WIDEST), min(high / grid.along, HIGHEST)
            if across >= width + CLEAR and along >= height + CLEAR:
                return [Frame(*every, across, along, tall, False)]
        return []

    def parts(self, room: float) -> list[Frame]:
        """The plan in as few parts of this height as its numbers allow, near left first."""
        grid = self.grid
        width, height = (side + CLEAR for side in self.box(False))
        wide, high = self.flow.width - LABELS, room - ABOVE - BELOW
        column_parts = _equal_parts(grid.across, int(wide // width))
        line_parts = _equal_parts(grid.along, int(high // height))
        across = min(wide / max(map(len, column_parts)), WIDEST)
        along = min(high / max(map(len, line_parts)), HIGHEST)
        wide_tall, high_tall = self.box(True)
        tall = any(self.heights) and across >= wide_tall + CLEAR and along >= high_tall + CLEAR
        return [Frame(columns, lines, across, along, tall, False) for lines in line_parts for columns in column_parts]


def fits(flow: Flow, block: Plan) -> bool:
    """True where a plan fits on what is left of this page."""
    return bool(_Drawing(flow, block).frames_here())


def draw_plan(flow: Flow, block: Plan) -> None:
    """Put a plan on this page where it fits, else on pages of its own."""
    drawing = _Drawing(flow, block)
    frames = drawing.frames_here()
    if not frames:
        flow.new_page()
        room = flow.whole_room - HEADING
        frames = drawing.frames(room) or drawing.parts(room)
    for number, frame in enumerate(frames, 1):
        title = block.title
        if len(frames) > 1:
            first, last = frame.columns[0], frame.columns[-1]
            title = say(
                "{title} (part {number} of {parts}: columns {first} to {last}, lines {near} to {far})",
                title=title,
                number=number,
                parts=len(frames),
                first=letters(first),
                last=letters(last),
                near=frame.lines[0] + 1,
                far=frame.lines[-1] + 1,
            )
        if frame.tall:
            title += say(", with the height below")
        height = ABOVE + frame.height + frame.along + BELOW
        flow.heading(title, height if number > 1 else 0.0)
        _draw(flow, drawing, frame)


def _equal_parts(count: int, most: int) -> list[range]:
    parts = -(-count // max(most, 1))
    edges = [count * part // parts for part in range(parts + 1)]
    return [range(first, last) for first, last in pairwise(edges)]


# -- one frame ----------------------------------------------------------------------------------------------


def _draw(flow: Flow, drawing: _Drawing, frame: Frame) -> None:
    width, height = drawing.box(frame.tall)
    middle = flow.left + LABELS + (flow.width - LABELS) / 2
    left = middle - frame.width / 2
    near = flow.y - ABOVE - height / 2 - frame.height
    place = partial(_place, frame, left, near)
    _outlines(flow, drawing, frame, (left, near))
    flow.pen.text(middle, near + frame.height + height / 2 + LINE, say("far end"), align="middle", colour=GREY)
    _north(flow, drawing.summary)
    for line in frame.lines:
        y = place(frame.columns[0], line)[1] - 3
        flow.pen.text(left - width / 2 - 6, y, str(line + 1), align="right", colour=GREY)
        for column in frame.columns:
            _box(flow, drawing, frame, line * drawing.grid.across + column, place(column, line))
    under = near - height / 2 - LINE
    for column in frame.columns:
        flow.pen.text(place(column, frame.lines[0])[0], under, letters(column), align="middle", colour=GREY)
    flow.pen.text(middle, under - LINE, say("near edge"), align="middle", colour=GREY)
    flow.y = under - LINE - 4
    _scale(flow, drawing, frame)
    if drawing.block.walking is None:
        draw_key(flow, drawing.block)


def _place(frame: Frame, left: float, near: float, column: int, line: int) -> tuple[float, float]:
    return left + (column - frame.columns[0]) * frame.across, near + (line - frame.lines[0]) * frame.along


def _box(flow: Flow, drawing: _Drawing, frame: Frame, index: int, at: tuple[float, float]) -> None:
    """One position: its number, its marks, its colour; a heavy frame where it is out of tolerance."""
    summary, pen = drawing.summary, flow.pen
    width, height = drawing.box(frame.tall)
    x, y = at[0] - width / 2, at[1] - height / 2
    told = summary.state[index] == SHOT and summary.deviations is not None and drawing.block.walking is None
    side, depth, outside = standing(summary, index) if told else (0, 0, False)
    fill = ("#ffffff" if not told else NEUTRAL) if side == 0 else (HIGH if side > 0 else LOW)[depth]
    pen.box(x, y, width, height, fill=fill, thick=1.4 if outside else 0.4, dash=not told and not drawing.block.walking)
    number, marks = drawing.labels[index]
    pen.text(at[0], y + height - LINE + 1, f"{number}{marks}", bold=outside, align="middle")
    if frame.tall:
        pen.text(at[0], y + 3, drawing.heights[index], align="middle", colour="#303030")
    if index in summary.references_on_pad.values():
        pen.shape([(x - 2, y + height - 4), (x + 6, y + height - 4), (x + 2, y + height + 4)])


def _outlines(flow: Flow, drawing: _Drawing, frame: Frame, origin: tuple[float, float]) -> None:
    """The pad's edge, and the footprint dashed inside it; open where the pad goes on in another part."""
    grid, print_ = drawing.grid, drawing.summary.footprint
    edges = (0, grid.width, 0, grid.length)
    _outline(flow, drawing, frame, origin, edges, dash=False)
    if print_ is not None:
        sides = (print_.left, grid.width - print_.right, print_.near, grid.length - print_.far)
        _outline(flow, drawing, frame, origin, sides, dash=True)


def _outline(
    flow: Flow,
    drawing: _Drawing,
    frame: Frame,
    origin: tuple[float, float],
    sides: tuple[int, int, int, int],
    *,
    dash: bool,
) -> None:
    """A rectangle as far as it lies in this part.

    Args:
        flow: Where it is put.
        drawing: Whose.
        frame: Of this part.
        origin: Where the middle of its near left box stands.
        sides: Left, right, near and far, nanometres from the pad's near left corner.
        dash: How it is drawn.
    """
    grid = drawing.grid
    ways = (
        (sides[:2], grid.across_nm, frame.columns, origin[0], frame.across),
        (sides[2:], grid.along_nm, frame.lines, origin[1], frame.along),
    )
    drawn = []
    for ends, places, part, start, step in ways:
        # Half a box's share around the boxes is all the room there is, unless it is drawn to scale.
        spare = math.inf if frame.to_scale else 0.5
        last = places.size - 1
        at = [min(max(_among(places, nm - grid.inset), -spare), last + spare) for nm in ends]
        seen = [part[0] - spare <= side <= part[-1] + spare for side in at]
        shown = [start + (min(max(side, part[0] - spare), part[-1] + spare) - part[0]) * step for side in at]
        drawn.append((shown, seen))
    ((x, x_seen), (y, y_seen)) = drawn
    for at_x, is_seen in zip(x, x_seen, strict=True):
        if is_seen:
            flow.pen.rule(at_x, y[0], at_x, y[1], thick=0.8, dash=dash)
    for at_y, is_seen in zip(y, y_seen, strict=True):
        if is_seen:
            flow.pen.rule(x[0], at_y, x[1], at_y, thick=0.8, dash=dash)


def _north(flow: Flow, summary: Summary) -> None:
    """An arrow to the north, turned as the pad lies; nothing where nobody said how."""
    if not summary.datum.knows_bearing:
        flow.text(flow.right, say("which way north lies was not noted"), align="right", colour=GREY)
        return
    # The far end, which is up, looks along the bearing: north lies as far to the left of up.
    angle = math.radians(90 + summary.datum.bearing)
    x, y, reach = flow.right - 14, flow.y - 22, 12.0
    ahead, aside = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))

    def point(along: float, across: float) -> tuple[float, float]:
        return x + reach * (along * ahead[0] + across * aside[0]), y + reach * (along * ahead[1] + across * aside[1])

    flow.pen.rule(*point(-1, 0), *point(1, 0), thick=0.8)
    flow.pen.shape([point(1.1, 0), point(0.3, 0.3), point(0.3, -0.3)])
    at = point(1.6, 0)
    flow.pen.text(at[0], at[1] - 3, "N", bold=True, align="middle")


def _scale(flow: Flow, drawing: _Drawing, frame: Frame) -> None:
    """A bar of a round length, or the distances where it is not to scale."""
    job, grid = drawing.summary.job, drawing.grid
    across, along = (_apart(job, places) for places in (grid.across_nm, grid.along_nm))
    apart = say("columns {across} apart, lines {along} apart", across=across, along=along)
    x = flow.left + LABELS
    if frame.to_scale:
        per_nm = frame.across / float(grid.across_nm[-1]) * (grid.across - 1)
        unit = FOOT if words.is_imperial(job) else M
        length = max((n for n in (1, 2, 5, 10, 20, 50, 100) if n * unit * per_nm <= 100), default=1)
        reach, y = length * unit * per_nm, flow.y - LINE + 6
        flow.pen.rule(x, y, x + reach, y, thick=1.6)
        name = f"{length} {'ft' if unit == FOOT else 'm'}"
        flow.text(x + reach + 6, f"{name}    {apart}", colour=GREY)
    else:
        flow.text(x, say("not to scale: {apart}", apart=apart), colour=GREY)
    flow.move(LINE)


def _among(places: NDArray[np.int64], nm: int) -> float:
    """Where a distance lies among lines or columns, in their numbers; beyond the outermost as far as the gap there."""
    at = min(max(int(np.searchsorted(places, nm, side="right")) - 1, 0), places.size - 2)
    return at + (nm - int(places[at])) / int(places[at + 1] - places[at])


def _apart(job: Job, places: NDArray[np.int64]) -> str:
    """How far spots lie from each other: one distance, or the least and the most."""
    gaps = np.diff(places)
    least, most = (words.tape(job, int(nm)) for nm in (gaps.min(), gaps.max()))
    return least if least == most else say("{least} to {most}", least=least, most=most)


def draw_key(flow: Flow, block: Plan) -> None:
    """What colours and marks mean."""
    x = flow.left + LABELS
    shades = (
        *((LOW[depth], word) for depth, word in ((2, say("LOW, out")), (1, say("LOW")), (0, say("LOW, in the goal")))),
        *(
            (HIGH[depth], word)
            for depth, word in ((0, say("HIGH, in the goal")), (1, say("HIGH")), (2, say("HIGH, out")))
        ),
    )
    for colour, word in shades:
        flow.pen.box(x, flow.y - LINE + 2, 10, 7, fill=colour, thick=0.4)
        flow.text(x + 14, word, colour=GREY)
        x += flow.lettering.width(word) + 14 + GUTTER
    flow.move(LINE)
    marks = say(LEGEND) + (say("; ▲ a reference") if block.summary.references_on_pad else "")
    marks += say("; dashed: the footprint") if block.summary.footprint is not None else ""
    for line in flow.lettering.wrap(marks, flow.width - LABELS):
        flow.text(flow.left + LABELS, line, colour=GREY)
        flow.move(LINE)
