"""The mistakes that turn a right reading into a wrong one: what would have been read, had each been made.

A mistake is worked backwards: from the reading as it was written to those it may have been meant for.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from enum import StrEnum
from functools import lru_cache

from rodcall.book.model.entries import Readings
from rodcall.frozen import Frozen
from rodcall.i18n import phrase
from rodcall.units import CM, FOOT, HEIGHT_LIMIT, INCH, LengthError, M, Unit, round_half_even, write

ROD_SECTION = {"imperial": 4 * FOOT, "metric": M}
"""A rod one section of which was not pulled out is off by so much (common practice)."""


class Mistake(StrEnum):
    """What went wrong between the rod and the book."""

    FOOT = phrase("one foot")
    TENTH = phrase("one tenth")
    INCH = phrase("one inch")
    METRE = phrase("one metre")
    DECIMETRE = phrase("one decimetre")
    CENTIMETRE = phrase("one centimetre")
    SIGN = phrase("wrong sign")
    INCHES_FOR_TENTHS = phrase("inches for tenths")
    TENTHS_FOR_INCHES = phrase("tenths for inches")
    SWAPPED = phrase("swapped digits")
    LOST = phrase("last digit lost")
    SECTION = phrase("rod section not out")
    TEENS = phrase("teens for tens")
    LOST_SLASH = phrase("slash missing")
    TEN_TIMES = phrase("ten times")
    LOST_POINT = phrase("decimal point missing")


class Way(Frozen):
    """How the heights of a round come from what is read, and how that is written."""

    unit: Unit
    step_nm: int
    """Smallest mark that is read."""
    readings: Readings = Readings.HEIGHT
    level_nm: int = 0
    """Height from which the rod is read, above the zero; 0 where heights are said directly."""

    @property
    def signed(self) -> bool:
        """True where a reading can lie below zero."""
        return self.readings is not Readings.ROD

    def reading(self, height_nm: int) -> int:
        """What is read at a height."""
        return (height_nm - self.level_nm) * self.readings.direction

    def height(self, reading_nm: int) -> int:
        """The height at which this is read."""
        return self.level_nm + self.readings.direction * reading_nm

    def text(self, reading_nm: int) -> str:
        """A reading as it can be said again."""
        return write(reading_nm, self.unit, sign=self.readings is Readings.HEIGHT)


class Meant(Frozen):
    """A reading that may have been meant, the mistake that hid it, and the mistake's share among all mistakes."""

    mistake: Mistake
    reading_nm: int
    share: float


@lru_cache(maxsize=4096)
def meant(said: str, reading_nm: int, way: Way) -> tuple[Meant, ...]:
    """All readings that may have been meant; of two mistakes that lead to the same one, the more usual.

    Kept for the readings that come again: a big page has thousands of shots and few different readings.

    Args:
        said: The reading as it was typed; empty where that is not known.
        reading_nm: What it means.
        way: How it was read.
    """
    found: dict[int, Meant] = {}
    for each in _backwards(said, reading_nm, way):
        if each.reading_nm == reading_nm or (each.reading_nm < 0 and not way.signed):
            continue
        known = found.get(each.reading_nm)
        usual = each if known is None or each.share > known.share else known
        found[each.reading_nm] = Meant(usual.mistake, each.reading_nm, each.share + (known.share if known else 0.0))
    return tuple(found.values())


def _backwards(said: str, reading: int, way: Way) -> Iterator[Meant]:
    for mistake, by, share in _marks(way):
        for corrected in (reading - by, reading + by):
            yield Meant(mistake, round_half_even(corrected, way.step_nm), share / 2)
    if way.signed:
        yield Meant(Mistake.SIGN, -reading, 0.2)
    sign = -1 if reading < 0 else 1
    for mistake, corrected in _other_scale(abs(reading), way.unit):
        yield Meant(mistake, sign * round_half_even(corrected, way.step_nm), 0.03)
    for mistake, corrected in _ten_times(abs(reading), way):
        yield Meant(mistake, sign * corrected, 0.01)
    for mistake, corrected in _lost_mark(said, abs(reading), way.unit):
        yield Meant(mistake, sign * corrected, 0.1)
    said = said or way.text(reading)
    slips = (
        (Mistake.SWAPPED, list(_swapped(said)), 0.1),
        (Mistake.LOST, list(_lost(said)), 0.02),
        (Mistake.TEENS, list(_teens(said)), 0.03),
    )
    for mistake, texts, share in slips:
        for text in texts:
            typed = _parsed(text, way)
            if typed is not None and typed % way.step_nm == 0:
                yield Meant(mistake, typed, share / len(texts))


