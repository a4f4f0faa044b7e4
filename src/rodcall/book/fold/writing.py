"""One more entry on a page: what each kind does to the state, at the same cost on an empty page and on a full one."""

from __future__ import annotations

from abc import ABC, abstractmethod
from datetime import timedelta

from rodcall.book.fold.page_error import PageError
from rodcall.book.fold.page_state import ZERO, PageState
from rodcall.book.fold.round_page import Change, Line, Pile, RoundPage
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
    Round,
    RoundKind,
    Setup,
    Shot,
    Strike,
    Target,
    TermSet,
    WalkOrder,
    Zero,
)
from rodcall.book.model.grid import GridError
from rodcall.book.model.repeat_readings import MIDDLE
from rodcall.book.model.restated import NOTHING_ADDED, restated
from rodcall.book.model.shapes import ShapeError, parse_shape, place_of
from rodcall.book.model.terms import Terms
from rodcall.i18n import say

MOST_ROUNDS = 200
"""Each costs memory or time as the page is large, and a file may come from anybody."""

MOST_FACTS = 200

CUSTOMARY_STAGE = Terms({}).word("stage")

CLOCK_SET_BACK = timedelta(minutes=2)
"""A tablet's clock that is put right by no more than this is let pass (our own choice)."""


class Writing(PageState, ABC):
    """A page as entries are written on it, one after the other; nothing is folded twice.

    Heights are kept on the book's own datum, which never moves: choosing another zero only moves the level that they
    are told from.
    """

    @abstractmethod
    def _strike(self, entry: Strike) -> Change:
        """Strike an entry."""

    @abstractmethod
    def _decide(self, line: Line, entry: Decision) -> None:
        """Keep or shift the shots that a check made suspect."""

    @abstractmethod
    def _mend(self, facts: list[Line]) -> None:
        """Let the job be what it was begun as with these facts.

        Raises:
            PageError: when they do not go together, or would leave something written off the grid; nothing is changed.
        """

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
        written, entry = entry, self._restated(entry)
        line = Line(entry, round=self.round_index, order=len(self.lines), written=written)
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
                self.edge.write_not_pad(line)
                self.round.last = line.index
            case Outline():
                line.index = self.standing
                self.edge.write_outline(line)
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
                self._zone_on_the_pad(entry)
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
                self._opened_with[line.round] = self._targets.top, self.zero_line
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
        if not isinstance(entry, Shot):
            self._take_stock()
        return change or Change(line)

    def _restated(self, entry: Entry) -> Entry:
        """The entry by the names that positions have now."""
        if self.before_a1 == NOTHING_ADDED and getattr(entry, "before_a1", NOTHING_ADDED) == NOTHING_ADDED:
            return entry
        try:
            return restated(entry, self.before_a1, self.grid, self.references)
        except GridError as error:
            raise PageError(str(error)) from None

    def _shoot(self, line: Line, entry: Shot) -> Change:
        line.index = self.position(entry.position)
        line.datum_nm = self._now(entry.reading_nm)
        line.base = self.setup or self.zero_line
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
            raise PageError(
                say("entry {number} is not a shot, is struck, or lies off the grid as it is now", number=entry.confirms)
            )
        line.base, line.index = shot, shot.index
        shot.confirmations = shot.confirmations or Pile()
        shot.confirmations.put(line)
        self.rounds[shot.round].recount_kept(shot.index)

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
        base = setup or self.zero_line
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

    def _at_position(self, line: Line) -> Change:
        here = self.rounds[line.round]
        before = here.height_at(line.index)
        self._hang(line, +1)
        here.put(line)
        return self._changed(line, before, here.height_at(line.index))

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

    def _zone_on_the_pad(self, entry: TermSet) -> None:
        """Refuse a zone whose corners lie off the pad: a tolerance of nothing would be missed by nobody."""
        if entry.name == "zone" and ":" in str(entry.value):
            try:
                for corner in str(entry.value).split(":"):
                    place_of(self.grid, corner)
            except ShapeError as error:
                raise PageError(str(error)) from None

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
