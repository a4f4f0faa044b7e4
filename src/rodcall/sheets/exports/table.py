"""The table of all positions, for a spreadsheet (.csv), and the figures of a page as words."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from rodcall.book.fold.round_page import LEFT_OUT, NOT_PAD, SHOT
from rodcall.figures.checks.rounds import Tally
from rodcall.figures.earthwork.dirt import Dirt
from rodcall.figures.machine_time import machine_time
from rodcall.figures.shots import indices
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say
from rodcall.wording import proof as words_proof
from rodcall.wording import words
from rodcall.wording.layout import plane_lines
from rodcall.wording.machine_time import time_facts
from rodcall.wording.punch_list import reasons

MM = 1_000_000


class Row(Frozen):
    """One position as a table tells it; lengths in nanometres, None where there is nothing."""

    name: str
    height: int | None
    target: int | None
    difference: int | None
    uncertainty: int | None
    """Half-width at two standard deviations, nearest nanometre."""
    state: str


def rows(summary: Summary) -> Iterator[Row]:
    """All positions in the order of their index."""
    targets, uncertainties = summary.target_heights, summary.uncertainty.nm
    for index in range(summary.grid.size):
        yield Row(
            summary.grid.name(index),
            summary.height_at(index),
            int(targets[index]) if targets is not None else None,
            summary.deviation_at(index),
            round(float(uncertainties[index])) if summary.counts[index] else None,
            state(summary, index),
        )


def state(summary: Summary, index: int) -> str:
    """What is known of a position, in one word or two: as files for programs have it; said where people read it."""
    if summary.state[index] == LEFT_OUT:
        return phrase("left out")
    if summary.state[index] == NOT_PAD:
        return phrase("not pad")
    if summary.state[index] != SHOT:
        return phrase("not shot")
    deviation = summary.deviation_at(index)
    if deviation is None or not summary.has_verdict:
        return phrase("shot")
    if summary.out_mask[index]:
        return phrase("HIGH") if deviation > 0 else phrase("LOW")
    return phrase("inside")


def to_csv(summary: Summary) -> str:
    """Comma-separated values (RFC 4180): numbers in mm in columns of their own, beside the written form.

    People read it in a spreadsheet: the heads and what is known of a position are said in the sheet's language.
    """
    job = summary.job
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    unit = str(job.heights)
    table.writerow(
        [say("job"), say("round"), say("position"), say("state")]
        + [
            head
            for column in (say("height"), say("target"), say("difference"))
            for head in (f"{column} mm", say("{column} as written ({unit})", column=column, unit=unit))
        ]
        + [f"{say('plus/minus')} mm"]
    )
    for row in rows(summary):
        lengths = [
            cell
            for nm in (row.height, row.target, row.difference)
            for cell in (("", "") if nm is None else (plain_number(nm), inert(words.height(job, nm))))
        ]
        uncertainty = "" if row.uncertainty is None else plain_number(row.uncertainty)
        table.writerow([inert(job.name), summary.round, row.name, say(row.state), *lengths, uncertainty])
    return out.getvalue()


Facts = list[tuple[str, str]]
"""Labels and values."""


def figures_text(summary: Summary) -> str:
    """The figures of a page in words, one a line."""
    lines = [
        (say("job"), words.harmless(summary.job.name)),
        (say("round"), f"{summary.round} ({say(summary.kind)})"),
        *datum_facts(summary),
        *ground_facts(summary),
        *target_facts(summary),
        *dirt_facts(summary),
        *result_facts(summary),
        *time_facts(summary, machine_time(summary)),
        (say("verdict"), say(summary.verdict)),
        *(("", reason) for reason in reasons(summary, summary.punch_list)),
        *proof_facts(summary),
    ]
    width = max(len(label) for label, _ in lines)
    return "\n".join(f"{label.ljust(width)}  {value}".rstrip() for label, value in lines)


def datum_facts(summary: Summary) -> Facts:
    """How the pad lies in the drawing's system, as far as it is known."""
    datum, job = summary.datum, summary.job
    told = []
    if datum.reference:
        elevation = words.elevation(job, datum.elevation_nm, mark=True)
        told.append(say("{reference} {elevation}", reference=datum.reference, elevation=elevation))
    if datum.zero_nm is not None:
        told.append(say("the zero {elevation}", elevation=words.elevation(job, datum.zero_nm, mark=True)))
    if datum.has_coordinates:
        north, east = (words.elevation(job, metres * 1e9, mark=True) for metres in datum.a1)
        told.append(say("A1 north {north}, east {east}", north=north, east=east))
    if datum.knows_bearing and told:
        told.append(say("the far end faces {bearing:.2f} degrees from north", bearing=datum.bearing))
    return [(say("datum"), "; ".join(told))] if told else []


