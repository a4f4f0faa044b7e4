"""What a proof rests on, as plain values: setups, check shots, tests of the instrument, and the rounds before.

Lengths are whole nanometres, told from the zero in force; times seconds since 1970; `order` counts the lines of the
book, so that shots and checks can be put in sequence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rodcall.book.fold.page import Page
from rodcall.book.fold.round_page import NOT_PAD, SHOT, Line, Reading, RoundPage
from rodcall.book.model.entries import (
    Check,
    LaserCheck,
    MachineCheck,
    NotPad,
    Outline,
    Reference,
    Setup,
    TermSet,
)
from rodcall.book.model.terms import TERMS, Kind
from rodcall.figures.checks.agreed import FACT, Agreed, agreed, opened_with
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.frozen import Frozen

NO_SETUP = -1
"""Stands for the setup where heights are said directly."""


class CheckShot(NamedTuple):
    """What a reference read, beside what it is."""

    number: int
    """Of its entry in the book."""
    reference: str
    reading_nm: int
    drift_nm: int
    """How much higher it reads than it is."""
    order: int
    seconds: float
    setup: int
    """Order of the setup it was read by, or NO_SETUP."""
    round: int
    """Which of the page's rounds was in force."""
    decided: bool
    """Whether suspect shots were kept or shifted about it."""
    shots_before: int
    """How many shots were written before it in any round, struck ones included."""
    left_behind: tuple[int, ...]
    """Orders of shots that were struck when those about it were shifted, and that count again, as they were read."""


class Standing(Frozen):
    """One setup of the level, tied to a reference by its backsight."""

    order: int
    seconds: float
    reference: str
    known_nm: int
    """Height of that reference."""
    backsight_nm: int
    level_nm: int
    """Height that readings are told from: of the instrument, for a plain rod."""
    direction: int
    """+1 where a bigger reading is higher ground, -1 for a plain rod."""


class TurningPoint(Frozen):
    """A reference whose height was read from a setup, to carry the height on."""

    order: int
    setup: int
    """Order of the setup it was read from, or NO_SETUP."""
    name: str
    reading_nm: int
    height_nm: int


class TakenOut(Frozen):
    """A position that is no part of the pad, though it was read in the round."""

    index: int
    height_nm: int
    """As it was read last, struck or not."""
    number: int
    """Of the entry that took it out of the pad."""
    order: int
    reason: str


class ZeroRead(NamedTuple):
    """A shot that became the zero."""

    order: int
    """Of the line that made it the zero."""
    setup: int
    """Order of the setup it was read from; NO_SETUP where its height was said directly, or was there without a shot."""


class RoundShots(Frozen, eq=False):
    """What counts in one round, flat arrays by position index."""

    number: int
    kind: str
    heights: Ints
    state: NDArray[np.uint8]
    stage: Mapping[int, str]
    """What the rod stood on, of those shot."""
    times: Floats
    """When each of those shot was read, seconds since 1970, in the order of the grid."""


class Before(NamedTuple):
    """The ground as it was last shot before a round began, flat arrays by position index."""

    heights: Ints
    """Of the latest earlier round that has the position; 0 where none has."""
    shot: Mask
    """Where one has."""


