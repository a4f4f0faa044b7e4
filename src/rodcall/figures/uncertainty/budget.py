"""Plus/minus of each shot, what it is made of, and what it means at a limit. Nanometres, floats from here on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np

from rodcall.book.fold.page import ZERO
from rodcall.book.model.grid import Grid, GridError
from rodcall.figures.checks.check_shots import Trust
from rodcall.figures.checks.evidence import NO_SETUP, CheckShot, Evidence, Standing, TurningPoint
from rodcall.figures.ground.averages import Floats, Ints, Mask
from rodcall.figures.target import Limits, Tolerance
from rodcall.figures.uncertainty.level import Coefficients, Known, Seen, known
from rodcall.figures.uncertainty.repeatability import Repeatability, repeatability
from rodcall.frozen import Frozen
from rodcall.i18n import Sentence, later, phrase
from rodcall.units import Unit, parse_length

COVERAGE = 2.0
"""Standard deviations in the half-width: about 19 times in 20 (JCGM 100, 6.3.3)."""

TOO_CLOSE = 0.10
"""Share of the shots that may be expected to lie out of tolerance although read inside (our own)."""


class Part(Frozen, eq=False):
    """One part of the plus/minus: a row of the uncertainty budget."""

    name: str
    """A phrase, to be said."""
    standard_nm: Floats
    """One standard deviation at each position, flat."""
    shared: bool
    """The same for all shots of a set-up, so that it does not average out; else each shot has its own."""
    source: Sentence


def half_width(parts: Sequence[Part]) -> Floats:
    """Two standard deviations of the parts together, root sum of squares (JCGM 100, 5.1.2).

    The parts are independent of each other at one shot. Between shots the shared ones are correlated (JCGM 100,
    5.2.2): the mean of n shots of one set-up has variance shared^2 + own^2 / n, a difference of two 2 own^2.
    """
    result: Floats = COVERAGE * np.sqrt(np.sum([part.standard_nm**2 for part in parts], axis=0))
    return result


def covering(standard: float, off: float) -> float:
    """Half-width about a figure that is known to lie off, at the chance that two standard deviations have otherwise.

    The interval of JCGM 101, 7.7, about the figure as it stands: the root of both squares (JCGM 100, F.2.4.5) would be
    too wide, since what is off lies to one side.
    """
    root, wanted = standard * math.sqrt(2), math.erf(COVERAGE / math.sqrt(2))
    low, high = COVERAGE * standard / 2, COVERAGE * standard + abs(off)
    for _ in range(50):
        half = (low + high) / 2
        inside = (math.erf((half - off) / root) + math.erf((half + off) / root)) / 2 if root else half > abs(off)
        low, high = (low, half) if inside > wanted else (half, high)
    return high


class Guarded(Frozen, eq=False):
    """The reading of a limit allowing for uncertainty, after JCGM 106: flat masks of shots that count."""

    proven_in: Mask
    """Inside even if off by the plus/minus."""
    proven_out: Mask
    """Outside even so."""
    neither: Mask


class Uncertainty(Frozen, eq=False):
    """Plus/minus of every shot of a round; means nothing where not shot."""

    trust: Trust
    grid: Grid
    specification: float
    """Of the level, metres per metre (term `laser-spec`)."""
    unit: Unit
    """Of the job."""

    @cached_property
    def nm(self) -> Floats:
        """Half-width at two standard deviations, flat by position index."""
        return half_width(self.parts)

    @cached_property
    def own_nm(self) -> Floats:
        """Half-width of what each shot has for itself: reading it and placing the rod there."""
        return half_width([part for part in self.parts if not part.shared])

    @cached_property
    def shared_nm(self) -> Floats:
        """Half-width of what the shots of one set-up share: what they hang on, the laser, and its drift."""
        return half_width([part for part in self.parts if part.shared])

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """What the plus/minus is made of.

        - Reading a mark: half a step as a bound, nothing more known inside it, so step / sqrt 12 (JCGM 100, 4.3.7).
        - Placing the rod: the scatter of spots read again, else common practice; see `repeatability`.
        - Both again for each reading that the shot hangs on, times the square root of how many those are, less what
          checks confirm.
        - The laser: specification times distance as a bound, over sqrt 3. A tilt differs from spot to spot and yet is
          one tilt; it counts as shared, which is the careful choice for an average.
        - Drift: what the checks around the shot leave open (`level`); after the last one what is allowed, as a bound
          over sqrt 3. Likewise shared.

        A spot that was read more than once is taken as read once: its own part is stated rather too wide.
        """
        shots = self._evidence.order.size
        rounding, placing = self.trust.step_nm / math.sqrt(12), self.repeatability.placing_nm
        square = self.known.square if self.known is not None else np.zeros(shots)
        prior = self.readings_before * self._one_reading
        before = np.sqrt(self.readings_before * np.minimum(square / np.maximum(prior, 1e-300), 1.0))
        drift = np.sqrt(np.maximum(square - prior, 0.0))
        mark = later("half a mark as a bound: mark / sqrt 12 (JCGM 100, 4.3.7)")
        laser = phrase("specification times distance as a bound: / sqrt 3")
        farthest = phrase("specification times distance from the pad's farthest corner as a bound: / sqrt 3")
        checked = phrase("what the checks before and after leave open; after the last one what is allowed, / sqrt 3")
        return (
            Part(phrase("reading the rod"), np.full(shots, rounding), False, mark),
            Part(phrase("placing the rod"), np.full(shots, placing), False, self.repeatability.source),
            Part(phrase("reading the backsight or zero"), before * rounding, True, self._times(mark)),
            Part(phrase("placing the rod there"), before * placing, True, self._times(self.repeatability.source)),
            Part(
                phrase("laser"),
                self.specification * self.distance_nm / math.sqrt(3),
                True,
                later(laser if self.tripod_known else farthest),
            ),
            Part(phrase("drift"), drift, True, later(checked)),
        )

    def _times(self, source: Sentence) -> Sentence:
        """The same for several readings in a row, where there are turning points."""
        most = int(self.readings_before[self.trust.counts].max(initial=1))
        several = phrase("{source}; times the root of {number}, the readings it depends on")
        return later(several, source=source, number=most) if most > 1 else source

    @cached_property
    def repeatability(self) -> Repeatability:
        """How far readings of one spot scatter, from all rounds of the book."""
        return repeatability(self._evidence.repeated, self.trust.step_nm, self.unit)

    # -- what a shot hangs on -------------------------------------------------------------------------------

    @cached_property
    def hangs_on(self) -> dict[int, Coefficients]:
        """The readings that the shots of each set-up hang on, by the set-up's order.

        Its set-up's backsight; where that is on a turning point, the foresight to it and that set-up's backsight, and
        so on to a reference that is known. Where another shot became the zero, heights are told from it: the readings
        that it hangs on count too, but for those that the shot shares with it, which cancel. Heights said directly
        hang on one reading, the mark that was set at the zero.
        """
        orders = set(self._evidence.setup[self.trust.counts].tolist())
        return {order: self._height_of(order) for order in {NO_SETUP} | orders}

    def _height_of(self, order: int) -> Coefficients:
        """The readings that heights by one set-up hang on."""
        setup, zero = self._setups.get(order), self._evidence.zero
        if setup is None:
            return {("zero", NO_SETUP): 1}
        if zero is None or zero.setup == NO_SETUP or (setup.reference == ZERO and setup.order > zero.order):
            return _less(self._chain(setup), frozenset())
        return _less(self._chain(setup), self._chain(self._setups.get(zero.setup)) | {("zero", zero.order)})

    @cached_property
    def readings_before(self) -> Ints:
        """How many readings each shot hangs on, flat by position index; see `hangs_on`."""
        result = np.ones(self._evidence.setup.size, np.int64)
        for order, readings in self.hangs_on.items():
            result[self._evidence.setup == order] = len(readings)
        return result

    @cached_property
    def average_nm(self) -> float | None:
        """Half-width of the average of the shots that count, at two standard deviations; None before the first.

        What each shot has for itself averages out; what they share does not (JCGM 100, 5.2.2): a reading that many
        hang on, the drift, and the laser, whose error is taken for the same on all shots. The average is not corrected
        by what the checks show, and lies off by that on one side.
        """
        if self.known is None:
            return None
        counts = self.trust.counts
        laser = self.specification * float(self.distance_nm[counts].mean()) / math.sqrt(3)
        own = self._one_reading / np.count_nonzero(counts)
        return covering(math.sqrt(own + laser**2 + self.known.of_average), self.known.average_off_nm)

    @property
    def _one_reading(self) -> float:
        """Variance of reading the rod once, placing it included."""
        return self.trust.step_nm**2 / 12 + self.repeatability.placing_nm**2

    @cached_property
    def known(self) -> Known | None:
        """How far off everything may read, as the checks leave it open; None before the first shot.

        A check that was decided about, or misread, shows nothing.
        """
        if not self.trust.counts.any():
            return None
        shown = (each for each in self.trust.checks if not each.decided and each.order not in self.trust.misread)
        seen = [Seen(each.setup, each.order, self._check_of(each), each.drift_nm) for each in shown]
        return known(
            *(self._evidence.order, self._evidence.setup, self.trust.counts, self.hangs_on, seen),
            self._one_reading,
            self._evidence.allowed_drift_nm,
        )

    def _check_of(self, check: CheckShot) -> Coefficients:
        """The readings that a check hangs on, its own left out: those of its set-up, less those of its reference."""
        setup = self._setups.get(check.setup)
        if setup is None or check.reference == ZERO:
            return self._height_of(check.setup)
        named = self._points.get(check.reference, [])
        point = next((point for point in reversed(named) if point.order < check.order), None)
        if point is None:
            return _less(self._chain(setup), frozenset())
        return _less(self._chain(setup), self._chain(self._setups.get(point.setup)) | {("turning point", point.order)})

    @cached_property
    def _setups(self) -> dict[int, Standing]:
        return {setup.order: setup for setup in self._evidence.setups}

    @cached_property
    def _points(self) -> dict[str, list[TurningPoint]]:
        points: dict[str, list[TurningPoint]] = {}
        for point in self._evidence.turning_points:
            points.setdefault(point.name, []).append(point)
        return points

    def _chain(self, setup: Standing | None) -> frozenset[tuple[str, int]]:
        """The readings that a set-up hangs on, back to a known reference, by their order."""
        found: set[tuple[str, int]] = set()
        at = setup
        while at is not None:
            found.add(("backsight", at.order))
            points = reversed(self._points.get(at.reference, []))
            point = next((each for each in points if each.order < at.order and each.height_nm == at.known_nm), None)
            if point is not None:
                found.add(("turning point", point.order))
            at = self._setups.get(point.setup) if point is not None else None
        return frozenset(found)

    # -- the laser --------------------------------------------------------------------------------------

    @property
    def tripod_known(self) -> bool:
        """Whether somebody said where the level stands; if not, the farthest corner of the pad is taken."""
        return bool(self._tripods)

    @cached_property
    def distance_nm(self) -> Floats:
        """From the level to each position, by where it was said to stand when the shot was taken.

        Shots before the first such word go by the first.
        """
        along, across = (each.astype(np.float64).ravel() for each in np.meshgrid(*self._axes, indexing="ij"))
        if not self._tripods:
            away, aside = (np.maximum(at, at.max() - at) for at in (along, across))
            farthest: Floats = np.hypot(away, aside)
            return farthest
        said = np.array([order for order, _, _ in self._tripods])
        which = np.maximum(np.searchsorted(said, self._evidence.order, side="right") - 1, 0)
        stands = np.array([(away, aside) for _, away, aside in self._tripods], np.float64)[which]
        distance: Floats = np.hypot(along - stands[:, 0], across - stands[:, 1])
        return distance

    # -- at a limit -----------------------------------------------------------------------------------------

    def marginal_mask(self, excess_nm: Ints) -> Mask:
        """Shots too close to call: nearer to their limit than their plus/minus; `excess_nm` of `Limits.excess`."""
        mask: Mask = self.trust.counts & (np.abs(excess_nm) < self.nm)
        return mask

    def guarded(self, excess_nm: Ints) -> Guarded:
        """The guarded reading (JCGM 106 and ISO 14253-1, from memory), beside the absolute method of ASTM E29."""
        proven_in = self.trust.counts & (excess_nm + self.nm <= 0)
        proven_out = self.trust.counts & (excess_nm - self.nm > 0)
        return Guarded(proven_in, proven_out, self.trust.counts & ~proven_in & ~proven_out)

    def risk(self, deviations_nm: Ints, limits: Limits) -> Floats:
        """Chance that the ground is out of tolerance although it was read inside, flat; 0 where it was not.

        The sum of it is how many are to be expected out: what the shots share changes nothing in that.
        """
        inside: Mask = self.trust.counts & ~limits.outside(deviations_nm)
        result = np.zeros(inside.size)
        result[inside] = chance_out(deviations_nm[inside], limits.at(inside), self.nm[inside] / COVERAGE)
        return result

    @property
    def _evidence(self) -> Evidence:
        return self.trust.evidence

    @property
    def _axes(self) -> tuple[Ints, Ints]:
        return self.grid.along_nm, self.grid.across_nm

    @cached_property
    def _tripods(self) -> tuple[tuple[int, int, int], ...]:
        """Order of the word, distance away from A1 and to the right of it; words that fit no grid are passed over."""
        found = ((order, tripod_at(said, self.grid)) for order, said in self._evidence.tripods)
        return tuple((order, *place) for order, place in found if place is not None)


def chance_out(deviations_nm: Ints | Floats, tolerance: Tolerance | Limits, standard_nm: Floats) -> Floats:
    """Chance that what was read so lies out of tolerance: specific consumer's risk (JCGM 106, 9.3.2, from memory).

    A normal error, nothing known of the ground before it was read.

    Args:
        deviations_nm: Height minus target, as read.
        tolerance: The limits.
        standard_nm: One standard deviation of each.
    """
    root = standard_nm * math.sqrt(2)
    to_high, to_low = (tolerance.high_nm - deviations_nm) / root, (tolerance.low_nm + deviations_nm) / root
    both = zip(to_high.tolist(), to_low.tolist(), strict=True)
    return np.array([(math.erfc(high) + math.erfc(low)) / 2 for high, low in both], np.float64)


def nearer_limit(limits: Limits) -> Floats:
    """The smaller of the two limits of each position; where one of them is 0, half of the other: the half-width."""
    smaller, larger = np.minimum(limits.high_nm, limits.low_nm), np.maximum(limits.high_nm, limits.low_nm)
    nearer: Floats = np.where(smaller == 0, larger / 2, smaller)
    return nearer


def _less(some: frozenset[tuple[str, int]], others: frozenset[tuple[str, int]]) -> Coefficients:
    """A height that hangs on some readings, less one that hangs on others: what both share cancels."""
    return {**dict.fromkeys(some - others, 1), **dict.fromkeys(others - some, -1)}


def tripod_at(said: str, grid: Grid) -> tuple[int, int] | None:
    """Distances from A1, away and to the right, of a position or of two signed lengths; None off the grid."""
    if "," in said:
        away, aside = (_signed(part.strip()) for part in said.split(","))
        return away, aside
    try:
        row, column = divmod(grid.index(said), grid.across)
    except GridError:
        return None
    return int(grid.along_nm[row]), int(grid.across_nm[column])


def _signed(said: str) -> int:
    length = parse_length(said.lstrip("+-"))
    return -length if said.startswith("-") else length
