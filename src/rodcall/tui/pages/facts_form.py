"""The form of a job that is begun: what each fact is, what is typed instead, and what that changes. No widget."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from rodcall.book.book import Book
from rodcall.book.model.facts import FACTS, FactError, parse_fact
from rodcall.book.model.job import Job
from rodcall.book.model.mended_job import mended
from rodcall.book.model.terms import parse_term
from rodcall.i18n import phrase, say
from rodcall.tui.pages.begin.form import Field, Form, Row
from rodcall.units import Unit
from rodcall.wording import words
from rodcall.wording.facts import changes, fact_words

if TYPE_CHECKING:
    from rodcall.book.model.grid import Grid

TOLERANCE, REASON = "tolerance", "reason"
LABELS = {
    "name": phrase("name"),
    "customer": phrase("customer"),
    "place": phrase("place"),
    "site": phrase("site"),
    "unit": phrase("heights in"),
    "size": phrase("size"),
    "count": phrase("spots"),
    "spacing-along": phrase("spacing along"),
    "spacing-across": phrase("spacing across"),
    "add-lines": phrase("lines added"),
    "add-columns": phrase("columns added"),
    "add-lines-near": phrase("added near"),
    "add-columns-left": phrase("added left"),
    "inset": phrase("inset"),
    "step": phrase("smallest mark"),
    TOLERANCE: phrase("tolerance"),
    "crew-tolerance": phrase("crew tolerance"),
    "rounding": phrase("rounding"),
    "drop": phrase("least drop"),
    "zero": phrase("zero at"),
    "slope-along": phrase("slope away"),
    "slope-across": phrase("slope across"),
    REASON: phrase("reason"),
}
"""In the order in which they are written: the unit before what is said in it, counts before distances."""
_TAPED = frozenset(
    {
        "size",
        "spacing-along",
        "spacing-across",
        "add-lines",
        "add-columns",
        "add-lines-near",
        "add-columns-left",
        "inset",
    }
)
_ON_THE_ROD = frozenset({"step", TOLERANCE, "crew-tolerance", "rounding", "drop"})
_WRITE = "write"


class FactsForm(Form):
    """One line for each fact; an empty one leaves the fact as it is.

    Args:
        book: Of the job; nothing is written into it here.
    """

    def __init__(self, book: Book) -> None:
        self.at = 0
        self._book = book
        self._fields = [Field(name, label) for name, label in LABELS.items()]
        write = phrase("WRITE THE CHANGES")
        self._fields.append(Field(_WRITE, "", phrase("Enter writes them, all or none"), write, (write,)))
        self._by_id = {field.id: field for field in self._fields}

    @property
    def is_sized(self) -> bool:
        """Never: each fact is a line of its own, and none fills in the others."""
        return False

    @property
    def unit(self) -> Unit:
        """The unit in which heights are said, with what is typed."""
        return Unit(self._tried()[0].heights)

    @property
    def grid(self) -> Grid | None:
        """The grid with what is typed."""
        return self._tried()[0].grid

    def follows(self, width: int) -> str:
        """Nothing: beside each line stands what it changes."""
        return ""

    def _spread(self, field: Field) -> None:
        """A size is one fact here."""

    @property
    def typed(self) -> list[tuple[str, str]]:
        """Name and value of each fact that is typed, with the customary unit behind bare numbers."""
        return [
            (field.id, with_units(self._book.job, field.id, field.text.strip()))
            for field in self._fields
            if field.text.strip() and field.id not in (REASON, _WRITE)
        ]

    @property
    def reason(self) -> str:
        """Why, for all of them."""
        return self._by_id[REASON].text.strip()

    def rows(self) -> list[Row]:
        """Each fact as it is, or what is typed, and beside it what that changes."""
        _, told, troubles = self._tried()
        now = {**fact_words(self._book.job), TOLERANCE: self._tolerance}
        return [
            Row(
                say(field.label),
                say(field.text) if field.choices else field.text or now.get(field.id, words.NOTHING),
                told.get(field.id, "") or self._hint(field),
                troubles.get(field.id, ""),
                not field.text,
            )
            for field in self._fields
        ]

    def check(self) -> None:
        """Raise where a line will not do; the form stands on it then."""
        _, _, troubles = self._tried()
        for at, field in enumerate(self._fields):
            if field.id in troubles:
                self.at = at
                raise ValueError(f"{say(field.label)}: {troubles[field.id]}")
        if not self.typed:
            raise ValueError(say("nothing changes"))

    def write(self, book: Book) -> Sequence[object]:
        """Write what is typed into a book; the changes.

        Raises:
            ValueError: when one cannot stand; a book that refused one is to be thrown away.
        """
        found: list[object] = []
        for name, said in self.typed:
            if name == TOLERANCE:
                found += book.set_tolerance(said, said, self.reason)
            else:
                found.append(book.mend(name, said, self.reason))
        return found

    @property
    def _tolerance(self) -> str:
        job, terms = self._book.job, self._book.page.terms
        high, low = (
            terms.limit(f"tolerance-{side}", agreed)
            for side, agreed in (("high", job.tolerance_high), ("low", job.tolerance_low))
        )
        told = [words.rod(job, nm) for nm in (high, low)]
        return told[0] if high == low else say("{high} high, {low} low", high=told[0], low=told[1])

    def _hint(self, field: Field) -> str:
        if field.id in FACTS:
            return say(FACTS[field.id].help)
        hints = {TOLERANCE: phrase("what the customer wants"), REASON: phrase("kept with each change")}
        return say(hints.get(field.id, field.hint))

    def _tried(self) -> tuple[Job, dict[str, str], dict[str, str]]:
        """The job with what is typed; by the field what it changes, and what is wrong; each on top of those before."""
        job, told, troubles = self._book.job, {}, {}
        for name, said in self.typed:
            try:
                if name == TOLERANCE:
                    parse_term("tolerance-high", said)
                    continue
                after = mended(job, name, parse_fact(name, said))
            except (FactError, ValueError) as error:
                troubles[name] = str(error)
                continue
            told[name] = "; ".join(changes(job, after)) or say("nothing changes")
            job = after
        return job, told, troubles


def with_units(job: Job, name: str, said: str) -> str:
    """What was keyed, with the customary unit behind each bare number: a numeric pad has no letters."""
    if name in _TAPED:
        unit = "ft" if words.is_imperial(job) else "m"
    elif name in _ON_THE_ROD:
        unit = str(Unit(job.heights))
    elif name in ("slope-along", "slope-across"):
        unit = "%"
    else:
        return said
    return re.sub(r"([0-9][0-9.,/]*)(?=\s*(?:$|[x×*;]|\s[0-9+-]))", rf"\1{unit}", said)
