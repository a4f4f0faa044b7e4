"""What the entry line names: where a reading goes that is typed now. No widget in here.

The line names what is next up, or the spot that the crew moved to. A reading goes where the line named when its first
character was typed, and nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence

from rodcall.book.fold.page import Page
from rodcall.figures.next_up import Do, Next
from rodcall.frozen import Frozen


class Named(Frozen):
    """A spot, or a reference that needs a backsight or check shot."""

    do: Do
    spot: int | None = None
    reference: str | None = None
    left: int = 0
    """How many of its kind are left, this one included; 0 where that is of no use."""


class Naming:
    """Which spot or reference is named, through moves, readings and undo.

    Args:
        page: Of the book; asked again whenever something was written.
    """

    def __init__(self, page: Page) -> None:
        self._page = page
        self._chosen: Named | None = None
        self._go_on_at: int | None = None
        last = page.round.last
        if last is not None and page.is_open(last):
            self._chosen = Named(Do.SHOOT, last)
        self.after: int | None = last
        """The position from which the helper walks on."""

    def named(self, queue: Sequence[Next]) -> Named | None:
        """What is named now: what the crew chose, else the first that is up; None where that takes no reading."""
        if self._chosen is not None:
            return self._chosen
        first = queue[0]
        return Named(first.do, first.spot, first.reference, first.left) if first.takes_reading else None

    def choose(self, spot: int) -> None:
        """The crew moved to a spot."""
        self._chosen, self._go_on_at = Named(Do.SHOOT, spot), None

    def read_again(self, spot: int, go_on_at: int | None) -> None:
        """The crew wants to read a spot again; then the line goes on where it was."""
        keep = self._go_on_at if self._chosen is not None and self._chosen.do is Do.READ_AGAIN else go_on_at
        self._chosen, self._go_on_at = Named(Do.READ_AGAIN, spot), keep

    def give_up(self) -> bool:
        """Go back to what is next up; False where nothing was chosen."""
        was, self._chosen = self._chosen, None
        return was is not None

    def written_at(self, spot: int, *, undone: bool) -> None:
        """A spot was written to, or something there was struck: the line goes on from it."""
        again = self._chosen is not None and self._chosen.do is Do.READ_AGAIN and not undone
        go_on_at, self._go_on_at, self._chosen = self._go_on_at, None, None
        self.after = spot
        if undone and self._page.is_open(spot):
            self._chosen = Named(Do.SHOOT, spot)
        elif again and go_on_at is not None and self._page.is_open(go_on_at):
            self._chosen = Named(Do.SHOOT, go_on_at)

    def written_elsewhere(self) -> None:
        """A check, a set-up, a round, another walk: what is next up is asked anew."""
        self._chosen = self._go_on_at = None
        self.after = self._page.round.last
