"""What a proof is held against, as it was agreed and changed: targets, zeros, limits, facts, references."""

from __future__ import annotations

from rodcall.book.fold.page import Page
from rodcall.book.fold.round_page import Line
from rodcall.book.model.entries import Fact, Target, TermSet
from rodcall.frozen import Frozen

HISTORIES = (
    *("tolerance-high", "tolerance-low", "zone", "zone-high", "zone-low"),
    *("drift", "closure", "spacing", "check-hours", "agreed-by"),
)
"""Terms that a proof is held against: what was said of them is kept whole."""

FACT = "fact"
"""Before the name of a fact that was mended, among what was agreed."""


class Agreed(Frozen):
    """One thing that the proof is held against, as it was set: a target, a zero, a limit, or who agreed."""

    what: str
    """`target`, `zero`, `reference NAME`, `fact NAME`, or the name of a term."""
    number: int
    """Of its entry in the book."""
    tablet: str
    order: int
    seconds: float
    value: object
    """Comparable: nanometres of a limit; level, slopes and origin of a target; index and level of a zero; words."""
    said: str
    why: str
    time: str
    """As the file has it (ISO 8601), with the offset of the place."""


def agreed(page: Page) -> tuple[Agreed, ...]:
    """What was agreed and changed since the job was set up, oldest first; what was struck is not among it."""
    found: list[Agreed] = []

    def note(line: Line, what: str, value: object, said: str, why: str = "") -> None:
        entry = line.entry
        seconds, time = entry.time.timestamp(), entry.time.isoformat()
        found.append(Agreed(what, entry.number, entry.tablet, line.order, seconds, value, said, why, time))

    for line in page.targets:
        if isinstance(line.entry, Target):
            note(line, "target", _value(line), line.entry.said, line.entry.why)
    for line in page.zeros:
        note(line, "zero", _value(line), page.grid.name(line.index))
    for name in HISTORIES:
        for line in page.term_lines(name):
            if isinstance(line.entry, TermSet):
                note(line, name, line.entry.value, line.entry.said, line.entry.why)
    for line in page.facts:
        if isinstance(line.entry, Fact):
            note(line, f"{FACT} {line.entry.name}", line.entry.value, line.entry.said, line.entry.why)
    for name, lines in page.references_written.items():
        for line in lines if len(lines) > 1 else ():
            note(line, f"reference {name}", line.datum_nm, line.entry.said)
    return tuple(sorted(found, key=lambda each: each.order))


def _value(line: Line) -> object:
    """What two targets, or two zeros, are told apart by."""
    if isinstance(line.entry, Target):
        target = line.entry
        rises = target.slope_along, target.slope_across, target.shape, target.heights_nm
        return (line.datum_nm, *rises, line.index if any(rises) else -1)
    return line.index, line.datum_nm


def opened_with(page: Page, round_index: int) -> dict[str, object]:
    """The target and the zero that were in force when a round was opened, each as its `Agreed.value` would be."""
    named = zip(("target", "zero"), page.opened_with(round_index), strict=True)
    return {what: _value(line) for what, line in named if line is not None}
