"""Shares, slopes, volumes and densities as they are said, against pint and hand-worked values."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.units import FOOT, LengthError, M, quantities
from rodcall.units.quantities import (
    CUBIC_UNITS,
    DENSITIES,
    QuantityError,
    parse_beam,
    parse_density,
    parse_share,
    parse_slope,
    parse_volume,
)

UNITS = pint.UnitRegistry()
AS_PINT_SAYS = {
    "yd3": "yard**3", "ft3": "foot**3", "m3": "meter**3",
    "t/m3": "metric_ton/meter**3", "kg/m3": "kg/meter**3", "ton/yd3": "short_ton/yard**3",
}  # fmt: skip
numbers = st.decimals(0, 9999, places=3).map(str)


@given(numbers, st.sampled_from(sorted(CUBIC_UNITS)), st.sampled_from(["", " "]))
def test_volumes_as_pint_has_them(number: str, unit: str, gap: str) -> None:
    expected = UNITS.Quantity(float(number), AS_PINT_SAYS[unit]).to("meter**3").magnitude
    assert parse_volume(f"{number}{gap}{unit}") == pytest.approx(expected, rel=1e-12)


@given(st.decimals(0, 800, places=3).map(str), st.sampled_from(sorted(DENSITIES)))
def test_densities_as_pint_has_them(number: str, unit: str) -> None:
    expected = UNITS.Quantity(float(number), AS_PINT_SAYS[unit]).to("kg/meter**3").magnitude
    assert parse_density(number + unit) == pytest.approx(expected, rel=1e-9)


def test_cubic_feet_to_cubic_yards() -> None:
    # Michigan DOT rounding guidance (SEEN): 1353.181 ft3 is 50.12 yd3.
    assert parse_volume("1353.181ft3") / parse_volume("1yd3") == pytest.approx(50.12, abs=5e-3)


def test_yard_and_ton_are_exact() -> None:
    # 24 FR 5348 (1959), second-hand.
    assert CUBIC_UNITS["yd3"] == pytest.approx(0.764554857984, rel=1e-15)
    assert DENSITIES["ton/yd3"] == pytest.approx(907.18474 / 0.764554857984, rel=1e-15)


@pytest.mark.parametrize(
    ("said", "volume"), [("12 m³", 12), ("0,8m3", 0.8), (".5 M3", 0.5), ("  2m3 ", 2), ("0yd3", 0)]
)
def test_volumes_as_they_are_typed(said: str, volume: float) -> None:
    assert parse_volume(said) == pytest.approx(volume)


@pytest.mark.parametrize("said", ["", "12", "m3", "-1m3", "1.2.3m3", "1e3m3", "nan m3", "١m3", "9" * 50, "9999999m3"])
def test_no_volume(said: str) -> None:
    with pytest.raises(QuantityError) as refusal:
        parse_volume(said)
    assert "\n" not in str(refusal.value)


@given(st.decimals(-100, 100, places=2))
def test_shares(percent) -> None:
    assert parse_share(f"{percent}%") == float(percent / 100)


@pytest.mark.parametrize("said", ["", "10", "%", "101%", "-101%", "ten%", "1/2%", "+-1%"])
def test_no_share(said: str) -> None:
    with pytest.raises(QuantityError):
        parse_share(said)


@pytest.mark.parametrize(
    ("said", "slope"),
    [
        ("1%", 0.01),
        ("-0.5 %", -0.005),
        ("1:50", 0.02),
        # A numeric pad has no colon.
        ("1/50", 0.02),
        ("-1/100", -0.01),
        ("-1 : 50", -0.02),
        # ADA Standards (2010) 403.3, cross slope (SEEN): 1:48 = 2.0833 % = 1/4 in per ft.
        ("1:48", 1 / 48),
        ("1/4in/ft", 1 / 48),
        ("1/4/ft", 1 / 48),
        ("20mm/m", 0.02),
        ("2cm/m", 0.02),
        # Total over the pad, here 10 ft. IRC R401.3 (SEEN): 6 in in 10 ft is 5 %.
        ("6in", 0.05),
        ("6in fall", -0.05),
        ("6in f", -0.05),
        ("-6in", -0.05),
        ("-6in fall", 0.05),
        ("+0.5ft", 0.05),
        ("2% fall", -0.02),
        ("1:50fall", -0.02),
        ("\u22121%", -0.01),
        ("0", 0.0),
        ("-0", 0.0),
        ("1:1", 1.0),
        ("1/20", 0.05),
    ],
)
def test_slopes_in_every_form(said: str, slope: float) -> None:
    assert parse_slope(said, 10 * FOOT) == pytest.approx(slope, abs=1e-12)


@given(st.integers(-1000, 1000), st.integers(2, 100))
def test_a_total_rise_is_over_the_whole_pad(rise_mm: int, span_m: int) -> None:
    assert parse_slope(f"{rise_mm}mm", span_m * M) == pytest.approx(rise_mm / 1000 / span_m)


@pytest.mark.parametrize("said", ["1", "steep", "1:0", "101%", "2:1", "11ft", "1in/yd", "1:0.5", "--1%", "1/4", "1/19"])
def test_no_slope(said: str) -> None:
    with pytest.raises((QuantityError, LengthError)) as refusal:
        parse_slope(said, 10 * FOOT)
    assert "\n" not in str(refusal.value)


def test_a_levels_specification() -> None:
    # COMPUTED, atan(1/16 in / 100 ft): 1/16 in at 100 ft is 10.743 seconds of arc.
    assert parse_beam("1/16in/100ft") == pytest.approx(1 / 16 / 1200)
    assert parse_beam("10.743s") == pytest.approx(1 / 16 / 1200, rel=1e-4)


def test_a_foot_and_a_short_ton_are_the_defined_ones() -> None:
    """24 FR 5348 (1959): 0.3048 m. A short ton is 2000 lb of 0.45359237 kg (the same notice), exactly."""
    assert quantities.FOOT_M == 0.3048
    assert pytest.approx(2000 * 0.45359237, rel=1e-15) == quantities.SHORT_TON_KG


def test_a_beam_off_by_1_in_100_is_the_worst_that_is_taken() -> None:
    assert quantities.parse_beam("1mm/100mm") == 0.01
    for said in ("1.001mm/100mm", "1m/1m", "3600s"):
        with pytest.raises(quantities.QuantityError, match="not a specification of a level"):
            quantities.parse_beam(said)


def test_a_million_is_the_most_and_forty_characters_the_longest() -> None:
    assert quantities.parse_volume("1000000m3") == 1e6
    with pytest.raises(quantities.QuantityError):
        quantities.parse_volume("1000001m3")
    assert quantities.parse_volume("9" + " " * 0 + ".".ljust(37, "0") + "m3") == 9.0
    with pytest.raises(quantities.QuantityError, match="too long"):
        quantities.parse_volume("9" + ".".ljust(38, "0") + "m3")


def test_nought_has_no_minus() -> None:
    for said in ("-0", "0 fall", "-0%", "0:0 fall"):
        try:
            slope = parse_slope(said, FOOT)
        except QuantityError:
            continue
        assert math.copysign(1.0, slope) == 1.0


def test_why_a_slope_is_none() -> None:
    with pytest.raises(QuantityError, match=r"^'1:0.5' is steeper than 1 in 1;"):
        parse_slope("1:0.5", FOOT)
    with pytest.raises(QuantityError, match=r"^'1:0' is not a slope;"):
        parse_slope("1:0", FOOT)


@pytest.mark.parametrize("said", ["good", "10", "1/16in", "1/16in/0ft", "1in/yd"])
def test_no_specification_of_a_level(said: str) -> None:
    with pytest.raises(QuantityError, match=f"^'{said}' is not understood; say 1/16in/100ft"):
        parse_beam(said)


def test_a_beam_may_be_straight() -> None:
    assert parse_beam("0in/100ft") == 0.0


@pytest.mark.parametrize(
    ("said", "quoted"),
    [("x" * 20, "x" * 20), ("x" * 21, "x" * 20 + ".."), ("1\x1b2\n3", "1·2·3")],
)
def test_what_was_said_is_quoted_short_and_harmless(said: str, quoted: str) -> None:
    with pytest.raises(QuantityError, match=f"^'{quoted}' is not understood; say 12yd3 or 9m3$"):
        parse_volume(said)
