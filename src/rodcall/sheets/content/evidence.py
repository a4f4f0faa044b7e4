"""What the certificate rests on: decision rule, plus/minus, instrument, references, size, earth, positions."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rodcall.book.fold.page import ZERO
from rodcall.figures.layout import Squareness, diagonal, squareness
from rodcall.figures.shots import indices
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, phrase, say
from rodcall.sheets.content.blocks import Facts, Remarks, Table
from rodcall.sheets.content.history import time_words
from rodcall.sheets.content.plan import legend, marks
from rodcall.sheets.content.record import Record
from rodcall.sheets.exports.table import datum_facts, rows
from rodcall.units import Unit, write
from rodcall.wording import proof as words_proof
from rodcall.wording import words
from rodcall.wording.zones import blocks

# -- the rule -----------------------------------------------------------------------------------------------


def decision_rule(summary: Summary) -> Remarks:
    """How a spot, and the pad, is judged, in words."""
    lines = [
        say(
            "Simple acceptance (JCGM 106, 8.2): a spot is within tolerance when its height as read lies within the"
            " limits. A reading equal to a limit is inside, and nothing is rounded first (absolute method of ASTM"
            " E29). The plus/minus is not taken off the limits."
        ),
        say(
            "A spot nearer to a limit than its plus/minus is too close to call, and marked so. The pad is not proven"
            " where more than one spot in ten may be expected out although read inside (JCGM 106, 9.3), or where the"
            " plus/minus is half the tolerance or more. The rule is stated as ISO/IEC 17025, 7.8.6 asks."
        ),
    ]
    if summary.guarded is not None and summary.counted:
        guarded = summary.guarded
        lines.append(
            say(
                "Allowing for the plus/minus: {inside} proven inside, {outside} proven outside, {neither} neither.",
                inside=int(guarded.proven_in.sum()),
                outside=int(guarded.proven_out.sum()),
                neither=int(guarded.neither.sum()),
            )
        )
    return Remarks(say("Decision rule"), tuple(lines))


# -- the plus/minus -----------------------------------------------------------------------------------------


def budget(summary: Summary) -> Iterator[Table]:
    """What the plus/minus is made of, each part as one standard deviation, the largest of the shots that count."""
    if not summary.counted:
        return
    told, counts = summary.uncertainty, summary.counts
    scopes = {False: phrase("each shot its own"), True: phrase("shared by a set-up")}
    parts = [
        (
            say(part.name),
            decimal(summary, float(part.standard_nm[counts].max())),
            say(scopes[part.shared]),
            str(part.source),
        )
        for part in told.parts
    ]
    least, largest = (decimal(summary, float(nm)) for nm in (told.nm[counts].min(), told.nm[counts].max()))
    span = largest if least == largest else say("{least} to {largest}", least=least, largest=largest)
    average = []
    if told.average_nm is not None:
        average.append((say("plus/minus of the average"), decimal(summary, told.average_nm), "k = 2", words.NOTHING))
    how = say("twice the root of the sum of squares (k = 2, about 19 times in 20; JCGM 100)")
    notes = []
    if told.repeatability.gross:
        notes.append(
            counted(
                told.repeatability.gross,
                "Not pooled: {number} spot whose readings lie too far apart for scatter.",
                "Not pooled: {number} spots whose readings lie too far apart for scatter.",
            )
        )
    if not told.tripod_known:
        notes.append(say("No position noted for the level: distances are from the pad's farthest corner."))
    yield Table(
        say("Plus/minus: what it is made of (largest of the shots, one standard deviation)"),
        (say("part"), say("std dev"), say("scope"), say("source")),
        (*parts, (say("plus/minus"), span, "k = 2", how), *average),
        frozenset({0, 2, 3}),
        strong=frozenset({len(parts)}),
        note=" ".join(notes),
    )


_PLACES = {Unit.IN: 3, Unit.FT: 4, Unit.MM: 2, Unit.CM: 3, Unit.M: 5}


def decimal(summary: Summary, nm: float) -> str:
    """A standard deviation as a decimal number in any unit, so that a reader can square and add."""
    unit = summary.job.heights
    return f"{nm / unit.nm:.{_PLACES[unit]}f} {unit}"


# -- the instrument -----------------------------------------------------------------------------------------


def instrument(summary: Summary) -> Facts:
    """The level as it was named, its specification, and whether somebody stated it; what it was read with."""
    said, spec = summary.terms.said, summary.terms.number("laser-spec")
    rise = say("{rise:.2f} mm in 10 m", rise=spec * 1e4)
    told = phrase("{rise}, given by the crew") if "laser-spec" in said else phrase("{rise}, not given: default")
    facts = [
        (say("instrument"), words.harmless(str(said.get("instrument", ""))) or say("not noted")),
        (say("specification"), say(told, rise=rise)),
        (say("reading step"), words.rod(summary.job, summary.job.step)),
    ]
    for name in ("people", "weather"):
        if said.get(name):
            facts.append((say(name), words.harmless(str(said[name]))))
    if "stage" in said and summary.stage is not None:
        facts.append((say("shot on"), say(summary.stage)))
    facts += [(say("laser check"), words_proof.laser_words(result)) for result in summary.laser_results]
    facts += [
        (say("machine"), f"{words.harmless(check.at)}: {words.height(summary.job, off, mark=True)}")
        for check, off in summary.evidence.machine_checks
    ]
    return Facts(say("Instrument"), tuple(facts))


def tests(summary: Summary, record: Record) -> Iterator[Table]:
    """The readings of each test of the level and the machine."""
    job = summary.job
    if not record.tests:
        return
    yield Table(
        say("Tests of the level and the machine"),
        (say("time"), say("test"), say("readings"), say("distances")),
        tuple(
            (
                time_words(test.time),
                test.what,
                "  ".join(words.height(job, nm) for nm in test.readings_nm),
                "  ".join(words.tape(job, nm) for nm in test.distances_nm),
            )
            for test in record.tests
        ),
        frozenset({0, 1, 2, 3}),
    )


# -- references, set-ups ------------------------------------------------------------------------------------


def references(summary: Summary, record: Record) -> Table:
    """Each reference with its height above the zero, and where it lies."""
    job, zero = summary.job, summary.datum.zero_nm
    return Table(
        say("References (heights from the zero {zero})", zero=summary.grid.name(summary.zero)),
        (
            *(say("name"), say("height")),
            *([] if zero is None else [say("elevation")]),
            *(say("where"), say("description")),
        ),
        tuple(
            (
                reference.name,
                words.height(job, reference.height_nm, mark=True),
                *([] if zero is None else [words.elevation(job, reference.height_nm + zero, mark=True)]),
                say("on the pad, {position}", position=reference.position)
                if reference.position
                else say("off the pad"),
                reference.description or (say("the zero") if reference.name == ZERO else words.NOTHING),
            )
            for reference in record.references
        ),
        frozenset({0, 2, 3} if zero is None else {0, 3, 4}),
    )


def datum(summary: Summary) -> Iterator[Facts]:
    """How the pad lies in the drawing's system; nothing where nobody said."""
    facts = tuple(datum_facts(summary))
    if facts:
        yield Facts(say("Datum"), facts)


