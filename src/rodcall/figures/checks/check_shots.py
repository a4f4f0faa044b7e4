"""Check shots, the shots that a bad one makes suspect, and which reference moved."""

from __future__ import annotations

from collections import Counter
from enum import StrEnum
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from rodcall.book.model.terms import Terms
from rodcall.figures.checks.evidence import NO_SETUP, CheckShot, Evidence, Standing
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.target import metres
from rodcall.frozen import Frozen
from rodcall.i18n import phrase

if TYPE_CHECKING:
    from rodcall.figures.checks.drift import Movement


class State(StrEnum):
    """What a check shot says."""

    GOOD = phrase("good")
    """Off by no more than is allowed."""
    REPEAT = phrase("repeat")
    """By no more than twice that: read it again; things stay open until then."""
    STOP = phrase("stop")
    """By more: the shots since the last good check are suspect."""


class Standard(StrEnum):
    """Whether the last check stands behind the shots."""

    GOOD = "good"
    """Good, and later than the last shot."""
    LATE = "late"
    """Good, but shots were taken after it."""
    REPEAT = "repeat"
    """A check is to be read again."""
    BAD = "bad"
    MISSING = "missing"
    """There is none."""


class Reason(StrEnum):
    """Why a check shot is due."""

    SHOTS = "shots"
    MINUTES = "minutes"
    NEW_SETUP = "new setup"
    LEAVING = "leaving"


def state(drift_nm: int, allowed_nm: int) -> State:
    """Grade a check shot; both limits themselves belong to the milder side (common practice)."""
    off = abs(drift_nm)
    return State.GOOD if off <= allowed_nm else State.REPEAT if off <= 2 * allowed_nm else State.STOP


class Disagreement(Frozen):
    """Two or more references read by one setup that cannot all be where the book has them."""

    drifts: tuple[tuple[str, int], ...]
    """What each reads too high, nanometres."""
    moved: tuple[str, ...]
    """Those that likely moved, were dug up or buried; none where it cannot be told."""
    sure: bool
    """False where an earlier mistake at the backsight would look the same: check a third reference."""


