"""Natural ground by chance: smooth surfaces with fine roughness, shot on a grid, with the statistics they came from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodcall.lengths import INCH

SHAPES = ((4, 3), (5, 4), (7, 5), (10, 8), (14, 10), (20, 10))
"""From 12 to 200 shots."""


@dataclass(frozen=True)
class Ground:
    """One pad: heights in nanometres on the reading step, (along, across), and where they lie."""

    heights: np.ndarray
    along_m: np.ndarray
    across_m: np.ndarray
    covariance: np.ndarray
    """The true one of the heights as read, m2: what nobody on the pad can know."""

    @property
    def walk(self) -> np.ndarray:
        """Flat indices in snake order."""
        order = np.arange(self.heights.size).reshape(self.heights.shape).copy()
        order[1::2] = order[1::2, ::-1]
        return order.ravel()


KERNELS = (
    lambda d: np.exp(-0.5 * d**2),
    lambda d: (1 + d * np.sqrt(3)) * np.exp(-d * np.sqrt(3)),
    lambda d: (1 + d * np.sqrt(5) + 5 / 3 * d**2) * np.exp(-d * np.sqrt(5)),
    lambda d: 1 / (1 + 0.5 * d**2),
)
"""Squared exponential, Matern 3/2 and 5/2, rational quadratic (Rasmussen and Williams 2006, ch. 4, MEMORY)."""


def ground(rng: np.random.Generator, step_nm: int, shape: tuple[int, int] | None = None) -> Ground:
    """A pad whose spread, smoothness, roughness, tilt and spacing are drawn anew: spread 1/2 to 2 in."""
    shape = shape or SHAPES[rng.integers(len(SHAPES))]
    spacing, stretch = rng.uniform(2, 6), rng.uniform(0.8, 1.25)
    along, across = np.arange(shape[0]) * spacing * stretch, np.arange(shape[1]) * spacing
    places = np.stack(np.meshgrid(along, across, indexing="ij"), -1).reshape(-1, 2)
    distance = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    reach = spacing * np.exp(rng.uniform(np.log(1.2), np.log(8)))
    smooth = KERNELS[rng.integers(len(KERNELS))](distance / reach)
    if rng.random() < 0.5:
        from_middle = places - places.mean(axis=0)
        plane = from_middle @ from_middle.T
        tilted = rng.uniform(0.1, 0.5)
        smooth = (1 - tilted) * smooth + tilted * plane * (len(plane) / np.trace(plane))
    spread, rough = rng.uniform(0.5, 2) * INCH * 1e-9, rng.uniform(0.05, 0.3)
    covariance = spread**2 * ((1 - rough**2) * smooth + rough**2 * np.eye(len(places)))
    heights = np.linalg.cholesky(covariance) @ rng.normal(size=len(places))
    read = np.rint(heights * 1e9 / step_nm).astype(np.int64).reshape(shape) * step_nm
    # Reading to the step adds an even error of its width: variance step2 / 12.
    return Ground(read, along, across, covariance + np.eye(len(places)) * (step_nm * 1e-9) ** 2 / 12)
