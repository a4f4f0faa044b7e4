"""How the terms of a job are said: what is in force, where it comes from, and what a bare number means."""

from __future__ import annotations

from rodcall.book.fold.page import ALLOWED_DRIFT, Page
from rodcall.book.model.grid import moved
from rodcall.book.model.job import Job
from rodcall.book.model.restated import NOTHING_ADDED, OF_A1
from rodcall.book.model.terms import MARGINS, TERMS, Kind, Term, Value
from rodcall.figures.earthwork.dirt import soil_of
from rodcall.figures.inspection import SPACING
from rodcall.i18n import phrase, say
from rodcall.units import FOOT, INCH, Unit, write
from rodcall.units.quantities import CUBIC_UNITS, DENSITIES
from rodcall.wording import words

SOURCES = {
    "soil": phrase("US Army FM 5-434 (2000), table 1-1"),
    "swell": phrase("US Army FM 5-434 (2000), table 1-1"),
    "lift": phrase("Ohio DOT C&MS 304.04, no vibratory roller"),
    "stone-density": phrase("WSDOT Design Manual, crushed base"),
    "laser-spec": phrase("common practice, 1/16 in per 100 ft"),
}
"""Of the customary values that have one; the others are common practice."""

MORE = {
    "shrink": phrase("25%: the fill is 0.75 of the cut. For 25% more cut than fill, say 20%."),
    "lift": phrase("8 in under a 12-ton vibratory roller, 6 in under one of 10 to 12 tons, 4 in without."),
    "swell": phrase("25%: 1 in the bank makes 1.25 in the truck."),
    "soil": phrase("Sets shrink and swell too, unless you set them."),
    "diagonal-1": phrase("With diagonal-2, shows how far the pad is out of square."),
    "diagonal-2": phrase("With diagonal-1, shows how far the pad is out of square."),
    "lane": phrase("Each lane takes the whole columns of shots that fit, one at least."),
    **dict.fromkeys(MARGINS, phrase("Set one margin to have a footprint; the others are then 0 until you set them.")),
}
"""What is worth knowing of a term beyond its help."""

TOLERANCES = ("tolerance-high", "tolerance-low")
"""Terms that the job has a value for from its set-up."""

THIN = ("stone", "lift", "drift", "closure", "zone-high", "zone-low", *TOLERANCES)
"""Lengths that are no tape's: inches or millimetres."""


def value_words(page: Page, name: str) -> str:
    """A term's value in force: as it was said, else written in the job's units."""
    entry = page.terms_set.get(name)
    if entry is not None:
        # What was said of places is told from the A1 of now.
        said = words.harmless(str(entry.value) if name == "tripod" else entry.said)
        by = page.before_a1[0] - entry.before_a1[0], page.before_a1[1] - entry.before_a1[1]
        return said if name not in OF_A1 or by == NOTHING_ADDED else f"{said} {moved('A1', by)}"
    value = _unsaid(page, name)
    return words.NOTHING if value in (None, "") else _written(page.job, TERMS[name], value)


def origin_words(page: Page, name: str) -> str:
    """Where it comes from: `as said`, `customary (common practice)`, `agreed with the job`, `not set`."""
    if name in page.terms_set:
        return say("set in this job")
    soil_said = "soil" in page.terms_set
    if name in TOLERANCES or (name == "shrink" and not soil_said):
        return say("from job setup")
    if name in ("shrink", "swell") and soil_said:
        return say("of {soil} ({source})", soil=page.terms.word("soil"), source=say(SOURCES["soil"]))
    if _unsaid(page, name) in (None, ""):
        return say("not set")
    if name in MARGINS:
        return say("none, since another margin is set")
    return say("default ({source})", source=say(SOURCES.get(name, phrase("common practice"))))


def unit_of(job: Job, term: Term, said: str = "") -> str:
    """The unit that a bare number of a term is taken in.

    Args:
        job: Feet and yards, or metres.
        term: Which.
        said: The number; a fraction or a hyphen in it (`1/2`, `72-1-1/2`) means inches.
    """
    imperial = words.is_imperial(job)
    if term.kind is Kind.LENGTH:
        if not imperial:
            return "mm" if term.name in THIN else "m"
        return "in" if term.name in THIN or any(sign in said for sign in "-/") else "ft"
    return {
        Kind.VOLUME: "yd3" if imperial else "m3",
        Kind.SHARE: "%",
        Kind.DENSITY: "ton/yd3" if imperial else "t/m3",
        Kind.BEAM: "in/100ft" if imperial else "mm/30m",
    }.get(term.kind, "")


def with_unit(job: Job, term: Term, said: str) -> str:
    """What was keyed, with the customary unit behind a bare number: a numeric pad has no letters."""
    bare = said.strip()
    if term.kind is Kind.DEGREES:
        return bare
    is_number = any(char.isdigit() for char in bare) and all(char.isdigit() or char in "+-/., " for char in bare)
    return f"{bare}{unit_of(job, term, bare)}" if is_number else bare


def _unsaid(page: Page, name: str) -> Value | None:
    """The value of a term that nobody set."""
    soil = soil_of(page.terms, page.job.shrink)
    if name == "shrink":
        return soil.shrink
    if name == "swell":
        return soil.loose - 1.0
    known: dict[str, Value] = {
        "tolerance-high": page.job.tolerance_high,
        "tolerance-low": page.job.tolerance_low,
        "drift": ALLOWED_DRIFT[page.job.heights],
        "spacing": SPACING[page.job.heights],
    }
    if name in known:
        return known[name]
    return 0 if name in MARGINS and page.terms.footprint is not None else TERMS[name].default


def _written(job: Job, term: Term, value: Value) -> str:
    """A value that nobody said, so that saying it would mean the same."""
    if isinstance(value, str) or term.kind in (Kind.COUNT, Kind.DEGREES):
        return str(value)
    unit = unit_of(job, term)
    match term.kind:
        case Kind.LENGTH if term.name in THIN:
            return write(int(value), Unit.IN if unit == "in" else Unit.MM, sign=False, mark=True)
        case Kind.LENGTH:
            return words.tape(job, int(value))
        case Kind.SHARE:
            return f"{100 * value:.3g}%"
        case Kind.BEAM if unit == "in/100ft":
            return f"{write(round(value * 100 * FOOT), Unit.IN, step=INCH // 64, sign=False)}{unit}"
        case Kind.BEAM:
            return f"{value * 30_000:.2g}{unit}"
    return f"{value / (CUBIC_UNITS | DENSITIES)[unit]:.2f} {unit}"
