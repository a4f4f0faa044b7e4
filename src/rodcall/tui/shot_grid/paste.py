"""Several pasted lines, shown as readings for the next positions before they are taken."""

from __future__ import annotations

from rich.text import Text

from rodcall.book.book import Book
from rodcall.frozen import Frozen
from rodcall.i18n import say
from rodcall.tui.widgets.lines import fitted
from rodcall.units import Unsigned, write
from rodcall.wording import words


class PastedLine(Frozen):
    """One line and the position that it would be written at."""

    position: str
    said: str
    shown: str
    """How it would be read, or why it cannot be."""
    good: bool

    @property
    def words(self) -> str:
        """Position, what was pasted and what it means, as wide as the panel."""
        return f"{self.position:>4} {fitted(words.harmless(self.said), 8)} {'' if self.good else '! '}{self.shown}"


class Pasted(Frozen):
    """What a paste would write."""

    lines: tuple[PastedLine, ...]

    @property
    def refused(self) -> int:
        """How many lines cannot be taken."""
        return sum(not line.good for line in self.lines)

    def shown(self, height: int) -> list[Text]:
        """As many lines as fit, those that cannot be taken first."""
        worst_first = sorted(self.lines, key=lambda line: line.good)
        return [Text(line.words) for line in worst_first[: max(height - 8, 1)]]


def lay_out(book: Book, named: int | None, lines: list[str]) -> Pasted:
    """Give the first line the spot that is named, each other the next in walking order that the round has nothing of.

    Args:
        book: That the lines would be written into.
        named: Index of the spot that the entry line names; None where it names none.
        lines: One reading each.
    """
    grid = book.job.grid
    to_come = book.page.to_come(book.page.round.last if named is None else named).tolist()
    free = iter([*([] if named is None else [named]), *(at for at in to_come if at != named)])
    laid = []
    for said in lines:
        at = next(free, None)
        if at is None:
            laid.append(PastedLine("--", said, say("no spot left"), False))
            continue
        laid.append(_read(book, grid.name(at), said))
    return Pasted(tuple(laid))


def _read(book: Book, position: str, said: str) -> PastedLine:
    try:
        reading = book.page.readings.parse(said, book.job.heights)
    except Unsigned:
        return PastedLine(position, said, say("HIGH or LOW?"), False)
    except ValueError:
        return PastedLine(position, said, say("no reading"), False)
    return PastedLine(position, said, write(reading, book.job.heights), True)