def ground_facts(summary: Summary) -> Facts:
    """How many shots, and how the ground lies."""
    job, name = summary.job, summary.grid.name
    lines = [
        (
            say("positions"),
            say(
                "{shot} shot of {positions}, {left_out} left out",
                shot=summary.counted,
                positions=summary.positions,
                left_out=len(summary.left_out),
            ),
        ),
        *_touched(summary),
        *([(say("not pad"), " ".join(summary.names(summary.not_pad)))] if summary.not_pad else []),
        (say("heights in"), str(job.heights)),
        (say("average"), words.rounded_level(summary, summary.average)),
        (say("average by area"), words.rounded_level(summary, summary.area_average)),
    ]
    for label, spot in ((say("highest"), summary.highest), (say("lowest"), summary.lowest)):
        lines.append((label, _at(words.level(summary, spot.nm), name(spot.index)) if spot else words.NOTHING))
    lines.append((say("std dev"), words.rounded(job, summary.spread).removeprefix("+")))
    tilt, at_zero = summary.tilt, summary.tilt_at_zero
    if tilt is not None and at_zero is not None:
        rms = words.rounded(job, tilt.rms * 1e9).removeprefix("+")
        along, across = _percent(tilt.along), _percent(tilt.across)
        told = say("along {along}, across {across}; rms about it {rms}", along=along, across=across, rms=rms)
        lines.append((say("tilt"), told))
        lines.append((say("tilt at the zero"), words.rounded_level(summary, at_zero * 1e9)))
    lines.append((say("pad"), words.area(job, summary.area_m2)))
    return lines


def _touched(summary: Summary) -> Facts:
    """How far a later round has come over the ground of those before it."""
    told = summary.evidence
    if not told.of_before:
        return []
    words_of_it = say(
        "{touched} of {before}; the rest as in the round before",
        touched=told.touched,
        before=told.of_before,
    )
    return [(say("shot again"), words_of_it)]


def target_facts(summary: Summary) -> Facts:
    """The target and what to set the rod to."""
    job, target = summary.job, summary.target
    suggested = [words.level(summary, summary.suggested), words.drop_words(summary)]
    lines = [(say("suggested target"), ", ".join(filter(None, suggested)))]
    if target is not None:
        lines.append((say("target"), target_words(summary)))
        lines += [(say("plane"), plane) for plane in plane_lines(summary) if summary.facets]
    return [*lines, (say("rod reading to hit"), words.rod(job, summary.rod)), (say("receiver"), words.slide(summary))]


def target_words(summary: Summary) -> str:
    """The target in force, its slopes, and whether somebody chose it."""
    target = summary.target
    if target is None:
        return words.NOTHING
    told = [words.level(summary, target.offset_nm)]
    if target.along or target.across:
        along, across = _percent(target.along), _percent(target.across)
        told.append(say("along {along}, across {across}", along=along, across=across))
    chosen = say("chosen") if summary.chosen else say("only suggested")
    return f"{', '.join(told)} ({chosen})"


def result_facts(summary: Summary) -> Facts:
    """What lies in and out of tolerance."""
    job = summary.job
    out = f"{len(summary.outside)}: {' '.join(summary.names(summary.outside)) or say('none', 'of spots')}"
    if summary.outside and not summary.has_verdict:
        # The screen counts no spot of existing ground as out before the target is chosen.
        out = say("{spots} (by the suggested target)", spots=out)
    lines = [(say("out of tolerance"), out)]
    if summary.worst is not None and summary.differences is not None:
        name, told = summary.grid.name, summary.differences
        high, low = told.highest, told.lowest
        lines.append((say("worst"), f"{name(summary.worst.index)} {words.work_words(job, summary.worst.nm)}"))
        lines.append((say("highest difference"), _at(words.difference(job, high.nm), name(high.index))))
        lines.append((say("lowest difference"), _at(words.difference(job, low.nm), name(low.index))))
        spread = say(
            "mean {mean}, rms {rms}",
            mean=words.rounded(job, told.mean),
            rms=words.rounded(job, told.rms).removeprefix("+"),
        )
        lines.append((say("differences"), spread))
    lines.append((say("inside"), _inside(summary)))
    parts = list(zip((say("footprint"), say("apron")), summary.parts or (), strict=False))
    if summary.zone_part is not None:
        lines.append((say("zone", "of the pad"), words.zone_words(summary)))
        parts.append((say("in the zone"), summary.zone_part))
    for label, part in parts:
        inside = part.counted - len(part.outside)
        counts = say(
            "{positions} positions, {shot} shot, {inside} in tolerance",
            positions=len(part.positions),
            shot=part.counted,
            inside=inside,
        )
        lines.append((label, counts))
    return lines


