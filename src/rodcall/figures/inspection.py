"""Draws up the punch list of one round: a walk along all that can be open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import numpy as np

from rodcall.book.fold.page import ALLOWED_DRIFT, CLOCK_SET_BACK, ZERO
from rodcall.book.fold.round_page import LEFT_OUT, UNSHOT
from rodcall.book.model.entries import Readings, RoundKind
from rodcall.book.model.terms import TERMS
from rodcall.figures.checks.agreed import FACT, Agreed
from rodcall.figures.checks.evidence import NO_SETUP
from rodcall.figures.checks.levelling import closing_checks, is_carried
from rodcall.figures.ground.averages import Mask
from rodcall.figures.punch_list import GRAVITY, Doubts, Item, Kind, PunchList
from rodcall.figures.trusted import Trusted
from rodcall.frozen import Frozen
from rodcall.units import FOOT, M, Unit

SPACING = {Unit.IN: 50 * FOOT, Unit.FT: 50 * FOOT, Unit.MM: 15 * M, Unit.CM: 15 * M, Unit.M: 15 * M}
"""How far apart spots may be where nobody said otherwise (common practice: a 50 ft or 15 m grid is the widest)."""
LIMITS = ("tolerance-high", "tolerance-low", "zone-high", "zone-low", "drift", "closure", "check-hours")
"""Terms that a wider value makes kinder to the pad."""
MOVES_A_SLOPE = ("zero", "size", "count", "spacing-along", "spacing-across", "add-lines", "add-columns", "inset")
"""Facts that a sloping target's heights hang on."""


def punch_list(summary: Trusted, doubts: Doubts) -> PunchList:
    """Draw up what is open about one round.

    Args:
        summary: Of the round.
        doubts: What does not fit; `summary.doubts` has all of it and takes long on a big pad.
    """
    found = sorted(_Inspection(summary, doubts).items(), key=lambda item: GRAVITY[item.kind])
    return PunchList(tuple(found))


