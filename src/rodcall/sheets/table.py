"""The table of all positions, for a spreadsheet (.csv) and as plain text for people (.txt)."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass

from rodcall import words
from rodcall.book.page import LEFT_OUT, SHOT
from rodcall.cautions import NO_SURVEY
from rodcall.figures.summary import Summary

MM = 1_000_000


@dataclass(frozen=True)
class Row:
    """One position as a table tells it; lengths in nanometres, None where there is nothing."""

    name: str
    height: int | None
    target: int | None
    difference: int | None
    state: str


def rows(summary: Summary) -> Iterator[Row]:
    """All positions in the order of their index."""
    targets = summary.target_heights
    for index in range(summary.grid.size):
        yield Row(
            summary.grid.name(index),
            summary.height_at(index),
            int(targets[index]) if targets is not None else None,
            summary.deviation_at(index),
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
    )
    for row in rows(summary):
        lengths = [
            cell
            for nm in (row.height, row.target, row.difference)
            for cell in (("", "") if nm is None else (_number(nm), inert(words.height(job, nm))))
        ]
        table.writerow([inert(job.name), summary.round, row.name, row.state, *lengths])
    return out.getvalue()


def to_text(summary: Summary) -> str:
    """The figures and the table of positions in plain text."""
    job = summary.job
    table = [("position", "height", "target", "difference", "state")]
    table += [
        (
            row.name,
            words.height(job, row.height),
            words.rounded(job, row.target),
            words.difference(job, row.difference),
            row.state,
        )
        for row in rows(summary)
    ]
    widths = [max(len(line[column]) for line in table) for column in range(5)]
    lines = [
        "  ".join(
            cell.ljust(width) if column in (0, 4) else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in table
    ]
    return "\n".join([figures_text(summary), "", *lines, "", NO_SURVEY, ""])


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
    if summary.worst is not None:
        at = summary.grid.name(summary.worst.index)
        lines.append(("worst", f"{at} {words.work_words(job, summary.worst.nm)}"))
    lines.append(("inside", f"{summary.within_tolerance} in tolerance, {summary.within_goal} in the goal"))
    for label, part in zip(("footprint", "apron"), summary.parts or (), strict=False):
        inside = part.counted - len(part.outside)
        lines.append((label, f"{len(part.positions)} positions, {part.counted} shot, {inside} in tolerance"))
    return lines


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
