"""Where some shots lie from a position."""

from __future__ import annotations

from rodcall.figures.ground.averages import Floats


class Places:
    """Where some shots lie, (places, 2): equal to others that lie alike, so that what was worked out serves again."""

    def __init__(self, offsets: Floats) -> None:
        self.offsets = offsets
        # Zero is added, since there are two.
        self._key = (offsets + 0.0).tobytes()

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Places) and self._key == other._key