class Trust(Frozen, eq=False):
    """What the checks say of one round's shots. Arrays are flat, by position index."""

    evidence: Evidence
    counts: Mask
    terms: Terms
    along_m: Floats
    """Distance of each position from A1, away from the near edge."""
    across_m: Floats
    step_nm: int
    """Smallest mark that is read."""

    @property
    def checks(self) -> tuple[CheckShot, ...]:
        """All check shots that count, oldest first."""
        return self.evidence.checks

    def state(self, check: CheckShot) -> State:
        """What a check says under the drift allowed."""
        return state(check.drift_nm, self.evidence.allowed_drift_nm)

    # -- suspect shots --------------------------------------------------------------------------------------

    @cached_property
    def bad(self) -> tuple[CheckShot, ...]:
        """Checks off by more than twice what is allowed, oldest first, but those that were misread.

        A check was misread where the next one by the same set-up on the same reference is good and no shot lies between
        them. One that was struck out counts as bad all the same: striking it repairs no level.
        """
        return tuple(check for check in self._stopped if not self._repeated_true(check))

    @cached_property
    def misread(self) -> frozenset[int]:
        """Order of each check that was misread: it shows nothing of the level."""
        return frozenset(check.order for check in self._stopped if self._repeated_true(check))

    @property
    def _stopped(self) -> list[CheckShot]:
        both = [*self.checks, *self.evidence.withdrawn]
        return sorted((check for check in both if self.state(check) is State.STOP), key=lambda check: check.order)

    def _repeated_true(self, bad: CheckShot) -> bool:
        """Did a check off by more than is allowed, read again at once, read true?"""
        following = (check for check in self.checks if check.order > bad.order and _alike(check, bad))
        again = next(following, None)
        return again is not None and again.shots_before == bad.shots_before and self.state(again) is State.GOOD

    def suspects_of(self, bad: CheckShot) -> Mask:
        """Shots that count and lie between the last good check of the same set-up and a bad one."""
        good = [c.order for c in self.checks if c.setup == bad.setup and self.state(c) is State.GOOD]
        since = max((order for order in good if order < bad.order), default=-1)
        order, setup = self.evidence.order, self.evidence.setup
        mask: Mask = self.counts & (setup == bad.setup) & (order > since) & (order < bad.order)
        return mask

    def open_of(self, bad: CheckShot) -> Mask:
        """Those of them about which nothing was decided: all, or those that were struck when others were shifted."""
        suspects = self.suspects_of(bad)
        left: Mask = suspects & np.isin(self.evidence.order, bad.left_behind)
        return left if bad.decided else suspects

    @cached_property
    def suspect_mask(self) -> Mask:
        """Shots that count and that a bad check speaks against, unless it was decided about them."""
        mask = np.zeros(self.counts.size, np.bool_)
        for check in self.bad:
            mask |= self.open_of(check)
        return mask

    @cached_property
    def accepted_mask(self) -> Mask:
        """Shots that a bad check speaks against and that were kept or corrected by decision: not shot again."""
        mask = np.zeros(self.counts.size, np.bool_)
        for check in self.bad:
            if check.decided:
                mask |= self.suspects_of(check)
        return mask & ~self.suspect_mask

    @cached_property
    def suspect(self) -> tuple[int, ...]:
        """Indices of the suspect shots."""
        return tuple(int(index) for index in np.flatnonzero(self.suspect_mask))

    @cached_property
    def unresolved(self) -> tuple[CheckShot, ...]:
        """The last checks that are bad, read one after another with no shot and no new set-up since; else none.

        One may be misread: it is read again. Two say that the level moved, or the reference.
        """
        run: list[CheckShot] = []
        for check in reversed(self.checks):
            current = check.shots_before == self.evidence.shots_written and check.setup == self.newest_setup
            if (
                not current
                or self.state(check) is not State.STOP
                or check.decided
                or (run and not _alike(check, run[-1]))
            ):
                break
            run.append(check)
        return tuple(run)

    @property
    def newest_setup(self) -> int:
        """Order of the set-up in force, or NO_SETUP."""
        return self.evidence.setups[-1].order if self.evidence.setups else NO_SETUP

    def proves(self, check: CheckShot) -> bool:
        """Is a check good, on a reference that can prove anything of the set-up?"""
        return self.state(check) is State.GOOD and self.independent(check.reference, check.setup)

    def independent(self, reference: str, setup: int) -> bool:
        """Was a reference's height known otherwise than by this set-up, given by its order or NO_SETUP?

        One that was first written after a bad check is not: it would agree with the level that was found off.
        """
        if any((point.name, point.setup) == (reference, setup) for point in self.evidence.turning_points):
            return False
        known = self.evidence.first_known.get(reference, -1)
        return not any(bad.setup == setup and bad.order < known for bad in self.bad)

    @cached_property
    def closing(self) -> Ints:
        """For each position the place in `checks` of the first that proves its shot; -1 where none follows.

        Once the tripod has moved, a check no longer says anything about the set-up before: check before leaving it.
        """
        closing = np.full(self.counts.size, -1)
        order, setup = self.evidence.order, self.evidence.setup
        for place in reversed(range(len(self.checks))):
            check = self.checks[place]
            if self.proves(check):
                closing[(setup == check.setup) & (order < check.order)] = place
        return closing

    @cached_property
    def unchecked_mask(self) -> Mask:
        """Shots that count and were followed by no check that proves them."""
        mask: Mask = self.counts & (self.closing < 0)
        return mask

    # -- the last check -------------------------------------------------------------------------------------

    @cached_property
    def last(self) -> CheckShot | None:
        """The last check up to the end of this round."""
        return next((check for check in reversed(self.checks) if check.round <= self.evidence.round_index), None)

    @cached_property
    def open_repeats(self) -> tuple[CheckShot, ...]:
        """Checks to be read again: the last one on its reference by the set-up in force, not decided about."""
        latest = {
            check.reference: check
            for check in self.checks
            if check.round <= self.evidence.round_index and check.setup == self.newest_setup
        }
        return tuple(c for c in latest.values() if self.state(c) is State.REPEAT and not c.decided)

    @cached_property
    def standard(self) -> Standard:
        """Whether the last check is good and later than the last shot."""
        if self.last is None:
            return Standard.MISSING
        if self.state(self.last) is State.STOP:
            return Standard.BAD
        if self.open_repeats or self.state(self.last) is State.REPEAT:
            return Standard.REPEAT
        last_shot = int(self.evidence.order[self.counts].max(initial=-1))
        return Standard.GOOD if self.last.order > last_shot else Standard.LATE

    def age(self, now: float) -> float | None:
        """Seconds since the last check, else since the setup, else since the first shot; None before any of them.

        Args:
            now: Seconds since 1970.
        """
        since = [check.seconds for check in self.checks[-1:]] + [each.seconds for each in self.evidence.setups[-1:]]
        if since:
            return now - max(since)
        return now - float(self.evidence.seconds[self.counts].min()) if self.counts.any() else None

    def due(self, now: float, *, leaving: bool = False) -> tuple[Reason, ...]:
        """Why a check shot should be taken now; nothing where none is due.

        After so many shots or minutes (terms `check-shots`, `check-minutes`), once the tripod was moved, and before
        leaving with shots that no check covers.

        Args:
            now: Seconds since 1970.
            leaving: Whether the crew is about to go.
        """
        shots, age = self.evidence.shots_since_check, self.age(now)
        long_ago = age is not None and age >= 60 * self.terms.number("check-minutes")
        moved = len(self.evidence.setups) > 1 and all(
            check.order < self.evidence.setups[-1].order for check in self.checks
        )
        asked = {
            Reason.SHOTS: shots >= self.terms.number("check-shots"),
            Reason.MINUTES: shots > 0 and long_ago,
            Reason.NEW_SETUP: moved,
            Reason.LEAVING: leaving and shots > 0,
        }
        return tuple(reason for reason, is_due in asked.items() if is_due)

    # -- what moved -----------------------------------------------------------------------------------------

    @cached_property
    def movement(self) -> Movement | None:
        """Whether the level of the last check settled or was bumped, and after which shot; None without a check.

        Some milliseconds at 80 shots, tens at most: to be asked when a check is shown, not at every key.
        """
        from rodcall.figures.checks.drift import Series, ShotSequence, movement

        if self.last is None:
            return None
        series = self._series(self.last)
        taken = self.counts & (self.evidence.setup == self.last.setup)
        taken &= (self.evidence.order > series[0][0]) & (self.evidence.order < self.last.order)
        indices = np.flatnonzero(taken)
        indices = indices[np.argsort(self.evidence.order[indices])]
        orders = self.evidence.order[indices]
        walk = ShotSequence(
            indices,
            self.along_m[indices],
            self.across_m[indices],
            metres(self.evidence.here.heights[indices]),
            self.evidence.seconds[indices],
        )
        began = walk.seconds[0] if indices.size else self.last.seconds
        checks = Series(
            np.array([np.searchsorted(orders, order) for order, _, _ in series], np.int64),
            np.array([began if seconds is None else seconds for _, seconds, _ in series]),
            metres(np.array([drift - series[0][2] for _, _, drift in series])),
        )
        return movement(walk, checks, self.step_nm * 1e-9, self.evidence.allowed_drift_nm * 1e-9)

    def _series(self, last: CheckShot) -> list[tuple[int, float | None, int]]:
        """Order, time and drift of what tells the height of the level: the backsight, then checks of one reference.

        Where it was decided about a check the story begins anew there.
        """
        setup = self._setup(last.setup)
        on_setup = [check for check in self.checks if check.setup == last.setup and check.order <= last.order]
        own = setup.reference if setup is not None else last.reference
        name = own if any(check.reference == own for check in on_setup) else last.reference
        told: list[tuple[int, float | None, int]] = [
            (setup.order, setup.seconds, 0) if setup is not None else (-1, None, 0)
        ]
        for check in on_setup:
            if check.reference == name:
                told = [*([] if check.decided else told), (check.order, check.seconds, check.drift_nm)]
        return told

    @cached_property
    def disagreement(self) -> Disagreement | None:
        """References read one after another by one setup that tell different stories; None where they agree."""
        if self.last is None:
            return None
        bout = self._bout(self.last)
        setup = self._setup(self.last.setup)
        before = [check for check in self.checks if check.setup == self.last.setup and check not in bout]
        steady = {check.reference: check.drift_nm for check in reversed(before)}
        if setup is not None:
            steady[setup.reference] = 0
        return disagreement({c.reference: c.drift_nm for c in bout}, steady, self.evidence.allowed_drift_nm)

    def _bout(self, last: CheckShot) -> list[CheckShot]:
        """The checks up to the last with no shot between them: the level cannot well have moved meanwhile."""
        on_setup = [check for check in self.checks if check.setup == last.setup and check.order <= last.order]
        orders = self.evidence.order[self.counts & (self.evidence.order < last.order)]
        since = int(orders.max(initial=-1))
        return [check for check in on_setup if check.order > since]

    def _setup(self, order: int) -> Standing | None:
        return next((each for each in self.evidence.setups if each.order == order), None)


