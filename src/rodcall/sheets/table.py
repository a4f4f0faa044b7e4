"""The table of all positions, for a spreadsheet (.csv), and the figures of a page as words."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass

from rodcall import words, words_proof
from rodcall.book.round_page import LEFT_OUT, SHOT
from rodcall.figures.measured import indices
from rodcall.figures.summary import Summary

MM = 1_000_000


@dataclass(frozen=True)
class Row:
    """One position as a table tells it; lengths in nanometres, None where there is nothing."""

    name: str
    height: int | None
    target: int | None
    difference: int | None
    doubt: int | None
    """Half-width at two standard deviations, nearest nanometre."""
    state: str


def rows(summary: Summary) -> Iterator[Row]:
    """All positions in the order of their index."""
    targets, doubts = summary.target_heights, summary.doubt.nm
    for index in range(summary.grid.size):
        yield Row(
            summary.grid.name(index),
            summary.height_at(index),
            int(targets[index]) if targets is not None else None,
            summary.deviation_at(index),
            round(float(doubts[index])) if summary.counts[index] else None,
            state(summary, index),
        )


def state(summary: Summary, index: int) -> str:
    """What is known of a position, in one word or two."""
    if summary.state[index] == LEFT_OUT:
        return "left out"
    if summary.state[index] != SHOT:
        return "not shot"
    deviation = summary.deviation_at(index)
    if deviation is None:
        return "shot"
    if summary.outside_mask[index]:
        return "HIGH" if deviation > 0 else "LOW"
    return "inside"


def to_csv(summary: Summary) -> str:
    """Comma-separated values (RFC 4180): numbers in mm in columns of their own, beside the written form."""
    job = summary.job
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    unit = str(job.heights)
    table.writerow(
        ["job", "round", "position", "state"]
        + [f"{column} {as_}" for column in ("height", "target", "difference") for as_ in ("mm", f"as written ({unit})")]
        + ["doubt mm"]
    )
    for row in rows(summary):
        lengths = [
            cell
            for nm in (row.height, row.target, row.difference)
            for cell in (("", "") if nm is None else (_number(nm), inert(words.height(job, nm))))
        ]
        doubt = "" if row.doubt is None else _number(row.doubt)
        table.writerow([inert(job.name), summary.round, row.name, row.state, *lengths, doubt])
    return out.getvalue()


Facts = list[tuple[str, str]]
"""Labels and values."""


def figures_text(summary: Summary) -> str:
    """The figures of a page in words, one a line."""
    lines = [
        ("job", words.harmless(summary.job.name)),
        ("round", f"{summary.round} ({summary.kind})"),
        *ground_facts(summary),
        *target_facts(summary),
        *dirt_facts(summary),
        *result_facts(summary),
        ("verdict", str(summary.finding.verdict)),
        *(("", reason) for reason in summary.finding.reasons),
        *proof_facts(summary),
    ]
    width = max(len(label) for label, _ in lines)
    return "\n".join(f"{label.ljust(width)}  {value}".rstrip() for label, value in lines)


def ground_facts(summary: Summary) -> Facts:
    """How many shots, and how the ground lies."""
    job, name = summary.job, summary.grid.name
    lines = [
        ("positions", f"{summary.counted} shot of {summary.grid.size}, {len(summary.left_out)} left out"),
        ("heights in", str(job.heights)),
        ("average", words.rounded(job, summary.average)),
        ("average by area", words.rounded(job, summary.area_average)),
    ]
    for label, spot in (("highest", summary.highest), ("lowest", summary.lowest)):
        lines.append((label, f"{words.height(job, spot.nm)} at {name(spot.index)}" if spot else words.NOTHING))
    lines.append(("spread", words.rounded(job, summary.spread).removeprefix("+")))
    tilt, at_zero = summary.tilt, summary.tilt_at_zero
    if tilt is not None and at_zero is not None:
        rms = words.rounded(job, tilt.rms * 1e9).removeprefix("+")
        lines.append(("tilt", f"along {_percent(tilt.along)}, across {_percent(tilt.across)}; rms about it {rms}"))
        lines.append(("tilt at the zero", words.rounded(job, at_zero * 1e9)))
    lines.append(("pad", words.area(job, summary.area_m2)))
    return lines


def target_facts(summary: Summary) -> Facts:
    """The target and what to set the rod to."""
    job, target = summary.job, summary.target
    lines = [("suggested target", words.height(job, summary.suggested))]
    if target is not None:
        chosen = "chosen" if summary.chosen else "suggested, not chosen yet"
        sloped = target.along or target.across
        slopes = f", along {_percent(target.along)}, across {_percent(target.across)}" if sloped else ""
        lines.append(("target", f"{words.height(job, target.offset_nm)}{slopes} ({chosen})"))
    return [*lines, ("rod on grade", words.rod(job, summary.rod)), ("receiver", words.slide(summary))]


def result_facts(summary: Summary) -> Facts:
    """What lies in and out of tolerance."""
    job = summary.job
    lines = [("outside", f"{len(summary.outside)}: {' '.join(summary.names(summary.outside)) or 'none'}")]
    if summary.worst is not None and summary.differences is not None:
        name, told = summary.grid.name, summary.differences
        high, low = told.highest, told.lowest
        lines.append(("worst", f"{name(summary.worst.index)} {words.work_words(job, summary.worst.nm)}"))
        lines.append(("highest difference", f"{words.difference(job, high.nm)} at {name(high.index)}"))
        lines.append(("lowest difference", f"{words.difference(job, low.nm)} at {name(low.index)}"))
        spread = f"mean {words.rounded(job, told.mean)}, rms {words.rounded(job, told.rms).removeprefix('+')}"
        lines.append(("differences", spread))
    lines.append(("inside", f"{summary.within_tolerance} in tolerance, {summary.within_goal} in the goal"))
    for label, part in zip(("footprint", "apron"), summary.parts or (), strict=False):
        inside = part.counted - len(part.outside)
        lines.append((label, f"{len(part.positions)} positions, {part.counted} shot, {inside} in tolerance"))
    return lines


def proof_facts(summary: Summary) -> Facts:
    """What the verdict rests on: checks, levels, tests of the instrument, rounds, and remarks."""
    built, change = summary.as_built, summary.change
    lines = [("in the goal", str(built.pad_goal.verdict))]
    if built.footprint is not None:
        lines.append(("footprint alone", str(built.footprint.verdict)))
    lines += [("slope", words_proof.slope_words(slope)) for slope in built.slopes]
    lines += [("check", words_proof.check_words(summary, check)) for check in summary.trust.checks]
    if summary.trust.suspect:
        lines.append(("suspect", " ".join(summary.names(summary.trust.suspect))))
    lines += [("levels", words_proof.level_words(summary, run)) for run in summary.level_runs]
    lines += [("laser check", words_proof.laser_words(result)) for result in summary.laser_results]
    lines += [
        ("machine", f"{words.harmless(check.at)}: {words.height(summary.job, off, mark=True)}")
        for check, off in summary.evidence.machine_checks
    ]
    if change is not None:
        lines += [
            (f"round {each.round}", f"{each.inside} in, {each.outside} out, {each.unshot} unshot")
            for each in summary.tallies()
        ]
        lines.append(("overdug", " ".join(summary.names(indices(change.overdug))) or "none"))
    return [*lines, *(("remark", remark) for remark in words_proof.remarks(summary))]


def dirt_facts(summary: Summary) -> Facts:
    """Cut, fill, what is left over, and stone, where any is wanted; nothing before the first shot."""
    job, dirt = summary.job, summary.dirt
    if dirt is None:
        return []
    lines = [
        ("balance", words.rounded(job, dirt.balance * 1e9)),
        ("cut", f"{words.volume(job, dirt.earth.cut)} (bank)"),
        ("fill", f"{words.volume(job, dirt.earth.fill)} (compacted)"),
        ("spare", f"{words.spare(summary, dirt)}; shrink {dirt.soil.shrink:.0%} (fill = cut x (1 - shrink))"),
        ("on real shots", f"{summary.covered:.0%} of the pad"),
    ]
    if dirt.stone is not None and summary.target is not None:
        finished = dirt.layers(summary.target.offset_nm).finished_nm
        lines.append(
            ("finished grade", f"{words.height(job, finished)} with {words.height(job, dirt.stone_thickness)} stone")
        )
        lines.append(("stone to order", words.stone(summary, dirt)))
    if summary.water is not None:
        lines.append(("water", words.water_words(summary.water)))
    lines += [("warning", warning) for warning in words.warnings(summary)]
    return lines


def inert(text: str) -> str:
    """Text that no spreadsheet takes for a formula: one that begins like one gets an apostrophe in front.

    Source: the usual advice on CSV injection (OWASP, from memory), which also names tab and carriage return.
    """
    shown = words.harmless(text)
    return f"'{shown}" if shown[:1] in ("=", "+", "-", "@") else shown


def _number(nm: int) -> str:
    """Millimetres as a plain decimal number, exact."""
    sign, whole = "-" if nm < 0 else "", abs(nm)
    return f"{sign}{whole // MM}.{whole % MM:06d}".rstrip("0").rstrip(".")


def _percent(slope: float) -> str:
    return f"{100 * slope:+.2f} %"
