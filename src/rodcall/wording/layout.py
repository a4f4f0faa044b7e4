"""How the lay-out is said: tape distances, squareness, the footprint, layers, and what to key into the machine."""

from __future__ import annotations

import textwrap

from rodcall.book.fold.page import ZERO
from rodcall.book.model.grid import letters
from rodcall.book.model.job import Job
from rodcall.figures.earthwork.machine import offset_from
from rodcall.figures.layout import Part, Squareness, diagonal, squareness
from rodcall.figures.summary import Summary
from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say
from rodcall.wording import words
from rodcall.wording.dig import deviation
from rodcall.wording.zones import blocks

MOST_ROWS = 14
"""Lines of the drawing between the pad's edges."""


class Section(Frozen):
    """A heading and the lines under it."""

    title: str
    lines: list[str]

    def heading(self, width: int) -> list[str]:
        """The heading, broken where it is too long."""
        return textwrap.wrap(self.title, width, subsequent_indent=" ")

    def body(self, width: int) -> list[str]:
        """What is under it, set in."""
        return [part for line in self.lines for part in _set_in(line, width)]


def sections(summary: Summary, at: int, width: int = 80) -> list[Section]:
    """All that is laid out, in the order of the day.

    Args:
        summary: Of the page.
        at: Index of the position that the machine stands at.
        width: Characters of a line.
    """
    return [
        *_tapes(summary, width),
        Section(say("square"), square_lines(summary)),
        Section(say("machine"), machine_lines(summary, at)),
        Section(say("layers"), layer_lines(summary)),
        Section(say("footprint"), footprint_lines(summary, width)),
    ]


def layout_lines(summary: Summary, at: int, width: int = 80) -> list[str]:
    """The same as lines of text, headings at the left edge and what is under them set in."""
    return [line for each in sections(summary, at, width) for line in (*each.heading(width), *each.body(width))]


def _set_in(line: str, width: int) -> list[str]:
    """A line under a heading, broken where it is too long; a drawing's lines are not."""
    if len(line) + 2 <= width:
        return [f"  {line}"]
    return textwrap.wrap(line, width, initial_indent="  ", subsequent_indent="    ")


# -- tapes --------------------------------------------------------------------------------------------------


def _tapes(summary: Summary, width: int) -> list[Section]:
    """Running distances of lines and columns, from the pad's corner."""
    grid, job = summary.grid, summary.job
    inset = say("; A1 lies {tape} in from both edges", tape=words.tape(job, grid.inset)) if grid.inset else ", A1"
    along = [(f"{row + 1}", int(nm) + grid.inset) for row, nm in enumerate(grid.along_nm)]
    across = [(letters(column), int(nm) + grid.inset) for column, nm in enumerate(grid.across_nm)]
    return [
        Section(
            say("lines: tape away from the pad's near left corner{inset}", inset=inset),
            _running(job, along, grid.length, width),
        ),
        Section(say("columns: tape across from the same corner"), _running(job, across, grid.width, width)),
    ]


