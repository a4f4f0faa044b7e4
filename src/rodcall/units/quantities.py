"""What is said of a job besides heights: shares, slopes, volumes and densities. Floats, in SI units."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from rodcall.i18n import say
from rodcall.units import FOOT, LengthError, Unit, parse_length

FOOT_M = 0.3048
CUBIC_UNITS = {"yd3": (3 * FOOT_M) ** 3, "ft3": FOOT_M**3, "m3": 1.0}
"""Cubic metres in each (yard 0.9144 m, foot 0.3048 m exactly)."""
SHORT_TON_KG = 907.18474
DENSITIES = {"t/m3": 1000.0, "kg/m3": 1.0, "ton/yd3": SHORT_TON_KG / CUBIC_UNITS["yd3"]}
"""Kilograms per cubic metre in each; a ton/yd3 is a short ton of 2000 lb."""

STEEPEST = 1.0
"""A pad does not fall more than 1 in 1."""
LEAST_BARE_RATIO = 20
"""`1/50` is 1 in 50, since a numeric pad has no colon; `1/4` may be meant for 1/4 in per ft, and is refused."""

_NUMBER = r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+"


class QuantityError(ValueError):
    """Words that are no such quantity; one line with an example that would do."""


def parse_share(said: str) -> float:
    """A percentage as a fraction of one: `10%` is 0.1.

    Raises:
        QuantityError: when it is none, or lies outside of -100 % to 100 %.
    """
    match = re.fullmatch(rf"([+-]?)({_NUMBER}) ?%", _short(said))
    if match is None or not float(_point(match[2])) <= 100:
        raise QuantityError(say("{said} is not a percentage between -100 % and 100 %; say 10%", said=_quoted(said)))
    return float(Fraction(match[1] + _point(match[2])) / 100)


def parse_volume(said: str) -> float:
    """A volume in m3: `12yd3`, `0.8 m3`, `20ft3`.

    Raises:
        QuantityError: when it is none, or its unit is missing.
    """
    return _of_units(said, CUBIC_UNITS, say("{one} or {other}", one="12yd3", other="9m3"))


def parse_density(said: str) -> float:
    """A density in kg per m3: `1.85ton/yd3` (short tons), `2.1t/m3`.

    Raises:
        QuantityError: when it is none, or its unit is missing.
    """
    return _of_units(said, DENSITIES, say("{one} or {other}", one="1.85ton/yd3", other="2.1t/m3"))


def parse_slope(said: str, span_nm: int) -> float:
    """A slope in m per m, below 0 where the ground falls.

    Args:
        said: `1%`, `-0.5%`, `1:50` or `1/50`, `1/4in/ft`, `20mm/m`, or the total over the pad: `3in`, `-60mm`. The
            word `fall` (or `f`) behind it turns its sign.
        span_nm: Length of the pad in that direction.

    Raises:
        QuantityError: when it is none of these, or steeper than 1 in 1.
        LengthError: when a length in it is not understood.
    """
    text = _short(said)
    sign = 1.0
    for word in (" fall", "fall", " f"):
        if text.endswith(word):
            text, sign = text.removesuffix(word).strip(), -1.0
    if text[:1] in ("+", "-"):
        sign, text = (-sign if text[0] == "-" else sign), text[1:].strip()
    slope = sign * _steepness(text, span_nm)
    if abs(slope) > STEEPEST:
        raise QuantityError(
            say("{said} is steeper than 1 in 1; say 1%, 1:50, 1/4in/ft or 3in over the pad", said=_quoted(said))
        )
    return slope + 0.0


def parse_beam(said: str) -> float:
    """How far a level's beam may be off, as a slope (m per m): `1/16in/100ft`, `1.5mm/30m`, `10s` (seconds of arc).

    Raises:
        QuantityError: when it is none of these, or worse than 1 in 100.
    """
    text = _short(said)
    seconds = re.fullmatch(rf"({_NUMBER}) ?(?:s|sec|\"|'')", text)
    over = text.rfind("/")
    try:
        if seconds is not None:
            slope = math.tan(math.radians(float(_point(seconds[1])) / 3600))
        else:
            slope = float(Fraction(parse_length(text[:over]), parse_length(text[over + 1 :])))
    except (LengthError, ZeroDivisionError):
        raise QuantityError(
            say("{said} is not understood; say 1/16in/100ft, 1.5mm/30m or 10s", said=_quoted(said))
        ) from None
    if not 0 <= slope <= 0.01:
        raise QuantityError(say("{said} is not a specification of a level; say 1/16in/100ft", said=_quoted(said)))
    return slope


def _steepness(text: str, span_nm: int) -> float:
    if text in ("0", ""):
        return 0.0
    if text[0] in "+-":
        raise QuantityError(say("{said} has too many signs; say -1%", said=_quoted(text)))
    if text.endswith("%"):
        return parse_share(text)
    ratio = re.fullmatch(rf"1 ?([:/]) ?({_NUMBER})", text)
    least = LEAST_BARE_RATIO if ratio is not None and ratio[1] == "/" else 0
    if ratio is not None and float(_point(ratio[2])) > 0 and float(_point(ratio[2])) >= least:
        return 1.0 / float(_point(ratio[2]))
    for per, nm in (("/ft", FOOT), ("/m", 10**9)):
        if text.endswith(per):
            return float(Fraction(parse_length(text.removesuffix(per), Unit.IN if nm == FOOT else None), nm))
    try:
        return float(Fraction(parse_length(text), span_nm))
    except LengthError:
        raise QuantityError(
            say("{said} is not a slope; say 1%, 1:50, 1/4in/ft or 3in (over the pad)", said=_quoted(text))
        ) from None


def _of_units(said: str, units: dict[str, float], example: str) -> float:
    text = _short(said).replace("³", "3")
    match = re.fullmatch(rf"({_NUMBER}) ?({'|'.join(map(re.escape, units))})", text)
    if match is None:
        raise QuantityError(say("{said} is not understood; say {example}", said=_quoted(said), example=example))
    value = float(_point(match[1])) * units[match[2]]
    if value > 1e6:
        raise QuantityError(say("{said} is too much for a pad; say {example}", said=_quoted(said), example=example))
    return value


def _short(said: str) -> str:
    if len(said) > 40:
        raise QuantityError(say("{said} is too long", said=_quoted(said)))
    return said.strip().lower().replace("\u2212", "-")


def _point(number: str) -> str:
    return number.replace(",", ".")


def _quoted(text: str) -> str:
    shown = "".join(char if char.isprintable() else "·" for char in text[:20])
    return f"'{shown}{'..' if len(text) > 20 else ''}'"
