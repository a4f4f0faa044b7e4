"""Drawings of a sheet as SVG: the plan to scale with each spot's story, and the strip of all differences.

One drawing serves the PDF and the web page. Lengths are points (1/72 in); y runs down.
"""

from __future__ import annotations

import base64
import math
import struct
import zlib
from collections import Counter
from collections.abc import Iterator
from html import escape
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rodcall.sheets.content.blocks import Plan, Point, Spot, Strip
from rodcall.sheets.typeset.lettering import FAMILY, width_of

INK, MUTED, ALARM, PAPER = "#1a1a1a", "#555555", "#8c1d18", "#ffffff"
LARGEST, LEAST = 9.0, 4.6
"""Sizes of type within which the numbers of a plan are written."""
HEAD, FOOT, SIDE = 14.0, 30.0, 14.0
"""Room over the plan for the far end's name, under it for letters and scale, beside it for the lines' numbers."""
BESIDE = 0.12
"""Of the pad's longer side: how far beside it the level is still shown where it stands."""
_OPEN = f'<svg xmlns="http://www.w3.org/2000/svg" font-family="{FAMILY}, Arial, sans-serif"'


class Drawn(NamedTuple):
    """A drawing, and how high it is, points."""

    svg: str
    height: float


def plan_svg(plan: Plan, width: float, height: float) -> Drawn:
    """The plan within so many points, all of it to one scale, except where it is spread out for a pencil."""
    drawing = _Drawing(plan, width, height)
    parts = [*drawing.ground(), *drawing.axes(), *drawing.spots(), *drawing.around()]
    title = escape(f"{plan.title}. {plan.said}")
    svg = (
        f'{_OPEN} viewBox="0 0 {drawing.width:.1f} {drawing.height:.1f}" width="{drawing.width:.1f}"'
        f' height="{drawing.height:.1f}" role="img" aria-label="{title}">{"".join(parts)}</svg>'
    )
    return Drawn(svg, drawing.height)