class Evidence(Frozen, eq=False):
    """How the shots of one round were taken, and what was checked before and after."""

    order: Ints
    """Where in the book the shot that counts was written, by position index."""
    number: Ints
    """Number of its entry, likewise; 0 where nothing is written."""
    seconds: Floats
    """When, likewise."""
    setup: Ints
    """Order of its setup, or NO_SETUP, likewise."""
    here: RoundShots
    earlier: tuple[RoundShots, ...]
    """The rounds before, oldest first."""
    checks: tuple[CheckShot, ...]
    """Oldest first; so are the following."""
    setups: tuple[Standing, ...]
    turning_points: tuple[TurningPoint, ...]
    laser_checks: tuple[LaserCheck, ...]
    machine_checks: tuple[tuple[MachineCheck, int], ...]
    """Each with how much higher the machine shows the point than it is."""
    tripods: tuple[tuple[int, str], ...]
    """Where the level was said to stand, each with its order."""
    round_index: int
    """Which of the page's rounds this is."""
    opened: int
    """Order of the entry that began the round; -1 for the existing ground."""
    opened_by: int | None
    """Its number."""
    opened_with: Mapping[str, object]
    """Target and zero in force when it began, by `what` and with the `value` that `agreed` gives them; only those
    chosen."""
    first_shot: int | None
    """Order of the first shot of the book, in any round; None before it."""
    agreed: tuple[Agreed, ...]
    """What was agreed and changed since the job was set up, oldest first."""
    withdrawn: tuple[CheckShot, ...]
    """Check shots that were struck."""
    third_due: Mask
    """Positions where two readings disagree and a third is due, flat."""
    tablets_disagree: Mask
    """Positions where two tablets' readings disagree, and which were not read since the books were joined."""
    taken_out: tuple[TakenOut, ...]
    """Positions that were read in this round before they were said to be no part of the pad."""
    first_known: Mapping[str, int]
    """Order of the line that first gave each reference its height."""
    clock_ran_back: tuple[tuple[int, int], ...]
    """Order and number of entries that bear an earlier time than their tablet's entry before them."""
    zero_level_nm: int
    """Level of the zero in force on the book's datum."""
    edited: tuple[int, ...]
    """Places in the book (1 is the first) of entries that were changed outside."""
    damaged: tuple[int, ...]
    """Places in the book of entries that were damaged and are in no file."""
    joined: int
    """Entries up to here came together from two tablets; 0 where none were joined."""
    shots_written: int
    """Shots ever written, struck ones included."""
    shots_since_check: int
    """Positions shot since the last check, in any round."""
    allowed_drift_nm: int
    repeated: tuple[tuple[int, ...], ...] = ()
    """Heights read more than once at one spot from one set-up, a group for each spot, in all rounds."""
    zero: ZeroRead | None = None
    """The shot that became the zero; None where the zero is the job's own."""
    read_more: Mapping[int, tuple[Reading, ...]] = field(default_factory=dict)
    """All readings of each spot that was read more than once in this round, struck ones included, by index."""

    @cached_property
    def before(self) -> Before:
        """The ground before this round: each position as the latest earlier round has it."""
        heights = np.zeros(self.here.state.size, np.int64)
        shot = np.zeros(heights.size, np.bool_)
        for each in reversed(self.earlier):
            new = (each.state == SHOT) & ~shot
            heights[new] = each.heights[new]
            shot |= new
            if shot.all():
                break
        return Before(heights, shot)

    @property
    def of_before(self) -> int:
        """How many positions have a height from before this round."""
        return int(np.count_nonzero(self.before.shot))

    @property
    def touched(self) -> int:
        """How many of those are shot in this round."""
        return int(np.count_nonzero(self.before.shot & (self.here.state == SHOT)))


def evidence(page: Page, number: int) -> Evidence:
    """Take down what a proof of one round rests on.

    Args:
        page: What the book folded into; nothing of it is kept.
        number: Which of the rounds that count, from 1.
    """
    counted = page.rounds_counted
    shots = page.rounds[counted[number - 1]]
    checks = _checks(page, page.checks)
    opened_by = page.opened_by(counted[number - 1])
    since = checks[-1].order if checks else -1
    return Evidence(
        order=shots.order.copy(),
        number=shots.number.copy(),
        seconds=shots.seconds.copy(),
        setup=shots.setup.copy(),
        here=_shots(page, number),
        earlier=tuple(_shots(page, before) for before in range(1, number)),
        checks=checks,
        setups=tuple(_standing(line, page.zero_level_nm) for line in page.setups),
        turning_points=tuple(_turning_point(line, page.zero_level_nm) for line in page.turning_points),
        laser_checks=tuple(line.entry for line in page.tests if isinstance(line.entry, LaserCheck)),
        machine_checks=tuple(
            (line.entry, line.drift_nm) for line in page.tests if isinstance(line.entry, MachineCheck)
        ),
        tripods=tuple(
            (line.order, str(line.entry.value)) for line in page.term_lines("tripod") if isinstance(line.entry, TermSet)
        ),
        round_index=counted[number - 1],
        opened=opened_by.order if opened_by is not None else -1,
        opened_by=opened_by.entry.number if opened_by is not None else None,
        opened_with=opened_with(page, counted[number - 1]),
        first_shot=page.first_shot.order if page.first_shot is not None else None,
        agreed=agreed(page),
        withdrawn=_checks(page, page.withdrawn_checks),
        third_due=shots.third_due.copy(),
        tablets_disagree=shots.tablets_disagree & (shots.order < page.joined),
        taken_out=_taken_out(page, shots),
        first_known={name: lines[0].order for name, lines in page.references_written.items() if lines},
        clock_ran_back=tuple((line.order, line.entry.number) for line in page.clock_ran_back),
        zero_level_nm=page.zero_level_nm,
        edited=page.edited,
        damaged=page.damaged,
        joined=page.joined,
        shots_written=page.shots_written,
        shots_since_check=sum(
            int(np.count_nonzero((each.state == SHOT) & ~page.not_pad & (each.order > since)))
            for each in (page.rounds[index] for index in counted)
        ),
        allowed_drift_nm=page.allowed_drift_nm,
        repeated=tuple(group for index in counted for spot in page.rounds[index].repeated.values() for group in spot),
        zero=_zero(page.zero_line),
        read_more=shots.read_more,
    )