def _running(job: Job, marks: list[tuple[str, int]], whole: int, width: int) -> list[str]:
    """Names and distances in columns, the pad's far edge last."""
    told = [f"{name} {words.tape(job, nm)}" for name, nm in [*marks, (say("edge"), whole)]]
    cell = max(map(len, told)) + 3
    per_line = max((width - 2) // cell, 1)
    return [
        "".join(f"{mark:<{cell}}" for mark in told[first : first + per_line]).rstrip()
        for first in range(0, len(told), per_line)
    ]


# -- square -------------------------------------------------------------------------------------------------


def square_lines(summary: Summary) -> list[str]:
    """What the diagonals should be, and what those that were taped say."""
    job, terms = summary.job, summary.terms
    wanted = say(
        "square when both diagonals of the pad are {tape}", tape=words.tape(job, diagonal(job.length, job.width))
    )
    taped = [terms.length(name) for name in ("diagonal-1", "diagonal-2")]
    if not all(taped):
        names = ("diagonal-1", "diagonal-2")
        missing = say(" and ").join(name for name, nm in zip(names, taped, strict=True) if not nm)
        return [
            wanted,
            say(
                "to check it, set {missing} as taped (1: near left to far right; 2: near right to far left)",
                missing=missing,
            ),
        ]
    said = say("taped {one} and {two}", one=words.tape(job, taped[0]), two=words.tape(job, taped[1]))
    try:
        found = squareness(job.length, job.width, *taped)
    except ValueError as error:
        return [wanted, f"{said}: {error}"]
    told = [wanted]
    if not found.fits(words.tape_step(job)):
        told += _misfit_lines(job, said, found)
        if not found.is_skew:
            return told
    shift = found.far_edge_shift_nm
    if not shift:
        return [*told, say("{taped}: equal, the pad is square", taped=said)]
    to_the_left, to_the_right = (
        phrase("the far edge is {by} too far right: move both far corners {by} left"),
        phrase("the far edge is {by} too far left: move both far corners {by} right"),
    )
    longer = say("1 (near left to far right)") if shift > 0 else say("2 (near right to far left)")
    by = words.tape(job, abs(shift))
    return [
        *told,
        say(
            "{taped}: diagonal {longer} is {by} longer",
            taped=said,
            longer=longer,
            by=words.tape(job, abs(found.longer_by_nm)),
        ),
        say(to_the_left if shift > 0 else to_the_right, by=by),
    ]


def _misfit_lines(job: Job, said: str, found: Squareness) -> list[str]:
    """That sides and diagonals cannot all be right, by how much, and the least that would make them fit."""
    long, short = (
        phrase("{taped}: {by} too long for sides of {length} and {width}; the sides or the tape are off"),
        phrase("{taped}: {by} too short for sides of {length} and {width}; the sides or the tape are off"),
    )
    length, width = (words.tape(job, nm) for nm in (job.length, job.width))
    by = words.tape(job, abs(found.too_long_nm))
    corrections = (found.length_nm, found.width_nm, found.first_nm, found.second_nm)
    length_by, width_by, first_by, second_by = (_correction(job, nm) for nm in corrections)
    return [
        say(long if found.too_long_nm > 0 else short, taped=said, by=by, length=length, width=width),
        say(
            "least change that fits: length {length}, width {width}, diagonals {one} and {two}; tape all again",
            length=length_by,
            width=width_by,
            one=first_by,
            two=second_by,
        ),
    ]


def _correction(job: Job, nm: int) -> str:
    return f"{'-' if nm < 0 else '+'}{words.tape(job, abs(nm))}"


# -- footprint ----------------------------------------------------------------------------------------------


def footprint_lines(summary: Summary, width: int = 80) -> list[str]:
    """The footprint drawn inside the pad, its margins, and the positions in it apart from the apron."""
    if summary.terms.footprint is None:
        return [say("none: set margin-near, margin-far, margin-left or margin-right")]
    if summary.footprint is None or summary.parts is None:
        return [say("the margins leave no footprint: set them again")]
    job, (inside, apron), stands = summary.job, summary.parts, summary.footprint
    corners = stands.corners(summary.grid)
    nearest = " ".join(summary.names(corners))
    inside_words, apron_words = say("in the footprint"), say("on the apron")
    column = max(len(inside_words), len(apron_words))
    sides = [
        (side, words.tape(job, nm))
        for side, nm in (
            (say("near"), stands.near),
            (say("far"), stands.far),
            (say("left"), stands.left),
            (say("right"), stands.right),
        )
    ]
    return [
        *footprint_drawing(summary, width - 4),
        say(
            "{length} out by {width} across; margins {margins}",
            length=words.tape(job, job.length - stands.near - stands.far),
            width=words.tape(job, job.width - stands.left - stands.right),
            margins=", ".join(f"{side} {margin}" for side, margin in sides),
        ),
        f"{inside_words:<{column}}  {_part(summary, inside)}",
        f"{apron_words:<{column}}  {_part(summary, apron)}",
        say("stakes of its corners nearest to {positions}: no dirt is sent there", positions=nearest),
    ]


def _part(summary: Summary, part: Part) -> str:
    positions = len(part.positions)
    where = f" ({blocks(summary.grid, part.positions)})" if positions else ""
    inside = part.counted - len(part.outside)
    return say(
        "{positions} positions{where}, {counted} shot, {inside} inside the tolerance",
        positions=positions,
        where=where,
        counted=part.counted,
        inside=inside,
    )


def footprint_drawing(summary: Summary, width: int = 76) -> list[str]:
    """Pad and footprint seen from above, the far edge at the top; in proportion, as far as the words leave room."""
    job, stands = summary.job, summary.footprint
    assert stands is not None
    near, far, left, right = (
        words.tape(job, nm) if nm else "" for nm in (stands.near, stands.far, stands.left, stands.right)
    )
    # A character is about twice as high as it is wide.
    columns = max(min(width, 60, round(2 * MOST_ROWS * job.width / job.length)), 30)
    rows = max(min(round(columns * job.length / job.width / 2), MOST_ROWS), 7)
    x1, x2 = _edges((stands.left, stands.right), job.width, columns, (len(left), len(right)))
    y1, y2 = _edges((stands.far, stands.near), job.length, rows, (1, 1))
    canvas = [[" "] * columns for _ in range(rows)]
    _box(canvas, (0, 0, columns - 1, rows - 1))
    _box(canvas, (x1, y1, x2, y2))
    for y, x, text in (
        (y1 // 2, columns // 2, far),
        ((y2 + rows) // 2, columns // 2, near),
        ((y1 + y2) // 2, x1 // 2, left),
        ((y1 + y2) // 2, (x2 + columns) // 2, right),
        ((y1 + y2) // 2, (x1 + x2 + 1) // 2, say("footprint")[: x2 - x1 - 1]),
    ):
        start = x - len(text) // 2
        canvas[y][start : start + len(text)] = text
    return [say("far edge"), *("".join(row) for row in canvas), say("near edge, A1 at its left end")]


def _edges(margins: tuple[int, int], whole: int, cells: int, words_need: tuple[int, int]) -> tuple[int, int]:
    """Cells of the footprint's two edges: in proportion, with room for the words on either side and between."""
    before, after = (
        max(round(margin / whole * (cells - 1)), need + 1) if margin else 0
        for margin, need in zip(margins, words_need, strict=True)
    )
    most = cells - 4 - (words_need[1] if margins[1] else 0)
    first = min(before, most)
    return first, max(cells - 1 - after, first + 2)


def _box(canvas: list[list[str]], corners: tuple[int, int, int, int]) -> None:
    left, top, right, bottom = corners
    for x in range(left, right + 1):
        canvas[top][x] = canvas[bottom][x] = "-"
    for y in range(top, bottom + 1):
        canvas[y][left] = canvas[y][right] = "+" if y in (top, bottom) else "|"


# -- layers and machine -------------------------------------------------------------------------------------


def layer_lines(summary: Summary) -> list[str]:
    """Finished grade, stone, and the subgrade to dig to; stone to order."""
    job, dirt, target = summary.job, summary.dirt, summary.target
    if dirt is None or target is None:
        return [say("no shots yet")]
    state = "" if summary.chosen else say(" (suggested, not chosen yet)")
    subgrade = f"{words.level(summary, target.offset_nm, mark=True)}{state}"
    if dirt.stone is None:
        return [say("subgrade to dig to  {height}; no stone on it (set stone)", height=subgrade)]
    finished = dirt.layers(target.offset_nm).finished_nm
    told = (
        (say("finished grade"), words.level(summary, finished, mark=True)),
        (say("stone, compacted"), words.rod(job, dirt.stone_thickness)),
        (say("subgrade to dig to"), subgrade),
        (say("stone to order"), words.stone(summary, dirt)),
    )
    column = max(len(label) for label, _ in told)
    return [f"{label:<{column}}  {value}" for label, value in told]


def machine_lines(summary: Summary, at: int) -> list[str]:
    """What to key in wherever the machine is zeroed, what to do at a position, and what the dig takes away."""
    target, job = summary.target, summary.job
    if target is None:
        return [say("no shots yet")]
    zero = summary.grid.name(summary.zero)
    rows = []
    for name, height in summary.references.items():
        place = summary.references_on_pad.get(name)
        where = zero if name == ZERO else summary.grid.name(place) if place is not None else ""
        rows.append((f"{name} ({where})" if where else name, offset_from(target.offset_nm, height)))
    width = max(len(name) for name, _ in rows)
    sloped = (
        [say("that is grade at {zero}; the slopes run from there", zero=zero)] if target.along or target.across else []
    )
    return [
        *(
            say("zeroed on {reference}  key in {offset}", reference=f"{name:<{width}}", offset=offset_words(job, nm))
            for name, nm in rows
        ),
        *sloped,
        *plane_lines(summary),
        *zero_lines(summary, at),
        *words.warnings(summary),
    ]


def plane_lines(summary: Summary) -> list[str]:
    """What to key in for each plane of a shaped target: its slopes, and its height at a spot, by each reference."""
    job, target = summary.job, summary.target
    if target is None or target.shape is None:
        return []
    if not summary.facets:
        return [say("the design has a height for each spot and no planes: zero the machine spot by spot")]
    told = []
    for plane in summary.machine_planes:
        slopes = words.slope_words(plane.facet.along, plane.facet.across)
        keys = ", ".join(
            f"{name} {offset_words(job, offset_from(plane.height_nm, height))}"
            for name, height in summary.references.items()
        )
        told.append(
            say(
                "{plane}: {slopes}; grade at {position}, zeroed on {offsets}",
                plane=say(plane.facet.name),
                slopes=slopes,
                position=summary.grid.name(plane.at),
                offsets=keys,
            )
        )
    return told


def zero_lines(summary: Summary, at: int) -> list[str]:
    """What to do at a position to zero the machine there, before or after its dirt is moved."""
    above = deviation(summary, at)
    if above is None:
        return []
    name = summary.grid.name(at) + _rests_on(summary, at)
    if not above:
        return [say("at {position}: it is on target; zero the machine there, its 0 is then grade", position=name)]
    by = words.difference(summary.job, abs(above)).removeprefix("+")
    doing = say("dig {by}", by=by) if above > 0 else say("fill {by} and compact", by=by)
    return [
        say("at {position}: {work}, then zero the machine; its 0 is then grade", position=name, work=doing),
        say(
            "or zero it on the ground there as it is, and key in {offset}",
            offset=offset_words(summary.job, -above),
        ),
    ]


def _rests_on(summary: Summary, index: int) -> str:
    """What stands in where a position is not shot."""
    if summary.from_before[index]:
        return say(" (not shot, round before)")
    return "" if summary.counts[index] else say(" (not shot, estimated)")


def offset_words(job: Job, nm: int) -> str:
    """An offset as it is keyed in: `-4-1/2" (grade lies below)`."""
    where = "" if not nm else say(" (grade is below)") if nm < 0 else say(" (grade is above)")
    return f"{words.height(job, nm, mark=True)}{where}"