def proof_facts(summary: Summary) -> Facts:
    """What the verdict rests on: checks, levels, tests of the instrument, rounds, and remarks."""
    built, change = summary.as_built, summary.change
    lines = [(say("within crew tolerance"), say(built.pad_goal.verdict))]
    if built.footprint is not None:
        lines.append((say("footprint alone"), say(built.footprint.verdict)))
    if built.zone is not None:
        lines.append((say("zone alone"), say(built.zone.verdict)))
    lines += [(say("slope"), words_proof.slope_words(slope)) for slope in built.slopes]
    lines += [(say("check"), words_proof.check_words(summary, check)) for check in summary.trust.checks]
    if summary.trust.suspect:
        lines.append((say("suspect"), " ".join(summary.names(summary.trust.suspect))))
    lines += [(say("levels"), words_proof.level_words(summary, run)) for run in summary.level_runs]
    lines += [(say("laser check"), words_proof.laser_words(result)) for result in summary.laser_results]
    lines += [
        (say("machine"), f"{words.harmless(check.at)}: {words.height(summary.job, off, mark=True)}")
        for check, off in summary.evidence.machine_checks
    ]
    if change is not None:
        lines += [(say("round {number}", number=each.round), _tally(each)) for each in summary.tallies()]
        lines.append((say("overdug"), " ".join(summary.names(indices(change.overdug))) or say("none", "of spots")))
    return [*lines, *((say("remark"), remark) for remark in words_proof.remarks(summary))]


def dirt_facts(summary: Summary) -> Facts:
    """Cut, fill, what is left over, and stone, where any is wanted; nothing before the first shot."""
    job, dirt = summary.job, summary.dirt
    if dirt is None:
        return []
    lines = [
        (say("balance"), words.rounded(job, dirt.balance * 1e9)),
        (say("cut"), say("{volume} (bank)", volume=words.volume(job, dirt.earth.cut))),
        (say("fill"), say("{volume} (compacted)", volume=words.volume(job, dirt.earth.fill))),
        (say("spare"), _spare(summary, dirt)),
        (say("shot coverage"), say("{share:.0%} of the pad", share=summary.covered)),
    ]
    if dirt.stone is not None and summary.target is not None:
        finished = dirt.layers(summary.target.offset_nm).finished_nm
        lines.append(
            (
                say("finished grade"),
                _with_stone(words.level(summary, finished), words.height(job, dirt.stone_thickness)),
            )
        )
        lines.append((say("stone to order"), words.stone(summary, dirt)))
    if summary.water is not None:
        lines.append((say("water"), words.water_words(summary.water)))
    lines += [(say("warning"), warning) for warning in words.warnings(summary)]
    return lines


def _at(told: str, position: str) -> str:
    return say("{told} at {position}", told=told, position=position)


def _inside(summary: Summary) -> str:
    return say(
        "{tolerance} in tolerance, {goal} within crew tolerance",
        tolerance=summary.within_tolerance,
        goal=summary.within_goal,
    )


def _tally(tally: Tally) -> str:
    return say(
        "{inside} in, {outside} out, {unshot} not shot", inside=tally.inside, outside=tally.outside, unshot=tally.unshot
    )


def _spare(summary: Summary, dirt: Dirt) -> str:
    return say(
        "{spare}; shrink {shrink:.0%} (fill = cut x (1 - shrink))",
        spare=words.spare(summary, dirt),
        shrink=dirt.soil.shrink,
    )


def _with_stone(finished: str, thickness: str) -> str:
    return say("{finished} with {thickness} stone", finished=finished, thickness=thickness)


def inert(text: str) -> str:
    """Text that no spreadsheet takes for a formula: one that begins like one gets an apostrophe in front.

    Source: the usual advice on CSV injection (OWASP, from memory), which also names tab and carriage return.
    """
    shown = words.harmless(text)
    return f"'{shown}" if shown[:1] in ("=", "+", "-", "@") else shown


def plain_number(nm: int, unit: int = MM, digits: int = 6) -> str:
    """Nanometres in millimetres, or a unit of 10^digits nanometres, as a plain decimal number, exact."""
    sign, whole = "-" if nm < 0 else "", abs(nm)
    return f"{sign}{whole // unit}.{whole % unit:0{digits}d}".rstrip("0").rstrip(".")


def _percent(slope: float) -> str:
    return f"{100 * slope:+.2f} %"
