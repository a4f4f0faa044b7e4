"""Several pads on one site: the dirt that one has over goes where another is short, with the least haul."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rodcall.figures.earthwork.haul import least_haul
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen

GRAIN_M3 = 0.001
"""Volumes are matched in whole litres, distances in whole millimetres."""


class PadDirt(Frozen):
    """One pad of a site."""

    name: str
    spare_m3: float | None
    """Dirt over (above 0) or short, as compacted; None where nothing is shot or no target is in force."""
    middle_m: tuple[float, float] | None
    """North and east of its middle; None where nobody said where A1 lies."""


class Transfer(Frozen):
    """Dirt from one pad to another."""

    source: int
    """Index of the pad."""
    sink: int
    volume_m3: float
    """As compacted."""
    distance_m: float | None
    """From middle to middle; None where it is not known."""


class SiteBalance(Frozen):
    """The pads of a site together."""

    transfers: tuple[Transfer, ...]
    left_m3: float
    """Over (above 0) or short on the whole site, as compacted."""


def pad_dirt(name: str, summary: Summary) -> PadDirt:
    """A pad as the site's balance takes it."""
    middle = None
    if summary.datum.has_coordinates:
        half = [np.array([float(side[-1]) / 2]) for side in (summary.along_m, summary.across_m)]
        north, east = summary.datum.coordinates(half[0], half[1])
        middle = float(north[0]), float(east[0])
    return PadDirt(name, summary.dirt.spare if summary.dirt is not None else None, middle)


def balance(pads: Sequence[PadDirt]) -> SiteBalance:
    """Match what is over with what is short, at the least sum of volume x distance.

    Where a pad's place is not known, all distances count alike.
    """
    litres = [round((pad.spare_m3 or 0.0) / GRAIN_M3) for pad in pads]
    over = [at for at, volume in enumerate(litres) if volume > 0]
    short = [at for at, volume in enumerate(litres) if volume < 0]
    left = sum(litres) * GRAIN_M3
    if not over or not short:
        return SiteBalance((), left)
    places = [pad.middle_m for pad in pads]
    known = all(places[at] is not None for at in (*over, *short))
    distance = np.array([[_apart(places[one], places[other]) if known else 0 for other in short] for one in over])
    found = least_haul(
        np.array([litres[at] for at in over]), np.array([-litres[at] for at in short]), distance.astype(np.int64)
    )
    transfers = tuple(
        Transfer(
            over[source],
            short[sink],
            volume * GRAIN_M3,
            float(distance[source, sink]) / 1000 if known else None,
        )
        for source, sink, volume in zip(found.source.tolist(), found.sink.tolist(), found.volume.tolist(), strict=True)
    )
    return SiteBalance(transfers, left)


def _apart(one: tuple[float, float] | None, other: tuple[float, float] | None) -> int:
    """Whole millimetres."""
    assert one is not None
    assert other is not None
    return round(1000 * float(np.hypot(one[0] - other[0], one[1] - other[1])))
