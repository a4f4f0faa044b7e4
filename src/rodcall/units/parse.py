"""Parses a typed length to whole nanometres; an error says in one line what is wrong.

The line is folded to plain characters, matched against one pattern, and its parts are weighed one by one.
Nothing is guessed: a length that could mean two things is refused, and both are offered.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from unicodedata import normalize

from rodcall.i18n import phrase, say
from rodcall.units.format import write
from rodcall.units.unit import FOOT, INCH, M, Unit

HEIGHT_LIMIT = 100 * FOOT
"""Beyond this a height or a rod reading is absurd."""
SIZE_LIMIT = 10_000 * M
"""Beyond this a size or a distance is no pad's."""

_LONGEST = 40
_LONGEST_QUOTE = 20
_OPEN, _CLOSED = phrase("{why} say {offer}"), phrase("{why}; say {offer}")


class LengthError(ValueError):
    """What was said is not a length; the message is one line that names the part and an example that would do."""


class Unsigned(LengthError):  # noqa: N818 - a question that is still open, no mistake
    """A height other than zero, typed without high or low; never guessed."""

    def __init__(self, message: str, nm: int) -> None:
        super().__init__(message)
        self.nm = nm
        """The height without its sign, nm."""


def parse_height(said: str, unit: Unit, *, limit: int = HEIGHT_LIMIT) -> int:
    """Nanometres of a height, high positive and low negative, said in the job's unit or one of its own.

    Raises:
        Unsigned: when it is not zero and neither a sign nor high or low was said.
        LengthError: when it is not understood, or beyond the limit (nm).
    """
    height = _understand(_Asked(said, unit, limit, "-" + unit.small, "-"))
    if height.nm and not height.direction:
        low, high = write(-height.nm, unit), write(height.nm, unit)
        raise Unsigned(
            say('"{said}" - high or low? say {low} or {high}', said=_quoted(said.strip()), low=low, high=high),
            height.nm,
        )
    return height.direction * height.nm


def parse_reading(said: str, unit: Unit, *, signed: bool = False, limit: int = HEIGHT_LIMIT) -> int:
    """Nanometres of a rod reading; below zero only on a rod that is `signed`, one that reads heights directly.

    Raises:
        LengthError: when it is not understood, beyond the limit (nm), or said with high, low or on grade.
    """
    asked = _Asked(said, unit, limit, unit.reading)
    reading = _understand(asked)
    if reading.word:
        raise asked.refusal(reading.word, say("a rod reading has no high or low"))
    if reading.direction < 0 and not signed:
        raise asked.refusal("-", say("a rod reading has no minus"))
    return reading.nm if reading.direction >= 0 else -reading.nm


def parse_length(said: str, unit: Unit | None = None, *, limit: int = SIZE_LIMIT) -> int:
    """Nanometres of a size or a distance; without a unit to fall back on, a bare number is refused.

    Raises:
        LengthError: when it is not understood, beyond the limit (nm), or said with a minus, high, low or
            on grade.
    """
    asked = _Asked(said, unit, limit, unit.small if unit else say("{one} or {other}", one="40ft", other="12.5m"))
    length = _understand(asked)
    if length.word or length.direction < 0:
        raise asked.refusal(length.word or "-", say("a size is neither high nor low"))
    return length.nm