def _marks(way: Way) -> list[tuple[Mistake, int, float]]:
    """A mark more or less on the rod, and how usual that is; a rod in inches has no tenths, and the other way.

    The smallest mark is also the hardest to see among sound readings, so that no less than its share will do.
    """
    if way.unit not in (Unit.IN, Unit.FT):
        marks = [(Mistake.METRE, M, 0.15), (Mistake.DECIMETRE, 10 * CM, 0.3), (Mistake.CENTIMETRE, CM, 0.25)]
        section = ROD_SECTION["metric"]
    else:
        smallest = (Mistake.INCH, INCH, 0.6) if way.unit is Unit.IN else (Mistake.TENTH, FOOT // 10, 0.6)
        marks = [(Mistake.FOOT, FOOT, 0.2), smallest]
        section = ROD_SECTION["imperial"]
    return marks if way.readings is Readings.HEIGHT else [*marks, (Mistake.SECTION, section, 0.05)]


def _other_scale(size: int, unit: Unit) -> Iterator[tuple[Mistake, int]]:
    """The part below a foot, read on the other kind of scale: 3 inches typed as 0.3, or 11 as 0.11; and back."""
    feet, rest = divmod(size, FOOT)
    if unit is Unit.FT:
        yield Mistake.INCHES_FOR_TENTHS, feet * FOOT + rest * 10 // 12
        if rest * 100 < 12 * FOOT:
            yield Mistake.INCHES_FOR_TENTHS, feet * FOOT + rest * 100 // 12
    if unit is Unit.IN:
        yield Mistake.TENTHS_FOR_INCHES, feet * FOOT + (rest * 12 // 10 if rest < 10 * INCH else rest * 12 // 100)


def _ten_times(size: int, way: Way) -> Iterator[tuple[Mistake, int]]:
    """The decimal point moved by one, either way; fractions of an inch have none."""
    if way.unit is Unit.IN:
        return
    # What was meant lay on a mark, so that ten times of it lies on a tenth one.
    if size % (10 * way.step_nm) == 0:
        yield Mistake.TEN_TIMES, size // 10
    if size * 10 <= HEIGHT_LIMIT:
        yield Mistake.TEN_TIMES, size * 10


_BARE = re.compile(r"[^\d.,/'\"]*(\d+)[^\d.,/'\"]*")
_OF_A_RULE = ("2", "4", "8", "16", "32", "64")


def _lost_mark(said: str, size: int, unit: Unit) -> Iterator[tuple[Mistake, int]]:
    """A whole number whose slash or decimal point was not typed: `38` for 3/8, `112` for 1-1/2, `4` for 0.04."""
    if size % unit.nm:
        return
    # From a foot up inches are written in feet, which is not how they were typed.
    bare = _BARE.fullmatch(said.lower()) if said else _BARE.fullmatch(str(size // unit.nm))
    if bare is None:
        return
    if unit is Unit.IN:
        yield from ((Mistake.LOST_SLASH, each) for each in _with_slash(bare[1]))
    elif unit in _DECIMALS and size % _DECIMALS[unit] == 0:
        yield Mistake.LOST_POINT, size // _DECIMALS[unit]


_DECIMALS = {Unit.FT: 100, Unit.M: 1000}
"""Where the point belongs: hundredths of a foot, and millimetres. In centimetres its loss is ten times."""


def _with_slash(digits: str) -> Iterator[int]:
    """Fractions of an inch that digits are, once a slash is put among them; nanometres."""
    for under in _OF_A_RULE:
        front = digits.removesuffix(under)
        if front == digits:
            continue
        for whole, over in ((front[:at], front[at:]) for at in range(len(front))):
            if 0 < int(over) < int(under) and over[0] != "0":
                yield int(whole or "0") * INCH + int(over) * INCH // int(under)


# -- slips of the tongue and the finger --------------------------------------------------------------------

_NUMBER = re.compile(r"\d+")
_TEEN_OR_TEN = re.compile(r"1([3-9])(?!\d)|([3-9])0(?!\d)")


def _swapped(said: str) -> Iterator[str]:
    for number in _NUMBER.finditer(said):
        for at in range(number.start(), number.end() - 1):
            if said[at] != said[at + 1]:
                yield said[:at] + said[at + 1] + said[at] + said[at + 2 :]


def _lost(said: str) -> Iterator[str]:
    for number in _NUMBER.finditer(said):
        yield from (f"{said[: number.end()]}{digit}{said[number.end() :]}" for digit in range(10))


def _teens(said: str) -> Iterator[str]:
    """Fifteen for fifty, and fifty for fifteen."""
    for heard in _TEEN_OR_TEN.finditer(said):
        yield said[: heard.start()] + (f"{heard[1]}0" if heard[1] else f"1{heard[2]}") + said[heard.end() :]


def _parsed(text: str, way: Way) -> int | None:
    """What a text means, or None where it is none: most digits put elsewhere make no reading."""
    try:
        return way.readings.parse(text, way.unit)
    except LengthError:
        return None