def disagreement(drifts: dict[str, int], before: dict[str, int], allowed_nm: int) -> Disagreement | None:
    """Which of the references checked together by one setup moved.

    A level that settles or is bumped takes all of them along by the same amount; what differs is a reference's own
    doing. So the majority that agrees is right. Of two, the one that reads true is right and the other moved: surely
    so when that one was read by the same setup before, else the backsight may have been off from the start. Of two
    that are both off by different amounts nothing can be told. The method is our own.

    Args:
        drifts: What each reads too high now, nanometres.
        before: What it read by the same setup earlier (the reference of the backsight: 0).
        allowed_nm: Drifts that differ by no more agree.

    Returns:
        None where all agree, or there is but one.
    """
    names = tuple(drifts)
    agree = {name: {other for other in names if abs(drifts[other] - drifts[name]) <= allowed_nm} for name in names}
    if all(len(group) == len(names) for group in agree.values()):
        return None
    told = tuple(drifts.items())
    right, votes = Counter({name: len(group) for name, group in agree.items()}).most_common(1)[0]
    if 2 * votes > len(names):
        return Disagreement(told, tuple(name for name in names if name not in agree[right]), sure=True)
    true = [name for name in names if abs(drifts[name]) <= allowed_nm]
    if len(names) > 2 or len(true) != 1:
        return Disagreement(told, (), sure=False)
    (moved,) = (name for name in names if name != true[0])
    return Disagreement(told, (moved,), sure=moved in before and abs(before[moved] - drifts[moved]) > allowed_nm)


def _alike(check: CheckShot, other: CheckShot) -> bool:
    """By the same set-up on the same reference?"""
    return check.setup == other.setup and check.reference == other.reference