def setups(summary: Summary, record: Record) -> Iterator[Table]:
    """Each set-up of the level with the shots of this round that hang on it; nothing where heights are called."""
    job, told = summary.job, summary.evidence
    if not record.setups:
        return

    def shots(order: int) -> str:
        mask = summary.counts & (told.setup == order)
        number = int(np.count_nonzero(mask))
        return f"{number}: {blocks(summary.grid, indices(mask))}" if number else "0"

    yield Table(
        say("Set-ups of the level"),
        (say("set-up"), say("time"), say("on"), say("backsight"), say("rod"), say("shots of this round")),
        tuple(
            (
                str(number),
                time_words(setup.time),
                setup.reference,
                words.rod(job, setup.backsight_nm),
                say(words.WAY_WORDS[setup.readings]),
                shots(standing.order),
            )
            for number, (setup, standing) in enumerate(zip(record.setups, told.setups, strict=True), 1)
        ),
        frozenset({0, 1, 2, 4, 5}),
        note="; ".join(words_proof.level_words(summary, run) for run in summary.level_runs),
    )


# -- size and earth -----------------------------------------------------------------------------------------


def size(summary: Summary) -> Iterator[Facts]:
    """Size and squareness as taped; nothing where nobody taped the diagonals."""
    job, terms = summary.job, summary.terms
    taped = [terms.length(name) for name in ("diagonal-1", "diagonal-2")]
    if not all(taped):
        return
    # As it was said, not to a coarser tape: `3/8` stays `3/8`.
    facts = [
        (say("sides, agreed"), words.pad_words(job)),
        (say("diagonals, as taped"), say(" and ").join(_length(summary, nm) for nm in taped)),
        (say("diagonals, square"), _length(summary, diagonal(job.length, job.width), rounded=True)),
    ]
    try:
        found = squareness(job.length, job.width, *taped)
    except ValueError as error:
        facts.append((say("squareness"), str(error)))
    else:
        facts.append((say("diagonals differ by"), _length(summary, abs(found.longer_by_nm))))
        facts.append((say("residual"), _residual(summary, found)))
    yield Facts(say("Size and squareness"), tuple(facts))


