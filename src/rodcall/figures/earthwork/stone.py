"""Dirt and stone: bank, loose and compacted volumes, loads, and what to order.

Volumes in m3, areas m2, thicknesses m, masses kg; lengths that are set on a rod stay whole nanometres.
"""

from __future__ import annotations

import math

from rodcall.frozen import Frozen

CUBIC_YARD_M3 = 0.764554857984
SHORT_TON_KG = 907.18474
ROUNDING = 1e-9
"""Of a load: so little over a whole number of loads is a float's doing and needs no trip."""


class Soil(Frozen):
    """What 1 m3 of undisturbed dirt (bank) becomes."""

    name: str
    loose: float
    """m3 in the bucket or the truck."""
    compacted: float
    """m3 in the finished fill."""

    @property
    def shrink(self) -> float:
        """Fraction of cut lost when compacted: fill it makes = cut x (1 - shrink). Below 0 it swells.

        Others mean the cut needed beyond the fill: their 25 % makes 1 / (1 + 0.25) = 0.8 of fill from each unit of cut
        (FHWA Federal Lands, Project Development and Design Manual, chapter 9), which is 20 % here.
        """
        return 1.0 - self.compacted

    def loose_from_bank(self, bank: float) -> float:
        """Volume to carry away when this much is dug."""
        return bank * self.loose

    def loose_from_compacted(self, compacted: float) -> float:
        """Volume to haul in for this much finished fill."""
        return compacted * self.loose / self.compacted

    def compacted_from_loose(self, loose: float) -> float:
        """Finished fill that a pile makes."""
        return loose * self.compacted / self.loose


SOILS = (
    Soil("sand", 1.11, 0.95),
    Soil("loam", 1.25, 0.90),
    Soil("clay", 1.43, 0.90),
    Soil("rock", 1.50, 1.30),
)
"""US Army FM 5-434 (2000), table 1-1; loam is its common earth, rock is blasted."""


def loads(amount: float, holds: float) -> int:
    """Whole truck loads or bucketfuls for an amount, both loose volume or both mass; the last may be part.

    Raises:
        ValueError: when the truck or bucket holds nothing.
    """
    if not holds > 0.0:
        raise ValueError("a truck or a bucket must hold something")
    return math.ceil(amount / holds - ROUNDING)


class Stone(Frozen):
    """A kind of stone by its densities, kg per m3."""

    name: str
    loose: float
    compacted: float


CRUSHED_BASE = Stone("crushed base", 1.48 * SHORT_TON_KG / CUBIC_YARD_M3, 1.85 * SHORT_TON_KG / CUBIC_YARD_M3)
"""1.48 short tons per yd3 in the truck, 1.85 compacted (WSDOT Design Manual)."""


class StoneOrder(Frozen):
    """Stone for a pad."""

    in_place_m3: float
    """Compacted, waste not included."""
    mass_kg: float
    """To order, waste included."""
    loose_m3: float
    """The same in the truck."""

    @property
    def short_tons(self) -> float:
        """Mass to order in tons of 2000 lb."""
        return self.mass_kg / SHORT_TON_KG

    @property
    def tonnes(self) -> float:
        """Mass to order in tons of 1000 kg."""
        return self.mass_kg / 1000.0


def stone_order(area_m2: float, thickness_m: float, stone: Stone, waste: float = 0.0) -> StoneOrder:
    """Stone to order for a layer of a given compacted thickness.

    Args:
        area_m2: Area to cover.
        thickness_m: Compacted thickness.
        stone: Its densities.
        waste: Fraction ordered beyond what ends up in place.
    """
    in_place = area_m2 * thickness_m
    mass = in_place * stone.compacted * (1.0 + waste)
    return StoneOrder(in_place, mass, mass / stone.loose)


class Layers(Frozen):
    """A stone layer under the finished grade, in whole nanometres."""

    finished_nm: int
    stone_nm: int

    def lifts(self, most_nm: int) -> int:
        """How many lifts of at most this compacted thickness make the layer.

        Raises:
            ValueError: when a lift has no thickness.
        """
        if most_nm <= 0:
            raise ValueError("a lift needs a thickness above 0")
        return -(-self.stone_nm // most_nm)
