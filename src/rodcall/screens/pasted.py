"""Several pasted lines, shown as readings for the next positions before they are taken."""

from __future__ import annotations

from dataclasses import dataclass

from rich.text import Text

from rodcall import words
from rodcall.book.book import Book
from rodcall.language import say
from rodcall.lengths import Unsigned, write
from rodcall.screens.lines import fitted


@dataclass(frozen=True)
class PastedLine:
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


@dataclass(frozen=True)
class Pasted:
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


def lay_out(book: Book, cursor: int, lines: list[str]) -> Pasted:
    """Give each line the next position in walking order that the round has nothing of, beginning at the cursor."""
    grid = book.job.grid
    free = iter([cursor, *(at for at in book.page.to_come(cursor).tolist() if at != cursor)])
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