class _Drawing:
    """Where everything of a plan lies on paper."""

    def __init__(self, plan: Plan, width: float, height: float) -> None:
        self.plan = plan
        reach = BESIDE * max(plan.width, plan.length)
        x = [0.0, plan.width, *([plan.tripod.x] if plan.tripod else [])]
        y = [0.0, plan.length, *([plan.tripod.y] if plan.tripod else [])]
        self.left, self.right = max(min(x), -reach), min(max(x), plan.width + reach)
        self.near, self.far = max(min(y), -reach), min(max(y), plan.length + reach)
        labels = [f"{spot.label}{spot.marks}" for spot in plan.spots]
        self.widest = max((width_of(label, 1.0, bold=True) for label in labels), default=1.0)
        self.beside, self.above = 4.0, 0.0
        # Numbers at the pad's edge reach beyond it; how far hangs on their size, and that on the room that is left.
        for _ in range(3):
            self._fit(width, height)
            size = self.size
            self.beside = max(self.widest * size / 2 + 2 - plan.columns[0][1] * self.across, 0.0) + 4
            self.above = max(0.65 * size + 1 - plan.lines[0][1] * self.along, 0.0)
        self.width = 2 * self.beside + SIDE + (self.right - self.left) * self.across
        self.height = HEAD + FOOT + 2 * self.above + (self.far - self.near) * self.along

    def _fit(self, width: float, height: float) -> None:
        room = width - SIDE - 2 * self.beside, height - HEAD - FOOT - 2 * self.above
        across, along = room[0] / (self.right - self.left), room[1] / (self.far - self.near)
        self.across, self.along = (across, along) if self.plan.spread_out else (min(across, along),) * 2

    @property
    def size(self) -> float:
        """The size of type at which every number has room; 0 where none has."""
        apart = [_apart([mm for _, mm in axis]) for axis in (self.plan.columns, self.plan.lines)]
        size = min((apart[0] * self.across - 4) / self.widest, (apart[1] * self.along - 2) / 1.3, LARGEST)
        return size if size >= LEAST else 0.0

    def x(self, mm: float) -> float:
        """From the left edge of the drawing."""
        return SIDE + self.beside + (mm - self.left) * self.across

    def y(self, mm: float) -> float:
        """From its top."""
        return HEAD + self.above + (self.far - mm) * self.along

    def ground(self) -> Iterator[str]:
        """The colour map, the pad's edge and the footprint."""
        plan = self.plan
        x, y, width, height = self.x(0), self.y(plan.length), plan.width * self.across, plan.length * self.along
        if plan.shades is not None:
            yield (
                f'<image x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" preserveAspectRatio="none"'
                f' href="{data_address(png_of(plan.shades, plan.colours), "image/png")}"/>'
            )
        for ring in plan.outline:
            corners = " ".join(f"{self.x(right):.2f},{self.y(away):.2f}" for right, away in ring)
            yield f'<polygon points="{corners}" fill="none" stroke="{INK}"/>'
        if not plan.outline:
            size = f'x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}"'
            yield f'<rect {size} fill="none" stroke="{INK}"/>'
        if plan.footprint is not None:
            left, right, near, far = plan.footprint
            yield (
                f'<rect x="{self.x(left):.2f}" y="{self.y(far):.2f}" width="{(right - left) * self.across:.2f}"'
                f' height="{(far - near) * self.along:.2f}" fill="none" stroke="{INK}" stroke-dasharray="4 3"/>'
            )

    def axes(self) -> Iterator[str]:
        """Letters under the columns, numbers beside the lines, as many as have room."""
        plan = self.plan
        every = _every([self.x(mm) for _, mm in plan.columns], 8.0)
        for letter, mm in plan.columns[::every]:
            yield _text(self.x(mm), self.y(0) + self.above + 9, letter, 6.5, anchor="middle", colour=MUTED)
        every = _every([self.y(mm) for _, mm in plan.lines], 8.0)
        for number, mm in plan.lines[::every]:
            yield _text(self.x(0) - self.beside, self.y(mm) + 2.3, number, 6.5, anchor="end", colour=MUTED)
        far, near = plan.edges
        yield _text(
            self.x(plan.width / 2), self.y(plan.length) - self.above - 4, far, 6.5, anchor="middle", colour=MUTED
        )
        length, said = plan.scale
        x, y = self.x(0), self.height - 6
        if not plan.spread_out:
            reach = length * self.across
            yield f'<path d="M{x:.2f} {y - 3:.2f}v3h{reach:.2f}v-3" fill="none" stroke="{INK}" stroke-width="1"/>'
            yield _text(x + reach + 4, y, said, 6.5, colour=MUTED)
            x += reach + 8 + width_of(said, 6.5)
        middle, under = self.x(plan.width / 2), self.y(0) + self.above + 18
        # Beside the scale bar where there is no line of its own.
        if under < y - 6 or middle - width_of(near, 6.5) / 2 > x + 4:
            yield _text(middle, under, near, 6.5, anchor="middle", colour=MUTED)

    def spots(self) -> Iterator[str]:
        """Every position with its story; its number where numbers have room, the gravest ones where not."""
        plan = self.plan
        size = self.size
        taken: list[tuple[float, float, float, float]] = []
        # The gravest first, so that they are the ones with room.
        for spot in sorted(plan.spots, key=lambda each: not each.strong) if not size else plan.spots:
            x, y = self.x(plan.columns[spot.column][1]), self.y(plan.lines[spot.row][1])
            named = bool(spot.label) and (size or (spot.strong and _free(taken, self._box(spot, x, y, 6.0))))
            body = _number(spot, x, y, size or 6.0) if named else _dot(spot, x, y)
            story = f"<title>{escape(spot.story)}</title>" if spot.story else ""
            yield f"<g>{story}{body}</g>"

    def _box(self, spot: Spot, x: float, y: float, size: float) -> tuple[float, float, float, float]:
        half = width_of(f"{spot.label}{spot.marks}", size, bold=True) / 2 + 2
        return x - half, y - size * 0.75, x + half, y + size * 0.75

    def around(self) -> Iterator[str]:
        """References on the pad, the tripod, and the arrow to the north."""
        plan = self.plan
        for point in plan.points:
            x, y = self.x(point.x), self.y(point.y)
            yield f'<path d="M{x:.2f} {y - 13:.2f}l4 6h-8z" fill="{INK}"><title>{escape(point.name)}</title></path>'
        if plan.tripod is not None:
            yield from self._tripod(plan.tripod)
        if plan.north is not None:
            yield from _north(self.width - 9, 9, plan.north)

    def _tripod(self, point: Point) -> Iterator[str]:
        x, y = self.x(min(max(point.x, self.left), self.right)), self.y(min(max(point.y, self.near), self.far))
        yield f'<circle cx="{x:.2f}" cy="{y:.2f}" r="3" fill="{INK}"><title>{escape(point.name)}</title></circle>'
        if not (0 <= point.x <= self.plan.width and 0 <= point.y <= self.plan.length):
            # Away from the pad's numbers, towards the drawing's edge.
            right = point.x > self.plan.width
            yield _text(x, y - 5 if right or point.y >= 0 else y + 9, point.name, 6.5, anchor="middle")