def _residual(summary: Summary, found: Squareness) -> str:
    """The least corrections that make sides and diagonals those of one shape, to the reading's own step."""
    return say(
        "length {length}, width {width}, diagonals {first} and {second}",
        **{
            name: write(nm, summary.job.heights, step=summary.job.step, mark=True)
            for name, nm in (
                ("length", found.length_nm),
                ("width", found.width_nm),
                ("first", found.first_nm),
                ("second", found.second_nm),
            )
        },
    )


def _length(summary: Summary, nm: int, *, rounded: bool = False) -> str:
    unit = Unit.IN if words.is_imperial(summary.job) else Unit.M
    return write(nm, unit, step=summary.job.step if rounded else None, sign=False, mark=True)


def earth(summary: Summary) -> Iterator[Facts]:
    """Earth moved and left; slopes and water."""
    dirt = summary.dirt
    facts = list(earth_facts(summary))
    if dirt is not None and summary.covered < 1:
        facts.append((say("shot coverage"), say("{share:.0%} of the pad", share=summary.covered)))
    facts += [(say("slope"), words_proof.slope_words(slope)) for slope in summary.as_built.slopes]
    facts += [(say("water"), words_proof.basin_words(summary, basin)) for basin in summary.as_built.basins]
    if facts:
        yield Facts(say("Earth and water"), tuple(facts))


def earth_facts(summary: Summary) -> Iterator[tuple[str, str]]:
    """Earth moved from the existing ground to this round, and what is left about the target."""
    job, moved, dirt = summary.job, summary.moved_since_first, summary.dirt
    if moved is not None:
        both = {"dug": words.volume(job, moved.cut), "filled": words.volume(job, moved.fill)}
        yield say("moved since the existing ground"), say("{dug} dug, {filled} filled", **both)
    if dirt is not None and summary.chosen is not None:
        both = {"above": words.volume(job, dirt.earth.cut), "below": words.volume(job, dirt.earth.fill)}
        yield say("left around the target"), say("{above} above it, {below} below it", **both)


# -- positions ----------------------------------------------------------------------------------------------


def positions(summary: Summary) -> Table:
    """Every position, in the order of the grid; what is the same for all stands under the table, in no column."""
    job, change = summary.job, summary.change
    told, used = list(rows(summary)), "".join(marks(summary, index) for index in indices(summary.counts))
    targets = summary.target_heights
    same = targets is not None and len(set(targets.tolist())) == 1
    orders = {each.order: str(at) for at, each in enumerate(summary.evidence.setups, 1)}
    setups = sorted({orders.get(int(order), words.NOTHING) for order in summary.evidence.setup[summary.counts]})
    columns = [
        (say("position"), [row.name for row in told]),
        (say("height"), [words.level(summary, row.height) for row in told]),
        (say("target"), [words.rounded_level(summary, row.target) for row in told]),
        (say("difference"), [words.difference(job, row.difference) for row in told]),
        ("±", [plus_minus(summary, row.uncertainty) for row in told]),
        (say("state"), [f"{say(row.state)} {marks(summary, at)}".rstrip() for at, row in enumerate(told)]),
        (say("set-up"), [orders.get(int(order), words.NOTHING) for order in summary.evidence.setup]),
    ]
    if change is not None:
        both = zip(change.by_nm.tolist(), change.both.tolist(), strict=True)
        columns.append((say("moved"), [words.height(job, by if known else None) for by, known in both]))
    notes = [legend(used)]
    if same and targets is not None:
        columns = [each for each in columns if each[0] != say("target")]
        notes.append(say("target {height} everywhere", height=words.rounded_level(summary, int(targets[0]), mark=True)))
    if len(setups) < 2:
        columns = [each for each in columns if each[0] != say("set-up")]
        notes += [say("all by set-up {setup}", setup=setup) for setup in setups if setup != words.NOTHING]
    notes += [say("moved: since the round before")] if change is not None else []
    heads = tuple(head for head, _ in columns)
    kept = indices(summary.pad)
    places = np.cumsum(summary.pad) - 1
    return Table(
        say("All {positions} positions, {unit}", positions=summary.positions, unit=words.unit_word(job.heights)),
        heads,
        tuple(tuple(values[index] for _, values in columns) for index in kept),
        frozenset({0, heads.index(say("state"))}),
        in_strips=True,
        strong=frozenset(int(places[index]) for index in np.flatnonzero(summary.out_mask)),
        note="; ".join(filter(None, notes)),
    )


def plus_minus(summary: Summary, nm: int | None) -> str:
    """How far a shot may be off, to the finest mark that means anything."""
    unit = summary.job.heights
    return words.NOTHING if nm is None else write(nm, unit, step=words.FINEST[unit], sign=False)
