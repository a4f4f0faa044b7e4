"""The plan of a sheet: each position with its number, marks and story, what lies on and beside the pad, and the key."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT
from rodcall.book.model.grid import Walking, letters
from rodcall.figures.ground.interpolation import above_target
from rodcall.figures.summary import Summary
from rodcall.figures.uncertainty.budget import tripod_at
from rodcall.i18n import counted, phrase, say
from rodcall.palette import HIGH, LOW, NEUTRAL
from rodcall.sheets.content.blocks import Plan, Point, Spot
from rodcall.sheets.exports.table import state
from rodcall.units import FOOT, MM, M, write
from rodcall.wording import words

MARKS = {
    "!": phrase("out of tolerance"),
    "?": phrase("too close to call"),
    "s": phrase("suspect"),
    "k": phrase("does not fit its neighbours, and was kept"),
    "*": phrase("shot more than once"),
    "z": phrase("the zero"),
    "x": phrase("left out"),
    "/": phrase("not pad"),
    ".": phrase("not shot"),
}
SHADES = (*reversed(LOW), NEUTRAL, *HIGH)
OFF_PAD = 255
DOTS = 240
"""Of the colour map along its longer side: finer than the eye wants between two shots."""


class Label(NamedTuple):
    """A number and the marks behind it."""

    number: str
    marks: str


class Bands(NamedTuple):
    """Sizes at which one shade ends and the next begins, nanometres from the target: inner, middle, outer."""

    high: tuple[int, int, int]
    low: tuple[int, int, int]


def label(summary: Summary, index: int, walking: Walking | None = None) -> Label:
    """The difference from the target (the height where there is none) and marks; turn and name on a blank plan."""
    zero = "z" if index == summary.zero else ""
    if summary.state[index] == NOT_PAD:
        return Label("/", zero)
    if walking is not None:
        return Label(f"{walking.step(index) + 1}  {summary.grid.name(index)}", zero)
    if summary.state[index] != SHOT:
        return Label("x" if summary.state[index] == LEFT_OUT else ".", zero)
    difference = summary.deviation_at(index)
    told = (
        words.level(summary, summary.height_at(index))
        if difference is None
        else words.difference(summary.job, difference)
    )
    return Label(told, marks(summary, index))


def marks(summary: Summary, index: int) -> str:
    """The marks of a position that counts."""
    marked = {
        "!": summary.out_mask[index],
        "?": summary.marginal_mask[index],
        "s": summary.trust.suspect_mask[index],
        "k": summary.kept[index],
        "*": summary.times[index] > 1,
        "z": index == summary.zero,
    }
    return "".join(mark for mark, is_so in marked.items() if is_so)


def legend(used: str) -> str:
    """What marks mean, of those that are used: `! out of tolerance; z the zero`."""
    return "; ".join(f"{mark} {say(means)}" for mark, means in MARKS.items() if mark in used)


def plan_of(summary: Summary, *, crew: bool = False, walking: Walking | None = None) -> Plan:
    """The plan of a round; a blank one in walking order where that is given.

    Args:
        summary: Of the round.
        crew: Shade by the crew's tolerance instead of halves of the customer's.
        walking: For a blank plan: the order in which positions are numbered.
    """
    job, grid = summary.job, summary.grid
    blank = walking is not None
    unit = words.unit_word(job.heights)
    bands = bands_of(summary, crew=crew)
    shades = None if blank else _shades(summary, bands)
    spots = tuple(_spots(summary, walking))
    return Plan(
        title=say("Plan: the turn and the name of each position")
        if blank
        else say("Plan: differences from the target, {unit}", unit=unit),
        said=say("The pad from above, far end at the top: {positions} positions.", positions=summary.positions),
        width=job.width / MM,
        length=job.length / MM,
        columns=tuple((letters(at), (int(nm) + grid.inset) / MM) for at, nm in enumerate(grid.across_nm)),
        lines=tuple((str(at + 1), (int(nm) + grid.inset) / MM) for at, nm in enumerate(grid.along_nm)),
        spots=spots,
        edges=(say("far end"), say("near edge")),
        points=tuple(_points(summary)),
        outline=_outline(summary),
        tripod=_tripod(summary),
        footprint=_footprint(summary),
        north=summary.datum.bearing if summary.datum.knows_bearing else None,
        north_said=_north(summary),
        scale=_scale(summary),
        shades=shades,
        colours=SHADES,
        key=tuple(_key(summary, bands)) if shades is not None else (),
        notes=() if blank else tuple(_notes(summary, spots)),
        spread_out=blank,
    )


def _north(summary: Summary) -> str:
    """Which way the far end looks, as it was said."""
    if not summary.datum.knows_bearing:
        return say("north: not noted")
    if "bearing" in summary.terms.said:
        return say("the far end faces {bearing:.2f} degrees from north", bearing=summary.datum.bearing)
    return say("the far end faces {north}", north=str(summary.terms.said.get("north", "")))


def _spots(summary: Summary, walking: Walking | None) -> Iterator[Spot]:
    for index in range(summary.grid.size):
        row, column = divmod(index, summary.grid.across)
        told = label(summary, index, walking)
        yield Spot(
            summary.grid.name(index),
            row,
            column,
            told.number,
            told.marks,
            "" if walking is not None else story(summary, index),
            bool(summary.out_mask[index]),
            bool(summary.counts[index]) or walking is not None,
        )


def story(summary: Summary, index: int) -> str:
    """All that is known of a position, in one line."""
    job, name = summary.job, summary.grid.name(index)
    if not summary.counts[index]:
        return f"{name}: {say(state(summary, index))}"
    parts = [say("height {height}", height=words.level(summary, summary.height_at(index), mark=True))]
    if summary.target_heights is not None:
        target = words.rounded_level(summary, int(summary.target_heights[index]), mark=True)
        parts.append(say("target {height}", height=target))
        parts.append(say("difference {height}", height=words.difference(job, summary.deviation_at(index))))
    by = write(round(float(summary.uncertainty.nm[index])), job.heights, step=words.FINEST[job.heights], sign=False)
    parts.append(say("plus/minus {by}", by=by))
    parts.append(say(state(summary, index)))
    if summary.marginal_mask[index]:
        parts.append(say("too close to call"))
    times = int(summary.times[index])
    if times > 1:
        parts.append(say("read {number} times", number=times))
    return f"{name}: {', '.join(parts)}"


def _points(summary: Summary) -> Iterator[Point]:
    grid = summary.grid
    for name, index in summary.references_on_pad.items():
        row, column = divmod(index, grid.across)
        across, along = (int(axis[at]) + grid.inset for axis, at in ((grid.across_nm, column), (grid.along_nm, row)))
        yield Point(name, across / MM, along / MM)


def _outline(summary: Summary) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Corners in millimetres from the near left corner, right and away; told from A1 in metres."""
    inset = summary.grid.inset / MM
    rings = summary.outline.rings if summary.outline is not None else ()
    return tuple(tuple((right * 1e3 + inset, away * 1e3 + inset) for away, right in ring) for ring in rings)