def _number(spot: Spot, x: float, y: float, size: float) -> str:
    label = f"{spot.label}{spot.marks}"
    half, tall = width_of(label, size, bold=True) / 2 + 1.5, size * 1.3
    frame = f' stroke="{ALARM}" stroke-width="1.2"' if spot.strong else ""
    box = (
        f'<rect x="{x - half:.2f}" y="{y - tall / 2:.2f}" width="{2 * half:.2f}" height="{tall:.2f}" rx="1.5"'
        f' fill="{PAPER}" fill-opacity="0.9"{frame}/>'
    )
    colour = ALARM if spot.strong else INK
    return box + _text(x, y + size * 0.36, label, size, anchor="middle", bold=spot.strong, colour=colour)


def _dot(spot: Spot, x: float, y: float) -> str:
    if not spot.label:
        return ""
    fill, stroke = (ALARM, ALARM) if spot.strong else (INK, INK) if spot.shot else (PAPER, INK)
    return (
        f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{1.8 if spot.strong else 1.1}" fill="{fill}" stroke="{stroke}"'
        ' stroke-width="0.4"/>'
    )


def _north(x: float, y: float, looks: float) -> Iterator[str]:
    """North is as far to the left of up as the far end looks to the right of north."""
    yield (
        f'<g transform="rotate({-looks:.0f} {x:.1f} {y:.1f})"><path d="M{x:.1f} {y - 8:.1f}l3.5 9-3.5-2-3.5 2z"'
        f' fill="{INK}"/></g>'
    )
    angle = math.radians(looks)
    yield _text(x - 13 * abs(math.cos(angle)) - 4, y + 3, "N", 7, anchor="end", bold=True)


def _text(
    x: float, y: float, text: str, size: float, *, anchor: str = "start", bold: bool = False, colour: str = INK
) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" text-anchor="{anchor}" fill="{colour}"{weight}>'
        f"{escape(text)}</text>"
    )


def _free(taken: list[tuple[float, float, float, float]], box: tuple[float, float, float, float]) -> bool:
    """Has a box room beside those taken? Then it is taken too."""
    if any(box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3] for other in taken):
        return False
    taken.append(box)
    return True


def _apart(places: list[float]) -> float:
    return min((abs(b - a) for a, b in pairwise(places)), default=math.inf)


def _every(places: list[float], room: float) -> int:
    """Each which name has room, of names so far apart."""
    return max(math.ceil(room / max(_apart(places), 1e-9)), 1)


# -- the strip ----------------------------------------------------------------------------------------------


