"""Prints what hauling by zones costs beside the least haul of the single spots, on pads of 20 x 30 spots.

    python -m tests.benchmarks.zone_haul

`at best`: all that is kept is how much each zone gives to each other (12 zones at most); which spots of a zone give and
take is free, and a general solver (HiGHS) finds the least haul of that. `anyhow`: the same amounts, each spot of a zone
giving to each of the other in proportion, as by somebody who looks at nothing but the two areas.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_array, vstack

from tests.figures.dug_pads import planned

GROUND = {"balanced": 0.5, "short of cut": 0.3, "over": 0.7}


def hauls(seed: int, shape: tuple[int, int] = (30, 20), share: float = 0.5) -> tuple[int, float, float, float]:
    """Zones, the least haul spot by spot, the least that keeps the amounts from zone to zone, and anyhow; m3 x m."""
    plan, ordered, (along, across) = planned(seed, shape, share=share)
    rows, columns = np.divmod(np.arange(along.size * across.size), across.size)
    places = np.column_stack((along[rows], across[columns]))
    zone_of = {(zone.is_cut, spot): at for at, zone in enumerate(ordered.zones) for spot in zone.spots}
    pairs: dict[tuple[int, int], float] = {}
    gives, takes = np.zeros(len(places)), np.zeros(len(places))
    for load in plan.loads:
        ends = zone_of[True, load.source], zone_of[False, load.sink]
        pairs[ends] = pairs.get(ends, 0.0) + load.bank_m3
        gives[load.source] += load.bank_m3
        takes[load.sink] += load.bank_m3
    best = _least(places, gives, takes, pairs, zone_of)
    anyhow = 0.0
    for (one, other), volume in pairs.items():
        sources, sinks = (np.array(ordered.zones[at].spots) for at in (one, other))
        weight = np.outer(gives[sources], takes[sinks])
        apart = np.hypot(*(places[sources][:, None] - places[sinks][None]).transpose(2, 0, 1))
        anyhow += volume * float((weight * apart).sum() / weight.sum())
    return len(ordered.zones), plan.total_haul, best, anyhow


def _least(
    places: np.ndarray,
    gives: np.ndarray,
    takes: np.ndarray,
    pairs: dict[tuple[int, int], float],
    zone_of: dict[tuple[bool, int], int],
) -> float:
    """The least haul by a general solver, the amounts from zone to zone kept."""
    sources, sinks = np.flatnonzero(gives > 0), np.flatnonzero(takes > 0)
    number = {ends: at for at, ends in enumerate(pairs)}
    ends = [
        (i, j, number[zone_of[True, source], zone_of[False, sink]])
        for i, source in enumerate(sources.tolist())
        for j, sink in enumerate(sinks.tolist())
        if (zone_of[True, source], zone_of[False, sink]) in number
    ]
    i, j, pair = np.array(ends).T
    one, at = np.ones(i.size), np.arange(i.size)
    kept = [
        coo_array((one, (index, at)), shape=(size, i.size))
        for index, size in ((i, sources.size), (j, sinks.size), (pair, len(pairs)))
    ]
    apart = np.hypot(*(places[sources[i]] - places[sinks[j]]).T)
    limits = np.concatenate((gives[sources], takes[sinks], list(pairs.values())))
    # The sums agree only as far as floats go: a hair of room on either side.
    room = 1e-9 * limits.sum()
    rows = vstack(kept)
    found = linprog(
        apart, A_ub=vstack((rows, -rows)), b_ub=np.concatenate((limits + room, room - limits)), method="highs"
    )
    return float(found.fun)


def main() -> None:
    print("ground         seed  zones   least m3 m   by zones at best     anyhow")
    for name, share in GROUND.items():
        for seed in range(4):
            zones, least, best, anyhow = hauls(seed, share=share)
            print(f"{name:13}{seed:6}{zones:7}{least:13.1f}{abs(best / least - 1):18.3%}{anyhow / least - 1:11.1%}")


if __name__ == "__main__":
    main()