def _tripod(summary: Summary) -> Point | None:
    said = str(summary.terms.said.get("tripod", ""))
    place = tripod_at(said, summary.grid) if said else None
    if place is None:
        return None
    away, right = (nm + summary.grid.inset for nm in place)
    return Point(say("tripod"), right / MM, away / MM)


def _footprint(summary: Summary) -> tuple[float, float, float, float] | None:
    found, grid = summary.footprint, summary.grid
    if found is None:
        return _zone(summary)
    sides = (found.left, grid.width - found.right, found.near, grid.length - found.far)
    left, right, near, far = (side / MM for side in sides)
    return left, right, near, far


def _zone(summary: Summary) -> tuple[float, float, float, float] | None:
    """The zone with a tolerance of its own, where it is a rectangle: left, right, near, far from the pad's corner."""
    if summary.zone is None or summary.zone.rectangle is None:
        return None
    near, far, left, right = ((nm + summary.grid.inset) / MM for nm in summary.zone.rectangle)
    return left, right, near, far


def _scale(summary: Summary) -> tuple[float, str]:
    """The longest round length within a third of the pad's shorter side."""
    unit, name = (FOOT, "ft") if words.is_imperial(summary.job) else (M, "m")
    room = min(summary.job.width, summary.job.length) / 3
    length = max((n for n in (1, 2, 5, 10, 20, 50, 100, 200) if n * unit <= room), default=1)
    return length * unit / MM, f"{length} {name}"


