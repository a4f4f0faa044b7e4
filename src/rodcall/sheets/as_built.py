"""The as-built sheet as a stranger must understand it: what it says, in order, before it is drawn or written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from rodcall import words
from rodcall.book.page import ZERO
from rodcall.cautions import CAUTIONS, NO_SURVEY
from rodcall.figures.checks import state
from rodcall.figures.measured import indices
from rodcall.figures.summary import Summary
from rodcall.language import say
from rodcall.lengths import in_words, write
from rodcall.sheets.blocks import Beside, Block, Facts, Headline, Picture, Plan, Remarks, Sheet, Signatures, Table
from rodcall.sheets.digest import grouped
from rodcall.sheets.marks import LEGEND, marks
from rodcall.sheets.record import Record
from rodcall.sheets.table import dirt_facts, ground_facts, proof_facts, result_facts, rows, target_facts

METHOD = (
    "Each position is held against its limits as it was read, by the absolute method of ASTM E29: any excess is"
    " outside, a reading equal to a limit is inside, nothing is rounded first."
)
MOST_PLACES = 12
"""Broken seals that are named one by one."""
SIGNS = "Heights are told from the zero. Difference = height minus target: + is HIGH (cut), - is LOW (fill)."


def as_built(summary: Summary, record: Record) -> Sheet:
    """All that the sheet says of one round of a job."""
    job = summary.job
    blocks: list[Block] = [
        Beside(_job_facts(summary, record), _agreed_facts(summary)),
        _headline(summary, record),
        Plan(f"Plan: differences from the target, {_unit(summary)}", summary, str(summary.terms.said.get("north", ""))),
    ]
    if summary.dirt is not None:
        blocks.append(Picture("High and low between the shots", summary))
    blocks += [
        Beside(
            Facts("Ground", tuple(ground_facts(summary))),
            Facts("Target and result", (*target_facts(summary), *result_facts(summary))),
        ),
        Beside(
            Facts("Cut, fill and stone", tuple(dirt_facts(summary)) or (("", "nothing is shot yet"),)),
            Facts("Proof", tuple(_proof(summary))),
        ),
        _references(summary, record),
        _setups(summary, record),
        _checks(summary, record),
        _tests(summary, record),
        _positions(summary),
        *_moved(summary),
        _dropped(record),
        _notes(record),
        Remarks("How to read this sheet", (NO_SURVEY, METHOD, SIGNS)),
        Remarks("Cautions", CAUTIONS[:-1]),
        Signatures("Signed", ("for the contractor", "for the customer", "seen by")),
        _digest(record),
    ]
    short = grouped(record.digest[:12])
    return Sheet(
        "As-built check",
        job.name,
        f"A contractor's record, no licensed survey.   Digest {short}",
        record.ended,
        tuple(blocks),
        f"{record.ended:%Y-%m-%d}",
    )


# -- who, what, when ----------------------------------------------------------------------------------------


def _job_facts(summary: Summary, record: Record) -> Facts:
    job, terms = summary.job, summary.terms
    told = (
        ("place", job.place),
        ("customer", job.customer),
        ("shot", _span(record)),
        ("round", f"{summary.round} ({summary.kind})"),
        *((name, str(terms.said.get(name, ""))) for name in ("people", "weather", "instrument")),
        ("last check", _last_check(summary, record)),
    )
    return Facts("Job", tuple((label, value or words.NOTHING) for label, value in told))


def _agreed_facts(summary: Summary) -> Facts:
    job, grid, zero = summary.job, summary.grid, summary.grid.name(summary.zero)
    target = next((value for label, value in target_facts(summary) if label == "target"), words.NOTHING)
    inset = f", {words.tape(job, job.inset)} in from the edge" if job.inset else ""
    return Facts(
        "Agreed",
        (
            ("target", target),
            ("allowed", f"{_size(summary, job.tolerance_high)} high, {_size(summary, job.tolerance_low)} low"),
            ("crew's goal", f"{_size(summary, job.goal)} high and low"),
            ("agreed by", str(summary.terms.said.get("agreed-by", "")) or words.NOTHING),
            ("pad", f"{words.tape(job, job.length)} away x {words.tape(job, job.width)} across"),
            ("positions", f"{grid.along} away x {grid.across} across{inset}"),
            ("zero", f"{zero}, height 0"),
            ("reading step", _size(summary, job.step)),
        ),
    )


def _headline(summary: Summary, record: Record) -> Headline:
    finding = summary.finding
    inside = f"{summary.within_tolerance} of {summary.grid.size} positions inside the tolerance"
    return Headline(str(finding.verdict), (inside, *finding.reasons, *_edited(record)))


def _edited(record: Record) -> Iterator[str]:
    """What the seals say, where one is broken."""
    places = [str(place) for place in record.broken_seals]
    if places:
        more = f" and {len(places) - MOST_PLACES} more" if len(places) > MOST_PLACES else ""
        yield f"edited outside of rodcall, seals broken: entries {' '.join(places[:MOST_PLACES])}{more}"


def _proof(summary: Summary) -> Iterator[tuple[str, str]]:
    """What the verdict rests on, doubt first."""
    if summary.guarded is not None:
        told = {"inside": summary.guarded.proven_in, "outside": summary.guarded.proven_out}
        proven = ", ".join(f"{int(mask.sum())} proven {where}" for where, mask in told.items())
        yield "with doubt in mind", f"{proven}, {int(summary.guarded.neither.sum())} neither (after JCGM 106)"
    if not summary.doubt.tripod_known:
        yield "doubt", "as from the pad's farthest corner: nobody noted where the level stood"
    if summary.as_built.drains is not None:
        yield "drains", "yes" if summary.as_built.drains else "no"
    if summary.stage is not None:
        yield "shot on", summary.stage
    yield from proof_facts(summary)


def _last_check(summary: Summary, record: Record) -> str:
    if not record.checks:
        return "none"
    check = record.checks[-1]
    drift = in_words(check.drift_nm, summary.job.heights, mark=True)
    return f"{check.reference} reads {drift} at {_time(check.time)}"


# -- references, setups, checks -----------------------------------------------------------------------------


def _references(summary: Summary, record: Record) -> Table:
    job = summary.job
    return Table(
        "References",
        ("name", "height", "where", "description"),
        tuple(
            (
                reference.name,
                words.height(job, reference.height_nm, mark=True),
                f"on the pad, {reference.position}" if reference.position else "outside of the pad",
                reference.description or ("the zero" if reference.name == ZERO else words.NOTHING),
            )
            for reference in record.references
        ),
        frozenset({0, 2, 3}),
    )


def _setups(summary: Summary, record: Record) -> Table:
    job = summary.job
    return Table(
        "Setups of the level",
        ("time", "on", "backsight", "rod"),
        tuple(
            (
                _time(setup.time),
                setup.reference,
                words.rod(job, setup.backsight_nm),
                say(words.WAY_WORDS[setup.readings]),
            )
            for setup in record.setups
        ),
        frozenset({0, 1, 3}),
        none="none: heights were said directly",
    )


def _checks(summary: Summary, record: Record) -> Table:
    job, allowed = summary.job, record.allowed_drift_nm
    return Table(
        f"Check shots (allowed {_size(summary, allowed)})",
        ("time", "on", "reads", "off by", "state"),
        tuple(
            (
                _time(check.time),
                check.reference,
                (words.rod if check.off_a_rod else words.height)(job, check.reading_nm),
                in_words(check.drift_nm, job.heights, mark=True),
                str(state(check.drift_nm, allowed)),
            )
            for check in record.checks
        ),
        frozenset({0, 1, 3, 4}),
        none="none written",
    )


def _tests(summary: Summary, record: Record) -> Table:
    job = summary.job
    return Table(
        "Tests of the level and the machine",
        ("time", "test", "readings", "distances"),
        tuple(
            (
                _time(test.time),
                test.what,
                "  ".join(words.height(job, nm) for nm in test.readings_nm),
                "  ".join(words.tape(job, nm) for nm in test.distances_nm),
            )
            for test in record.tests
        ),
        frozenset({0, 1, 2, 3}),
        none="none written",
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
            _doubt(summary, row.doubt),
            f"{row.state} {marks(summary, index)}".rstrip(),
        )
        for index, row in enumerate(rows(summary))
    )
    return Table(
        f"All {summary.grid.size} positions, {_unit(summary)}",
        ("position", "height", "target", "difference", "doubt", "state"),
        table,
        frozenset({0, 5}),
        in_strips=True,
        strong=frozenset(summary.outside),
        note=LEGEND,
    )


def _doubt(summary: Summary, nm: int | None) -> str:
    """How far a shot may be off, to the finest mark that means anything."""
    unit = summary.job.heights
    return words.NOTHING if nm is None else write(nm, unit, step=words.FINEST[unit], sign=False)


def _moved(summary: Summary) -> Iterator[Table]:
    """How much higher each position stands than in the round before, where there was one."""
    if summary.change is None:
        return
    job, by = summary.job, summary.change.by_nm
    yield Table(
        f"Moved since the round before, {_unit(summary)}",
        ("position", "moved"),
        tuple((summary.grid.name(at), words.height(job, int(by[at]))) for at in indices(summary.change.both)),
        frozenset({0}),
        in_strips=True,
    )


def _dropped(record: Record) -> Table:
    return Table(
        "Struck out and left out",
        ("entry", "time", "round", "what", "at", "said", "why"),
        tuple(
            (
                str(dropped.number),
                _time(dropped.time),
                str(dropped.round or words.NOTHING),
                dropped.what,
                dropped.at,
                dropped.said,
                dropped.why or "no reason given",
            )
            for dropped in record.dropped
        ),
        frozenset({1, 3, 4, 5, 6}),
    )


def _notes(record: Record) -> Remarks:
    return Remarks("Notes", tuple(f"{_time(note.time)}  {note.text}" for note in record.remarks) or ("none",))


def _digest(record: Record) -> Remarks:
    return Remarks(
        f"Digest of the book ({record.entries} entries)",
        (
            grouped(record.digest),
            "rodcall verify DIGEST JOB.json says whether a book is the one that this sheet was made from.",
        ),
    )


# -- wording ------------------------------------------------------------------------------------------------


def _unit(summary: Summary) -> str:
    return words.unit_word(summary.job.heights)


def _size(summary: Summary, nm: int) -> str:
    return words.rod(summary.job, nm)


def _time(time: datetime) -> str:
    return f"{time:%Y-%m-%d %H:%M}"


def _span(record: Record) -> str:
    """From the first entry to the last; the day once where it is one."""
    if record.begun.date() == record.ended.date():
        return f"{record.begun:%Y-%m-%d, %H:%M} to {record.ended:%H:%M}"
    return f"{_time(record.begun)} to {_time(record.ended)}"