@dataclass(frozen=True, slots=True)
class _Asked:
    """What was said to which question, so that a refusal can offer what would do."""

    said: str
    unit: Unit | None
    limit: int
    example: str
    lead: str = ""
    """What an example of a height begins with."""

    def refusal(self, part: str, why: str, *examples: str) -> LengthError:
        """That it is not taken, and why, which is said already; a question gets no semicolon."""
        offer = say(" or ").join(examples) or self.example
        named = f'"{_quoted(part)}" - ' if part else ""
        told = say(_OPEN if why.endswith("?") else _CLOSED, why=why, offer=offer)
        return LengthError(named + told)

    @property
    def limit_in_words(self) -> str:
        metric = self.unit not in (Unit.IN, Unit.FT)
        unit, step = (Unit.M, M // 100) if metric else (Unit.FT, FOOT)
        return write(self.limit, unit, step=step, sign=False, mark=True)


@dataclass(frozen=True, slots=True)
class _Spoken:
    """One length as it was understood."""

    nm: int
    direction: int
    """+1 high, -1 low, 0 not said."""
    word: str = ""
    """High, low or on grade, as it was said."""


# -- the whole line ----------------------------------------------------------------------------------------

_SIDE = "high|low|h|l"
_DIRECTION = {"h": 1, "+": 1, "l": -1, "-": -1}
_UNITS = {
    **dict.fromkeys(("inches", "inch", "in", '"'), Unit.IN),
    **dict.fromkeys(("feet", "foot", "ft", "'"), Unit.FT),
    **{unit.value: unit for unit in (Unit.MM, Unit.CM, Unit.M)},
}
_SAID = re.compile(
    rf"""
    (?P<before>{_SIDE})?
    (?P<sign>[-+])?
    (?:(?P<feet>[\d.,]+)(?:(?:feet|foot|ft|')-?(?=[\d.,])|-(?=\d+-(?:\d+/|0))))?
    (?P<size>[\d.,]+(?:[-/][\d.,]+)*)
    (?P<unit>{"|".join(_UNITS)})?
    \ ?(?P<after>{_SIDE})?
    """,
    re.VERBOSE,
)
_ON_GRADE = ("g", "grade", "on grade")


def _understand(asked: _Asked) -> _Spoken:
    text = _fold(asked)
    if text in _ON_GRADE:
        return _Spoken(0, 0, text)
    found = _SAID.fullmatch(text)
    if found is None:
        raise _not_understood(text, asked)
    word = found["before"] or found["after"] or ""
    sides = {_DIRECTION[side[0]] for side in found.group("before", "sign", "after") if side}
    if len(sides) > 1 or (found["before"] and found["after"]):
        raise asked.refusal(text, say("high or low only once"))
    return _Spoken(_nanometres(found, asked), sum(sides), word)


def _nanometres(found: re.Match[str], asked: _Asked) -> int:
    feet, size, mark = found.group("feet", "size", "unit")
    if feet is not None:
        nm = _whole(feet, asked) * FOOT + _inches_behind_feet(size, mark, asked)
    else:
        nm = _one_unit(found, asked)
    if nm.denominator != 1:
        raise asked.refusal(size, say("too fine for a rod"))
    if nm > asked.limit:
        raise asked.refusal(found.string, say("too big: the limit is {limit}", limit=asked.limit_in_words))
    return int(nm)


def _inches_behind_feet(size: str, mark: str | None, asked: _Asked) -> Fraction:
    example = f"{asked.lead}4' 3\""
    if mark is not None and _UNITS[mark] is not Unit.IN:
        raise asked.refusal(mark, say("only inches go after feet"), example)
    inches = _amount(size if "/" in size else size.removesuffix("-0"), 12, asked)
    if inches >= 12:
        raise asked.refusal(size, say("inches must be less than 12"), example)
    return inches * INCH


def _one_unit(found: re.Match[str], asked: _Asked) -> Fraction:
    size, mark = found["size"], found["unit"]
    unit = _UNITS[mark] if mark else asked.unit
    amount = _amount(size, asked.limit // unit.nm if unit else 0, asked)
    if mark is None and "/" in size and unit is not Unit.IN:
        raise asked.refusal(size, say("which unit?"), f"{found.string[: found.start('size')]}{size}in")
    if unit is None:
        raise asked.refusal(size, say("which unit?"))
    return amount * unit.nm


# -- its numbers -------------------------------------------------------------------------------------------

_JOINTS = re.compile(r"([-/])")
_ON_A_RULE = (2, 4, 8, 16, 32, 64)
_PARTS = {
    3: phrase("thirds"),
    5: phrase("fifths"),
    6: phrase("sixths"),
    7: phrase("sevenths"),
    9: phrase("ninths"),
    10: phrase("tenths"),
    12: phrase("twelfths"),
}


def _amount(size: str, most: int, asked: _Asked) -> Fraction:
    """A number, a fraction, or a whole number and a fraction; in thousands it could be `most`."""
    match _JOINTS.split(size):
        case [number]:
            return _decimal(number, most, asked)
        case [over, "/", under]:
            return _fraction(over, under, asked)
        case [whole, "-", over, "/", under]:
            return _whole(whole, asked) + _fraction(over, under, asked)
        case [_, "-", _] | [_, "-", _, "-", *_]:
            raise asked.refusal(size, say("feet and inches?"), f"{asked.lead}4' 3\"", f"{asked.lead}4-3-0")
    raise asked.refusal(size, say("too many parts"))


def _whole(digits: str, asked: _Asked) -> int:
    if not digits.isdigit():
        raise asked.refusal(digits, say("must be a whole number"))
    return int(digits)


def _fraction(over: str, under: str, asked: _Asked) -> Fraction:
    upper, lower = _whole(over, asked), _whole(under, asked)
    if lower not in _ON_A_RULE:
        raise asked.refusal(
            f"{over}/{under}", say("no rod is marked in {parts}", parts=say(_PARTS.get(lower, phrase("such parts"))))
        )
    if upper >= lower:
        raise asked.refusal(f"{over}/{under}", say("a fraction must be less than one"))
    return Fraction(upper, lower)


def _decimal(number: str, most: int, asked: _Asked) -> Fraction:
    """A number with a point or a comma; a comma that could mark thousands up to `most` is asked about."""
    if number.count(".") + number.count(",") > 1:
        raise asked.refusal(number, say("too many decimal points"))
    whole, point, decimals = number.replace(",", ".").partition(".")
    if point and not decimals:
        raise asked.refusal(number, say("no digits after the point"))
    looks_like_thousands = "," in number and len(decimals) == 3 and len(whole) <= 3 and whole[:1] not in ("", "0")
    if looks_like_thousands and int(whole + decimals) <= most:
        tidy = " ".join(asked.said.split())
        ways = (tidy.replace(number, way) for way in (f"{whole}.{decimals}", whole + decimals))
        raise asked.refusal(number, say("point, or thousands?"), *ways)
    return Fraction(int(whole + decimals), 10 ** len(decimals))


# -- pasted characters, and what is not understood ---------------------------------------------------------

# "1⅜" is 1-3/8, so a fraction glyph opens with blanks about it.
_GLYPHS = {
    glyph: f" {normalize('NFKC', glyph).replace('⁄', '/')} "  # it brings a fraction slash of its own
    for glyph in "½¼¾⅛⅜⅝⅞⅓⅔⅕⅖⅗⅘⅙⅚⅐⅑⅒"
}
_FOLDED = str.maketrans(
    {
        **dict.fromkeys("′’‘", "'"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("−–", "-"),
        **dict.fromkeys("\u00a0\u2009\u202f", " "),
        "⁄": "/",
        **_GLYPHS,
    }
)
_STRANGE = re.compile(r"[^ -~]")
_BLANK_THAT_JOINS = re.compile(r"(?<=[\d.,]) (?=[\d.,])")
# A blank keeps two words apart, and two readings (`1 -3/8`); any other may go.
_IDLE_BLANK = re.compile(r" (?!(?<=[a-z] )[a-z]|(?<=[\d.,] )-)")


def _fold(asked: _Asked) -> str:
    """Plain lower-case characters without idle blanks; the one that joins becomes a hyphen."""
    if len(asked.said) > _LONGEST:
        raise asked.refusal(asked.said, say("too long: the limit is {most} characters", most=_LONGEST))
    text = asked.said.translate(_FOLDED)
    if strange := _STRANGE.search(text):
        digit = strange[0].isnumeric()
        raise asked.refusal(strange[0], say("use the digits 0 to 9") if digit else say("no sign for a length"))
    text = " ".join(text.lower().split())
    if not text:
        raise asked.refusal("", say("nothing typed"))
    return _IDLE_BLANK.sub("", _BLANK_THAT_JOINS.sub("-", text))


_KNOWN_WORD = "|".join(word for word in (*_UNITS, *_SIDE.split("|"), *_ON_GRADE) if word.isalpha())
_TROUBLES = tuple(
    (re.compile(pattern), why, example)
    for pattern, why, example in (
        (rf"(?<![a-z])(?!(?:{_KNOWN_WORD})+(?![a-z]))[a-z]+", phrase("no word for a length"), None),
        (r"[^\da-z.,/'\"+ -]", phrase("no sign for a length"), None),
        (r"[-+]{2,}", phrase("too many signs"), None),
        (r"[\d.,]+\+.*", phrase("join the parts with a hyphen"), "1-3/8in"),
        (r"[\d.,]+ -.*", phrase("one reading, or two?"), "1-3/8in"),
        (r"^\D+$", phrase("how much?"), None),
        (r"(?<![a-z])(?:grade|g)(?![a-z])", phrase("on grade takes no number"), None),
        (r"[-+/]$", phrase("nothing after it"), None),
    )
)


def _not_understood(text: str, asked: _Asked) -> LengthError:
    """Name the first part that does not fit the pattern."""
    for trouble, why, example in _TROUBLES:
        if part := trouble.search(text):
            return asked.refusal(part[0], say(why), *([asked.lead + example] if example else []))
    return asked.refusal(text, say("not understood"))


def _quoted(part: str) -> str:
    """A part as a message may show it: short, and without a character that could disturb a terminal."""
    shown = "".join(char if char.isprintable() else f"U+{ord(char):04X}" for char in part[: _LONGEST_QUOTE + 1])
    return shown if len(shown) <= _LONGEST_QUOTE else shown[: _LONGEST_QUOTE - 2] + ".."
