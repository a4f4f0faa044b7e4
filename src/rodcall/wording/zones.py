"""How the order of work is said in zones: what to cut or fill, where, how deep, how much, and where the dirt goes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import NamedTuple

import numpy as np

from rodcall.book.model.grid import Grid
from rodcall.figures.earthwork.dig import DigPlan
from rodcall.figures.earthwork.stone import loads as whole_loads
from rodcall.figures.earthwork.zones import Passing, Zone, ZonePlan, spread_of
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, phrase, say
from rodcall.units import round_half_even
from rodcall.wording import words

FULL = 0.75
"""A zone that has this share of the spots between its corners is called by these."""


class ZoneWords(NamedTuple):
    """One zone as one drives to it."""

    number: int
    """In order of work, from 1."""
    is_cut: bool
    where: str
    """`A5 to C7`, or `5 spots around B6`."""
    depth: str
    """`cut 2-1/2`: its mean."""
    volume: str
    """As the dirt lies."""
    goes: str
    """`to 2: 9.0 yd3; off the pad: 5.2 yd3, 1 load`."""
    mark: str
    """`!` where a spot of it is out of tolerance."""


def zone_words(summary: Summary, plan: ZonePlan, at: int) -> ZoneWords:
    """One zone of a plan, by its place in the order of work from 0."""
    zone = plan.zones[at]
    depth_nm = round(zone.depth_m * 1e9)
    off = depth_nm if zone.is_cut else -depth_nm
    return ZoneWords(
        at + 1,
        zone.is_cut,
        where(summary.grid, zone),
        words.work_words(summary.job, round_half_even(off, summary.job.step)),
        words.volume(summary.job, zone.bank_m3),
        "; ".join(_passing(summary, zone, to.zone, to.bank_m3) for to in worth_telling(summary, zone)),
        "!" if summary.out_mask[list(zone.spots)].any() else "",
    )


def zone_list(summary: Summary, plan: ZonePlan) -> list[str]:
    """The zones in columns, without where their dirt goes: `3  cut 2-1/2  A5 to C7  14.2 yd3`."""
    told = [zone_words(summary, plan, at) for at in range(len(plan.zones))]
    place, depth, volume = (max((len(str(zone[at])) for zone in told), default=0) for at in (2, 3, 4))
    return [
        f"{zone.number:>2}  {zone.depth:<{depth}}  {zone.where:<{place}}  {zone.volume:>{volume}} {zone.mark}".rstrip()
        for zone in told
    ]


def zone_loads(summary: Summary, plan: ZonePlan, at: int) -> str:
    """What a zone takes to work: `14.2 yd3 as it lies, 163 buckets, 2 truck loads`."""
    dirt, zone = summary.dirt, plan.zones[at]
    assert dirt is not None
    loose = dirt.soil.loose_from_bank(zone.bank_m3)
    return say(
        "{volume} as it lies, {buckets}, {loads}",
        volume=words.volume(summary.job, zone.bank_m3),
        buckets=counted(whole_loads(loose, summary.terms.number("bucket")), "{number} bucket", "{number} buckets"),
        loads=words.load_words(whole_loads(loose, summary.terms.number("truck"))),
    )


def worth_telling(summary: Summary, zone: Zone) -> tuple[Passing, ...]:
    """The most, and what is half a bucket or more: nobody drives for less."""
    assert summary.dirt is not None
    least = summary.terms.number("bucket") / summary.dirt.soil.loose / 2
    return zone.gives[:1] + tuple(to for to in zone.gives[1:] if to.bank_m3 >= least)


def where(grid: Grid, zone: Zone) -> str:
    """Where a zone lies: its corners where it fills what is between them, else how many spots around which."""
    first, last, left, right = spread_of(zone, grid.shape).tolist()
    corners = [grid.name(row * grid.across + column) for row, column in ((first, left), (last, right))]
    if len(zone.spots) == 1:
        return corners[0]
    if len(zone.spots) >= FULL * (last - first + 1) * (right - left + 1):
        return say("{one} to {other}", one=corners[0], other=corners[1])
    rows, columns = np.divmod(np.array(zone.spots), grid.across)
    middle = int(np.hypot(rows - rows.mean(), columns - columns.mean()).argmin())
    return counted(
        len(zone.spots),
        "{number} spot around {middle}",
        "{number} spots around {middle}",
        middle=grid.name(zone.spots[middle]),
    )


def zone_lines(summary: Summary, plan: DigPlan, zones: ZonePlan) -> list[str]:
    """The zones in order of work, in columns, with what the last pass achieved before them."""
    told = [zone_words(summary, zones, at) for at in range(len(zones.zones))]
    head = [*filter(None, [pass_words(summary)])]
    if not told:
        return [*head, nothing_words(summary, plan)]
    place, depth, volume = (max(len(str(zone[at])) for zone in told) for at in (2, 3, 4))
    return [
        *head,
        say("zones in order of work:"),
        *(
            f"{zone.number:>2}  {zone.depth:<{depth}}  {zone.where:<{place}}  {zone.volume:>{volume}}  {zone.goes}"
            f"{f'  {zone.mark}' if zone.mark else ''}"
            for zone in told
        ),
    ]


def nothing_words(summary: Summary, plan: DigPlan) -> str:
    """Why there is no zone."""
    if plan.left_alone and len(plan.left_alone) == summary.positions:
        return say("nothing to dig: every spot is within the crew tolerance")
    return say("nothing to dig")


def left_words(summary: Summary, plan: DigPlan) -> str:
    """Spots left alone and the dirt that stays there; empty where there are none."""
    if not plan.left_alone:
        return ""
    return counted(
        len(plan.left_alone),
        "{number} spot within the crew tolerance is left alone: {cut} of cut, {fill} of fill",
        "{number} spots within the crew tolerance are left alone: {cut} of cut, {fill} of fill",
        cut=words.volume(summary.job, plan.left_cut_m3),
        fill=words.volume(summary.job, plan.left_fill_m3),
    )


def pass_words(summary: Summary) -> str:
    """What the last pass achieved; empty in the first round and before a spot is shot again."""
    change = summary.change
    if change is None or not change.both.any():
        return ""
    before, now = summary.tallies()[-2:]
    told = phrase(
        "last pass: {lowered} lowered, {raised} raised, {overdug} overdug; "
        "{now} of {shot} out of tolerance, was {before}"
    )
    return say(
        told,
        lowered=int(change.lowered.sum()),
        raised=int(change.raised.sum()),
        overdug=int(change.overdug.sum()),
        now=now.outside,
        shot=now.inside + now.outside,
        before=before.outside,
    )


def _passing(summary: Summary, zone: Zone, other: int | None, bank_m3: float) -> str:
    dirt = summary.dirt
    assert dirt is not None
    told = words.volume(summary.job, bank_m3)
    if other is not None:
        return (
            say("to {zone}: {volume}", zone=other + 1, volume=told)
            if zone.is_cut
            else say("from {zone}: {volume}", zone=other + 1, volume=told)
        )
    loads = words.load_words(whole_loads(dirt.soil.loose_from_bank(bank_m3), summary.terms.number("truck")))
    if zone.is_cut:
        return say("off the pad: {volume}, {loads}", volume=told, loads=loads)
    return say("from a pile or a truck: {volume}, {loads}", volume=told, loads=loads)


def blocks(grid: Grid, positions: Iterable[int]) -> str:
    """Positions as blocks named by two corners: `A5-B5`, `A1-A3`, `A1-B3`, `C2`; near lines first, left first."""
    found: list[tuple[int, int]] = []
    growing: dict[tuple[int, int], int] = {}
    for line, first, last in _runs(grid, positions):
        at = growing.get((first, last))
        if at is not None and found[at][1] == (line - 1) * grid.across + last:
            found[at] = found[at][0], line * grid.across + last
        else:
            growing[first, last] = len(found)
            found.append((line * grid.across + first, line * grid.across + last))
    return " ".join(grid.name(a) if a == b else f"{grid.name(a)}-{grid.name(b)}" for a, b in found)


def _runs(grid: Grid, positions: Iterable[int]) -> Iterator[tuple[int, int, int]]:
    """Neighbours in a line: its row, the first and the last column."""
    in_order = enumerate(sorted(map(int, positions)))
    # Within a run both the position and its number go up by one; a new line begins a new run.
    for _, run in groupby(in_order, key=lambda pair: (pair[1] - pair[0], pair[1] // grid.across)):
        members = [position for _, position in run]
        line, first = divmod(members[0], grid.across)
        yield line, first, first + len(members) - 1
