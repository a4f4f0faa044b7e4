"""What was said, as a whole number of nanometres, and back into what the trade writes. Exact both ways.

1/64 in is 396 875 nm, 0.0001 ft 30 480 nm, 0.1 mm 100 000 nm: inches, tenths and millimetres are all whole, so sums
are exact and a reading that equals a limit equals it.
"""

from __future__ import annotations

import re
from enum import StrEnum
from fractions import Fraction

INCH, FOOT, MM, CM, M = 25_400_000, 304_800_000, 1_000_000, 10_000_000, 1_000_000_000
"""Nanometres in each (inch and foot: 24 FR 5348, 1 July 1959)."""

HEIGHT_LIMIT = 100 * FOOT
"""Beyond this a height or a rod reading is absurd."""

MOST_CHARACTERS = 40


class Unit(StrEnum):
    """What a job's heights are said in."""

    IN = "in"
    """Inches and fractions; feet and inches from a foot up."""
    FT = "ft"
    """Feet in decimals: tenths and hundredths."""
    MM = "mm"
    CM = "cm"
    M = "m"

    @property
    def nm(self) -> int:
        """Nanometres in one."""
        return _NM[self]

    @property
    def mark(self) -> str:
        """How it stands behind a number."""
        return '"' if self is Unit.IN else f" {self}"

    @property
    def default_step(self) -> int:
        """The smallest mark that is usually read, nanometres."""
        return {Unit.IN: INCH // 8, Unit.FT: FOOT // 100}.get(self, MM)

    @property
    def default_round_to(self) -> int:
        """The step that targets are usually rounded to, nanometres."""
        return {Unit.IN: INCH // 2, Unit.FT: FOOT // 20}.get(self, CM)

    @property
    def default_least_drop(self) -> int:
        """How far below the average a suggested target usually lies at least, nanometres."""
        return {Unit.IN: INCH // 8, Unit.FT: FOOT // 100}.get(self, 3 * MM)

    @property
    def example(self) -> str:
        """A reading that would do."""
        return {Unit.IN: "1-3/8", Unit.FT: "0.04", Unit.MM: "35", Unit.CM: "3.5", Unit.M: "0.035"}[self]


_NM = {Unit.IN: INCH, Unit.FT: FOOT, Unit.MM: MM, Unit.CM: CM, Unit.M: M}


class LengthError(ValueError):
    """Words that are no length; the text is one line that names the part and gives an example that would do."""


class Unsigned(LengthError):  # noqa: N818 - a question more than an error
    """A height other than 0 without a sign: HIGH or LOW must be asked."""

    def __init__(self, nm: int) -> None:
        super().__init__("HIGH or LOW? a height needs its sign: - or l is low, + or h is high")
        self.nm = nm
        """How much, in nanometres."""


# -- reading ----------------------------------------------------------------------------------------------------


def parse_height(said: str, unit: Unit, *, limit: int = HEIGHT_LIMIT) -> int:
    """A height in nanometres, + high and - low.

    Args:
        said: `-1-3/8`, `3/8l`, `h .5`, `g`, `12mm high`.
        unit: What a number without a unit is in.
        limit: Beyond this it is absurd.

    Raises:
        Unsigned: when it is not 0 and has no sign.
        LengthError: when it is not understood.
    """
    text = _folded(said, unit)
    word, body = _grade_word(text)
    if word == "g":
        if body:
            raise LengthError(f"{_quoted(body)} beside g: on grade is g alone, or 0")
        return 0
    sign, body = _sign(body)
    if word and sign:
        raise LengthError(f"{_quoted(said)} has two signs; say -{unit.example} or {unit.example}l")
    nm = _magnitude(body, unit, limit)
    if word:
        return nm if word == "h" else -nm
    if nm and not sign:
        raise Unsigned(nm)
    return -nm if sign == "-" else nm


def parse_reading(said: str, unit: Unit, *, signed: bool = False, limit: int = HEIGHT_LIMIT) -> int:
    """A rod reading in nanometres; it needs no sign.

    Args:
        said: `4.28`, `4' 3 3/8"`, `4-3-3/8`.
        unit: What a number without a unit is in.
        signed: True for a rod whose scale runs below 0 as well.
        limit: Beyond this it is absurd.

    Raises:
        LengthError: when it is not understood.
    """
    text = _folded(said, unit)
    sign, body = _sign(text)
    if sign == "-" and not signed:
        raise LengthError(f"a rod reading has no sign; say {body[:20] or unit.example}")
    nm = _magnitude(body, unit, limit)
    return -nm if sign == "-" else nm


def parse_length(said: str, unit: Unit | None = None, *, limit: int = 10_000 * M) -> int:
    """A size or a distance in nanometres, never below 0.

    Args:
        said: `60ft`, `40'`, `12.5m`, `3/8in`.
        unit: What a number without a unit is in; None refuses one.
        limit: Beyond this it is absurd.

    Raises:
        LengthError: when it is not understood, or a unit is missing.
    """
    text = _folded(said, unit)
    if text.startswith("-"):
        raise LengthError(f"{_quoted(said)}: a size is not below 0")
    return _magnitude(text, unit, limit)


_GLYPHS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_ALIKE = str.maketrans(
    {
        **{glyph: f" {plain}" for glyph, plain in _GLYPHS.items()},
        **dict.fromkeys("′’‘`´", "'"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("−–", "-"),
        **dict.fromkeys("\u00a0\u2009\u202f", " "),
        "⁄": "/",
    }
)
_UNIT_WORDS = {
    **dict.fromkeys(("in", "inch", "inches", '"', "''"), Unit.IN),
    **dict.fromkeys(("ft", "foot", "feet", "'"), Unit.FT),
    **{str(unit): unit for unit in (Unit.MM, Unit.CM, Unit.M)},
}
_UNIT = r"(?P<unit>in|inch|inches|\"|''|ft|foot|feet|'|mm|cm|m)?"
_NUMBER = r"\d+\.?\d*|\.\d+"
_FRACTION = r"(?P<top>\d+)/(?P<bottom>\d+)"
_FEET = re.compile(
    rf"(?P<feet>\d+) ?(?:'|ft|foot|feet)[ -]?(?:(?P<inches>{_NUMBER}))?(?:(?:(?<=\d)[ -]|(?<![\d.])){_FRACTION})?"
    r" ?(?:in|inch|inches|\"|'')?"
)
_DASHED = re.compile(rf"(?P<feet>\d+)-(?P<inches>\d+)-(?:{_FRACTION}|0)(?: ?(?:\"|in))?")
_MIXED = re.compile(rf"(?:(?P<whole>\d+)[ -])?{_FRACTION} ?{_UNIT}")
_DECIMAL = re.compile(rf"(?P<number>{_NUMBER}) ?{_UNIT}")
_TWO_NUMBERS = re.compile(r"(\d+)-(\d+)")
_WORDS_FIRST = re.compile(r"(high|low|on grade|grade|h|l|g)[ ]?(?=[^a-z]|$)")
_WORDS_LAST = re.compile(
    r"(?<![a-z])[ ]?(high|low|on grade|grade|h|l|g)$|(?<=in|ft|mm|cm)[ ]?(high|low|h|l)$|(?<=m)[ ](high|low|h|l)$"
)


def _folded(said: str, unit: Unit | None) -> str:
    """Small letters, plain signs and single blanks; refuses at once what is too long, empty or no plain text."""
    example = unit.example if unit else "40ft"
    if len(said) > MOST_CHARACTERS:
        raise LengthError(f"{_quoted(said)} is too long for a reading; say {example}")
    text = " ".join(said.translate(_ALIKE).lower().split(" ")).strip()
    while "  " in text:
        text = text.replace("  ", " ")
    for sign in "+-":
        text = text.replace(f"{sign} ", sign) if text.startswith(f"{sign} ") else text
    if not text:
        raise LengthError(f"nothing was said; say {example}")
    strange = next((char for char in text if not (char.isascii() and char.isprintable())), None)
    if strange is not None:
        raise LengthError(f"{_quoted(strange)} is no part of a reading; say {example}")
    return text


def _grade_word(text: str) -> tuple[str, str]:
    """The word for high, low or on grade as h, l or g, and what is left; '' where there is none."""
    found = ""
    for pattern in (_WORDS_FIRST, _WORDS_LAST):
        match = pattern.match(text) if pattern is _WORDS_FIRST else pattern.search(text)
        if match:
            if found:
                raise LengthError(f"{_quoted(text)} says high or low twice; say it once")
            found = next(group for group in match.groups() if group)
            text = (text[: match.start()] + text[match.end() :]).strip()
    return {"high": "h", "low": "l", "grade": "g", "on grade": "g"}.get(found, found), text


def _sign(text: str) -> tuple[str, str]:
    return (text[0], text[1:].strip()) if text[:1] in ("+", "-") else ("", text)


def _magnitude(text: str, unit: Unit | None, limit: int) -> int:
    """The length in text that has neither sign nor word, nanometres."""
    example = unit.example if unit else "40ft"
    body = _with_point(text, unit, limit)
    exact = _feet_and_inches(body)
    if exact is None:
        exact = _of_one_unit(body, unit)
    if exact is None:
        raise LengthError(_what_is_wrong(text, unit, example))
    if exact.denominator != 1:
        raise LengthError(f"{_quoted(text)} is finer than can be kept; say {example}")
    if exact > limit:
        raise LengthError(f"{_quoted(text)} is over {limit // FOOT} ft; say {example}")
    return int(exact)


def _with_point(text: str, unit: Unit | None, limit: int) -> str:
    """A comma as a decimal point where it can be nothing else."""
    if "," not in text:
        return text
    if text.count(",") > 1 or "." in text:
        raise LengthError(f"{_quoted(text)}: which is the decimal point? say it with one point")
    match = re.fullmatch(rf"(\d+),(\d{{3}}) ?{_UNIT}", text)
    if match:
        scale = _UNIT_WORDS[match["unit"]] if match["unit"] else unit
        if scale is not None and int(match[1] + match[2]) * scale.nm <= limit:
            raise LengthError(f"{_quoted(text)}: {match[1]}.{match[2]} or {match[1]}{match[2]}? say it with a point")
    return text.replace(",", ".")


def _feet_and_inches(text: str) -> Fraction | None:
    match = _DASHED.fullmatch(text)
    if match is None:
        match = _FEET.fullmatch(text)
        if match is None or not (match["inches"] or match["top"]):
            return None
    inches = Fraction(match["inches"] or 0)
    if match["top"]:
        if "." in (match["inches"] or ""):
            return None
        inches += _fraction(match["top"], match["bottom"])
    if inches >= 12:
        feet = match["feet"]
        raise LengthError(
            f"{_quoted(match['inches'])} in is no inch below a foot; say {feet}' 11\" or the inches alone"
        )
    return int(match["feet"]) * Fraction(FOOT) + inches * INCH


def _of_one_unit(text: str, unit: Unit | None) -> Fraction | None:
    match = _MIXED.fullmatch(text)
    if match is not None:
        value = _fraction(match["top"], match["bottom"]) + int(match["whole"] or 0)
        if not match["unit"] and unit is not Unit.IN:
            raise LengthError(f"{_quoted(text)} of what? say {text}in, or decimals")
    else:
        match = _DECIMAL.fullmatch(text)
        if match is None:
            return None
        value = Fraction(match["number"])
    if not match["unit"] and unit is None:
        raise LengthError(f"{_quoted(text)} needs its unit; say {text}ft, {text}in, {text}m or {text}mm")
    scale = _UNIT_WORDS[match["unit"]] if match["unit"] else unit
    assert scale is not None
    return value * scale.nm


def _fraction(top: str, bottom: str) -> Fraction:
    if bottom not in ("2", "4", "8", "16", "32", "64"):
        raise LengthError(f"{top}/{bottom}: no rule has such marks; say halves to 64ths, such as 3/8")
    if not 0 < int(top) < int(bottom):
        raise LengthError(f"{top}/{bottom} is no part of one; say a whole and a fraction, such as 1-1/8")
    return Fraction(int(top), int(bottom))


def _what_is_wrong(text: str, unit: Unit | None, example: str) -> str:
    """The part that was not understood, and what would do."""
    two = _TWO_NUMBERS.fullmatch(text)
    if two:
        return f"{text}: feet and inches? say {two[1]}' {two[2]}\" or {two[1]}-{two[2]}-0"
    if "+" in text[1:]:
        return f"{_quoted(text)}: + joins nothing; say {text.replace('+', '-')[:20]}"
    part = re.search(r"[+-]{2,}|\.{2,}|\d*\.\d*\.[\d.]*|[^\d./ '\"+-]+|/.*", text)
    return f"{_quoted(part[0] if part else text)} is not understood; say {example}"


def _quoted(text: str) -> str:
    shown = "".join(char if char.isprintable() else "·" for char in text[:20])
    return f"'{shown}{'..' if len(text) > 20 else ''}'"


# -- writing ----------------------------------------------------------------------------------------------------


def round_half_even(value: int | Fraction, step: int) -> int:
    """The nearest multiple of a step, nanometres; half-way goes to the even multiple.

    Source: Alberta Transportation ATT-70 (5.6850 -> 5.68, 5.755 -> 5.76 to hundredths); IEEE 754 does the same.
    """
    return round(Fraction(value, step)) * step


def write(nm: int | Fraction, unit: Unit, *, step: int | None = None, sign: bool = True, mark: bool = False) -> str:
    """A length as the trade writes it: `-1-3/8`, `+0.04`, `4' 3-3/8"`.

    Args:
        nm: Nanometres.
        unit: What to write it in.
        step: Round half to even to this many nanometres, and write as finely as it needs. None writes exactly what
            counts; what is no finite number of the unit is then written in millimetres.
        sign: Write + as well as -; 0 has none.
        mark: Write the unit behind it.
    """
    whole = round_half_even(nm, step) if step is not None else int(nm)
    prefix = "-" if whole < 0 else "+" if sign and whole > 0 else ""
    size = abs(whole)
    written = _inches(size, mark) if unit is Unit.IN else _decimals(size, unit, step)
    if written is None:
        return f"{prefix}{_point(Fraction(size, MM), 0)}mm"
    return prefix + written + (unit.mark if mark and unit is not Unit.IN else "")


def in_words(nm: int | Fraction, unit: Unit, *, step: int | None = None, mark: bool = False) -> str:
    """A height in words: `LOW 1-3/8`, `HIGH 0.04`, `ON GRADE`."""
    whole = round_half_even(nm, step) if step is not None else int(nm)
    if whole == 0:
        return "ON GRADE"
    return f"{'HIGH' if whole > 0 else 'LOW'} {write(abs(whole), unit, step=step, sign=False, mark=mark)}"


def _inches(size: int, mark: bool) -> str | None:
    """Feet, inches and a fraction, or decimal inches; None where neither is exact."""
    feet, rest = divmod(size, FOOT)
    inches, left = divmod(Fraction(rest, INCH), 1)
    on_a_rule = left.denominator <= 64 and left.denominator & (left.denominator - 1) == 0
    if not on_a_rule:
        return _decimal_inches(size, mark)
    parts = f"{inches}-{left}" if inches and left else f"{left or inches}"
    end = '"' if mark else ""
    if not feet:
        return parts + end
    return f"{feet}' {parts}{end}" if mark else f"{feet}'{parts}"


def _decimal_inches(size: int, mark: bool) -> str | None:
    text = _finite(Fraction(size, INCH), 0)
    return None if text is None else text + ('"' if mark else "")


def _decimals(size: int, unit: Unit, step: int | None) -> str | None:
    value = Fraction(size, unit.nm)
    if step is None:
        return _finite(value, _places(Fraction(unit.default_step, unit.nm)))
    places = _places(Fraction(step, unit.nm))
    return _point(value, places) if _finite(value, places) is not None else _finite(round(value, 6), 6)


def _finite(value: Fraction, least: int) -> str | None:
    """Exact decimals, at least so many places; None where they do not end within ten."""
    places = least
    while (value * 10**places).denominator != 1:
        places += 1
        if places > 10:
            return None
    return _point(value, places)


def _places(step: Fraction) -> int:
    """Decimals that a step needs, at most six."""
    return next((places for places in range(6) if (step * 10**places).denominator == 1), 6)


def _point(value: Fraction, places: int) -> str:
    """A decimal number; exact for as many places as it needs beyond those asked for."""
    while (value * 10**places).denominator != 1 and places < 10:
        places += 1
    whole, rest = divmod(int(value * 10**places), 10**places)
    return f"{whole}.{rest:0{places}d}" if places else str(whole)