def _zero(line: Line | None) -> ZeroRead | None:
    if line is None:
        return None
    setup = line.base if line.base is not None and isinstance(line.base.entry, Setup) else None
    return ZeroRead(line.order, setup.order if setup is not None else NO_SETUP)


def _taken_out(page: Page, shots: RoundPage) -> tuple[TakenOut, ...]:
    found: list[TakenOut] = []
    for index in np.flatnonzero(page.not_pad).tolist():
        read = shots.shots_at(index)
        off = page.taken_off_at(index) if read else None
        if off is not None and isinstance(off.entry, NotPad | Outline) and read[-1].order < off.order:
            height = read[-1].datum_nm - page.zero_level_nm
            found.append(TakenOut(index, height, off.entry.number, off.order, off.entry.reason))
    return tuple(found)


def state_of(page: Page, shots: RoundPage) -> NDArray[np.uint8]:
    """What is known of each position in a round: NOT_PAD where it is no part of the pad, whatever was read there."""
    state = shots.state.copy()
    state[page.not_pad] = NOT_PAD
    return state


def _shots(page: Page, number: int) -> RoundShots:
    shots = page.rounds[page.rounds_counted[number - 1]]
    state = state_of(page, shots)
    heights = np.where(state == SHOT, shots.datum_nm - page.zero_level_nm, 0)
    times = shots.seconds[state == SHOT]
    return RoundShots(number, str(shots.kind), heights, state, dict(shots.stage), times)


def length_agreed(evidence: Evidence, each: Agreed) -> int | None:
    """The height or limit that was agreed, nanometres, heights told from the zero in force; None where it is no length.

    Args:
        evidence: Which has the zero in force.
        each: One of its `agreed`.
    """
    if each.what == "target" and isinstance(each.value, tuple):
        return int(each.value[0]) - evidence.zero_level_nm
    if not isinstance(each.value, int) or each.what.startswith(FACT):
        return None
    if each.what.startswith("reference "):
        return each.value - evidence.zero_level_nm
    return each.value if TERMS[each.what].kind is Kind.LENGTH else None


def _checks(page: Page, lines: list[Line]) -> tuple[CheckShot, ...]:
    decided = {line.base.order: line.passed_over for line in page.decisions if line.base is not None}
    return tuple(
        CheckShot(
            line.entry.number,
            line.entry.reference,
            line.entry.reading_nm,
            line.drift_nm,
            line.order,
            line.entry.time.timestamp(),
            NO_SETUP if line.base is None else line.base.order,
            line.round,
            line.order in decided,
            line.shots_before,
            tuple(shot.order for shot in decided.get(line.order, ()) if not (shot.struck or shot.aside)),
        )
        for line in lines
        if isinstance(line.entry, Check)
    )


def _standing(line: Line, zero_level_nm: int) -> Standing:
    entry = line.entry
    assert isinstance(entry, Setup)
    level, direction = line.datum_nm - zero_level_nm, entry.readings.direction
    known = level + direction * entry.backsight_nm
    return Standing(line.order, entry.time.timestamp(), entry.reference, known, entry.backsight_nm, level, direction)


def _turning_point(line: Line, zero_level_nm: int) -> TurningPoint:
    entry = line.entry
    assert isinstance(entry, Reference)
    assert entry.reading_nm is not None
    setup = line.base.order if line.base is not None else NO_SETUP
    return TurningPoint(line.order, setup, entry.name, entry.reading_nm, line.datum_nm - zero_level_nm)
