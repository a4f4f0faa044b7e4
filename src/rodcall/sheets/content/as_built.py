"""The as-built sheet as a stranger must understand it: what it says, in order, before it is drawn or written."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rodcall.book.fold.page import ZERO
from rodcall.figures.shots import indices
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, phrase, say
from rodcall.sheets.content.blocks import (
    Beside,
    Block,
    Facts,
    Headline,
    Picture,
    Plan,
    Remarks,
    Sheet,
    Signatures,
    Table,
)
from rodcall.sheets.content.history import agreed_and_changed, checks, read_more_than_once, time_words
from rodcall.sheets.content.marks import LEGEND, marks
from rodcall.sheets.content.record import Record
from rodcall.sheets.digest import grouped
from rodcall.sheets.exports.table import (
    dirt_facts,
    ground_facts,
    proof_facts,
    result_facts,
    rows,
    target_facts,
    target_words,
)
from rodcall.units import Unit, in_words, write
from rodcall.wording import words
from rodcall.wording.cautions import CAUTIONS, NO_SURVEY
from rodcall.wording.punch_list import reasons

METHOD = phrase(
    "Each position is held against its limits as it was read, by the absolute method of ASTM E29: any excess is"
    " outside, a reading equal to a limit is inside, nothing is rounded first."
)
SIGNS = phrase("Heights are told from the zero. Difference = height minus target: + is HIGH (cut), - is LOW (fill).")

_NOTED = (phrase("people"), phrase("weather"), phrase("instrument"))
"""Terms that the sheet shows as they were said."""


def as_built(summary: Summary, record: Record) -> Sheet:
    """All that the sheet says of one round of a job."""
    job = summary.job
    blocks: list[Block] = [
        Beside(_job_facts(summary, record), _agreed_facts(summary)),
        _headline(summary, record),
        Plan(
            say("Plan: differences from the target, {unit}", unit=_unit(summary)),
            summary,
            str(summary.terms.said.get("north", "")),
        ),
    ]
    if summary.dirt is not None:
        blocks.append(Picture(say("High and low between the shots"), summary))
    blocks += [
        Beside(
            Facts(say("Ground"), tuple(ground_facts(summary))),
            Facts(say("Target and result"), (*target_facts(summary), *result_facts(summary))),
        ),
        Beside(
            Facts(say("Cut, fill and stone"), tuple(dirt_facts(summary)) or (("", say("nothing is shot yet")),)),
            Facts(say("Proof"), tuple(_proof(summary))),
        ),
        _references(summary, record),
        _setups(summary, record),
        checks(summary, record),
        _tests(summary, record),
        agreed_and_changed(summary),
        _positions(summary),
        read_more_than_once(summary),
        *_budget(summary),
        *_moved(summary),
        _dropped(record),
        _notes(record),
        Remarks(say("How to read this sheet"), tuple(map(say, (NO_SURVEY, METHOD, SIGNS)))),
        Remarks(say("Cautions"), tuple(map(say, CAUTIONS[:-1]))),
        Signatures(say("Signed"), (say("for the contractor"), say("for the customer"), say("seen by"))),
        _digest(record),
    ]
    short = grouped(record.digest[:12])
    return Sheet(
        say("As-built check"),
        job.name,
        say("A contractor's record, no licensed survey.   Digest {digest}", digest=short),
        record.ended,
        tuple(blocks),
        f"{record.ended:%Y-%m-%d}",
    )


# -- who, what, when ----------------------------------------------------------------------------------------


def _job_facts(summary: Summary, record: Record) -> Facts:
    job, terms = summary.job, summary.terms
    told = (
        (say("place"), job.place),
        (say("customer"), job.customer),
        (say("shot", "from when to when"), _span(record)),
        (say("round"), f"{summary.round} ({say(summary.kind)})"),
        *((say(name), str(terms.said.get(name, ""))) for name in _NOTED),
        (say("last check"), _last_check(summary, record)),
    )
    return Facts(say("Job"), tuple((label, value or words.NOTHING) for label, value in told))


def _agreed_facts(summary: Summary) -> Facts:
    job, zero = summary.job, summary.grid.name(summary.zero)
    return Facts(
        say("Agreed"),
        (
            (say("target"), target_words(summary)),
            (say("allowed"), _allowed(summary)),
            (say("crew's goal"), say("{goal} high and low", goal=_size(summary, job.goal))),
            (say("agreed by"), str(summary.terms.said.get("agreed-by", "")) or words.NOTHING),
            (say("pad"), words.pad_words(job)),
            (say("positions"), words.grid_words(job)),
            (say("zero"), say("{zero}, height 0", zero=zero)),
            (say("reading step"), _size(summary, job.step)),
        ),
    )


def _headline(summary: Summary, record: Record) -> Headline:
    inside = say(
        "{inside} of {positions} positions inside the tolerance",
        inside=summary.within_tolerance,
        positions=summary.positions,
    )
    return Headline(say(summary.verdict), (inside, *reasons(summary, summary.punch_list)))


def _proof(summary: Summary) -> Iterator[tuple[str, str]]:
    """What the verdict rests on, uncertainty first."""
    if summary.guarded is not None:
        guarded = summary.guarded
        told = say(
            "{inside} proven inside, {outside} proven outside, {neither} neither (after JCGM 106)",
            inside=int(guarded.proven_in.sum()),
            outside=int(guarded.proven_out.sum()),
            neither=int(guarded.neither.sum()),
        )
        yield say("allowing for uncertainty"), told
    if not summary.uncertainty.tripod_known:
        yield say("plus/minus"), say("as from the pad's farthest corner: nobody noted where the level stood")
    if summary.as_built.drains is not None:
        yield say("drains"), say("yes") if summary.as_built.drains else say("no")
    if summary.stage is not None:
        yield say("shot on"), say(summary.stage)
    yield from proof_facts(summary)


def _last_check(summary: Summary, record: Record) -> str:
    if not record.checks:
        return say("none")
    check = record.checks[-1]
    drift = in_words(check.drift_nm, summary.job.heights, mark=True)
    time = time_words(check.time)
    return say("{reference} reads {drift} at {time}", reference=check.reference, drift=drift, time=time)


# -- references, setups, checks -----------------------------------------------------------------------------


def _references(summary: Summary, record: Record) -> Table:
    job = summary.job
    return Table(
        say("References"),
        (say("name"), say("height"), say("where"), say("description")),
        tuple(
            (
                reference.name,
                words.height(job, reference.height_nm, mark=True),
                say("on the pad, {position}", position=reference.position)
                if reference.position
                else say("outside of the pad"),
                reference.description or (say("the zero") if reference.name == ZERO else words.NOTHING),
            )
            for reference in record.references
        ),
        frozenset({0, 2, 3}),
    )


def _setups(summary: Summary, record: Record) -> Table:
    job = summary.job
    return Table(
        say("Setups of the level"),
        (say("time"), say("on"), say("backsight"), say("rod")),
        tuple(
            (
                time_words(setup.time),
                setup.reference,
                words.rod(job, setup.backsight_nm),
                say(words.WAY_WORDS[setup.readings]),
            )
            for setup in record.setups
        ),
        frozenset({0, 1, 3}),
        none=say("none: heights were said directly"),
    )


def _tests(summary: Summary, record: Record) -> Table:
    job = summary.job
    return Table(
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
        none=say("none written"),
    )


# -- positions ----------------------------------------------------------------------------------------------


def _positions(summary: Summary) -> Table:
    """Every position, in the order of the grid."""
    job = summary.job
    table = tuple(
        (
            row.name,
            words.height(job, row.height),
            words.rounded(job, row.target),
            words.difference(job, row.difference),
            _plus_minus(summary, row.uncertainty),
            f"{say(row.state)} {marks(summary, index)}".rstrip(),
        )
        for index, row in enumerate(rows(summary))
        if summary.pad[index]
    )
    places = np.cumsum(summary.pad) - 1
    return Table(
        say("All {positions} positions, {unit}", positions=summary.positions, unit=_unit(summary)),
        (say("position"), say("height"), say("target"), say("difference"), say("plus/minus"), say("state")),
        table,
        frozenset({0, 5}),
        in_strips=True,
        strong=frozenset(int(places[index]) for index in np.flatnonzero(summary.out_mask)),
        note=say(LEGEND),
    )


def _plus_minus(summary: Summary, nm: int | None) -> str:
    """How far a shot may be off, to the finest mark that means anything."""
    unit = summary.job.heights
    return words.NOTHING if nm is None else write(nm, unit, step=words.FINEST[unit], sign=False)


def _budget(summary: Summary) -> Iterator[Facts]:
    """What the plus/minus is made of, each part as one standard deviation, the largest of the shots that count."""
    if not summary.counted:
        return
    told, counts = summary.uncertainty, summary.counts
    scopes = {False: phrase("each shot its own"), True: phrase("shared by a set-up")}
    rows = [
        (
            say(part.name),
            f"{_decimal(summary, float(part.standard_nm[counts].max()))}, {say(scopes[part.shared])}; {part.source}",
        )
        for part in told.parts
    ]
    least, largest = (_decimal(summary, float(nm)) for nm in (told.nm[counts].min(), told.nm[counts].max()))
    how = phrase("{span}; twice the root of the sum of squares (k = 2, about 19 times in 20; JCGM 100)")
    span = largest if least == largest else say("{least} to {largest}", least=least, largest=largest)
    if told.repeatability.gross:
        left_out = counted(
            told.repeatability.gross,
            "{number} spot whose readings lie too far apart for scatter",
            "{number} spots whose readings lie too far apart for scatter",
        )
        rows.append((say("not pooled"), left_out))
    rows.append((say("plus/minus"), say(how, span=span)))
    if told.average_nm is not None:
        rows.append((say("plus/minus of the average"), _decimal(summary, told.average_nm)))
    yield Facts(say("Plus/minus: what it is made of (largest of the shots, one standard deviation)"), tuple(rows))


def _moved(summary: Summary) -> Iterator[Table]:
    """How much higher each position stands than in the round before, where there was one."""
    if summary.change is None:
        return
    job, by = summary.job, summary.change.by_nm
    yield Table(
        say("Moved since the round before, {unit}", unit=_unit(summary)),
        (say("position"), say("moved")),
        tuple((summary.grid.name(at), words.height(job, int(by[at]))) for at in indices(summary.change.both)),
        frozenset({0}),
        in_strips=True,
    )


def _dropped(record: Record) -> Table:
    return Table(
        say("Struck out and left out"),
        (say("entry"), say("time"), say("round"), say("what"), say("at"), say("said"), say("why")),
        tuple(
            (
                str(dropped.number),
                time_words(dropped.time),
                str(dropped.round or words.NOTHING),
                dropped.what,
                dropped.at,
                dropped.said,
                dropped.why or say("no reason given"),
            )
            for dropped in record.dropped
        ),
        frozenset({1, 3, 4, 5, 6}),
    )


def _notes(record: Record) -> Remarks:
    notes = tuple(f"{time_words(note.time)}  {note.text}" for note in record.remarks)
    return Remarks(say("Notes"), notes or (say("none"),))


def _digest(record: Record) -> Remarks:
    return Remarks(
        counted(record.entries, "Digest of the book ({number} entry)", "Digest of the book ({number} entries)"),
        (
            grouped(record.digest),
            say("rodcall verify DIGEST JOB.json says whether a book is the one that this sheet was made from."),
        ),
    )


# -- wording ------------------------------------------------------------------------------------------------


def _unit(summary: Summary) -> str:
    return words.unit_word(summary.job.heights)


def _size(summary: Summary, nm: int) -> str:
    return words.rod(summary.job, nm)


_PLACES = {Unit.IN: 3, Unit.FT: 4, Unit.MM: 2, Unit.CM: 3, Unit.M: 5}


def _decimal(summary: Summary, nm: float) -> str:
    """A standard deviation as a decimal number in any unit, so that a reader can square and add."""
    unit = summary.job.heights
    return f"{nm / unit.nm:.{_PLACES[unit]}f} {unit}"


def _allowed(summary: Summary) -> str:
    high, low = (_size(summary, nm) for nm in (summary.tolerance.high_nm, summary.tolerance.low_nm))
    return say("{high} high, {low} low", high=high, low=low)


def _span(record: Record) -> str:
    """From the first entry to the last; the day once where it is one."""
    if record.begun.date() == record.ended.date():
        return say("{begun} to {ended}", begun=f"{record.begun:%Y-%m-%d, %H:%M}", ended=f"{record.ended:%H:%M}")
    return say("{begun} to {ended}", begun=time_words(record.begun), ended=time_words(record.ended))
