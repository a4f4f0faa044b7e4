"""Natural ground by chance: smooth surfaces with fine roughness, shot on a grid, with the statistics they came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from rodcall.units import INCH

SHAPES = ((4, 3), (5, 4), (7, 5), (10, 8), (14, 10), (20, 10))
"""From 12 to 200 shots."""


@dataclass(frozen=True)
class Ground:
    """One pad: heights in nanometres on the reading step, (along, across), and where they lie."""

    heights: np.ndarray
    along_m: np.ndarray
    across_m: np.ndarray
    covariance: np.ndarray | None
    """The true one of the heights as read, m2: what nobody on the pad can know; None where chance did not make all."""
    kind: str = "natural"
    """Of `KINDS` or `OTHER_KINDS`."""
    drawn: Mapping[str, float] = field(default_factory=dict)
    """What was drawn for a pad of that kind but where things lie on it, in inches and in spacings across: how high, how
    steep, how rough. Likewise known to nobody."""

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
    along, across, at = _places(rng, shape)
    # Reading to the step adds an even error of its width: variance step2 / 12.
    reading = np.eye(len(at)) * (step_nm * 1e-9) ** 2 / 12
    covariance = drawn_covariance(rng, at / across[1])
    heights = np.linalg.cholesky(covariance) @ rng.normal(size=len(at))
    return Ground(_read(heights, step_nm, (along.size, across.size)), along, across, covariance + reading)


def drawn_covariance(rng: np.random.Generator, places: np.ndarray) -> np.ndarray:
    """Statistics of a pad drawn anew: covariance of its heights, m2, at places in spacings across, (places, 2)."""
    reach = np.exp(rng.uniform(np.log(1.2), np.log(8)))
    smooth = KERNELS[rng.integers(len(KERNELS))](_distances(places) / reach)
    if rng.random() < 0.5:
        from_middle = places - places.mean(axis=0)
        plane = from_middle @ from_middle.T
        tilted = rng.uniform(0.1, 0.5)
        smooth = (1 - tilted) * smooth + tilted * plane * (len(plane) / np.trace(plane))
    spread, rough = rng.uniform(0.5, 2) * INCH * 1e-9, rng.uniform(0.05, 0.3)
    return spread**2 * ((1 - rough**2) * smooth + rough**2 * np.eye(len(places)))


OTHER_KINDS = ("spherical", "ridge and ruts", "edge of a fill")
KINDS = ("trend", "ridge", "waves", "steps", "two levels", "rough", "finished", "heavy tails")
"""What is shot on a pad from the first cut to the last pass; no member of the detector's bank made any of it."""
_KNOWN_AS = {"ridge": "ridge and ruts", "two levels": "edge of a fill"}


def other_ground(rng: np.random.Generator, step_nm: int, kind: str, shape: tuple[int, int] | None = None) -> Ground:
    """A pad of a kind that the detector's bank knows nothing of, drawn anew; `kind` of `OTHER_KINDS` or `KINDS`.

    The spherical variogram is the usual one of geostatistics (Cressie, Statistics for Spatial Data, 1993, MEMORY).
    """
    along, across, at = _places(rng, shape)
    spread, rough = rng.uniform(0.5, 2), rng.uniform(0.05, 0.3)
    inches, drawn = _inches(rng, _KNOWN_AS.get(kind, kind), at / across[1], across.size, spread, rough)
    heights = _read(inches * INCH * 1e-9, step_nm, (along.size, across.size))
    return Ground(heights, along, across, None, kind, {"spread": spread, "rough": spread * rough, **drawn})


def _inches(
    rng: np.random.Generator, kind: str, at: np.ndarray, columns: int, spread: float, rough: float
) -> tuple[np.ndarray, dict[str, float]]:
    """Heights of a kind of ground at places in spacings across, (places, 2), and what was drawn for it."""
    (away, aside), noise = at.T, rng.normal(size=len(at))
    drawn: dict[str, float] = {}
    match kind:
        case "spherical":
            near = np.minimum(_distances(at) / rng.uniform(3, 10), 1)
            covariance = 1 - 1.5 * near + 0.5 * near**3 + 1e-9 * np.eye(len(at))
            made = np.linalg.cholesky(covariance) @ rng.normal(size=len(at))
        case "ridge and ruts":
            crest, left = rng.uniform(0, aside.max()), rng.integers(0, columns - 1)
            drawn = {"wide": rng.uniform(1, 4), "rut": rng.uniform(0.5, 1.5)}
            made = 2 - np.abs(aside - crest) / drawn["wide"] - drawn["rut"] * np.isin(np.rint(aside), (left, left + 2))
        case "edge of a fill" | "steps":
            turned, lift = rng.uniform(0, np.pi), rng.uniform(1, 3)
            far = away * np.cos(turned) + aside * np.sin(turned)
            edges = 1 if kind == "edge of a fill" else int(rng.integers(2, 4))
            lines = np.quantile(far, rng.uniform(0.2, 0.8, edges))
            drawn = {"lift": lift, "edges": edges}
            made = lift * (far[:, None] > lines).sum(axis=1) + 0.1 * far
        case "heavy tails":
            # Most of it smooth, the roughness a Student t of 3: stones, clods, and a heel print now and then.
            made, noise = rng.uniform(-0.3, 0.3, 2) @ at.T, rng.standard_t(3, len(at))
            drawn = {"reach": np.exp(rng.uniform(np.log(2), np.log(8)))}
            near = KERNELS[0](_distances(at) / drawn["reach"])
            made = made + np.linalg.cholesky(near + 1e-6 * np.eye(len(at))) @ rng.normal(size=len(at))
        case "trend":
            return np.asarray(rng.uniform(-0.5, 0.5, 2) @ at.T + 0.15 * spread * noise), {"rough": 0.15 * spread}
        case "waves":
            way, lengths, phases = rng.uniform(0, 2 * np.pi, 4), rng.uniform(3, 12, 4), rng.uniform(0, 2 * np.pi, 4)
            swell = np.sin(at @ np.array([np.cos(way), np.sin(way)]) * 2 * np.pi / lengths + phases)
            made, rough = swell.sum(axis=1) / 2, 0.1
            drawn = {"rough": spread * rough, **{f"length {at}": length for at, length in enumerate(lengths)}}
        case "rough":
            made, rough = np.zeros(len(at)), 0.5
            drawn = {"rough": spread * rough}
        case "finished":
            return np.asarray(rng.uniform(-0.2, 0.2, 2) @ at.T + 0.06 * noise), {"rough": 0.06}
        case _:
            raise ValueError(kind)
    return np.asarray(spread * (made + rough * noise)), drawn


def _places(rng: np.random.Generator, shape: tuple[int, int] | None) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The two axes of a grid, and all its places, metres."""
    lines, columns = shape or SHAPES[rng.integers(len(SHAPES))]
    spacing, stretch = rng.uniform(2, 6), rng.uniform(0.8, 1.25)
    along, across = np.arange(lines) * spacing * stretch, np.arange(columns) * spacing
    return along, across, places(along, across)


def places(along_m: np.ndarray, across_m: np.ndarray) -> np.ndarray:
    """All places of a grid, (places, 2), line by line."""
    return np.stack(np.meshgrid(along_m, across_m, indexing="ij"), -1).reshape(-1, 2)


def _distances(places: np.ndarray) -> np.ndarray:
    return np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))


def _read(heights_m: np.ndarray, step_nm: int, shape: tuple[int, int]) -> np.ndarray:
    return np.rint(heights_m * 1e9 / step_nm).astype(np.int64).reshape(shape) * step_nm
