"""Pads of broad waves with their plan of least haul and its zones, for tests and benchmarks of the order of work."""

from __future__ import annotations

import numpy as np

from rodcall.figures.earthwork.dig import Exit, Machine, plan_dig
from rodcall.figures.earthwork.zones import zones

FT = 0.3048


def pad(seed: int, shape: tuple[int, int], swing: float, share: float = 0.5):
    """Ground of a few broad waves and some roughness about a target; cut and fill in m3 a spot of 10 x 10 ft."""
    random = np.random.default_rng(seed)
    along, across = np.arange(shape[0]) * 10 * FT, np.arange(shape[1]) * 10 * FT
    y, x = np.meshgrid(np.arange(shape[0]) / shape[0], np.arange(shape[1]) / shape[1], indexing="ij")
    ground = sum(
        random.normal() * np.cos(2 * np.pi * (random.integers(0, 3) * y + random.integers(0, 3) * x + random.random()))
        for _ in range(4)
    )
    ground = swing * (ground + 0.2 * random.normal(size=shape))
    off = ground - np.quantile(ground, share)
    area = (10 * FT) ** 2
    return along, across, np.maximum(off, 0) * area, np.maximum(-off, 0) * area, area


def planned(
    seed: int, shape=(30, 20), swing=0.1, share=0.5, leave_by=Exit.NEAR_LEFT, leave=None, halves=False, first=None
):
    along, across, cut, fill, area = pad(seed, shape, swing, share)
    machine = Machine(20 * FT, 0.4)
    plan = plan_dig(cut, fill, along, across, machine, shrink=0.1, swell=0.25, leave_by=leave_by, leave=leave)
    areas = np.full(cut.size, area)
    return plan, zones(plan, along, across, areas, leave_by, in_halves=halves, first=first), (along, across)
