"""Soil, stone, lifts and loads against army and highway manuals, each named beside its check."""

import pytest

from rodcall.figures.earthwork.stone import (
    CRUSHED_BASE,
    CUBIC_YARD_M3,
    SHORT_TON_KG,
    SOILS,
    Layers,
    Soil,
    Stone,
    loads,
    stone_order,
)

FOOT = 0.3048
YARD = 0.9144
INCH = 0.0254
INCH_NM = 25_400_000
POUND = 0.45359237


def test_units_are_the_exact_ones():
    # 24 FR 5348 (1959), second-hand.
    assert pytest.approx(YARD**3, rel=1e-15) == CUBIC_YARD_M3
    assert pytest.approx(2000 * POUND, rel=1e-15) == SHORT_TON_KG


@pytest.mark.parametrize(
    ("name", "loose", "compacted", "loose_to_compacted"),
    [
        # US Army FM 5-434 (2000) table 1-1, MEMORY.
        ("sand", 1.11, 0.95, 0.86),
        ("loam", 1.25, 0.90, 0.72),
        ("clay", 1.43, 0.90, 0.63),
        ("rock", 1.50, 1.30, 0.87),
    ],
)
def test_soil_table(name, loose, compacted, loose_to_compacted):
    soil = next(soil for soil in SOILS if soil.name == name)
    assert soil.loose_from_bank(10.0) == pytest.approx(10 * loose)
    assert soil.shrink == pytest.approx(1 - compacted)
    assert soil.compacted_from_loose(1.0) == pytest.approx(loose_to_compacted, abs=0.005)
    assert soil.loose_from_compacted(soil.compacted_from_loose(7.0)) == pytest.approx(7.0)


def test_rock_swells_even_when_compacted():
    # US Army FM 5-434 (2000) table 1-1: blasted rock, bank to compacted 1.30, MEMORY.
    assert SOILS[-1].shrink == pytest.approx(-0.30)


def test_crushed_base_for_a_pad():
    # Densities of the WSDOT Design Manual, second-hand; volume and mass COMPUTED.
    order = stone_order(30 * FOOT * 40 * FOOT, 4 * INCH, CRUSHED_BASE)
    assert order.in_place_m3 / CUBIC_YARD_M3 == pytest.approx(14.8148, abs=5e-5)
    assert order.short_tons == pytest.approx(27.407, abs=5e-4)
    assert order.tonnes == pytest.approx(27.407 * 0.90718474, abs=5e-4)
    assert order.loose_m3 / CUBIC_YARD_M3 * 1.48 == pytest.approx(27.407, abs=5e-4)


def test_waste_is_ordered_but_does_not_thicken_the_layer():
    bare, with_waste = (stone_order(100.0, 0.1, CRUSHED_BASE, waste) for waste in (0.0, 0.08))
    assert with_waste.in_place_m3 == bare.in_place_m3
    assert with_waste.mass_kg == pytest.approx(1.08 * bare.mass_kg)
    assert with_waste.loose_m3 == pytest.approx(1.08 * bare.loose_m3)


def test_cubic_feet_to_yards():
    # Michigan DOT rounding guidance, SEEN: 1353.181 ft3 -> 50.12 yd3.
    assert pytest.approx(50.12, abs=0.005) == 1353.181 * FOOT**3 / CUBIC_YARD_M3


def test_pounds_per_square_yard_and_inch():
    # Michigan DOT, SEEN: 308 yd2 x 110 lb/yd2-in x 1.5 in = 25.41 tons.
    density = 110 * POUND / (YARD**2 * INCH)
    order = stone_order(308 * YARD**2, 1.5 * INCH, Stone("paving", density, density))
    assert order.short_tons == pytest.approx(25.41, abs=1e-9)


@pytest.mark.parametrize("inches", [8, 6, 4])
def test_lifts(inches):
    """Ohio DOT C&MS 304.04 (SEEN): 8 in under a 12-ton vibratory roller, 6 in under 10 to 12 tons, 4 in without."""
    most = inches * INCH_NM
    assert Layers(0, 2 * most).lifts(most) == 2
    assert Layers(0, 2 * most + 1).lifts(most) == 3
    assert Layers(0, most - 1).lifts(most) == 1
    assert Layers(0, 0).lifts(most) == 0


def test_loads_are_whole():
    assert loads(0.0, 5.0) == 0
    assert loads(0.1 + 0.2, 0.1) == 3
    assert loads(0.31, 0.1) == 4


def test_bucketfuls_carry_loose_dirt():
    # Bank x swell / bucket; the factor from US Army FM 5-434 (2000) table 1-1, MEMORY.
    clay = Soil("clay", 1.43, 0.90)
    assert loads(clay.loose_from_bank(2.0), 0.25) == 12  # 2.86 m3 loose, 11.44 bucketfuls


@pytest.mark.parametrize("holds", [0.0, -1.0, float("nan")])
def test_a_bucket_holds_something(holds):
    with pytest.raises(ValueError, match="hold"):
        loads(1.0, holds)


def test_a_lift_is_thicker_than_nothing():
    with pytest.raises(ValueError, match="thickness"):
        Layers(0, INCH_NM).lifts(0)
