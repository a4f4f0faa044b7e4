"""Cut and fill of the triangle surface by ways that share nothing with the program's: the tests' oracles."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from rodcall.figures.earthwork.volumes import Grade, Surface

Corner = tuple[Fraction, Fraction, Fraction]
"""Along, across, height above the target."""


def triangles(surface: Surface, grade: Grade) -> list[list[Corner]]:
    """Every triangle of the surface, heights above the target, in exact rationals of the floats given.

    Where all corners of a square are pad these are four about its middle; where three are, the one between them.
    """
    frac = Fraction
    along = [frac(v) for v in surface.along_m]
    across = [frac(v) for v in surface.across_m]
    heights = [[frac(h) for h in line] for line in surface.heights]
    pad = (np.ones(surface.heights.shape, bool) if surface.pad is None else surface.pad).tolist()
    inset = frac(surface.inset_m)
    if inset:
        pad = [[line[0], *line, line[-1]] for line in (pad[0], *pad, pad[-1])]
        along = [along[0] - inset, *along, along[-1] + inset]
        across = [across[0] - inset, *across, across[-1] + inset]
        heights = [[line[0], *line, line[-1]] for line in (heights[0], *heights, heights[-1])]
    zero_along, zero_across = frac(grade.zero_along), frac(grade.zero_across)

    def corner(i: int, j: int) -> Corner:
        plane = frac(grade.offset)
        plane += frac(grade.along) * (along[i] - zero_along) + frac(grade.across) * (across[j] - zero_across)
        return along[i], across[j], heights[i][j] - plane

    found = []
    for i in range(len(along) - 1):
        for j in range(len(across) - 1):
            places = [(i, j), (i, j + 1), (i + 1, j + 1), (i + 1, j)]
            ring = [corner(*at) for at in places if pad[at[0]][at[1]]]
            if len(ring) < 4:
                found += [ring] if len(ring) == 3 else []
                continue
            middle = tuple(sum(c[axis] for c in ring) / 4 for axis in range(3))
            found += [[middle, ring[k], ring[(k + 1) % 4]] for k in range(4)]
    return found


def exact_area(surface: Surface) -> Fraction:
    """Seen from above, of all triangles together."""
    flat = [[(*corner[:2], Fraction(1)) for corner in triangle] for triangle in triangles(surface, Grade(0.0))]
    return sum((_prisms(triangle) for triangle in flat), Fraction(0))


def exact_cut_and_fill(surface: Surface, grade: Grade) -> tuple[Fraction, Fraction]:
    """Each triangle clipped at the target, its parts cut into triangles, prisms summed: nothing rounded."""
    cut = fill = Fraction(0)
    for triangle in triangles(surface, grade):
        cut += _prisms(_clipped(triangle, 1))
        fill += _prisms(_clipped(triangle, -1))
    return cut, fill


def _clipped(triangle: list[Corner], side: int) -> list[Corner]:
    kept = []
    for here, there in zip(triangle, triangle[1:] + triangle[:1], strict=True):
        if side * here[2] >= 0:
            kept.append(here)
        if here[2] * there[2] < 0:
            share = here[2] / (here[2] - there[2])
            kept.append(tuple(a + share * (b - a) for a, b in zip(here, there, strict=True)))
    return kept


def _prisms(polygon: list[Corner]) -> Fraction:
    total = Fraction(0)
    for k in range(1, len(polygon) - 1):
        a, b, c = polygon[0], polygon[k], polygon[k + 1]
        twice_area = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])
        total += abs(twice_area * (a[2] + b[2] + c[2])) / 6
    return total


def divided_differences(surface: Surface, grade: Grade) -> tuple[float, float]:
    """Cut and fill by another theorem, quick enough to put under an optimizer.

    The integral of f over a triangle on which the height is linear is twice its area times the second divided
    difference at the corners of F, where F'' = f; here f = max(t, 0), F = max(t, 0)^3 / 6 (Hermite-Genocchi).
    Needs corners that differ.
    """
    nodes = np.pad(surface.heights, 1, mode="edge") if surface.inset_m else surface.heights
    along, across = surface.along_m, surface.across_m
    if surface.inset_m:
        along = np.r_[along[0] - surface.inset_m, along, along[-1] + surface.inset_m]
        across = np.r_[across[0] - surface.inset_m, across, across[-1] + surface.inset_m]
    z = nodes - grade.at(along[:, None], across[None, :])
    ring = [z[:-1, :-1], z[:-1, 1:], z[1:, 1:], z[1:, :-1]]
    middle = sum(ring) / 4
    twice_area = np.diff(along)[:, None] * np.diff(across)[None, :] / 2
    cut = fill = 0.0
    for k in range(4):
        a, b, c = middle, ring[k], ring[(k + 1) % 4]
        for sign in (1, -1):
            powers = [np.maximum(sign * v, 0) ** 3 / 6 for v in (a, b, c)]
            difference = (
                powers[0] / ((a - b) * (a - c)) + powers[1] / ((b - a) * (b - c)) + powers[2] / ((c - a) * (c - b))
            )
            volume = float((twice_area * difference).sum())
            cut, fill = (cut + volume, fill) if sign > 0 else (cut, fill + volume)
    return cut, fill
