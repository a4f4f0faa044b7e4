"""A length as the trade writes it: `-1-3/8`, `+0.04`, `4' 3-3/8"`. What is written can be said again."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from rodcall.i18n import say
from rodcall.units.unit import FOOT, INCH, Unit

_FINEST = 64
"""Inches are divided down to this part of one."""
_PLACES = 9
"""Decimals that show any nanometre in any unit: it is the ninth of a metre, the largest."""


def round_half_even(value: int | Fraction, step: int) -> int:
    """Round to the nearest multiple of the step, half to even, so that halves do not push an average one way.

    Value and step (above 0) in the same unit, nanometres as a rule. Source: Alberta Transportation test
    method ATT-70 (half to even), which takes 5.675 and 5.685 both to 5.68.
    """
    return round(Fraction(value) / step) * step


@lru_cache(maxsize=8192)
def write(nm: int | Fraction, unit: Unit, *, step: int | None = None, sign: bool = True, mark: bool = False) -> str:
    """Write a length in a unit, so that the same length is read from it again.

    Without a step it stands exactly as it counts, to the nanometre; with one (nm) it is rounded half to even
    and has the step's decimals. With `sign` a height (`+1-3/8`, `-1-3/8`, `0`), without a rod reading or a
    size, of which only a negative one carries its minus. `mark` puts the unit behind it. Inches are written
    in fractions, or as decimals where no 64th fits, and in feet and inches from a foot up. What the unit
    cannot write exactly, or at a step that it cannot write, stands in millimetres, with their name.
    """
    exact = _rounded(nm, step)
    lead = "-" if exact < 0 else "+" if sign and exact else ""
    return lead + _magnitude(abs(exact), unit, step or unit.default_step, mark)


def in_words(nm: int | Fraction, unit: Unit, *, step: int | None = None, mark: bool = False) -> str:
    """Say a height as it is shouted back: `LOW 1-3/8`, `HIGH 0.04`, `ON GRADE`; the rest as for `write`.

    In the language that is spoken; what can be said again is what `write` makes.
    """
    exact = _rounded(nm, step)
    if exact == 0:
        return say("ON GRADE")
    return f"{say('HIGH') if exact > 0 else say('LOW')} {write(abs(exact), unit, step=step, sign=False, mark=mark)}"


def _rounded(nm: int | Fraction, step: int | None) -> int:
    if step is None and isinstance(nm, int):
        return nm
    return round_half_even(nm, step or 1)


def _magnitude(nm: int, unit: Unit, step: int, mark: bool) -> str:
    if nm == 0:
        return "0" + unit.mark * mark
    text = _feet_and_inches(nm, mark) if unit is Unit.IN else _decimal(nm, unit, _places(step, unit))
    if text is None:
        return f"{_decimal(nm, Unit.MM, 0)}{' ' * mark}mm"
    return text if unit is Unit.IN else text + unit.mark * mark


def _feet_and_inches(nm: int, mark: bool) -> str | None:
    feet, rest = divmod(nm, FOOT)
    inches = _inches(rest)
    if inches is None:
        return None
    if feet and "/" in inches and "-" not in inches:
        # 1'0-3/8: beside the foot's mark a fraction alone reads like feet.
        inches = f"0-{inches}"
    return (f"{feet}'" + " " * mark if feet else "") + inches + '"' * mark


def _inches(nm: int) -> str | None:
    """Below a foot, as fractions down to 64ths, else as decimals; None where those never end."""
    parts, finer = divmod(nm * _FINEST, INCH)
    if finer:
        return _decimal(nm, Unit.IN, 0)
    whole, part = divmod(parts, _FINEST)
    if not part:
        return str(whole)
    return f"{whole}-{Fraction(part, _FINEST)}" if whole else str(Fraction(part, _FINEST))


def _decimal(nm: int, unit: Unit, least_places: int | None) -> str | None:
    """As a decimal of at least so many places; None where it, or the step that asks for them, never ends."""
    needed = _places(nm, unit)
    if needed is None or least_places is None:
        return None
    places = max(needed, least_places)
    whole, decimals = divmod(nm * 10**places // unit.nm, 10**places)
    return f"{whole}.{decimals:0{places}d}" if places else str(whole)


def _places(nm: int, unit: Unit) -> int | None:
    """How many decimals a length needs in a unit; None where no number of them is enough."""
    return next((places for places in range(_PLACES + 1) if nm * 10**places % unit.nm == 0), None)
