"""What a job was begun with and may be mended later: size, counts, distances, unit, names. Each by an entry of its own.

Lengths are whole nanometres, slopes m per m; a unit and names are words.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say
from rodcall.units import LengthError, Unit, parse_length
from rodcall.units.quantities import QuantityError, parse_slope

FactValue = int | float | str | tuple[int, ...]

MOST_DISTANCES = 9999
EVEN = "even"
TEXT_LIMIT = 200


class FactError(ValueError):
    """A fact that is not known, or cannot have this value; one line."""


class FactKind(Frozen):
    """One fact: how it is said."""

    name: str
    called: str
    """What people call it; a phrase, as the next."""
    help: str
    parse: Callable[[str], FactValue]
    example: str

    @property
    def line(self) -> str:
        """The line of `enter` that sets it, for example."""
        return f"fact {self.name.replace('-', ' ') if self.name in WORDS_APART else self.name} {self.example}"


def _two_lengths(said: str) -> FactValue:
    parts = re.split(r"\s*[x×*]\s*", said.strip().lower())
    if len(parts) != 2:
        raise FactError(say("two lengths, away from the near edge first: 60ft x 40ft"))
    unit = re.search(r"[^0-9.,/ ]+$", parts[1])
    if unit and re.fullmatch(r"[0-9]+(?:[.,][0-9]+)?", parts[0]):
        parts[0] += unit[0]
    return tuple(_some_length(part) for part in parts)


def _two_counts(said: str) -> FactValue:
    match = re.fullmatch(r"([0-9]{1,4})\s*[x×*]\s*([0-9]{1,4})", said.strip().lower(), re.ASCII)
    if match is None:
        raise FactError(say("two whole numbers, spots away from the near edge first: 5x6"))
    return int(match[1]), int(match[2])


def _distances(said: str) -> FactValue:
    if said.strip().lower() == EVEN:
        return ()
    return _some_distances(said)


def _some_distances(said: str) -> FactValue:
    words = re.split(r"[\s,;]+", said.strip())
    if not any(words) or len(words) > MOST_DISTANCES:
        raise FactError(say("distances with their units: 10ft 12ft 12ft"))
    return tuple(_some_length(word) for word in words)


def _some_length(said: str) -> int:
    length = _length(said)
    if length <= 0:
        raise FactError(say("{said} is not a length above 0", said=repr(said[:20])))
    return length


def _length(said: str) -> int:
    try:
        return parse_length(said)
    except LengthError as error:
        raise FactError(str(error)) from None


def _slope(said: str) -> FactValue:
    try:
        return parse_slope(said, 0)
    except (LengthError, QuantityError, ZeroDivisionError):
        raise FactError(say("a slope such as 1% or -0.5%; it rises away and to the right")) from None


def _unit(said: str) -> FactValue:
    word = said.strip().lower()
    if word not in list(Unit):
        raise FactError(say("{said} is not one of: {words}", said=repr(word[:20]), words=" ".join(Unit)))
    return word


def _position(said: str) -> FactValue:
    return said.strip().upper()


def _text(said: str) -> FactValue:
    return " ".join(said.split())[:TEXT_LIMIT]


FACTS: Mapping[str, FactKind] = {
    fact.name: fact
    for fact in (
        FactKind("name", phrase("name"), phrase("what the job is called"), _text, "Greenhouse pad"),
        FactKind("place", phrase("place"), phrase("where it is"), _text, "Juniper Hollow"),
        FactKind("customer", phrase("customer"), phrase("who the pad is for"), _text, "Orchard"),
        FactKind("site", phrase("site"), phrase("the site that it shares with other pads"), _text, "Juniper farm"),
        FactKind(
            "size",
            phrase("size of the pad"),
            phrase("the pad, away from the near edge first"),
            _two_lengths,
            "60ft x 40ft",
        ),
        FactKind("count", phrase("number of spots"), phrase("how many spots away and across"), _two_counts, "5x6"),
        FactKind(
            "spacing-along",
            phrase("distances from line to line"),
            phrase("distances from line to line, near line first; one for all; or even"),
            _distances,
            "10ft 12ft 12ft",
        ),
        FactKind(
            "spacing-across",
            phrase("distances from column to column"),
            phrase("distances from column to column, left column first; one for all; or even"),
            _distances,
            "10ft 10ft 8ft",
        ),
        FactKind(
            "add-lines",
            phrase("lines added"),
            phrase("lines added at the far end, each by its distance"),
            _some_distances,
            "12ft",
        ),
        FactKind(
            "add-columns",
            phrase("columns added"),
            phrase("columns added at the right, each by its distance"),
            _some_distances,
            "10ft",
        ),
        FactKind(
            "add-lines-near",
            phrase("lines added near"),
            phrase("lines added at the near edge, each by its distance, going out from it; A1 moves there"),
            _some_distances,
            "12ft",
        ),
        FactKind(
            "add-columns-left",
            phrase("columns added left"),
            phrase("columns added at the left, each by its distance, going out from it; A1 moves there"),
            _some_distances,
            "10ft",
        ),
        FactKind(
            "inset",
            phrase("distance from the edge"),
            phrase("from the pad's edge to the outermost spots"),
            _length,
            "2ft",
        ),
        FactKind("unit", phrase("unit of heights"), phrase("unit that heights are said in from here on"), _unit, "ft"),
        FactKind("step", phrase("reading step"), phrase("smallest mark read on the rod"), _some_length, "1/8in"),
        FactKind(
            "crew-tolerance", phrase("crew tolerance"), phrase("the crew's own, tighter tolerance"), _length, "1/2in"
        ),
        FactKind(
            "rounding", phrase("rounding of the target"), phrase("targets are rounded to this"), _some_length, "1/2in"
        ),
        FactKind(
            "drop",
            phrase("least drop"),
            phrase("the suggested target lies at least this far below the average"),
            _length,
            "1/8in",
        ),
        FactKind(
            "zero",
            phrase("zero from the start"),
            phrase("the spot that was called grade from the start"),
            _position,
            "B2",
        ),
        FactKind(
            "slope-along",
            phrase("slope away"),
            phrase("rise of the target going away, where none is chosen"),
            _slope,
            "1%",
        ),
        FactKind(
            "slope-across",
            phrase("slope across"),
            phrase("rise of the target going right, where none is chosen"),
            _slope,
            "-0.5%",
        ),
    )
}
"""All facts by name. The tolerance is a term (`tolerance-high`, `tolerance-low`): `fact tolerance` sets these."""

WORDS_APART = frozenset(name for name in FACTS if "-" in name)
"""Names that may be said with blanks: `fact spacing along`, `fact add lines near`."""
MOST_WORDS = 3


def fact_said(line: str) -> tuple[str, str]:
    """The name and the value of a fact in a line: `spacing along 10ft 12ft`, `size 60ft x 40ft`.

    Raises:
        FactError: when it names none.
    """
    for count in range(MOST_WORDS, 1, -1):
        words = line.split(maxsplit=count)
        name = "-".join(words[:count]).lower()
        if name in WORDS_APART:
            return name, words[count] if len(words) > count else ""
    name, _, value = line.strip().partition(" ")
    return name.lower(), value.strip()


def parse_fact(name: str, said: str) -> FactValue:
    """The value that was said for a fact.

    Raises:
        FactError: when there is no such fact, or it cannot have that value.
    """
    fact = FACTS.get(name)
    if fact is None:
        raise FactError(
            say("no fact is called {name}; known: {known}", name=repr(name[:20]), known=" ".join([*FACTS, "tolerance"]))
        )
    return fact.parse(said)