# -- colours ------------------------------------------------------------------------------------------------


def bands_of(summary: Summary, *, crew: bool) -> Bands:
    """Where shades end: half a reading step, the crew's tolerance or half of the customer's, the customer's."""
    grade, allowed = summary.job.step // 2, summary.tolerance

    def ends(limit: int) -> tuple[int, int, int]:
        middle = summary.job.goal if crew else limit // 2
        inner, mid, outer = np.maximum.accumulate([grade, middle, limit]).tolist()
        return inner, mid, outer

    return Bands(ends(allowed.high_nm), ends(allowed.low_nm))


def _shades(summary: Summary, bands: Bands) -> NDArray[np.uint8] | None:
    dirt = summary.dirt
    if dirt is None:
        return None
    longer = max(summary.job.length, summary.job.width)
    height, width = (max(round(DOTS * side / longer), 2) for side in (summary.job.length, summary.job.width))
    above = above_target(dirt.surface, dirt.grade, height, width)[::-1]
    # What equals a limit is inside it.
    ends = [*(-nm - 0.5 for nm in reversed(bands.low)), *(nm + 0.5 for nm in bands.high)]
    found = np.digitize(above, np.array(ends) * 1e-9).astype(np.uint8)
    found[np.isnan(above)] = OFF_PAD
    return found


def _key(summary: Summary, bands: Bands) -> Iterator[tuple[str, str]]:
    """The shades with what they mean, highest first."""
    job = summary.job
    high, low = ([words.rod(job, nm) for nm in ends[1:]] for ends in bands)
    told = (
        say("HIGH, beyond {size}", size=high[1]),
        say("HIGH, {one} to {other}", one=high[0], other=high[1]),
        say("HIGH, up to {size}", size=high[0]),
        say("on target, to half a reading step"),
        say("LOW, up to {size}", size=low[0]),
        say("LOW, {one} to {other}", one=low[0], other=low[1]),
        say("LOW, beyond {size}", size=low[1]),
    )
    yield from zip(reversed(SHADES), told, strict=True)


def _notes(summary: Summary, spots: tuple[Spot, ...]) -> Iterator[str]:
    used = "".join(f"{spot.marks}{spot.label if len(spot.label) == 1 else ''}" for spot in spots)
    if found := legend(used):
        yield found
    if summary.references_on_pad:
        yield say("▲ a reference on the pad")
    off = [name for name in summary.references if name not in summary.references_on_pad and name != "ZERO"]
    if off:
        names = " ".join(off)
        yield counted(len(off), "off the pad: reference {names}", "off the pad: references {names}", names=names)
    tripod = str(summary.terms.said.get("tripod", ""))
    if "," in tripod:
        away, right = (part.strip() for part in tripod.split(","))
        yield say("● level, from A1: {away} out, {right} right", away=away, right=right)
    elif tripod:
        yield say("● level: {place}", place=tripod)
    if summary.footprint is not None:
        yield say("dashed: the footprint")
    elif summary.zone is not None and summary.zone.rectangle is not None:
        yield say("dashed: the zone {zone}", zone=words.zone_words(summary))
    elif summary.zone is not None:
        yield say("zone {zone}", zone=words.zone_words(summary))
