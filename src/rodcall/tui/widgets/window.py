"""Which lines of a long list, or of a big pad, are seen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rodcall.frozen import Frozen


class Window(Frozen):
    """The lines or columns that are seen: `count` of them from `first` on."""

    first: int
    count: int

    @classmethod
    def on(cls, wanted: Sequence[int], room: int, whole: int) -> Window:
        """As many as there is room for, those wanted in the middle."""
        count = max(min(room, whole), 1)
        middle = (min(wanted) + max(wanted) + 1) // 2 if wanted else 0
        return cls(min(max(middle - count // 2, 0), whole - count), count)

    def __iter__(self) -> Iterator[int]:
        return iter(range(self.first, self.first + self.count))
