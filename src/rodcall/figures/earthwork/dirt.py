"""The pad's dirt and stone by the terms of the job: cut, fill, what is left over, loads, and what to order."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from rodcall.book.model.terms import Terms
from rodcall.figures.earthwork.stone import CRUSHED_BASE, SOILS, Layers, Soil, StoneOrder, loads, stone_order
from rodcall.figures.earthwork.volumes import Earth, Grade, Relief, Surface
from rodcall.figures.ground.averages import Floats, Mask
from rodcall.frozen import Frozen


def soil_of(terms: Terms, agreed_shrink: float) -> Soil:
    """The dirt by the terms: a shrink or swell that was said, else that of the kind that was said, else the job's.

    Args:
        terms: In force.
        agreed_shrink: The shrink agreed with the job.
    """
    kind = next(soil for soil in SOILS if soil.name == terms.word("soil"))
    shrink = kind.shrink if "soil" in terms.said else agreed_shrink
    shrink = terms.number("shrink") if "shrink" in terms.said else shrink
    loose = 1.0 + terms.number("swell") if "swell" in terms.said else kind.loose
    return Soil(kind.name, loose, 1.0 - shrink)


class Dirt(Frozen, eq=False):
    """What a target costs on a surface, by the terms in force. Volumes in m3, lengths in m."""

    surface: Surface
    grade: Grade
    """The target."""
    soil: Soil
    terms: Terms

    @cached_property
    def relief(self) -> Relief:
        """The surface above a plane of the target's slopes, ready to be asked about any offset."""
        return self.surface.over(self.grade)

    @cached_property
    def earth(self) -> Earth:
        """Cut and fill about the target, bank measure."""
        return self.relief.at(self.grade.offset)

    @cached_property
    def on_hand(self) -> float:
        """Fill that the pile on hand and the dirt hauled in make, as compacted."""
        return self.soil.compacted_from_loose(self.terms.number("on-hand") + self.terms.number("haul-in"))

    @property
    def spare(self) -> float:
        """Dirt left over (above 0) or short (below 0), as compacted: cut x (1 - shrink) + on hand - fill."""
        return self.spare_of(self.earth)

    def spare_of(self, earth: Earth) -> float:
        """The same for another offset of the target."""
        return earth.spare(self.soil.shrink, self.on_hand)

    def spare_loose(self, spare: float) -> float:
        """What is left over, or must come, loose as it is hauled: that is what trucks and buckets hold; above 0."""
        return self.soil.loose_from_compacted(abs(spare))

    def loads(self, spare: float) -> int:
        """Truck loads for it, the last may be part."""
        return loads(self.spare_loose(spare), self.terms.number("truck"))

    def bucketfuls(self, spare: float) -> int:
        """Buckets for it, the last may be part."""
        return loads(self.spare_loose(spare), self.terms.number("bucket"))

    @cached_property
    def balance(self) -> float:
        """The target's height at the zero at which spare is 0, slopes kept."""
        return self.relief.balance(self.soil.shrink, self.on_hand)

    def at_spots(self, keep_out: Mask) -> tuple[Floats, Floats]:
        """The cut and the fill shared out among the spots that are not kept out, (along, across); bank measure."""
        from rodcall.figures.earthwork.shares import dirt_at_spots

        return dirt_at_spots(self.surface, self.grade, keep_out)

    def at(self, offset: float) -> Dirt:
        """The same with the target at another height; what is common is not worked out again."""
        moved = replace(self, grade=replace(self.grade, offset=offset))
        moved.__dict__["relief"] = self.relief
        return moved

    @cached_property
    def least_squares(self) -> Grade:
        """The balanced plane that fits the ground best."""
        from rodcall.figures.ground.best_slopes import least_squares_grade

        zero = self.grade.zero_along, self.grade.zero_across
        return least_squares_grade(self.surface, self.soil.shrink, self.on_hand, zero=zero)

    @cached_property
    def least_earth(self) -> Grade:
        "Use the balanced plane with the least dirt moved."
        from rodcall.figures.ground.best_slopes import least_earth_grade

        zero = self.grade.zero_along, self.grade.zero_across
        return least_earth_grade(self.surface, self.soil.shrink, self.on_hand, zero=zero)

    # -- stone ----------------------------------------------------------------------------------------------

    @property
    def stone_thickness(self) -> int:
        """Compacted, nanometres; 0 where none is wanted."""
        return self.terms.length("stone")

    def layers(self, target_nm: int) -> Layers:
        """Finished grade over the target that is dug to, whole nanometres."""
        return Layers(target_nm + self.stone_thickness, self.stone_thickness)

    @cached_property
    def stone(self) -> StoneOrder | None:
        """Stone to order for the whole pad, or None where none is wanted."""
        if not self.stone_thickness:
            return None
        kind = replace(CRUSHED_BASE, compacted=self.terms.number("stone-density"))
        waste = self.terms.number("stone-waste")
        return stone_order(self.surface.area, self.stone_thickness * 1e-9, kind, waste)

    @property
    def stone_loads(self) -> int:
        """Truck loads of it."""
        return loads(self.stone.loose_m3, self.terms.number("truck")) if self.stone is not None else 0

    @property
    def lifts(self) -> int:
        """Layers in which the stone is compacted."""
        return self.layers(0).lifts(self.terms.length("lift")) if self.stone_thickness else 0
