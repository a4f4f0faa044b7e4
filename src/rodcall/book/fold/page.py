"""The page that a book's entries fold into: the state of each round, one entry at a time.

Adding an entry costs the same on an empty page and on a full one; nothing is folded twice. Heights are kept on
the book's own datum, which never moves: choosing another zero only moves the level that they are told from.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from rodcall.book.fold.round_page import SHOT, UNSHOT, Change, Line, Pile, RoundPage
from rodcall.book.fold.undo import Acts
from rodcall.book.model.entries import (
    Check,
    Confirm,
    Damage,
    Decision,
    Entry,
    Fact,
    Issue,
    LaserCheck,
    LeaveOut,
    MachineCheck,
    Note,
    NotPad,
    Outline,
    Photo,
    Readings,
    Reference,
    Remedy,
    Round,
    RoundKind,
    Setup,
    Shot,
    Strike,
    Target,
    TermSet,
    Walk,
    WalkOrder,
    Zero,
)
from rodcall.book.model.entry_names import kind_words
from rodcall.book.model.facts import FactError
from rodcall.book.model.grid import FEWEST_CORNERS, GridError, Walking, corners_on_pad
from rodcall.book.model.job import Job
from rodcall.book.model.mended_job import LAID_OUT, mended
from rodcall.book.model.outline import Outline as Polygon
from rodcall.book.model.repeat_readings import MIDDLE
from rodcall.book.model.shapes import ShapeError, parse_shape, place_of, ring_of
from rodcall.book.model.terms import Terms
from rodcall.i18n import counted, say
from rodcall.units import FOOT, INCH, MM, Unit

MOST_ROUNDS = 200
MOST_DECISIONS = 1000
"""Each costs memory or time as the page is large, and a file may come from anybody."""

MOST_FACTS = 200
MOST_LAID_AGAIN = 1_000_000
"""Entries folded again for facts that were mended: some 20 seconds, and no crew comes near it."""

CUSTOMARY_STAGE = Terms({}).word("stage")

ALLOWED_DRIFT = {Unit.IN: INCH // 8, Unit.FT: FOOT // 100, Unit.MM: 3 * MM, Unit.CM: 3 * MM, Unit.M: 3 * MM}
"""What a check shot may be off where nobody said otherwise (common practice)."""

CLOCK_SET_BACK = timedelta(minutes=2)
"""A tablet's clock that is put right by no more than this is let pass (our own choice)."""

ZERO = "ZERO"
"""The reference that is the zero itself: its height is 0 without being written."""


class PageError(ValueError):
    """An entry that contradicts those before it; the text is one line, and nothing was changed."""


