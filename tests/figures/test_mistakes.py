"""All readings that one may have been meant for, worked by hand: each mistake backwards, with its share."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rodcall.book.model.entries import Readings
from rodcall.figures.outliers.mistakes import Mistake, Way, _with_slash, meant
from rodcall.units import CM, FOOT, INCH, MM, M, Unit

FT = FOOT // 100


def told(said: str, reading: int, way: Way) -> dict[int, tuple[str, float]]:
    return {each.reading_nm: (each.mistake.name, each.share) for each in meant(said, reading, way)}


def approx(expected: dict[float, tuple[str, float]], unit: int) -> dict[int, tuple[str, object]]:
    return {round(at * unit): (name, pytest.approx(share)) for at, (name, share) in expected.items()}


def test_a_height_in_inches():
    """-1-3/8: a foot or an inch either way, the other sign, 1.375 tenths as 1.65 in, a digit lost behind the 1."""
    lost = {-(10 + digit + 0.375): ("LOST", 0.02 / 30) for digit in range(10)}
    expected = lost | {
        -13.375: ("FOOT", 0.1 + 0.02 / 30),
        10.625: ("FOOT", 0.1),
        -2.375: ("INCH", 0.3),
        -0.375: ("INCH", 0.3),
        1.375: ("SIGN", 0.2),
        -1.625: ("TENTHS_FOR_INCHES", 0.03),
    }
    assert told("-1-3/8", -INCH * 11 // 8, Way(Unit.IN, INCH // 8)) == approx(expected, INCH)


def test_a_height_in_feet():
    """+0.15: swapped 0.51, heard fifty, ten times, in inches 1.5 = 0.125 ft, and a digit behind the nought."""
    lost = {digit + 0.15: ("LOST", 0.001) for digit in range(2, 10)}
    expected = lost | {
        1.15: ("FOOT", 0.101),
        -0.85: ("FOOT", 0.1),
        0.25: ("TENTH", 0.3),
        0.05: ("TENTH", 0.3),
        -0.15: ("SIGN", 0.2),
        0.12: ("INCHES_FOR_TENTHS", 0.03),
        1.5: ("TEN_TIMES", 0.01),
        0.51: ("SWAPPED", 0.1),
        0.50: ("TEENS", 0.03),
    }
    assert told("+0.15", 15 * FT, Way(Unit.FT, FT)) == approx(expected, FOOT)


def test_a_small_height_in_feet_may_be_inches_in_two_ways():
    """0.11 may be 1.1 in or 11 in; 2.12 ft was no 12 in, of which a foot has no hundred."""
    found = told("+0.11", 11 * FT, Way(Unit.FT, FT))
    assert {at for at, (name, _) in found.items() if name == "INCHES_FOR_TENTHS"} == {9 * FT, 92 * FT}
    found = told("+2.12", 212 * FT, Way(Unit.FT, FT))
    assert {at for at, (name, _) in found.items() if name == "INCHES_FOR_TENTHS"} == {210 * FT}


@pytest.mark.parametrize(
    ("inches", "meant_for"), [(9, {Fraction(54, 5)}), (10, {Fraction(6, 5)}), (11, {Fraction(33, 25)})]
)
def test_inches_may_be_tenths_or_from_ten_up_hundredths(inches, meant_for):
    found = told(f"-{inches}", -inches * INCH, Way(Unit.IN, INCH // 100))
    assert {Fraction(-at, INCH) for at, (name, _) in found.items() if name == "TENTHS_FOR_INCHES"} == meant_for


def test_a_rod_in_millimetres():
    """1304: no sign, a section of a metre beside the metre misread, three swaps of neighbours."""
    lost = {13040 + digit: ("LOST", 0.002) for digit in range(1, 10)}
    expected = lost | {
        304: ("METRE", 0.1),
        2304: ("METRE", 0.1),
        1204: ("DECIMETRE", 0.15),
        1404: ("DECIMETRE", 0.15),
        1294: ("CENTIMETRE", 0.125),
        1314: ("CENTIMETRE", 0.125),
        13040: ("TEN_TIMES", 0.012),
        3104: ("SWAPPED", 0.1 / 3),
        1034: ("SWAPPED", 0.1 / 3),
        1340: ("SWAPPED", 0.1 / 3),
    }
    way = Way(Unit.MM, MM, Readings.ROD, level_nm=1500 * MM)
    assert told("1304", 1304 * MM, way) == approx(expected, MM)


def test_below_nought_no_rod_reads_but_a_direct_one():
    plain = told("0.50", 50 * FT, Way(Unit.FT, FT, Readings.ROD))
    assert min(plain) >= 0
    assert "SIGN" not in {name for name, _ in plain.values()}
    direct = told("+0.50", 50 * FT, Way(Unit.FT, FT, Readings.DIRECT_ROD))
    assert direct[-50 * FT] == ("SIGN", pytest.approx(0.2 + 0.1)), "a foot more leads there too"
    assert direct[-350 * FT] == ("SECTION", pytest.approx(0.025)), "four feet of a rod"


@pytest.mark.parametrize(
    ("unit", "said", "reading", "meant_for"),
    [
        (Unit.FT, "4", 4 * FOOT, {4 * FT}),
        (Unit.FT, "+4", 4 * FOOT, {4 * FT}),
        (Unit.FT, "4.00", 4 * FOOT, set()),
        (Unit.FT, "", 4 * FOOT, {4 * FT}),
        (Unit.M, "-12", -12 * M, {-12 * MM}),
        (Unit.MM, "4", 4 * MM, set()),
        (Unit.CM, "4", 4 * CM, set()),
    ],
)
def test_a_whole_number_may_lack_its_point(unit, said, reading, meant_for):
    found = told(said, reading, Way(unit, unit.default_step))
    assert {at for at, (name, _) in found.items() if name == "LOST_POINT"} == meant_for


@pytest.mark.parametrize(
    ("digits", "meant_for"),
    [
        ("38", [Fraction(3, 8)]),
        ("12", [Fraction(1, 2)]),
        ("22", []),
        ("112", [Fraction(3, 2)]),
        ("316", [Fraction(3, 16)]),
        ("1316", [Fraction(13, 16), Fraction(19, 16)]),
        ("1016", [Fraction(10, 16)]),
        ("2764", [Fraction(27, 64), Fraction(2) + Fraction(7, 64)]),
        ("134", [Fraction(1) + Fraction(3, 4)]),
        ("5", []),
        ("2", []),
        ("132", [Fraction(1, 32)]),
        ("10132", [Fraction(10) + Fraction(1, 32)]),
    ],
)
def test_digits_may_be_a_fraction_without_its_slash(digits, meant_for):
    assert sorted(_with_slash(digits)) == sorted(int(each * INCH) for each in meant_for)


def test_a_lost_slash_keeps_its_sign_and_has_a_tenth_of_the_mistakes():
    found = told("-38", -38 * INCH, Way(Unit.IN, INCH // 8))
    assert found[-INCH * 3 // 8] == (Mistake.LOST_SLASH.name, pytest.approx(0.1))
    assert "LOST_SLASH" not in {name for name, _ in told("-3'2", -38 * INCH, Way(Unit.IN, INCH // 8)).values()}


@pytest.mark.parametrize(
    ("nm", "smaller", "greater"),
    # Ten times of what lay on a mark of 1 mm; beyond 100 ft no height lies.
    [(120, 12, 1200), (25, None, 250), (3048, None, 30480), (3049, None, None), (3050, 305, None)],
)
def test_ten_times_either_way(nm, smaller, greater):
    found = told(f"+{nm}", nm * MM, Way(Unit.MM, MM))
    named = {at // MM for at, (name, _) in found.items() if name == "TEN_TIMES"}
    assert named == {each for each in (smaller, greater) if each}


def test_what_is_read_and_how_high_it_is_belong_together():
    plain, direct = Way(Unit.FT, FT, Readings.ROD, 5 * FOOT), Way(Unit.FT, FT, Readings.DIRECT_ROD, 5 * FOOT)
    assert (plain.reading(3 * FOOT), plain.height(2 * FOOT)) == (2 * FOOT, 3 * FOOT)
    assert (direct.reading(3 * FOOT), direct.height(-2 * FOOT)) == (-2 * FOOT, 3 * FOOT)
    assert (plain.signed, direct.signed, Way(Unit.FT, FT).signed) == (False, True, True)
    assert (plain.text(2 * FOOT), Way(Unit.FT, FT).text(2 * FOOT)) == ("2.00", "+2.00")


def test_a_reading_is_whole_nanometres_and_without_a_level_the_height_itself():
    for way in (Way(Unit.FT, FT, Readings.DIRECT_ROD, 5 * FOOT), Way(Unit.FT, FT)):
        assert isinstance(way.reading(3 * FOOT), int)
        assert isinstance(way.height(3 * FOOT), int)
    assert Way(Unit.FT, FT).reading(3 * FOOT) == Way(Unit.FT, FT).height(3 * FOOT) == 3 * FOOT


def test_a_rod_may_read_nought():
    """1.00, misread by a foot."""
    assert told("1.00", FOOT, Way(Unit.FT, FT, Readings.ROD, 5 * FOOT))[0] == ("FOOT", pytest.approx(0.1))


def test_what_was_typed_is_looked_at_and_what_would_be_written_where_that_is_not_known():
    """4.2 lost a hundredth, 4.20 a thousandth, which is no mark; 38 in are written 3' 2."""
    feet = Way(Unit.FT, FT)
    for said, lost in (("+4.2", set(range(421, 430))), ("+4.20", set()), ("", set())):
        found = told(said, 420 * FT, feet)
        assert {at // FT for at, (name, _) in found.items() if name == "LOST"} & set(range(410, 430)) == lost
    assert told("", 15 * FT, feet)[51 * FT] == ("SWAPPED", pytest.approx(0.1))
    assert told("", -38 * INCH, Way(Unit.IN, INCH // 8))[-INCH * 3 // 8][0] == "LOST_SLASH"


def test_two_digits_that_are_the_same_were_not_swapped():
    """Of 122 the first two may have been, so that one swap has all of that mistake's share."""
    assert told("+122", 122 * MM, Way(Unit.MM, MM))[212 * MM] == ("SWAPPED", pytest.approx(0.1))


@pytest.mark.parametrize(
    ("step", "said", "meant_for"),
    [
        # 2 ft 11 in, and 2 ft 1.1 in: 2.917 and 2.092.
        (100, "+2.11", {292, 209}),
        # 11.9 in is 0.99167 ft, 1.19 in is 0.09917; of 12.0 in and more a foot has not that many.
        (1000, "+0.119", {992, 99}),
        (1000, "+0.120", {100}),
    ],
)
def test_the_part_below_a_foot_may_have_been_read_on_the_other_scale(step, said, meant_for):
    way = Way(Unit.FT, FOOT // step)
    found = told(said, way.readings.parse(said, Unit.FT), way)
    assert {at * step // FOOT for at, (name, _) in found.items() if name == "INCHES_FOR_TENTHS"} == meant_for


def test_the_feet_stay_where_tenths_were_read_for_inches():
    """1 ft 5 in was 1.5 ft: 18 in."""
    found = told("+1' 5", 17 * INCH, Way(Unit.IN, INCH // 8))
    assert {at / INCH for at, (name, _) in found.items() if name == "TENTHS_FOR_INCHES"} <= {18.0}
    assert found[18 * INCH] == ("INCH", pytest.approx(0.3 + 0.03))