def strip_svg(strip: Strip, width: float, height: float = 62.0) -> str:
    """All differences on one axis, stacked where they are alike, with the limits."""
    reach = max(strip.high, -strip.low, *(abs(value) for value in strip.values), strip.step)
    lowest, highest = min(strip.low, *strip.values) - 0.08 * reach, max(strip.high, *strip.values) + 0.08 * reach
    base, top, per_mm = height - 20, 4.0, width / (highest - lowest)

    def x(mm: float) -> float:
        return (mm - lowest) * per_mm

    parts = [
        f'<rect x="{x(strip.low):.2f}" y="{top}" width="{(strip.high - strip.low) * per_mm:.2f}"'
        f' height="{base - top:.2f}" fill="#eef1f5"/>',
        f'<path d="M0 {base:.2f}h{width:.2f}" stroke="{INK}" stroke-width="0.6"/>',
    ]
    # Stacks no closer than their dots: what falls within one is told by its width on the axis.
    bins = max(strip.step, 3.0 / per_mm)
    stacks = Counter(round(value / bins) for value in strip.values)
    tallest = max(stacks.values())
    dot = min(3.2, (base - top - 2) / tallest / 2, bins * per_mm / 2)
    tall = min((base - top - 2) / tallest, 2 * dot + 0.4)
    for at, count in sorted(stacks.items()):
        out = not strip.low - 1e-9 <= at * bins <= strip.high + 1e-9
        fill = ALARM if out else "#1f3a5f"
        if tallest > 12:
            parts.append(
                f'<rect x="{x(at * bins) - dot:.2f}" y="{base - count * tall:.2f}" width="{2 * dot:.2f}"'
                f' height="{count * tall:.2f}" fill="{fill}"/>'
            )
            continue
        parts += [
            f'<circle cx="{x(at * bins):.2f}" cy="{base - (row + 0.5) * tall - 0.6:.2f}" r="{dot:.2f}" fill="{fill}"/>'
            for row in range(count)
        ]
    low, middle, high = strip.labels
    wide = width_of(middle, 7)
    crowded = x(0) - x(strip.low) < wide / 2 + width_of(low, 7) / 2 or x(strip.high) - x(0) < wide
    for mm, said, anchor in (
        (strip.low, low, "end" if crowded else "middle"),
        (0.0, "" if crowded else middle, "middle"),
        (strip.high, high, "start" if crowded else "middle"),
    ):
        parts.append(f'<path d="M{x(mm):.2f} {top}V{base + 4:.2f}" stroke="{INK}" stroke-width="0.8"/>')
        half = width_of(said, 7) / 2
        place = x(mm) if crowded else min(max(x(mm), half), width - half)
        parts.append(_text(place, base + 13, said, 7, anchor=anchor))
    return (
        f'{_OPEN} viewBox="0 0 {width:.1f} {height:.1f}" width="{width:.1f}" height="{height:.1f}" role="img"'
        f' aria-label="{escape(strip.said)}">{"".join(parts)}</svg>'
    )


# -- pictures -----------------------------------------------------------------------------------------------


def png_of(shades: NDArray[np.uint8], colours: tuple[str, ...]) -> bytes:
    """A picture of few colours as PNG (ISO/IEC 15948), the last colour of its palette clear."""
    height, width = shades.shape
    clear = len(colours)
    rows = np.zeros((height, width + 1), np.uint8)
    rows[:, 1:] = np.minimum(shades, clear)
    palette = bytes(int(colour[at : at + 2], 16) for colour in (*colours, "#ffffff") for at in (1, 3, 5))
    parts = (
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 3, 0, 0, 0)),
        (b"PLTE", palette),
        (b"tRNS", b"\xff" * clear + b"\x00"),
        (b"IDAT", zlib.compress(rows.tobytes(), 6)),
        (b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body)) for kind, body in parts
    )


def data_address(content: bytes, kind: str) -> str:
    """Bytes as an address that needs no other file."""
    return f"data:{kind};base64,{base64.b64encode(content).decode('ascii')}"


def code_svg(said: str) -> str:
    """A QR code (ISO/IEC 18004), error correction M."""
    # Only a sheet that is drawn needs it.
    import segno

    drawn = str(segno.make_qr(said, error="m").svg_inline(scale=1, border=2, dark=INK, light=PAPER, omitsize=True))
    # With its name space, since a browser shows no picture within a picture without.
    return drawn.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
