"""How the dig is said: blocks of positions, the moves in order of work, and what is over or short at the end."""

from __future__ import annotations

from itertools import chain
from typing import NamedTuple

import numpy as np

from rodcall.book.model.grid import Grid, letters
from rodcall.book.model.job import Job
from rodcall.figures.earthwork.dig import DigPlan, Move
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, phrase, say
from rodcall.units import round_half_even
from rodcall.units.quantities import CUBIC_UNITS, FOOT_M
from rodcall.wording import words
from rodcall.wording.zones import blocks, left_words, zone_lines

OUT = "!"
"""Marks a move for spots out of tolerance, as it does on the plan."""
MEASURE = phrase("volumes as the dirt lies (bank), buckets loose")
BLOCK = phrase("A1-B3 means all spots between these two corners")


class MoveWords(NamedTuple):
    """A move as one drives by it."""

    ends: str
    """`A5-B5 -> C1-C2`."""
    volume: str
    buckets: str
    distance: str
    mark: str = ""
    """`!` where a spot out of tolerance is dug or filled."""


def move_words(summary: Summary, move: Move) -> MoveWords:
    """One move, its volume as the dirt lies."""
    return MoveWords(
        f"{blocks(summary.grid, move.take)} -> {blocks(summary.grid, move.put)}",
        words.volume(summary.job, move.bank_m3),
        _buckets(move.buckets),
        drive(summary.job, move.distance_m),
        OUT if move.works_at(summary.out_mask) else "",
    )


def move_lines(moves: list[MoveWords], room: int = 40) -> list[str]:
    """Moves numbered in order of work, in columns: `1  A5-B5 -> C1-C2  0.8 yd3  9 buckets  24 ft`.

    Args:
        moves: In order of work.
        room: Characters for the ends; longer ones end in two points.
    """
    table = [MoveWords(words.harmless(ends, room), *rest) for ends, *rest in moves]
    ends, volume, buckets, distance = (max((len(move[at]) for move in table), default=0) for at in range(4))
    digits = len(str(len(table)))
    return [
        f"{number:>{digits}}  {move.ends:<{ends}}  {move.volume:>{volume}}  {move.buckets:>{buckets}}"
        f"  {move.distance:>{distance}}{f'  {move.mark}' if move.mark else ''}"
        for number, move in enumerate(table, 1)
    ]


def total_words(summary: Summary, plan: DigPlan) -> str:
    """All moves together: `7 moves, 8.4 yd3, 96 buckets, 24 ft on average, total haul 202 yd3 x ft`."""
    bank = plan.moved_m3
    if not bank:
        return say("nothing to move: no dirt, or nowhere to put it")
    unit, size = ("yd3 x ft", CUBIC_UNITS["yd3"] * FOOT_M) if words.is_imperial(summary.job) else ("m3 x m", 1.0)
    told = (
        counted(len(plan.moves), "{number} move", "{number} moves"),
        words.volume(summary.job, bank),
        _buckets(sum(move.buckets for move in plan.moves)),
        say(
            "{distance} on average, total haul {haul:.0f} {unit}",
            distance=drive(summary.job, plan.total_haul / bank),
            haul=plan.total_haul / size,
            unit=unit,
        ),
    )
    within = plan.in_place_m3
    spread = say("{volume} more spread where it lies", volume=words.volume(summary.job, within))
    return ", ".join((*told, spread) if within >= words.NO_DIRT_M3 else told)


def out_words(summary: Summary, plan: DigPlan) -> str:
    """Which moves are for spots out of tolerance; empty where none is out.

    All moves together are the surface's cut and fill, so that none can be dropped for being within the tolerance: they
    are marked instead, and come in the lanes' order, since finished ground is not driven over again.
    """
    marked = [str(number) for number, move in enumerate(plan.moves, 1) if move.works_at(summary.out_mask)]
    if not marked:
        return ""
    one, more = (
        phrase("! move {numbers} works at spots out of tolerance"),
        phrase("! moves {numbers} work at spots out of tolerance"),
    )
    return say(one if len(marked) == 1 else more, numbers=" ".join(marked))


def _buckets(number: int) -> str:
    return counted(number, "{number} bucket", "{number} buckets")