@dataclass
class Page:
    """The state of the book after its last entry.

    `add` is the only way in; everything else is to be read. Heights that it tells (`heights_nm`, `zero_height_of`)
    are nanometres above the zero in force.
    """

    job: Job
    """As it is now: begun so, or mended since."""
    lines: dict[tuple[str, int], Line] = field(default_factory=dict)
    """Every line by tablet and number, in the order written."""
    rounds: list[RoundPage] = field(default_factory=list)
    """All rounds begun, struck ones included: a line's `round` points here."""

    def __post_init__(self) -> None:
        self.began = self.job
        """The job as it was begun."""
        self.grid = self.job.grid
        self._facts = Pile()
        self._laid_again = 0
        self._struck: frozenset[tuple[str, int]] | None = None
        """While a book is folded again: what is struck in the end."""
        self.rounds.append(RoundPage(RoundKind.EXISTING, self.grid, self.job.step))
        self._round_lines = Pile()
        self._opened_by: dict[int, Line] = {}
        self._opened_with: dict[int, tuple[Line | None, Line | None]] = {}
        self._setups = Pile()
        self._zeros = Pile()
        self._targets = Pile()
        self._walks = Pile()
        self._references: dict[str, Pile] = {}
        self._terms: dict[str, Pile] = {}
        self._checks = Pile()
        self._decisions = Pile()
        self._tests = Pile()
        self._notes = Pile()
        self._photos = Pile()
        self._issues = Pile()
        self._not_pad = Pile()
        self._outlines = Pile()
        self._denied: NDArray[np.int64] = np.zeros(self.grid.size, np.int64)
        """How many lines that count say that a position is no part of the pad, by index."""
        self.not_pad: NDArray[np.bool_] = np.zeros(self.grid.size, np.bool_)
        """Which positions are no part of the pad, in any round, by index; not to be written to."""
        self._acts = Acts()
        self._not_in_acts: list[Line] = []
        """Lines written since undo was last thought of: most are never undone."""
        self.outline: Polygon | None = None
        """The pad's edge where it is no full rectangle, metres from A1."""
        self._beyond: NDArray[np.bool_] = np.zeros(self.grid.size, np.bool_)
        """Which positions lie off the outline."""
        self.edited: tuple[int, ...] = ()
        """Places in the book (1 is the first) of entries that were changed outside of rodcall, as its seals tell."""
        self.missing: tuple[int, ...] = ()
        """Places of entries that this opening found damaged, before an entry of `Damage` tells of them."""
        self.damage: list[Damage] = []
        """Every damage that the book tells of, oldest first."""
        self.joined = 0
        """How many entries from the first came together when two tablets' books were joined; 0 where none were."""
        self.clock_ran_back: list[Line] = []
        """Lines that bear an earlier time than their tablet's line before them."""
        self._shots: list[Line] = []
        self._last_number: dict[str, int] = {}
        self._last_time: dict[str, datetime] = {}

    # -- what counts now ------------------------------------------------------------------------------------

    @property
    def acts(self) -> Acts:
        """What undo and redo take back."""
        for line in self._not_in_acts:
            self._acts.wrote(line)
        self._not_in_acts.clear()
        return self._acts

    @property
    def round_index(self) -> int:
        """The round in force; 0 is the existing ground."""
        top = self._round_lines.top
        return top.round if top is not None else 0

    @property
    def round(self) -> RoundPage:
        """The round in force."""
        return self.rounds[self.round_index]

    @property
    def rounds_counted(self) -> list[int]:
        """Rounds that are not struck, oldest first."""
        return [0, *(line.round for line in self._round_lines)]

    def opened_by(self, round_index: int) -> Line | None:
        """The line that began a round; None for the first."""
        return self._opened_by.get(round_index)

    def opened_with(self, round_index: int) -> tuple[Line | None, Line | None]:
        """The target and the zero that were in force when a round began; None for those not chosen."""
        return self._opened_with.get(round_index, (None, None))

    @property
    def setup(self) -> Line | None:
        """The setup in force, or None where heights are said directly or no setup was written yet."""
        return self._setups.top

    @property
    def setups(self) -> list[Line]:
        """All setups that are not struck, oldest first."""
        return list(self._setups)

    @property
    def readings(self) -> Readings:
        """The way of reading in force."""
        setup = self.setup
        return setup.entry.readings if setup is not None and isinstance(setup.entry, Setup) else self.job.readings

    @property
    def needs_setup(self) -> bool:
        """True while a rod is read and no backsight ties it to a reference."""
        return self.setup is None and self.job.readings is not Readings.HEIGHT

    @property
    def zero_index(self) -> int:
        """The position that is called grade."""
        top = self._zeros.top
        return top.index if top is not None else self.grid.index(self.job.zero)

    @property
    def zero_level_nm(self) -> int:
        """The zero's level on the book's datum."""
        top = self._zeros.top
        return top.datum_nm if top is not None else 0

    @property
    def zero_line(self) -> Line | None:
        """The line that made another position the zero, its `base` that of the shot there; None for the job's own."""
        return self._zeros.top

    @property
    def target(self) -> Line | None:
        """The target that was chosen last, or None."""
        return self._targets.top

    @property
    def walk(self) -> Walking:
        """The walking order in force, from the end at which the round begins."""
        top = self._walks.top
        order = top.entry.order if top is not None and isinstance(top.entry, WalkOrder) else Walk.SNAKE
        return self.grid.walk(order, back=self.round.back)

    @property
    def notes(self) -> list[Note]:
        """Notes that are not struck, oldest first."""
        return [line.entry for line in self._notes if isinstance(line.entry, Note)]

    @property
    def photos(self) -> list[Line]:
        """Photos that are not struck, oldest first."""
        return list(self._photos)

    @property
    def issues(self) -> list[Line]:
        """Certificates issued, oldest first."""
        return list(self._issues)

    @property
    def damaged(self) -> tuple[int, ...]:
        """Places in the book (1 is the first) of entries that were damaged and are in no file."""
        return tuple(sorted({*self.missing, *(place for each in self.damage for place in each.places)}))

    @property
    def references(self) -> dict[str, int]:
        """Height of each reference above the zero in force, by name."""
        known = {ZERO: 0}
        for name, pile in self._references.items():
            if pile.top is not None:
                known[name] = pile.top.datum_nm - self.zero_level_nm
        return known

    @property
    def references_on_pad(self) -> dict[str, int]:
        """Index of the position where a reference lies, for those on the pad, by name."""
        tops = {name: pile.top for name, pile in self._references.items()}
        return {
            name: self.grid.index(line.entry.position)
            for name, line in tops.items()
            if line is not None and isinstance(line.entry, Reference) and line.entry.position is not None
        }

    @property
    def terms(self) -> Terms:
        """The terms in force."""
        return Terms({name: entry.value for name, entry in self.terms_set.items()})

    @property
    def terms_set(self) -> dict[str, TermSet]:
        """The entries that set the terms in force, by the term's name."""
        tops = {name: pile.top for name, pile in self._terms.items()}
        return {name: top.entry for name, top in tops.items() if top is not None and isinstance(top.entry, TermSet)}

    @property
    def facts(self) -> list[Line]:
        """All facts of the job that were mended and are not struck, oldest first."""
        return list(self._facts)

    def term_lines(self, name: str) -> list[Line]:
        """All that was said of a term and is not struck, oldest first; the last is in force."""
        return list(self._terms.get(name, ()))

    @property
    def turning_points(self) -> list[Line]:
        """References whose height was read: from a setup (`base`), or off the level itself; oldest first."""
        read = (
            line
            for pile in self._references.values()
            for line in pile
            if isinstance(line.entry, Reference) and line.entry.reading_nm is not None
        )
        return sorted(read, key=lambda line: line.order)

    @property
    def checks(self) -> list[Line]:
        """Check shots that are not struck, oldest first."""
        return list(self._checks)

    @property
    def withdrawn_checks(self) -> list[Line]:
        """Check shots that are struck, oldest first."""
        return [line for line in self._checks.all if line.struck]

    @property
    def targets(self) -> list[Line]:
        """All targets that are not struck, oldest first; the last is in force."""
        return list(self._targets)

    @property
    def zeros(self) -> list[Line]:
        """All zeros chosen after the job's own that are not struck, oldest first; the last is in force."""
        return list(self._zeros)

    @property
    def references_written(self) -> dict[str, list[Line]]:
        """All that was written of each reference and is not struck, oldest first, by name."""
        return {name: list(pile) for name, pile in self._references.items()}

    @property
    def shots_written(self) -> int:
        """How many shots were ever written, struck ones included."""
        return len(self._shots)

    @property
    def first_shot(self) -> Line | None:
        """The first shot ever written, in any round and struck or not: striking all of them begins no job anew."""
        return self._shots[0] if self._shots else None

    @property
    def decisions(self) -> list[Line]:
        """Decisions about suspect shots that are not struck, oldest first; `base` is the check."""
        return list(self._decisions)

    @property
    def tests(self) -> list[Line]:
        """Laser and machine checks that are not struck, oldest first."""
        return list(self._tests)

    def not_pad_at(self, index: int) -> Line | None:
        """The line by which a position is no part of the pad, the last of several; None where it is part of it."""
        lines = (line for line in reversed(list(self._not_pad)) if index in self._said_not_pad(line))
        return next(lines, None)

    def taken_off_at(self, index: int) -> Line | None:
        """The last line that took a position off the pad: `not pad`, the outline, or a hole; None for one on it."""
        edges = [line for line in self._outlines if isinstance(line.entry, Outline) and not line.entry.hole]
        holes = [line for line in self._outlines if isinstance(line.entry, Outline) and line.entry.hole]
        off = [line for line in (*edges[-1:], *holes) if self._is_off(line, index)]
        denied = self.not_pad_at(index)
        lines = off if denied is None else [*off, denied]
        return max(lines, key=lambda line: line.order, default=None)

    def _is_off(self, line: Line, index: int) -> bool:
        """Does an outline, or a hole, by itself put a position off the pad?"""
        entry = line.entry
        assert isinstance(entry, Outline)
        row, column = divmod(index, self.grid.across)
        place = np.array([self.grid.along_nm[row]]) * 1e-9, np.array([self.grid.across_nm[column]]) * 1e-9
        inside = Polygon(_in_metres(ring_of(self.grid, entry.corners))).contains(*place)
        return bool(inside[0]) is entry.hole

    def written_at(self, index: int) -> list[Line]:
        """All that is written of a position and not struck, oldest first: in the round in force, and `not pad`."""
        denied = self.not_pad_at(index)
        written = self.round.written_at(index)
        return sorted([*written, *([denied] if denied is not None else [])], key=lambda line: line.order)

    @property
    def denied(self) -> NDArray[np.bool_]:
        """Which positions a line says are no part of the pad, whatever the outline says."""
        denied: NDArray[np.bool_] = self._denied > 0
        return denied

    @property
    def outlines(self) -> list[Line]:
        """All outlines and holes that are not struck, oldest first."""
        return list(self._outlines)

    @property
    def positions(self) -> int:
        """How many positions are part of the pad."""
        return self.grid.size - int(np.count_nonzero(self.not_pad))

    def shots_in(self, round_index: int) -> int:
        """How many positions of the pad are shot in a round."""
        return int(np.count_nonzero((self.rounds[round_index].state == SHOT) & ~self.not_pad))

    def is_open(self, index: int) -> bool:
        """Whether a position is part of the pad and the round in force has nothing of it."""
        return bool(self.round.state[index] == UNSHOT and not self.not_pad[index])

    def to_come(self, index: int | None) -> NDArray[np.int64]:
        """Positions that the round in force has nothing of, as the helper meets them from `index` on, itself last."""
        met = self.walk.onward(index)
        still_open: NDArray[np.int64] = met[(self.round.state[met] == UNSHOT) & ~self.not_pad[met]]
        return still_open

    def next_after(self, index: int | None) -> int | None:
        """The next position that the round in force has nothing of, or None when it has all."""
        if self.round.shots + self.round.left_out == self.grid.size:
            return None
        still_open = self.to_come(index)
        return int(still_open[0]) if still_open.size else None

    @property
    def standing(self) -> int:
        """Where the crew stands: the position to be shot next, else the one written last."""
        last = self.round.last
        if last is not None and self.is_open(last):
            return last
        following = self.next_after(last)
        return following if following is not None else last or 0

    # -- writing --------------------------------------------------------------------------------------------

    def add(self, entry: Entry) -> Change:
        """Fold one more entry into the page.

        Raises:
            PageError: when the entry cannot stand here; the page is as it was.
        """
        last = self._last_number.get(entry.tablet, 0)
        if entry.number <= last:
            raise PageError(
                say(
                    "entry {number} of tablet {tablet} comes after entry {last}",
                    number=entry.number,
                    tablet=entry.tablet,
                    last=last,
                )
            )
        wrong = entry.check(self.job.heights, self.readings) if self._struck is None else None
        if wrong is not None:
            raise PageError(wrong)
        change = self._strike(entry) if isinstance(entry, Strike) else self._write(entry)
        self._noted(entry)
        return change

    def _noted(self, entry: Entry) -> None:
        """Remember the number and the time of what was written."""
        self._last_number[entry.tablet] = entry.number
        before = self._last_time.get(entry.tablet)
        if before is not None and before - entry.time > CLOCK_SET_BACK:
            self.clock_ran_back.append(self.lines[entry.tablet, entry.number])
        self._last_time[entry.tablet] = entry.time

    def _write(self, entry: Entry) -> Change:
        line = Line(entry, round=self.round_index, order=len(self.lines))
        change: Change | None = None
        match entry:
            case Shot():
                change = self._shoot(line, entry)
            case Check():
                line.datum_nm = self._now(entry.reading_nm)
                line.drift_nm = line.datum_nm - self.zero_level_nm - self._known(entry.reference)
                line.base = self.setup
                line.shots_before = len(self._shots)
                self._checks.put(line)
            case Confirm():
                self._confirm(line, entry)
            case Decision():
                self._decide(line, entry)
            case MachineCheck():
                line.drift_nm = entry.height_nm - self._known_at(entry.at)
                self._tests.put(line)
            case LaserCheck():
                self._tests.put(line)
            case LeaveOut():
                line.index = self.position(entry.position)
                change = self._at_position(line)
            case NotPad():
                line.index = self.position(entry.position)
                self._deny(line, +1)
                self._not_pad.put(line)
            case Outline():
                line.index = self.standing
                self._bound([*self._outlines, line])
                self._outlines.put(line)
            case Setup():
                line.datum_nm = self._level(entry)
                self._setups.put(line)
            case Reference():
                if entry.position is not None:
                    line.index = self.position(entry.position)
                height = entry.height_nm + self.zero_level_nm
                line.datum_nm = height if entry.reading_nm is None else self._now(entry.reading_nm)
                line.base = self.setup if entry.reading_nm is not None else None
                self._references.setdefault(entry.name, Pile()).put(line)
            case Target():
                self._fits_the_grid(entry)
                line.datum_nm = entry.offset_nm + self.zero_level_nm
                line.index = self.zero_index
                self._targets.put(line)
            case TermSet():
                self._terms.setdefault(entry.name, Pile()).put(line)
            case Fact():
                line.index = self.standing
                if self._struck is None:
                    if len(self._facts.all) >= MOST_FACTS:
                        raise PageError(say("too many mended facts: the limit is {most}", most=MOST_FACTS))
                    self._mend([*self._facts, line])
                    line.index = self.standing
                self._facts.put(line)
            case Zero():
                line.index, line.datum_nm = self._new_zero(entry.position)
                read = self.round.readings_at(line.index)
                line.base = read[-1].base if read else None
                self._zeros.put(line)
            case Round():
                if entry.round is RoundKind.EXISTING:
                    raise PageError(say("existing is the first round only; say working or final"))
                if len(self.rounds) > MOST_ROUNDS:
                    raise PageError(say("too many rounds: the limit is {most}", most=MOST_ROUNDS))
                self.rounds.append(RoundPage(entry.round, self.grid, self.job.step, back=self._turns_back))
                line.round = len(self.rounds) - 1
                self._round_lines.put(line)
                self._opened_by[line.round] = line
                self._opened_with[line.round] = self._targets.top, self._zeros.top
            case WalkOrder():
                self._walks.put(line)
            case Photo():
                line.index = self._shown_at(entry.at)
                self._photos.put(line)
            case Issue():
                self._issues.put(line)
            case Note():
                self._notes.put(line)
            case Damage():
                self.damage.append(entry)
        self.lines[entry.tablet, entry.number] = line
        # What a certificate said when it left the tablet cannot be taken back, only followed by a revision.
        if not isinstance(entry, Issue | Damage):
            self._not_in_acts.append(line)
        return change or Change(line)

    def _shoot(self, line: Line, entry: Shot) -> Change:
        line.index = self.position(entry.position)
        line.datum_nm = self._now(entry.reading_nm)
        line.base = self.setup or self._zeros.top
        line.stage = self._choice("stage", CUSTOMARY_STAGE)
        line.repeats = self._choice("repeats", MIDDLE)
        change = self._at_position(line)
        self._shots.append(line)
        return change

    def counts_with(self, index: int) -> bool:
        """Would a reading at a position count together with the one that counts there in this round?

        One from another set-up, or from before a check that was off by more than twice what is allowed, it replaces.
        """
        readings = self.round.readings_at(index)
        if not readings:
            return False
        last = readings[-1]
        if last.base is not (self.setup or self._zeros_at(last)):
            return False
        return not any(
            check.order > last.order and abs(check.drift_nm) > 2 * self.allowed_drift_nm for check in self._checks
        )

    def _zeros_at(self, shot: Line) -> Line | None:
        """What a shot of heights said directly hangs on: it may be an earlier zero, which moves no height."""
        return shot.base if self.setup is None else None

    def _confirm(self, line: Line, entry: Confirm) -> None:
        shot = self.lines.get((entry.written_on, entry.confirms))
        if shot is None or shot.struck or shot.aside or not isinstance(shot.entry, Shot):
            raise PageError(say("entry {number} is no shot, or is struck", number=entry.confirms))
        line.base, line.index = shot, shot.index
        shot.confirmations = shot.confirmations or Pile()
        shot.confirmations.put(line)
        self.rounds[shot.round].settle_kept(shot.index)

    @property
    def _turns_back(self) -> bool:
        """Does a round that begins now walk back? It begins at the end nearer to where the helper stands."""
        last = self.round.last
        if last is None:
            return self.round.back
        return 2 * self.grid.walk(self.walk.order).step(last) >= self.grid.size

    def _choice(self, name: str, customary: str) -> str:
        """The word in force for a term; asked at every shot, so the other terms are left alone."""
        pile = self._terms.get(name)
        top = pile.top if pile is not None else None
        return str(top.entry.value) if top is not None and isinstance(top.entry, TermSet) else customary

    def _now(self, reading_nm: int) -> int:
        """Height on the datum of what is read by the setup in force."""
        setup = self.setup
        if setup is None and self.needs_setup:
            raise PageError(say("no set-up yet: write one first (a backsight on a reference)"))
        base = setup or self._zeros.top
        return (base.datum_nm if base is not None else 0) + self.readings.direction * reading_nm

    def _known(self, reference: str) -> int:
        height = self.references.get(reference)
        if height is None:
            raise PageError(
                say(
                    "no reference is called {reference}; write it first: reference {reference} HEIGHT",
                    reference=reference,
                )
            )
        return height

    def _known_at(self, at: str) -> int:
        """Height above the zero of a reference, or of a position as it was shot last in this round."""
        known = self.references.get(ZERO if at.upper() == ZERO else at)
        if known is not None:
            return known
        height = self.round.height_at(self.position(at))
        if height is None:
            raise PageError(
                say(
                    "{position} is not shot in this round; check the machine over a point with a height",
                    position=at.upper(),
                )
            )
        return height - self.zero_level_nm

    def _shown_at(self, at: str) -> int:
        """Index of the position that a photo shows; -1 for a reference, or the whole pad."""
        return -1 if not at or at in self.references else self.position(at)

    def _decide(self, line: Line, entry: Decision) -> None:
        """Keep or shift the shots that a check made suspect: those since the last check, good or decided, before it."""
        about = self.lines.get((entry.written_on, entry.about))
        if about is None or about.struck or not isinstance(about.entry, Check):
            raise PageError(say("entry {number} is no check shot, or is struck", number=entry.about))
        decided = {decision.base.order for decision in self._decisions if decision.base is not None}
        if about.order in decided:
            raise PageError(
                say("entry {number} already has a decision; strike that decision first", number=entry.about)
            )
        if len(decided) >= MOST_DECISIONS:
            raise PageError(say("too many decisions: the limit is {most}", most=MOST_DECISIONS))
        line.base = about
        if entry.decision is Remedy.SHIFT:
            closed = (
                check.order
                for check in self._checks
                if (self._is_good(check) or check.order in decided)
                and (check.base is about.base or not entry.own_setup)
            )
            since = max((order for order in closed if order < about.order), default=-1)
            line.moved = tuple(
                shot
                for shot in self._shots
                if not (shot.struck or shot.aside)
                and since < shot.order < about.order
                and self._shifts(shot, about, entry)
            )
            self._move(line.moved, -about.drift_nm)
        self._decisions.put(line)

    def _shifts(self, shot: Line, check: Line, decision: Decision) -> bool:
        """Does this shot move with the level that a check found off? Never a reference, nor one of another set-up."""
        if not decision.own_setup:
            return True
        by = shot.base if shot.base is not None and isinstance(shot.base.entry, Setup) else None
        fixed = {self.zero_index, *self.references_on_pad.values()}
        return by is check.base and shot.index not in fixed

    def _move(self, shots: tuple[Line, ...], by: int) -> None:
        for shot in shots:
            shot.datum_nm += by
            self.rounds[shot.round].settle(shot.index)

    @property
    def allowed_drift_nm(self) -> int:
        """How far a check may be off and still be good."""
        return self.terms.length("drift") or ALLOWED_DRIFT[self.job.heights]

    def _is_good(self, check: Line) -> bool:
        return abs(check.drift_nm) <= self.allowed_drift_nm

    def _at_position(self, line: Line) -> Change:
        here = self.rounds[line.round]
        before = here.height_at(line.index)
        self._hang(line, +1)
        here.put(line)
        return self._changed(line, before, here.height_at(line.index))

    def _strike(self, entry: Strike) -> Change:
        key = entry.written_on, entry.strikes
        struck = self.lines.get(key)
        if struck is None:
            raise PageError(say("it strikes entry {number}, which is not in the book", number=entry.strikes))
        if isinstance(struck.entry, Damage):
            raise PageError(say("entry {number} records damage: it cannot be struck", number=entry.strikes))
        if entry.tablet in struck.struck_by:
            raise PageError(say("entry {number} is already struck", number=entry.strikes))
        line = Line(entry, round=self.round_index, order=len(self.lines))
        if isinstance(struck.entry, Strike):
            change = self._strike_a_strike(line, struck, struck.entry)
        else:
            if isinstance(struck.entry, Fact) and not struck.struck and self._struck is None:
                self._mend([line for line in self._facts if line is not struck])
                struck = self.lines[key]
            if struck.hanging:
                raise PageError(
                    counted(
                        struck.hanging,
                        "{number} shot hangs on that {kind}; strike it first",
                        "{number} shots hang on that {kind}; strike them first",
                        kind=kind_words(struck.entry),
                    )
                )
            if isinstance(struck.entry, Outline) and not struck.struck:
                self._bound([line for line in self._outlines if line is not struck])
            # Joined books may both have struck it; the first strike has done what there is to do.
            done, struck.struck_by = struck.struck or struck.aside, (*struck.struck_by, entry.tablet)
            change = Change(struck, undone=True) if done else self._count(struck, again=False)
            self.acts.struck(line)
        self.lines[entry.tablet, entry.number] = line
        return change

    def _strike_a_strike(self, line: Line, struck: Line, strike: Strike) -> Change:
        """Take a strike back: what it struck counts again, unless another tablet struck it too."""
        of_revived, of_struck = (strike.written_on, strike.strikes), (struck.entry.tablet, struck.entry.number)
        revived = self.lines[of_revived]
        if isinstance(revived.entry, Strike):
            raise PageError(
                say(
                    "entry {number} undid a strike; strike entry {other} instead",
                    number=strike.number,
                    other=revived.entry.strikes,
                )
            )
        if self._struck is None and not struck.struck and set(revived.struck_by) == {strike.tablet}:
            if revived.aside:
                raise PageError(
                    say("entry {number} is off the grid as it is now; mend size or counts first", number=strike.strikes)
                )
            if isinstance(revived.entry, Fact):
                self._mend(sorted([*self._facts, revived], key=lambda each: each.order))
                revived, struck = self.lines[of_revived], self.lines[of_struck]
        if not struck.struck and set(revived.struck_by) == {strike.tablet} and isinstance(revived.entry, NotPad):
            self._some_pad_without(self._said_not_pad(revived))
        if not struck.struck and set(revived.struck_by) == {strike.tablet} and isinstance(revived.entry, Outline):
            self._bound(sorted([*self._outlines, revived], key=lambda each: each.order))
        done, struck.struck_by = struck.struck, (*struck.struck_by, line.entry.tablet)
        if not done:
            revived.struck_by = tuple(each for each in revived.struck_by if each != strike.tablet)
        if done or revived.struck or revived.aside:
            return Change(revived, undone=revived.struck)
        change = self._count(revived, again=True)
        self.acts.revived(line, revived)
        return change

    def _count(self, line: Line, *, again: bool) -> Change:
        """Let a line count again, or no longer."""
        here = self.rounds[line.round]
        positioned = isinstance(line.entry, Shot | LeaveOut)
        before = here.height_at(line.index) if positioned else None
        if not positioned:
            if isinstance(line.entry, Decision) and line.base is not None:
                self._move(line.moved, -line.base.drift_nm if again else line.base.drift_nm)
            if isinstance(line.entry, Confirm) and line.base is not None:
                self.rounds[line.base.round].settle_kept(line.index)
            if isinstance(line.entry, NotPad):
                self._deny(line, 1 if again else -1)
            return Change(line, undone=not again)
        self._hang(line, 1 if again else -1)
        here.count(line, again=again)
        return self._changed(line, before, here.height_at(line.index), undone=not again)

    # -- facts that were mended -----------------------------------------------------------------------------

    def _mend(self, facts: list[Line]) -> None:
        """Let the job be what it was begun as with these facts, all readings kept at their positions.

        Raises:
            PageError: when they do not go together, or would leave something written off the grid; nothing is changed.
        """
        job = self.began
        try:
            for line in facts:
                if isinstance(line.entry, Fact):
                    job = mended(job, line.entry.name, line.entry.value)
        except FactError as error:
            raise PageError(str(error)) from None
        if any(getattr(job, field) != getattr(self.job, field) for field in LAID_OUT):
            self._lay_again(job)
        self.job = job

    def _lay_again(self, job: Job) -> None:
        """Fold all entries anew over the job as it is now: the one place where what is written moves on the grid."""
        laid = self._laid_again + len(self.lines)
        if laid > MOST_LAID_AGAIN:
            raise PageError(say("too many facts are mended in a book as long as this"))
        anew = Page(job)
        anew._struck = frozenset(key for key, line in self.lines.items() if line.struck)
        for key, line in self.lines.items():
            anew._take_again(key, line.entry)
        anew._struck = None
        kept = {"began": self.began, "edited": self.edited, "joined": self.joined, "_laid_again": laid}
        self.__dict__ = {**anew.__dict__, **kept}

    def _take_again(self, key: tuple[str, int], entry: Entry) -> None:
        """One entry that was folded before. What is struck in the end and lies off the grid now is set aside."""
        assert self._struck is not None
        try:
            self.add(entry)
        except PageError as error:
            confirmed = isinstance(entry, Confirm) and self.lines[entry.written_on, entry.confirms].aside
            if key not in self._struck and not confirmed:
                where = kind_words(entry)
                raise PageError(
                    say("{why}; strike entry {number} first ({kind})", why=error, number=entry.number, kind=where)
                ) from None
            line = Line(entry, round=self.round_index, order=len(self.lines), aside=True)
            self.lines[key] = line
            self.acts.wrote(line)
            if isinstance(entry, Shot):
                self._shots.append(line)
            self._noted(entry)

    def _deny(self, line: Line, by: int) -> None:
        """Take positions out of the pad, or back into it."""
        positions = self._said_not_pad(line)
        if by > 0:
            self._some_pad_without(positions)
        self._denied[positions] += by
        self.not_pad = (self._denied > 0) | self._beyond
        self.round.last = line.index

    def _bound(self, lines: list[Line]) -> None:
        """Let these outlines bound the pad: the last edge of them, and every hole.

        Raises:
            PageError: when they bound nothing that can be shot; the page is as it was.
        """
        said = [line.entry for line in lines if isinstance(line.entry, Outline)]
        edges = [each for each in said if not each.hole]
        try:
            holes = tuple(_in_metres(ring_of(self.grid, each.corners)) for each in said if each.hole)
            edge = ring_of(self.grid, edges[-1].corners) if edges else self.grid.edge
            outline = Polygon(_in_metres(edge), holes) if said else None
        except ValueError as error:
            raise PageError(str(error)) from None
        beyond = np.zeros(self.grid.size, np.bool_)
        if outline is not None:
            along, across = (np.asarray(each, np.float64) * 1e-9 for each in (self.grid.along_nm, self.grid.across_nm))
            beyond = ~outline.contains(along[:, None], across).ravel()
        self._some_pad(~(self.denied | beyond))
        self.outline, self._beyond, self.not_pad = outline, beyond, self.denied | beyond

    def _fits_the_grid(self, target: Target) -> None:
        """Refuse a shape that is not understood, or heights that are not one a position."""
        try:
            if target.shape:
                shape = parse_shape(target.shape)
                places = {place_of(self.grid, point) for point in shape.points}
                if len(places) < len(shape.points):
                    raise ShapeError(say("a line needs two different points"))
        except ShapeError as error:
            raise PageError(str(error)) from None
        if target.heights_nm and (len(target.heights_nm) != self.grid.size or target.shape):
            raise PageError(say("a design by heights needs one height a position: {count}", count=self.grid.size))

    def _said_not_pad(self, line: Line) -> NDArray[np.int64]:
        """The positions that a line says are no part of the pad."""
        entry = line.entry
        assert isinstance(entry, NotPad)
        return self.grid.rectangle(self.position(entry.position), self.position(entry.to or entry.position))

    def _some_pad_without(self, positions: NDArray[np.int64]) -> None:
        """Raise where nothing with an area would be left: three corners of one square at least."""
        pad = ~self.not_pad
        pad[positions] = False
        self._some_pad(pad)

    def _some_pad(self, pad: NDArray[np.bool_]) -> None:
        if not (corners_on_pad(pad.reshape(self.grid.shape)) >= FEWEST_CORNERS).any():
            raise PageError(say("that leaves no pad: keep at least three spots of one square"))

    def _changed(self, line: Line, before: int | None, now: int | None, *, undone: bool = False) -> Change:
        zero = self.zero_level_nm
        return Change(
            line,
            undone,
            before - zero if before is not None else None,
            now - zero if now is not None else None,
        )

    def _hang(self, line: Line, by: int) -> None:
        if line.base is not None:
            line.base.hanging += by
        if line.round in self._opened_by:
            self._opened_by[line.round].hanging += by

    def position(self, name: str) -> int:
        """The index of a position by its name.

        Raises:
            PageError: when it is off the grid.
        """
        try:
            return self.grid.index(name)
        except GridError as error:
            raise PageError(str(error)) from None

    def _level(self, setup: Setup) -> int:
        if setup.readings is Readings.HEIGHT:
            raise PageError(say("only a rod job has set-ups: plain or direct-reading"))
        known = self._known(setup.reference)
        return known + self.zero_level_nm - setup.readings.direction * setup.backsight_nm

    def _new_zero(self, position: str) -> tuple[int, int]:
        index = self.position(position)
        height = self.round.height_at(index)
        if height is None and any(each.shots for each in self.rounds):
            raise PageError(say("shoot {position} first: a zero needs a height", position=position))
        return index, height if height is not None else self.zero_level_nm


def _in_metres(ring: tuple[tuple[int, int], ...]) -> tuple[tuple[float, float], ...]:
    return tuple((along * 1e-9, across * 1e-9) for along, across in ring)
