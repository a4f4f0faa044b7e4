"""What a proof rests on, as plain values: setups, check shots, tests of the instrument, and the rounds before.

Lengths are whole nanometres, told from the zero in force; times seconds since 1970; `order` counts the lines of the
book, so that shots and checks can be put in sequence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rodcall.book.entries import Check, LaserCheck, MachineCheck, Reference, Setup, TermSet
from rodcall.book.page import Page
from rodcall.book.round_page import NOT_PAD, SHOT, Line, RoundPage
from rodcall.figures.ground import Floats, Ints

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


@dataclass(frozen=True)
class Standing:
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


@dataclass(frozen=True)
class TurningPoint:
    """A reference whose height was read from a setup, to carry the height on."""

    order: int
    setup: int
    name: str
    reading_nm: int
    height_nm: int


@dataclass(frozen=True, eq=False)
class RoundShots:
    """What counts in one round, flat arrays by position index."""

    number: int
    kind: str
    heights: Ints
    state: NDArray[np.uint8]
    stage: Mapping[int, str]
    """What the rod stood on, of those shot."""


@dataclass(frozen=True, eq=False)
class Evidence:
    """How the shots of one round were taken, and what was checked before and after."""

    order: Ints
    """Where in the book the shot that counts was written, by position index."""
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
    shots_since_check: int
    """Positions shot since the last check, in any round."""
    allowed_drift_nm: int


def evidence(page: Page, number: int) -> Evidence:
    """Take down what a proof of one round rests on.

    Args:
        page: What the book folded into; nothing of it is kept.
        number: Which of the rounds that count, from 1.
    """
    counted = page.rounds_counted
    shots = page.rounds[counted[number - 1]]
    checks = _checks(page)
    since = checks[-1].order if checks else -1
    return Evidence(
        order=shots.order.copy(),
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
        shots_since_check=sum(
            int(np.count_nonzero((each.state == SHOT) & ~page.not_pad & (each.order > since)))
            for each in (page.rounds[index] for index in counted)
        ),
        allowed_drift_nm=page.allowed_drift_nm,
    )


def state_of(page: Page, shots: RoundPage) -> NDArray[np.uint8]:
    """What is known of each position in a round: NOT_PAD where it is no part of the pad, whatever was read there."""
    state = shots.state.copy()
    state[page.not_pad] = NOT_PAD
    return state


def _shots(page: Page, number: int) -> RoundShots:
    shots = page.rounds[page.rounds_counted[number - 1]]
    state = state_of(page, shots)
    heights = np.where(state == SHOT, shots.datum_nm - page.zero_level_nm, 0)
    return RoundShots(number, str(shots.kind), heights, state, dict(shots.stage))


def _checks(page: Page) -> tuple[CheckShot, ...]:
    decided = {line.base.order for line in page.decisions if line.base is not None}
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
        )
        for line in page.checks
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
    assert line.base is not None
    return TurningPoint(line.order, line.base.order, entry.name, entry.reading_nm, line.datum_nm - zero_level_nm)