def lane_words(summary: Summary, plan: DigPlan) -> str:
    """The lanes in order of work: `lanes C-D, A-B, far end first, out by near-middle`."""
    lanes = ", ".join(
        letters(first) if first == last else f"{letters(first)}-{letters(last)}"
        for first, last in lane_columns(summary.grid, plan)
    )
    leave_by = summary.terms.word("exit")
    from_near, from_far = (
        phrase("lanes {lanes}, near end first, out by {exit}"),
        phrase("lanes {lanes}, far end first, out by {exit}"),
    )
    return say(from_near if leave_by.startswith("far") else from_far, lanes=lanes, exit=leave_by)


def lane_columns(grid: Grid, plan: DigPlan) -> list[tuple[int, int]]:
    """First and last column of each lane, in order of work."""
    columns = [[position % grid.across for position in lane] for lane in plan.lanes]
    return [(min(lane), max(lane)) for lane in columns]


def end_words(summary: Summary, plan: DigPlan) -> str:
    """What is over or short at the end, and where: `at the end over 2.1 yd3, 1 load, from C1-C3`."""
    dirt = summary.dirt
    assert dirt is not None
    over, short = (np.flatnonzero(volume) for volume in (plan.left_over_m3, plan.short_m3))
    spare = plan.over_m3 * (1 - dirt.soil.shrink) + dirt.on_hand
    where = say(", from {blocks}", blocks=blocks(summary.grid, over)) if over.size else ""
    where += say(", to fill {blocks}", blocks=blocks(summary.grid, short)) if short.size else ""
    pile = (
        say(", {volume} of the pile counted in", volume=words.volume(summary.job, dirt.on_hand)) if dirt.on_hand else ""
    )
    said = words.spare(summary, dirt, spare)
    if said == say("even"):
        return say("at the end even")
    return say("at the end {spare} (compacted{pile}){where}", spare=said, pile=pile, where=where)


def idle_words(summary: Summary) -> str:
    """Positions that neither give nor take, and why; empty where there are none."""
    grid = summary.grid
    corners = summary.footprint.corners(grid) if summary.footprint is not None else ()
    corners = tuple(at for at in corners if summary.keep_out[at])
    kinds = ((say("left out"), summary.left_out), (say("not pad"), summary.not_pad), (say("footprint corner"), corners))
    told = [f"{blocks(grid, positions)} ({why})" for why, positions in kinds if positions]
    return say("left as is: {positions}", positions=", ".join(told)) if told else ""


def start_words(summary: Summary, plan: DigPlan, move: Move) -> str:
    """Where a move begins, and what is done there: `begin at A5: cut 1-1/4; first to C2: fill 3/4`."""
    order = {position: n for n, position in enumerate(chain.from_iterable(plan.lanes))}
    take, put = (min(ends, key=lambda at: order[at]) for ends in (move.take, move.put))
    name = summary.grid.name
    told = say(
        "begin at {take}: {cut}; first to {put}: {fill}",
        take=name(take),
        cut=work(summary, take),
        put=name(put),
        fill=work(summary, put),
    )
    out = move.works_at(summary.out_mask)
    return told + (say("; out of tolerance {positions}", positions=blocks(summary.grid, out)) if out else "")


def deviation(summary: Summary, index: int) -> int | None:
    """Height of the surface above the target at a position, at the reading step; nanometres."""
    if summary.estimated is None or summary.target_heights is None:
        return None
    return round_half_even(int(summary.estimated[index] - summary.target_heights[index]), summary.job.step)


def work(summary: Summary, index: int) -> str:
    """What is to do at a position: `cut 1/2`, `fill 3/8 (estimated)`, `cut 1 (round before)`, `on target`."""
    said = words.work_words(summary.job, deviation(summary, index)) or words.NOTHING
    if summary.from_before[index]:
        return say("{work} (round before)", work=said)
    return said if summary.counts[index] else say("{work} (estimated)", work=said)


def dig_lines(summary: Summary, plan: DigPlan) -> list[str]:
    """The whole order of work, one line each: what a shell prints."""
    moves = [move_words(summary, move) for move in plan.moves]
    return [
        *zone_lines(summary, plan, summary.zones(plan)),
        *filter(None, [left_words(summary, plan)]),
        say("move by move: {lanes}", lanes=lane_words(summary, plan)),
        total_words(summary, plan),
        f"{say(MEASURE)}; {say(BLOCK)}",
        *move_lines(moves),
        *filter(None, [out_words(summary, plan)]),
        end_words(summary, plan),
        *filter(None, [idle_words(summary)]),
    ]


def drive(job: Job, metres: float) -> str:
    """How far dirt is carried, to the foot or the metre."""
    return f"{metres / FOOT_M:.0f} ft" if words.is_imperial(job) else f"{metres:.0f} m"
