"""Lengths: what may be said, what is refused and why, what is written, and that the two agree."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rodcall.units import (
    CM,
    FOOT,
    HEIGHT_LIMIT,
    INCH,
    MM,
    LengthError,
    M,
    Unit,
    Unsigned,
    in_words,
    parse_height,
    parse_length,
    parse_reading,
    round_half_even,
    write,
)

units = st.sampled_from(Unit)
heights = st.integers(-HEIGHT_LIMIT, HEIGHT_LIMIT)
steps = st.sampled_from([INCH // 64, INCH // 16, INCH // 8, INCH // 2, INCH // 10, FOOT // 100, FOOT // 10_000, FOOT])
steps |= st.sampled_from([MM // 10, MM, CM, 5 * MM, M])

# -- units -------------------------------------------------------------------------------------------------


def test_unit_facts():
    """Foot 0.3048 m and inch 25.4 mm exactly (24 FR 5348, 1 July 1959, SEEN second-hand)."""
    assert FOOT == M * 3048 // 10_000 == 304_800_000
    assert INCH == MM * 254 // 10 == 25_400_000
    # The same notice: a yard 0.9144 m, a cubic yard 0.764554857984 m3 exactly.
    assert (3 * FOOT) ** 3 == 764_554_857_984 * (M // 10_000) ** 3
    # 85 FR 62698, SEEN: the US survey foot (1200/3937 m) is retired; a foot here is never that one.
    assert Fraction(1200, 3937) * M != FOOT


@pytest.mark.parametrize("unit", Unit)
def test_unit_factors_are_pints(unit):
    registry = pint.UnitRegistry(non_int_type=Fraction)
    assert registry.Quantity(Fraction(1), str(unit)).to("nanometer").magnitude == unit.nm


@pytest.mark.parametrize(
    ("unit", "step", "round_to", "least_drop"),
    [
        # Rounding step and least drop of a target, common practice: 1/2 and 1/8 in; 0.05 and 0.01 ft; 10 and 3 mm.
        (Unit.IN, "1/8", "1/2", "1/8"),
        (Unit.FT, "0.01", "0.05", "0.01"),
        (Unit.MM, "1", "10", "3"),
        (Unit.CM, "0.1", "1", "0.3"),
        (Unit.M, "0.001", "0.01", "0.003"),
    ],
)
def test_customary_steps(unit, step, round_to, least_drop):
    customary = (unit.default_step, unit.default_round_to, unit.default_least_drop)
    assert customary == tuple(parse_length(said, unit) for said in (step, round_to, least_drop))
    # Spots 10 ft or 3 m apart, common practice.
    assert unit.default_spacing == parse_length("10ft" if unit in (Unit.IN, Unit.FT) else "3m")


# -- what may be said --------------------------------------------------------------------------------------

IN_ANY_JOB = {
    # with a unit of its own
    "-12mm": -12 * MM,
    "+.04ft": FOOT // 25,
    "+1/2in": INCH // 2,
    "-1 3/8 inches": -INCH * 11 // 8,
    "-1 inch": -INCH,
    "+2 feet": 2 * FOOT,
    "-1foot": -FOOT,
    "-1.2 cm": -12 * MM,
    "+0.012m": 12 * MM,
    '-3/8"': -INCH * 3 // 8,
    "+4'": 4 * FOOT,
    "-4.28'": -FOOT * 428 // 100,
    "-40 1/2 ft": -FOOT * 81 // 2,
    # feet and inches
    "-4' 3 3/8\"": -INCH * 411 // 8,
    "+4' 3-3/8": INCH * 411 // 8,
    "+4'3-3/8": INCH * 411 // 8,
    "+4'-3 3/8\"": INCH * 411 // 8,
    "-4-3-3/8": -INCH * 411 // 8,
    "+4-3 3/8": INCH * 411 // 8,
    "+4-3-0": 51 * INCH,
    "-4ft 3in": -51 * INCH,
    "+4' 3.5\"": INCH * 103 // 2,
    "+4' 3/8\"": INCH * 387 // 8,
    # on grade
    "0": 0,
    "-0": 0,
    "+0": 0,
    "g": 0,
    "G": 0,
    "grade": 0,
    "On Grade": 0,
    "0mm": 0,
    # high and low, before or after
    "h 3/8in": INCH * 3 // 8,
    "3/8in l": -INCH * 3 // 8,
    "3/8inh": INCH * 3 // 8,
    "3/8inch": None,
    ".5in l": -INCH // 2,
    "LOW 1 ft": -FOOT,
    "1 ft High": FOOT,
    "12mml": -12 * MM,
    "l -12mm": -12 * MM,
    "+12mm h": 12 * MM,
    # pasted from elsewhere
    "−4′ 3⅜″": -INCH * 411 // 8,
    "–1½”": -INCH * 3 // 2,
    "+4’\u00a03“": 51 * INCH,
    "+1\u20091⁄2\u202fin": INCH * 3 // 2,
    "-1-⅞in": -INCH * 15 // 8,
    " +¼in ": INCH // 4,
}


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize(("said", "nm"), IN_ANY_JOB.items())
def test_what_carries_its_unit_means_the_same_in_any_job(said, nm, unit):
    if nm is None:
        with pytest.raises(Unsigned):
            parse_height(said, unit)
    else:
        assert parse_height(said, unit) == nm


SAID_BARE = [
    # screen.md, "What a typist may key", in a job in inches
    (Unit.IN, "-3/8", -INCH * 3 // 8),
    (Unit.IN, "+1 1/2", INCH * 3 // 2),
    (Unit.IN, "-1-3/8", -INCH * 11 // 8),
    (Unit.IN, "+.5", INCH // 2),
    (Unit.IN, "-1.25", -INCH * 5 // 4),
    (Unit.IN, "h 3/8", INCH * 3 // 8),
    (Unit.IN, "3/8l", -INCH * 3 // 8),
    (Unit.IN, "L1-3/8", -INCH * 11 // 8),
    (Unit.IN, "low 1-63/64", -INCH * 127 // 64),
    (Unit.IN, "-51 3/8", -INCH * 411 // 8),
    (Unit.IN, "-⅝", -INCH * 5 // 8),
    (Unit.IN, "-1⅛", -INCH * 9 // 8),
    # and in the others
    *((unit, "+4.28", unit.nm * 428 // 100) for unit in (Unit.FT, Unit.MM, Unit.CM, Unit.M)),
    *((unit, "l.5", -unit.nm // 2) for unit in Unit),
    *((unit, ".5 h", unit.nm // 2) for unit in Unit),
    *((unit, "-3", -3 * unit.nm) for unit in Unit),
    *((unit, "+1,25", unit.nm * 5 // 4) for unit in Unit),
    *((unit, "+,5", unit.nm // 2) for unit in Unit),
    *((unit, "-0,375", -unit.nm * 375 // 1000) for unit in Unit),
    (Unit.FT, "-0.0001", -30_480),
    (Unit.M, "-1,250", -1250 * MM),  # 1250 m of height would be absurd
    (Unit.FT, "+1,250", FOOT * 5 // 4),
    (Unit.MM, "-1234,567", -1_234_567_000),  # nobody marks thousands behind four digits
    (Unit.MM, "+01,250", MM * 5 // 4),  # nor behind a nought
    (Unit.MM, "+30,481", 30_481_000),  # as thousands it would be beyond the limit
]


@pytest.mark.parametrize(("unit", "said", "nm"), SAID_BARE)
def test_what_is_said_bare_is_in_the_jobs_unit(unit, said, nm):
    assert parse_height(said, unit) == nm


@pytest.mark.parametrize(("said", "nm"), [("1-3/8", INCH * 11 // 8), (".5", INCH // 2), ("4-3-3/8", INCH * 411 // 8)])
def test_an_unsigned_height_is_asked_for(said, nm):
    with pytest.raises(Unsigned, match=r"high or low\?") as asked:
        parse_height(said, Unit.IN)
    assert asked.value.nm == nm
    assert str(asked.value).endswith(f"say {write(-nm, Unit.IN)} or {write(nm, Unit.IN)}")


@pytest.mark.parametrize(
    ("said", "unit", "nm"),
    [
        ("4' 3 3/8\"", Unit.IN, INCH * 411 // 8),
        ("4-3-3/8", Unit.FT, INCH * 411 // 8),
        ("4.28", Unit.FT, FOOT * 428 // 100),
        ("+4.28", Unit.FT, FOOT * 428 // 100),
        ("51-3/8", Unit.IN, INCH * 411 // 8),
        ("1304", Unit.MM, 1304 * MM),
        ("0", Unit.M, 0),
    ],
)
def test_a_rod_reading_needs_no_sign(said, unit, nm):
    assert parse_reading(said, unit) == parse_reading(said, unit, signed=True) == nm


def test_only_a_direct_reading_rod_reads_below_zero():
    assert parse_reading("-0.35", Unit.FT, signed=True) == -FOOT * 35 // 100
    with pytest.raises(LengthError, match=r'^"-" - a rod reading has no minus; say 4\.28$'):
        parse_reading("-0.35", Unit.FT)


@pytest.mark.parametrize("said", ["h 1.25", "1.25l", "g", "low 3"])
def test_a_rod_reading_is_neither_high_nor_low(said):
    with pytest.raises(LengthError, match="no high or low"):
        parse_reading(said, Unit.FT, signed=True)


@pytest.mark.parametrize(
    ("said", "nm"),
    [
        ("40ft", 40 * FOOT),
        ("40'", 40 * FOOT),
        ("12.5m", M * 25 // 2),
        ("12,5 m", M * 25 // 2),
        ("3/8in", INCH * 3 // 8),
        ("10mm", 10 * MM),
        ("0ft", 0),
        ("60' 6\"", FOOT * 121 // 2),
        ("60-6-0", FOOT * 121 // 2),
        ("3000 m", 3000 * M),
    ],
)
def test_a_size_carries_its_unit(said, nm):
    assert parse_length(said) == parse_length(said, Unit.CM) == nm


def test_a_size_of_three_digits_and_three_more_is_asked_about():
    """Up to 10 km, and a metre counts as metres or as a thousand of them."""
    with pytest.raises(LengthError, match=r"say 120\.500mm or 120500mm$"):
        parse_length("120,500mm")
    assert parse_length("0,500mm") == MM // 2
    assert parse_length("1234,567mm") == 1_234_567_000, "nobody marks thousands behind four digits"
    assert parse_length("10000m") == 10_000 * M
    with pytest.raises(LengthError, match=r"the limit is 10000\.00 m;"):
        parse_length("10000.001m")


@pytest.mark.parametrize("said", ["40", "0", "12.5", "3/8", "1-3/8", "1,250"])
def test_a_size_without_its_unit_is_refused(said):
    with pytest.raises(LengthError, match=rf'^"{said}" - which unit\?'):
        parse_length(said)


@pytest.mark.parametrize("said", ["-40ft", "l 40ft", "40ft high", "g"])
def test_a_size_is_never_negative(said):
    with pytest.raises(LengthError, match="neither high nor low"):
        parse_length(said)


KEYPAD = re.compile(r"[-+/.\d]+")


@given(
    sign=st.sampled_from("+-"),
    feet=st.integers(0, 99),
    inches=st.integers(0, 11),
    part=st.integers(0, 63).map(lambda parts: Fraction(parts, 64)),
    unit=units,
)
def test_the_numeric_keypad_alone_says_feet_and_inches_in_any_job(sign, feet, inches, part, unit):
    said = f"{sign}{feet}-{inches}-{part}"
    assert KEYPAD.fullmatch(said)
    assert parse_height(said, unit) == int(sign + "1") * (feet * FOOT + (inches + part) * INCH)


@given(unit=units, count=st.integers(-95, 95))
def test_the_numeric_keypad_alone_says_every_step(unit, count):
    said = write(count * unit.default_step, unit)
    assert KEYPAD.fullmatch(said)
    assert parse_height(said, unit) == count * unit.default_step


# -- what is refused ---------------------------------------------------------------------------------------

REFUSED = [
    # unit, said, the part that is named, and a word of why
    (Unit.IN, "", "", "nothing typed"),
    (Unit.IN, " \u00a0 ", "", "nothing typed"),
    (Unit.IN, "3/7", "3/7", "sevenths"),
    (Unit.MM, "3/7", "3/7", "sevenths"),
    (Unit.IN, "-⅓", "1/3", "thirds"),
    (Unit.IN, "-1⅕", "1/5", "fifths"),
    *(
        (Unit.IN, f"-1/{parts}", f"1/{parts}", f"marked in {words};")
        for parts, words in {3: "thirds", 5: "fifths", 6: "sixths", 7: "sevenths", 9: "ninths", 10: "tenths"}.items()
    ),
    (Unit.IN, "-1/12", "1/12", "marked in twelfths;"),
    (Unit.IN, "-1/13", "1/13", "such parts"),
    (Unit.IN, "-1/128", "1/128", "such parts"),
    (Unit.IN, "-1/0", "1/0", "such parts"),
    (Unit.IN, "9/8", "9/8", "less than one"),
    (Unit.IN, "-1-8/8", "8/8", "less than one"),
    (Unit.IN, "1..2", "1..2", "too many decimal points"),
    (Unit.M, "+1,234,567", "1,234,567", "too many decimal points"),
    (Unit.M, "+1,234.5", "1,234.5", "too many decimal points"),
    (Unit.M, "+5.", "5.", "after the point"),
    (Unit.M, "-.", ".", "after the point"),
    (Unit.MM, "+1,250", "1,250", r"say \+1\.250 or \+1250$"),
    (Unit.MM, "1,250 l", "1,250", r"say 1\.250 l or 1250 l$"),
    (Unit.MM, "+29,999", "29,999", r"say \+29\.999 or \+29999$"),
    (Unit.MM, "+30,480", "30,480", r"say \+30\.480 or \+30480$"),
    (Unit.IN, "+1,200", "1,200", r"say \+1\.200 or \+1200$"),
    (Unit.IN, "--3", "--", "too many signs"),
    (Unit.IN, "+-3", "+-", "too many signs"),
    (Unit.IN, "1+3/8", "1+3/8", "-1-3/8in"),
    (Unit.IN, "-3/8 -1/2", "8 -1/2", r"or two\?"),
    (Unit.FT, "4.28 4.30", "4.28-4.30", "feet and inches"),
    (Unit.IN, "4-3", "4-3", re.escape("say -4' 3\" or -4-3-0")),
    (Unit.FT, "-4 3", "4-3", re.escape("say -4' 3\" or -4-3-0")),
    (Unit.IN, "4-3-3", "4-3-3", "feet and inches"),
    (Unit.IN, "4' 14\"", "14", "less than 12"),
    (Unit.IN, "-4-12-3/8", "12-3/8", "less than 12"),
    (Unit.IN, "4' 12", "12", "less than 12"),
    (Unit.IN, "abcdefghijklmnopqrst", "abcdefghijklmnopqrst", "no word"),
    (Unit.IN, "abcdefghijklmnopqrstu", "abcdefghijklmnopqr..", "no word"),
    (Unit.IN, "-4.5' 3\"", "4.5", "whole number"),
    (Unit.IN, "-1.5-3/8", "1.5", "whole number"),
    (Unit.IN, "-4' 3mm", "mm", "only inches"),
    (Unit.IN, "-4-3-3/8ft", "ft", "only inches"),
    (Unit.IN, "-4-3/8-0", "4-3/8-0", "too many parts"),
    (Unit.IN, "-1/2/4", "1/2/4", "too many parts"),
    (Unit.IN, "-3/", "/", "nothing after"),
    (Unit.IN, "-", "-", "how much"),
    (Unit.IN, "h", "h", "how much"),
    (Unit.IN, "'", "'", "how much"),
    (Unit.IN, "-3/8h", "-3/8h", "only once"),
    (Unit.IN, "h3/8l", "h3/8l", "only once"),
    (Unit.IN, "h3/8h", "h3/8h", "only once"),
    (Unit.IN, "g 3/8", "g", "takes no number"),
    (Unit.IN, "3in 4mm", "3in4mm", "not understood"),
    *((unit, "-1-3/8", "1-3/8", r"which unit\? say -1-3/8in$") for unit in Unit if unit is not Unit.IN),
    (Unit.MM, "h 1/2", "1/2", r"which unit\? say h1/2in$"),
    (Unit.IN, "nan", "nan", "no word"),
    (Unit.IN, "-inf", "inf", "no word"),
    (Unit.IN, "infinity", "infinity", "no word"),
    (Unit.IN, "-1e3", "e", "no word"),
    (Unit.IN, "0x10", "x", "no word"),
    (Unit.IN, "3 yards", "yards", "no word"),
    (Unit.IN, "-1_000", "_", "no sign"),
    (Unit.IN, "-12%", "%", "no sign"),
    (Unit.IN, "-٣", "٣", "0 to 9"),  # Arabic-Indic
    (Unit.IN, "-１２", "１", "0 to 9"),  # full-width
    (Unit.IN, "-3²", "²", "0 to 9"),
    (Unit.IN, "-3\x1b[2J", "U+001B", "no sign"),
    (Unit.IN, "-3\n", "U+000A", "no sign"),
    (Unit.IN, "\x00", "U+0000", "no sign"),
    (Unit.IN, "-3\u202e", "U+202E", "no sign"),
    (Unit.IN, "-3\ud800", "U+D800", "no sign"),
    (Unit.FT, "-100.01", "-100.01", "the limit is 100 ft"),
    (Unit.IN, "+1200-1/64", "+1200-1/64", "the limit is 100 ft"),
    (Unit.M, "-30.481", "-30.481", r"the limit is 30\.48 m"),
    (Unit.MM, "-0.0000001", "0.0000001", "too fine"),
    (Unit.IN, "-0.00000001", "0.00000001", "too fine"),
    (Unit.MM, "1" * 41, "111111111111111111..", "the limit is 40"),
    (Unit.MM, "9" * 40, "99999999999999999999"[:18] + "..", "the limit is 30.48 m"),
]


@pytest.mark.parametrize(("unit", "said", "part", "why"), REFUSED)
def test_a_refusal_names_the_part_and_offers_what_would_do(unit, said, part, why):
    with pytest.raises(LengthError, match=why) as refused:
        parse_height(said, unit)
    message = str(refused.value)
    assert message.startswith(f'"{part}" - ' if part else why)
    assert_offers_what_would_do(message, unit)


def assert_offers_what_would_do(message: str, unit: Unit) -> None:
    """One line that fits, and each example in it would be taken, or only be asked HIGH or LOW."""
    assert len(message) <= 80
    assert message.isprintable()
    for offered in message.rpartition("say ")[2].split(" or "):
        try:
            parse_height(offered, unit)
        except Unsigned:
            assert offered[0] not in "+-"


@pytest.mark.parametrize("parse", [parse_height, parse_reading, parse_length])
def test_a_megabyte_is_refused_by_its_first_characters(parse):
    for flood in ("1" * 2**20, " " * 2**20, "½" * 2**20, "-" * 2**20):
        with pytest.raises(LengthError, match="the limit is 40 characters") as refused:
            parse(flood, Unit.IN)
        assert len(str(refused.value)) <= 80


def test_equal_to_the_limit_is_inside():
    assert parse_height("-100'", Unit.MM) == -HEIGHT_LIMIT
    assert parse_height("+1ft", Unit.MM, limit=FOOT) == FOOT
    with pytest.raises(LengthError, match="the limit is 1 ft"):
        parse_height("+1.0001ft", Unit.FT, limit=FOOT)


# -- what is written ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("nm", "unit", "written", "marked"),
    [
        (-INCH * 11 // 8, Unit.IN, "-1-3/8", '-1-3/8"'),
        (INCH * 3 // 8, Unit.IN, "+3/8", '+3/8"'),
        (-INCH // 64, Unit.IN, "-1/64", '-1/64"'),
        (11 * INCH, Unit.IN, "+11", '+11"'),
        (INCH * 411 // 8, Unit.IN, "+4'3-3/8", "+4' 3-3/8\""),
        (-4 * FOOT, Unit.IN, "-4'0", "-4' 0\""),
        (FOOT + INCH // 2, Unit.IN, "+1'0-1/2", "+1' 0-1/2\""),
        (INCH // 10, Unit.IN, "+0.1", '+0.1"'),
        (12 * MM, Unit.IN, "+12mm", "+12 mm"),
        (-FOOT // 25, Unit.FT, "-0.04", "-0.04 ft"),
        (FOOT // 2, Unit.FT, "+0.50", "+0.50 ft"),
        (FOOT // 10_000, Unit.FT, "+0.0001", "+0.0001 ft"),
        (INCH // 8, Unit.FT, "+3.175mm", "+3.175 mm"),
        (-12 * MM, Unit.MM, "-12", "-12 mm"),
        (-INCH * 3 // 8, Unit.MM, "-9.525", "-9.525 mm"),
        (12 * MM, Unit.CM, "+1.2", "+1.2 cm"),
        (12 * MM, Unit.M, "+0.012", "+0.012 m"),
        (1, Unit.M, "+0.000000001", "+0.000000001 m"),
        (0, Unit.IN, "0", '0"'),
        (0, Unit.FT, "0", "0 ft"),
    ],
)
def test_a_length_is_written_as_it_counts(nm, unit, written, marked):
    assert write(nm, unit) == written
    assert write(nm, unit, mark=True) == marked
    assert write(abs(nm), unit, sign=False) == written.lstrip("+-")


@pytest.mark.parametrize(
    ("nm", "unit", "step", "written"),
    [
        (Fraction(-INCH * 11, 24), Unit.IN, INCH // 8, "-1/2"),
        (-INCH * 7 // 16, Unit.IN, INCH // 8, "-1/2"),  # half-way between 3/8 and 4/8
        (-INCH * 5 // 16, Unit.IN, INCH // 8, "-1/4"),  # half-way between 2/8 and 3/8
        (FOOT * 7 // 200, Unit.FT, FOOT // 100, "+0.04"),
        (FOOT // 2, Unit.FT, FOOT // 10_000, "+0.5000"),
        (12_400_000, Unit.MM, MM, "+12"),
        (-12_400_000, Unit.MM, MM // 10, "-12.4"),
        (M * 5 // 4, Unit.M, M // 100, "+1.25"),
        (-1, Unit.IN, INCH // 8, "0"),
        (INCH // 3, Unit.FT, INCH // 8, "+9.525mm"),
    ],
)
def test_a_figure_is_written_at_the_step(nm, unit, step, written):
    assert write(nm, unit, step=step) == written


def test_a_height_in_words():
    assert in_words(-INCH * 11 // 8, Unit.IN) == "LOW 1-3/8"
    assert in_words(FOOT // 25, Unit.FT, mark=True) == "HIGH 0.04 ft"
    assert in_words(0, Unit.MM) == "ON GRADE"
    assert in_words(-MM // 2, Unit.MM, step=MM) == "ON GRADE"
    assert in_words(-MM // 2, Unit.MM) == "LOW 0.5"


def test_a_mean_of_whole_nanometres_is_written_to_the_nanometre():
    assert write(Fraction(7, 2), Unit.MM) == "+0.000004"
    assert write(Fraction(1, 3), Unit.MM) == "0"
    assert write(Fraction(10, 3), Unit.MM) == "+0.000003", "an odd one too"


ATT_70 = [
    ("5.6750", "0.01", "5.68"),
    ("5.6850", "0.01", "5.68"),
    ("5.6852", "0.01", "5.69"),
    ("5.765", "0.01", "5.76"),
    ("5.755", "0.01", "5.76"),
    ("50.5", "1", "50"),
    ("51.5", "1", "52"),
    ("2350.5", "1", "2350"),
    ("2351.5", "1", "2352"),
    ("13.25", "0.1", "13.2"),
    ("13.35", "0.1", "13.4"),
    ("97.65", "0.1", "97.6"),
]


@pytest.mark.parametrize(("value", "step", "rounded"), ATT_70)
def test_half_to_even(value, step, rounded):
    """Alberta Transportation ATT-70 (SEEN), its own numbers, read here as metres."""
    nm, step_nm = parse_length(value, Unit.M), parse_length(step, Unit.M)
    assert round_half_even(nm, step_nm) == parse_length(rounded, Unit.M)
    assert round_half_even(-nm, step_nm) == -parse_length(rounded, Unit.M)
    assert write(nm, Unit.M, step=step_nm, sign=False) == rounded


# -- that the two agree ------------------------------------------------------------------------------------


@given(nm=heights, unit=units, mark=st.booleans())
@example(nm=1, unit=Unit.IN, mark=False)
@example(nm=HEIGHT_LIMIT - 127, unit=Unit.IN, mark=True)
@example(nm=381, unit=Unit.FT, mark=False)
def test_every_nanometre_is_read_as_it_is_written(nm, unit, mark):
    assert parse_height(write(nm, unit, mark=mark), unit) == nm
    assert parse_height(in_words(nm, unit, mark=mark), unit) == nm
    assert parse_reading(write(nm, unit, sign=False, mark=mark), unit, signed=True) == nm
    assert parse_length(write(abs(nm), unit, sign=False, mark=True)) == abs(nm)


@given(nm=heights, unit=units, step=steps, mark=st.booleans())
def test_every_multiple_of_a_step_is_read_as_it_is_written(nm, unit, step, mark):
    multiple = nm // step * step
    if abs(multiple) <= HEIGHT_LIMIT:
        assert parse_height(write(multiple, unit, step=step, mark=mark), unit) == multiple
        assert parse_height(write(multiple, unit, mark=mark), unit) == multiple


@given(nm=heights, unit=units, step=st.none() | steps, mark=st.booleans())
def test_high_and_low_are_written_alike(nm, unit, step, mark):
    up, down = write(abs(nm), unit, step=step, mark=mark), write(-abs(nm), unit, step=step, mark=mark)
    assert down == (up.replace("+", "-"))
    assert write(abs(nm), unit, step=step, sign=False, mark=mark) == up.removeprefix("+")


@given(value=st.fractions(-HEIGHT_LIMIT, HEIGHT_LIMIT), step=steps)
def test_rounding_is_to_the_nearest_multiple(value, step):
    rounded = round_half_even(value, step)
    assert rounded % step == 0
    off = abs(rounded - value)
    assert off < Fraction(step, 2) or (off == Fraction(step, 2) and rounded // step % 2 == 0)


@given(whole=st.integers(0, 99), sixty_fourths=st.integers(1, 63), sign=st.sampled_from("+-"))
def test_fractions_of_an_inch_agree_with_fractions_and_pint(whole, sixty_fourths, sign):
    fraction = Fraction(sixty_fourths, 64)
    nm = parse_height(f"{sign}{whole}-{fraction}", Unit.IN)
    assert nm == (-1 if sign == "-" else 1) * (whole + fraction) * INCH
    registry = pint.get_application_registry()
    assert abs(nm) == pytest.approx(registry.Quantity(float(whole + fraction), "inch").to("nanometer").magnitude)


@given(value=st.decimals(0, 30, places=4, allow_nan=False), unit=units)
def test_decimals_agree_with_fractions(value, unit):
    assert parse_length(f"{value:f}", unit) == Fraction(value) * unit.nm
    assert parse_length(f"{value:f} {unit}") == Fraction(value) * unit.nm


LIKELY = st.text("0123456789-+/.,'\" hlgHLinftmc½⅜′″–−\u00a0", max_size=12)


def outcome(parse: Callable[[str, Unit], int], said: str, unit: Unit) -> int | LengthError:
    try:
        return parse(said, unit)
    except LengthError as refused:
        return refused


@given(said=LIKELY | st.text(max_size=45), unit=units)
@example(said="1,250", unit=Unit.MM)
@example(said="high +100,250 inches", unit=Unit.MM)
def test_any_text_is_a_height_or_a_refusal_that_helps(said, unit):
    height = outcome(parse_height, said, unit)
    if isinstance(height, int):
        assert parse_height(write(height, unit), unit) == height
        return
    assert_offers_what_would_do(str(height), unit)
    if isinstance(height, Unsigned):
        assert height.nm == parse_height(f"+{said}", unit) == -parse_height(f"-{said}", unit)


@given(said=LIKELY | st.text(max_size=45), unit=units, parse=st.sampled_from([parse_reading, parse_length]))
def test_any_text_is_a_reading_or_a_size_or_is_refused(said, unit, parse):
    length = outcome(parse, said, unit)
    if isinstance(length, int):
        assert parse(write(length, unit, sign=False), unit) == length >= 0
    else:
        assert re.fullmatch(r".+(; |\?\ )say .+", str(length))
