"""High and low between the shots, as a shaded surface: the same four triangles a square as cut and fill."""

from __future__ import annotations

from typing import Any

import numpy as np

from rodcall.figures.ground.interpolation import above_target
from rodcall.figures.shots import indices
from rodcall.figures.summary import Summary
from rodcall.i18n import phrase, say
from rodcall.palette import HIGH, LOW, NEUTRAL
from rodcall.sheets.content.blocks import Picture
from rodcall.sheets.typeset.paper import GREY, LINE, Flow
from rodcall.wording import words

HIGHEST = 250.0
"""Of the picture, points."""
DOTS_PER_POINT = 2
EDGE = (70, 70, 70)
"""Between two shades: a contour line."""
SHADES = (*reversed(LOW), NEUTRAL, *HIGH)

NOT_SHOT = phrase("dot: shot; circle: estimated from its neighbours")
NOT_SHOT_TOO = phrase("dot: shot; circle: as the round before has it, else estimated from its neighbours")


def draw_picture(flow: Flow, block: Picture) -> None:
    """Put the picture on the page, its positions, its highest and its lowest spot, and what the shades mean."""
    summary, job = block.summary, block.summary.job
    scale = min(flow.width / job.width, HIGHEST / job.length)
    width, height = job.width * scale, job.length * scale
    flow.heading(block.title, height + LINE)
    left, near = flow.left, flow.y - height
    flow.pen.image(_shaded(summary, int(height), int(width)), left, near, width, height)
    flow.pen.box(left, near, width, height, thick=0.8)
    grid = summary.grid
    x = left + (grid.across_nm + grid.inset) * scale
    y = near + (grid.along_nm + grid.inset) * scale
    for index in indices(summary.pad):
        row, column = divmod(index, grid.across)
        flow.pen.dot(x[column], y[row], 0.8, hollow=not summary.counts[index])
    if summary.differences is not None:
        for spot in (summary.differences.highest, summary.differences.lowest):
            row, column = divmod(spot.index, grid.across)
            text = f"{grid.name(spot.index)} {words.difference(job, spot.nm)}"
            _named(flow, text, (x[column], y[row]), (left, near, width, height))
    beside = left + width + 2 * LINE
    if beside + 120 <= flow.right:
        _bands(flow, summary, beside)
        flow.move(height)
    else:
        flow.move(height + LINE)
        _bands(flow, summary, left)
        flow.move(9 * LINE)


def _shaded(summary: Summary, height: int, width: int) -> Any:
    """The picture itself, far end at the top."""
    from PIL import Image

    dirt = summary.dirt
    assert dirt is not None
    above = above_target(dirt.surface, dirt.grade, height * DOTS_PER_POINT, width * DOTS_PER_POINT)
    band = np.digitize(above, [limit * 1e-9 for limit in _limits(summary)])[::-1]
    colours = np.array([[int(shade[at : at + 2], 16) for at in (1, 3, 5)] for shade in SHADES], np.uint8)
    picture = colours[band]
    between = np.zeros(band.shape, np.bool_)
    between[:, 1:] |= band[:, 1:] != band[:, :-1]
    between[1:, :] |= band[1:, :] != band[:-1, :]
    picture[between] = EDGE
    picture[np.isnan(above)[::-1]] = 255
    return Image.fromarray(picture)


def _limits(summary: Summary) -> list[float]:
    """Where one shade ends and the next begins, nanometres: limits, goal, and half a reading step about the target."""
    job, allowed = summary.job, summary.tolerance
    grade = job.step / 2
    high = np.maximum.accumulate([grade, job.goal, allowed.high_nm])
    low = np.maximum.accumulate([grade, job.goal, allowed.low_nm])
    # What equals a limit is inside it.
    return [*(-low[::-1] - 0.5), *(high + 0.5)]


def _bands(flow: Flow, summary: Summary, x: float) -> None:
    """The shades with what they mean, highest first, from here down."""
    job, y = summary.job, flow.y
    size = [words.rod(job, nm) for nm in (job.goal, summary.tolerance.high_nm, summary.tolerance.low_nm)]
    told = (
        say("HIGH, beyond {size}", size=size[1]),
        say("HIGH, {one} to {other}", one=size[0], other=size[1]),
        say("HIGH, up to {size}", size=size[0]),
        say("on target, to half a reading step"),
        say("LOW, up to {size}", size=size[0]),
        say("LOW, {one} to {other}", one=size[0], other=size[2]),
        say("LOW, beyond {size}", size=size[2]),
    )
    for number, (shade, line) in enumerate(zip(reversed(SHADES), told, strict=True), 1):
        flow.pen.box(x, y - number * LINE + 2, 10, 7, fill=shade, thick=0.4)
        flow.pen.text(x + 16, y - number * LINE + 3, line)
    flow.pen.text(x, y - 8.5 * LINE + 3, say(NOT_SHOT_TOO if summary.from_before.any() else NOT_SHOT), colour=GREY)


def _named(flow: Flow, text: str, at: tuple[float, float], frame: tuple[float, float, float, float]) -> None:
    """Words beside a spot, kept within the picture."""
    left, near, width, height = frame
    long = flow.lettering.width(text, bold=True) + 4
    x = max(min(at[0] - long / 2, left + width - long), left)
    y = at[1] + 3 if at[1] + 3 + LINE <= near + height else at[1] - 3 - LINE
    flow.pen.box(x, y, long, LINE, fill="#ffffff", thick=0.4)
    flow.pen.text(x + 2, y + 3, text, bold=True)