class _Inspection(Frozen, eq=False):
    """One walk along everything that can be open."""

    summary: Trusted
    doubts: Doubts

    def items(self) -> Iterator[Item]:
        yield from self._readings()
        yield from self._checks()
        yield from self._set_ups()
        by_what: dict[str, list[Agreed]] = {}
        for each in self.summary.evidence.agreed:
            by_what.setdefault(each.what, []).append(each)
        yield from self._agreements(by_what)
        yield from self._how_well(by_what)

    # -- readings -------------------------------------------------------------------------------------------

    def _readings(self) -> Iterator[Item]:
        summary, evidence = self.summary, self.summary.evidence
        if summary.has_verdict and summary.worst_first:
            yield Item(Kind.OUT, summary.worst_first, opened_by=self._entry_at(summary.worst_first[0]))
        if evidence.damaged:
            yield Item(Kind.DAMAGED, names=tuple(map(str, evidence.damaged)), opened_by=evidence.damaged[0])
        if evidence.edited:
            yield Item(Kind.EDITED, names=tuple(map(str, evidence.edited)), opened_by=evidence.edited[0])
        yield from self._spots(Kind.NOT_SHOT, summary.state == UNSHOT, opened_by=evidence.opened_by)
        yield from self._spots(Kind.LEFT_OUT, summary.state == LEFT_OUT)
        for bust in self.doubts.busts:
            if not summary.read_again[bust.index] and not summary.kept[bust.index]:
                yield Item(Kind.DOES_NOT_FIT, (bust.index,), opened_by=self._entry_at(bust.index), value=bust.height_nm)
        for line in self.doubts.lines:
            across = summary.grid.across
            row = range(line.row * across, (line.row + 1) * across)
            if not any(summary.read_again[index] or summary.kept[index] for index in row):
                yield Item(Kind.LINE_DOES_NOT_FIT, tuple(row), names=(str(line.row + 1),))
        yield from self._taken_out()
        for index in np.flatnonzero(evidence.third_due & summary.counts).tolist():
            yield Item(Kind.READINGS_DISAGREE, (index,), opened_by=self._entry_at(index))
        for index in np.flatnonzero(evidence.tablets_disagree & summary.counts).tolist():
            yield Item(Kind.TABLETS_DISAGREE, (index,), opened_by=self._entry_at(index))

    def _taken_out(self) -> Iterator[Item]:
        """A spot that the final round found out is no part of the pad only for a reason that somebody agreed."""
        summary = self.summary
        if summary.target_heights is None or summary.kind != RoundKind.FINAL:
            return
        agreed = [each.order for each in summary.evidence.agreed if each.what == "agreed-by" and each.value]
        for each in summary.evidence.taken_out:
            deviation = np.array([each.height_nm - int(summary.target_heights[each.index])])
            beyond = summary.limits.at(np.array([each.index])).outside(deviation)[0]
            if beyond and not (each.reason and max(agreed, default=-1) > each.order):
                yield Item(Kind.TAKEN_OUT, (each.index,), opened_by=each.number)

    def _spots(self, kind: Kind, mask: Mask, opened_by: int | None = None) -> Iterator[Item]:
        spots = self.summary.in_walking_order(mask)
        if spots:
            yield Item(kind, spots, opened_by=opened_by if opened_by is not None else self._entry_at(spots[0]))

    def _entry_at(self, index: int) -> int | None:
        number = int(self.summary.evidence.number[index])
        return number or None

    # -- checks ---------------------------------------------------------------------------------------------

    def _checks(self) -> Iterator[Item]:
        summary, trust = self.summary, self.summary.trust
        allowed = summary.evidence.allowed_drift_nm
        seen = np.zeros(summary.grid.size, np.bool_)
        for bad in reversed(trust.bad):
            mask = trust.open_of(bad) & ~seen
            seen |= mask
            if mask.any():
                spots = summary.in_walking_order(mask)
                yield Item(Kind.SUSPECT, spots, (bad.reference,), bad.number, bad.drift_nm, allowed)
        if trust.unresolved:
            last = trust.unresolved[0]
            yield Item(Kind.BAD_CHECK, (), (last.reference,), last.number, last.drift_nm, allowed)
        accepted = summary.in_walking_order(trust.accepted_mask)
        if accepted:
            decided = [bad.number for bad in trust.bad if bad.decided]
            yield Item(Kind.SUSPECT_ACCEPTED, accepted, opened_by=decided[-1])
        for check in trust.open_repeats:
            yield Item(Kind.CHECK_AGAIN, (), (check.reference,), check.number, check.drift_nm, allowed)

    def _set_ups(self) -> Iterator[Item]:
        summary, trust, evidence = self.summary, self.summary.trust, self.summary.evidence
        if summary.job.readings is not Readings.HEIGHT and not evidence.setups:
            yield Item(Kind.NO_BACKSIGHT)
        unchecked = trust.unchecked_mask & ~trust.suspect_mask
        newest = evidence.setups[-1].order if evidence.setups else NO_SETUP
        for setup in (NO_SETUP, *(each.order for each in evidence.setups)):
            shot_from_it = unchecked & (evidence.setup == setup)
            if not shot_from_it.any():
                continue
            if setup != newest:
                spots = summary.in_walking_order(shot_from_it)
                name = next(each.reference for each in evidence.setups if each.order == setup)
                yield Item(Kind.SETUP_NOT_CLOSED, spots, (name,))
            elif not trust.unresolved and not trust.open_repeats:
                yield Item(Kind.NO_CHECK, opened_by=self._entry_at(self._last_shot))
        yield from self._levels()
        yield from self._on_pad()
        yield from self._times()

    @property
    def _last_shot(self) -> int:
        summary = self.summary
        return int(np.where(summary.counts, summary.evidence.order, -1).argmax())

    def _levels(self) -> Iterator[Item]:
        """A height carried over turning points is closed on a reference that was not read on the way."""
        summary, evidence = self.summary, self.summary.evidence
        for setup in evidence.setups:
            spots = summary.counts & (evidence.setup == setup.order)
            if not spots.any() or not is_carried(evidence, setup.order):
                continue
            checks = closing_checks(evidence, setup.order)
            allowed = summary.closure_allowed(len(evidence.setups))
            if any(abs(check.drift_nm) <= allowed for check in checks):
                continue
            last = checks[-1] if checks else None
            yield Item(
                Kind.LEVELS_NOT_CLOSED,
                summary.in_walking_order(spots),
                (setup.reference,),
                last.number if last is not None else None,
                last.drift_nm if last is not None else None,
                allowed,
            )

    def _on_pad(self) -> Iterator[Item]:
        """A reference on the pad is dug away with it; one off the pad has to agree, where there is one."""
        summary, trust = self.summary, self.summary.trust
        on_pad = {ZERO, *summary.references_on_pad}
        off_pad = set(summary.references) - on_pad
        setups = set(trust.evidence.setup[summary.counts].tolist()) if off_pad else set()
        if not any(trust.independent(name, setup) for name in off_pad for setup in setups):
            return
        hours = summary.terms.number("check-hours")
        on_it = np.array([*(check.reference in on_pad for check in trust.checks), False])
        missing = summary.counts & on_it[trust.closing]
        for check in trust.checks:
            if check.reference not in on_pad and trust.proves(check):
                by, evidence = trust.evidence.setup == check.setup, trust.evidence
                in_time = check.seconds - evidence.seconds <= hours * 3600
                missing &= ~(by & (evidence.order < check.order) & in_time)
        spots = summary.in_walking_order(missing)
        if spots:
            used = trust.checks[int(trust.closing[spots[-1]])]
            yield Item(Kind.CHECKED_ON_PAD, spots, (used.reference,), used.number)

    def _times(self) -> Iterator[Item]:
        """A check proves what was shot within so many hours before it, by a clock that ran on meanwhile."""
        summary, trust, evidence = self.summary, self.summary.trust, self.summary.evidence
        closed = summary.counts & (trust.closing >= 0)
        if not closed.any():
            return
        at = np.array([check.seconds for check in trust.checks])[trust.closing[closed]]
        order = np.array([check.order for check in trust.checks])[trust.closing[closed]]
        apart = at - evidence.seconds[closed]
        hours = summary.terms.number("check-hours")
        far = (apart > hours * 3600) | (apart < -CLOCK_SET_BACK.total_seconds())
        opened_by = None
        for back, number in evidence.clock_ran_back:
            between = (evidence.order[closed] < back) & (back <= order)
            opened_by = number if between.any() else opened_by
            far |= between
        if far.any():
            mask = np.zeros(summary.grid.size, np.bool_)
            mask[np.flatnonzero(closed)[far]] = True
            spots = summary.in_walking_order(mask)
            worst = float(np.abs(apart[far]).max()) / 3600
            yield Item(Kind.TIMES_APART, spots, (), opened_by, worst, hours)

    # -- what was agreed ------------------------------------------------------------------------------------

    def _agreements(self, by_what: Mapping[str, list[Agreed]]) -> Iterator[Item]:
        summary = self.summary
        if summary.chosen is None:
            yield Item(Kind.TARGET_SUGGESTED)
        if summary.kind != RoundKind.FINAL:
            yield Item(Kind.NO_FINAL_ROUND)
        else:
            yield from self._since_final(by_what)
        yield from self._widened(by_what)
        yield from self._disagreements(by_what)

    def _since_final(self, by_what: Mapping[str, list[Agreed]]) -> Iterator[Item]:
        """What the final round is held against must be what it was when the round began."""
        evidence = self.summary.evidence
        first_zero = (self.summary.grid.index(self.summary.job.zero), 0)
        for what, told in by_what.items():
            reference = what.partition(" ")[0] == "reference"
            if what not in ("target", "zero") and not reference:
                continue
            before = [each for each in told if each.order < evidence.opened]
            last = told[-1]
            if reference:
                began_with = before[-1].value if before else None
                since = before and last.order > evidence.opened
                changed = since and (last.value != began_with or self._used_meanwhile(told, began_with))
            else:
                changed = last.value != evidence.opened_with.get(what, first_zero if what == "zero" else None)
            if not changed:
                continue
            kinds = {"target": Kind.TARGET_CHANGED, "zero": Kind.ZERO_MOVED}
            names = (what.partition(" ")[2],) if reference else ()
            yield Item(kinds.get(what, Kind.REFERENCE_CHANGED), (), names, last.number)
        # A target that slopes runs from the zero over the distances: mending these moves it under the readings.
        if self.summary.chosen is not None and not self.summary.chosen.is_level:
            mended = {name: by_what[what][-1] for name in MOVES_A_SLOPE if (what := f"{FACT} {name}") in by_what}
            since_final = {name: last for name, last in mended.items() if last.order > evidence.opened}
            for kind, of_zero in ((Kind.ZERO_MOVED, True), (Kind.TARGET_CHANGED, False)):
                moved = [last for name, last in since_final.items() if (name == "zero") is of_zero]
                if moved:
                    yield Item(kind, opened_by=max(moved, key=lambda each: each.order).number)

    def _used_meanwhile(self, told: Sequence[Agreed], began_with: object) -> bool:
        """Was a reference checked or set up on while it had another height than when the final round began?"""
        evidence = self.summary.evidence
        name = told[0].what.partition(" ")[2]
        checks = [each.order for each in evidence.checks if each.reference == name]
        used = [*checks, *(each.order for each in evidence.setups if each.reference == name)]
        return any(
            each.value != began_with and any(each.order < order < after.order for order in used)
            for each, after in pairwise(told)
            if each.order > evidence.opened
        )

    def _widened(self, by_what: Mapping[str, list[Agreed]]) -> Iterator[Item]:
        """A limit that was widened after the first shot needs a reason, and who agreed to it afterwards."""
        first = self.summary.evidence.first_shot
        if first is None:
            return
        for name in LIMITS:
            told = by_what.get(name, [])
            since = [each for each in told if each.order > first]
            if not since:
                continue
            before = [_number(each) for each in told if each.order < first]
            began, now = before[-1] if before else self._customary(name), _number(since[-1])
            if now > began and not (since[-1].why and self._agreed_after(by_what, since[-1].order)):
                yield Item(Kind.LIMIT_WIDENED, (), (name,), since[-1].number, now, began)

        zones = by_what.get("zone", [])
        moved = zones and zones[-1].order > first and any(each.value != zones[-1].value for each in zones)
        if moved and not (zones[-1].why and self._agreed_after(by_what, zones[-1].order)):
            was = next(each.value for each in reversed(zones) if each.value != zones[-1].value)
            yield Item(Kind.LIMIT_WIDENED, (), ("zone", str(was), str(zones[-1].value)), zones[-1].number)

    def _customary(self, name: str) -> float:
        job = self.summary.job
        agreed: dict[str, float] = {
            "tolerance-high": job.tolerance_high,
            "tolerance-low": job.tolerance_low,
            "zone-high": job.tolerance_high,
            "zone-low": job.tolerance_low,
            "drift": ALLOWED_DRIFT[job.heights],
            "closure": self.summary.published_closure(max(len(self.summary.evidence.setups), 1)),
        }
        default = TERMS[name].default
        return agreed[name] if name in agreed else float(default if isinstance(default, int | float) else 0)

    def _agreed_after(self, by_what: Mapping[str, list[Agreed]], order: int) -> bool:
        return any(each.value and each.order > order for each in by_what.get("agreed-by", ()))

    def _disagreements(self, by_what: Mapping[str, list[Agreed]]) -> Iterator[Item]:
        """Two tablets that each set something, and then were joined: it is chosen again."""
        joined = self.summary.evidence.joined
        for what, told in by_what.items():
            last_of = {each.tablet: each for each in told if each.order < joined}
            values = {each.value for each in last_of.values()}
            if len(values) > 1 and told[-1].order < joined and what != "agreed-by":
                yield Item(Kind.TABLETS_DISAGREE, (), (what,), told[-1].number)

    # -- how well the pad is known --------------------------------------------------------------------------

    def _how_well(self, by_what: Mapping[str, list[Agreed]]) -> Iterator[Item]:
        summary, job = self.summary, self.summary.job
        gaps = [*np.diff(summary.grid.along_nm).tolist(), *np.diff(summary.grid.across_nm).tolist(), 2 * job.inset]
        usual = SPACING[job.heights]
        allowed, widest = summary.terms.limit("spacing", usual), max(gaps)
        said = [each for each in by_what.get("spacing", ()) if each.value]
        agreed = bool(said) and self._agreed_after(by_what, said[-1].order)
        if widest > allowed or (widest > usual and not agreed):
            yield Item(Kind.SPOTS_TOO_FAR, value=widest, limit=allowed if agreed else min(allowed, usual))
        # Before all is shot and proven by a check the figures would be worse than they will be.
        if not summary.counted or (summary.state == UNSHOT).any() or summary.trust.unchecked_mask.any():
            return
        coarse = summary.coarse_at
        if coarse is not None:
            yield Item(Kind.PLUS_MINUS, (coarse,), value=float(summary.uncertainty.nm[coarse]))
        elif summary.has_verdict and summary.too_close:
            yield Item(Kind.TOO_CLOSE, summary.marginal, value=summary.expected_out)


def _number(agreed: Agreed) -> float:
    return float(agreed.value) if isinstance(agreed.value, int | float) else 0.0
