"""Zeroing the machine: what to key in wherever it is zeroed, and what the dig will take away. Whole nanometres."""

from __future__ import annotations

from rodcall.frozen import Frozen


def offset_from(target_nm: int, zeroed_on_nm: int) -> int:
    """What to key into a machine that was zeroed on a point: the target at the zero above (+) or below (-) it.

    Args:
        target_nm: Height of the target at the zero.
        zeroed_on_nm: Height of the point the machine was zeroed on.
    """
    return target_nm - zeroed_on_nm


class Undermined(Frozen):
    """A point that heights hang on, and that the dig will not leave as it is."""

    name: str
    index: int
    deviation_nm: int
    """Above 0 it will be dug away, below 0 buried."""


def undermined(points: dict[str, int], deviations: dict[int, int], allowed_nm: int) -> tuple[Undermined, ...]:
    """The zero or a reference on the pad that the chosen target digs away or buries.

    Args:
        points: Position index by name.
        deviations: Height minus target at those positions that are known.
        allowed_nm: A change so small leaves the point as it is.
    """
    return tuple(
        Undermined(name, index, deviations[index])
        for name, index in points.items()
        if index in deviations and abs(deviations[index]) > allowed_nm
    )
