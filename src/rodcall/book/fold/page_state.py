"""What counts on a page now: the state that a book's entries fold into, as its readers ask for it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from rodcall.book.fold.pad_edge import PadEdge
from rodcall.book.fold.round_page import SHOT, UNSHOT, Line, Pile, RoundPage
from rodcall.book.fold.undo import Acts
from rodcall.book.model.entries import Damage, Note, Readings, Reference, RoundKind, Setup, TermSet, Walk, WalkOrder
from rodcall.book.model.grid import Walking
from rodcall.book.model.job import Job
from rodcall.book.model.outline import Outline as Polygon
from rodcall.book.model.restated import NOTHING_ADDED, OF_A1, spot_of
from rodcall.book.model.terms import Terms
from rodcall.units import FOOT, INCH, MM, Unit

ALLOWED_DRIFT = {Unit.IN: INCH // 8, Unit.FT: FOOT // 100, Unit.MM: 3 * MM, Unit.CM: 3 * MM, Unit.M: 3 * MM}
"""What a check shot may be off where nobody said otherwise (common practice)."""

ZERO = "ZERO"
"""The reference that is the zero itself: its height is 0 without being written."""


@dataclass
class PageState:
    """The state of the book after its last entry; `Page.add` writes it, everybody else reads.

    Heights that it tells (`heights_nm`, `references`) are nanometres above the zero in force.
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
        self.before_a1 = NOTHING_ADDED
        """Lines added at the near edge and columns added at the left, by facts that count."""
        self._facts = Pile()
        self._laid_again = 0
        self._struck: frozenset[tuple[str, int]] | None = None
        """While a book is folded again: what is struck in the end."""
        self.edge = PadEdge(self.grid)
        """Which positions are part of the pad."""
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
        self._acts = Acts()
        self._not_in_acts: list[Line] = []
        """Lines written since undo was last thought of: most are never undone."""
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
        self._take_stock()

    def _take_stock(self) -> None:
        """Note what is in force; after every entry but a shot, so that a shot asks for nothing."""
        opened, zero, setup = self._round_lines.top, self._zeros.top, self._setups.top
        self.round_index = opened.round if opened is not None else 0
        """The round in force; 0 is the existing ground."""
        self.round = self.rounds[self.round_index]
        """The round in force."""
        self.setup = setup
        """The setup in force, or None where heights are said directly or no setup was written yet."""
        self.readings: Readings = (
            setup.entry.readings if setup is not None and isinstance(setup.entry, Setup) else self.job.readings
        )
        """The way of reading in force."""
        self.needs_setup = setup is None and self.job.readings is not Readings.HEIGHT
        """True while a rod is read and no backsight ties it to a reference."""
        self.zero_line = zero
        """The line that made another position the zero, its `base` that of the shot there; None for the job's own."""
        self.zero_index = zero.index if zero is not None else self.grid.index(self.job.zero)
        """The position that is called grade."""
        self.zero_level_nm = zero.datum_nm if zero is not None else 0
        """The zero's level on the book's datum."""

    # -- what counts now ------------------------------------------------------------------------------------

    @property
    def acts(self) -> Acts:
        """What undo and redo take back."""
        for line in self._not_in_acts:
            self._acts.wrote(line)
        self._not_in_acts.clear()
        return self._acts

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
    def setups(self) -> list[Line]:
        """All setups that are not struck, oldest first."""
        return list(self._setups)

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
        told = self.terms_set
        of_a1 = {name: spot_of(told[name], self.before_a1, self.grid) for name in OF_A1 if name in told}
        return Terms({name: entry.value for name, entry in told.items()}, of_a1)

    @property
    def terms_set(self) -> dict[str, TermSet]:
        """The entries that set the terms in force, by the term's name."""
        tops = {name: pile.top for name, pile in self._terms.items()}
        return {name: top.entry for name, top in tops.items() if top is not None and isinstance(top.entry, TermSet)}

    @property
    def allowed_drift_nm(self) -> int:
        """How far a check may be off and still be good."""
        return self.terms.length("drift") or ALLOWED_DRIFT[self.job.heights]

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

    # -- the pad --------------------------------------------------------------------------------------------

    @property
    def not_pad(self) -> NDArray[np.bool_]:
        """Which positions are no part of the pad, in any round, by index; not to be written to."""
        return self.edge.not_pad

    @property
    def outline(self) -> Polygon | None:
        """The pad's edge where it is no full rectangle, metres from A1."""
        return self.edge.outline

    @property
    def denied(self) -> NDArray[np.bool_]:
        """Which positions a line says are no part of the pad, whatever the outline says."""
        return self.edge.denied

    @property
    def outlines(self) -> list[Line]:
        """All outlines and holes that are not struck, oldest first."""
        return list(self.edge.outlines)

    def taken_off_at(self, index: int) -> Line | None:
        """The last line that took a position off the pad: `not pad`, the outline, or a hole; None for one on it."""
        return self.edge.taken_off_at(index)

    def written_at(self, index: int) -> list[Line]:
        """All that is written of a position and not struck, oldest first: in the round in force, and `not pad`."""
        denied = self.edge.not_pad_at(index)
        written = self.round.written_at(index)
        return sorted([*written, *([denied] if denied is not None else [])], key=lambda line: line.order)

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
