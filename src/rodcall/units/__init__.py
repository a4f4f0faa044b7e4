"""Lengths: from typed words to whole nanometres, and back as the trade writes them.

Inches to 64ths, decimal feet and millimetres are all whole numbers of nanometres: sums are exact, and a
reading that equals the tolerance is inside it, always. Floats have no place in here.
"""

from rodcall.units.format import in_words, round_half_even, write
from rodcall.units.parse import (
    HEIGHT_LIMIT,
    SIZE_LIMIT,
    LengthError,
    Unsigned,
    parse_height,
    parse_length,
    parse_reading,
)
from rodcall.units.unit import CM, FOOT, INCH, MM, M, Unit

__all__ = [
    "CM",
    "FOOT",
    "HEIGHT_LIMIT",
    "INCH",
    "MM",
    "SIZE_LIMIT",
    "LengthError",
    "M",
    "Unit",
    "Unsigned",
    "in_words",
    "parse_height",
    "parse_length",
    "parse_reading",
    "round_half_even",
    "write",
]
