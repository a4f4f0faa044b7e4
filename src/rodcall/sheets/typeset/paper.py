"""Paper, and the flow of what is drawn on it: first all pages are laid out, then they are painted.

Only so the first page can say how many there are. Lengths are points (1/72 in), measured from the lower left corner.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from io import BytesIO
from typing import Any

from rodcall.i18n import say
from rodcall.sheets.typeset.lettering import LARGE, SMALL, Lettering, font_name

LINE = 11.0
"""From one baseline to the next: all that stands on a sheet stands on this."""
GUTTER = 14.0
MARGIN = 42.0
BLACK, GREY, FAINT = "#000000", "#606060", "#c8c8c8"

Progress = Callable[[int, int], None]
"""Told after each page: how many are painted, and of how many."""


class Paper(StrEnum):
    """Sizes of paper."""

    LETTER = "letter"
    A4 = "a4"

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in points: 8 1/2 x 11 in, 210 x 297 mm."""
        return (612.0, 792.0) if self is Paper.LETTER else (595.28, 841.89)


class _Page:
    """Takes down what is asked of a canvas, to be done when all pages are known."""

    def __init__(self) -> None:
        self.calls: list[tuple[str, tuple[Any, ...], dict[str, Any]]] = []

    def __getattr__(self, name: str) -> Callable[..., None]:
        return lambda *args, **more: self.calls.append((name, args, more))

    def paint(self, canvas: Any) -> None:
        """Do it."""
        for name, args, more in self.calls:
            getattr(canvas, name)(*args, **more)


class Pen:
    """Draws on a page; what the font lacks becomes a box."""

    def __init__(self, canvas: Any, lettering: Lettering) -> None:
        self._canvas = canvas
        self._lettering = lettering

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        bold: bool = False,
        size: float = SMALL,
        align: str = "left",
        colour: str = BLACK,
    ) -> None:
        """Write one line from, up to, or about x."""
        canvas = self._canvas
        canvas.setFont(font_name(bold), size)
        canvas.setFillColor(colour)
        write = {"left": canvas.drawString, "right": canvas.drawRightString, "middle": canvas.drawCentredString}[align]
        write(x, y, self._lettering.printable(text, bold=bold))

    def rule(
        self, x1: float, y1: float, x2: float, y2: float, *, thick: float = 0.5, colour: str = BLACK, dash: bool = False
    ) -> None:
        """Draw a straight line."""
        self._line(thick, colour, dash)
        self._canvas.line(x1, y1, x2, y2)

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        *,
        fill: str | None = None,
        thick: float = 0.5,
        colour: str = BLACK,
        dash: bool = False,
    ) -> None:
        """Draw a rectangle from its lower left corner."""
        self._line(thick, colour, dash)
        if fill is not None:
            self._canvas.setFillColor(fill)
        self._canvas.rect(x, y, width, height, stroke=int(thick > 0), fill=int(fill is not None))

    def shape(self, points: Sequence[tuple[float, float]], *, fill: str = BLACK) -> None:
        """Fill a polygon."""
        from reportlab.pdfgen.pathobject import PDFPathObject

        path = PDFPathObject()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        path.close()
        self._canvas.setFillColor(fill)
        self._canvas.drawPath(path, stroke=0, fill=1)

    def dot(self, x: float, y: float, radius: float, *, hollow: bool) -> None:
        """Draw a small circle."""
        self._line(0.5, BLACK, False)
        self._canvas.setFillColor("#ffffff" if hollow else BLACK)
        self._canvas.circle(x, y, radius, stroke=1, fill=1)

    def image(self, picture: Any, x: float, y: float, width: float, height: float) -> None:
        """Place a picture."""
        from reportlab.lib.utils import ImageReader

        self._canvas.drawImage(ImageReader(picture), x, y, width, height)

    def _line(self, thick: float, colour: str, dash: bool) -> None:
        self._canvas.setLineWidth(thick)
        self._canvas.setStrokeColor(colour)
        self._canvas.setDash(*((4, 2) if dash else ()))


@dataclass(frozen=True)
class Heads:
    """What stands on every page."""

    title: str
    subject: str
    foot: str
    made: datetime
    date: str
    """As shown on the first page."""


class Flow:
    """Where the next block goes, and all that was put on the pages so far.

    Args:
        paper: Size.
        heads: What stands on every page.
        lettering: Measures text.
    """

    def __init__(self, paper: Paper, heads: Heads, lettering: Lettering) -> None:
        self.page_width, self.page_height = paper.size
        self.left, self.right = MARGIN, self.page_width - MARGIN
        self.lettering = lettering
        self._heads = heads
        self._bottom = MARGIN + 2 * LINE
        self._pages: list[_Page] = []
        self.y = 0.0
        """Top of what is free."""
        self._first_page()

    @property
    def width(self) -> float:
        """Between the margins."""
        return self.right - self.left

    @property
    def room(self) -> float:
        """Height that is left on this page."""
        return self.y - self._bottom

    @property
    def whole_room(self) -> float:
        """Height of a page after the first."""
        return self._top - self._bottom

    @property
    def fresh(self) -> bool:
        """True where nothing stands on this page yet."""
        return len(self._pages) > 1 and self.y >= self._top

    def text(self, x: float, text: str, **how: Any) -> None:
        """Write on the next line without moving on."""
        self.pen.text(x, self.y - LINE + 3, text, **how)

    def move(self, height: float) -> None:
        """Leave a height behind."""
        self.y -= height

    def need(self, height: float) -> None:
        """Begin a new page where this one has not so much room left."""
        if height > self.room and not self.fresh:
            self.new_page()

    def heading(self, title: str, following: float = 2 * LINE) -> None:
        """Begin a section: a rule and a title, kept together with what follows."""
        self.need(2.5 * LINE + following)
        if not self.fresh:
            self.move(LINE)
        self.pen.rule(self.left, self.y, self.right, self.y, thick=0.7)
        self.move(3)
        self.text(self.left, title, bold=True)
        self.move(1.35 * LINE)

    def new_page(self) -> None:
        """Begin a page after the first."""
        self._begin()
        heads, y = self._heads, self.page_height - MARGIN - LINE + 3
        self.pen.text(self.left, y, heads.title, bold=True)
        after = self.left + self.lettering.width(heads.title, bold=True) + GUTTER
        subject = self.lettering.wrap(heads.subject, self.right - after)[0]
        self.pen.text(after, y, subject)
        self.y = self._top

    @property
    def _top(self) -> float:
        return self.page_height - MARGIN - 2 * LINE

    def _begin(self) -> None:
        self._pages.append(_Page())
        self.pen = Pen(self._pages[-1], self.lettering)

    def _first_page(self) -> None:
        self._begin()
        self.y = self.page_height - MARGIN
        heads = self._heads
        self.move(LARGE - LINE)
        self.text(self.left, heads.title, bold=True, size=LARGE)
        self.text(self.right, heads.date, size=LARGE, align="right")
        self.move(LINE + 4)
        for line in self.lettering.wrap(heads.subject, self.width * SMALL / LARGE):
            self.move(LARGE - LINE)
            self.text(self.left, line, size=LARGE)
            self.move(LINE + 2)

    def paint(self, progress: Progress | None = None) -> bytes:
        """Paint all pages and return the PDF; the same flow gives the same bytes."""
        from reportlab.pdfgen.canvas import Canvas

        heads, out = self._heads, BytesIO()
        canvas = Canvas(out, pagesize=(self.page_width, self.page_height), invariant=1, pageCompression=1)
        canvas.setTitle(self.lettering.printable(f"{heads.title}: {heads.subject}"))
        canvas.setCreator("rodcall")
        canvas.setSubject("")
        canvas.setDateFormatter(lambda *_: f"D:{heads.made:%Y%m%d%H%M%S}")
        pen, total = Pen(canvas, self.lettering), len(self._pages)
        for number, page in enumerate(self._pages, 1):
            page.paint(canvas)
            pen.rule(self.left, MARGIN + LINE, self.right, MARGIN + LINE)
            pen.text(self.left, MARGIN, heads.foot, colour=GREY)
            pen.text(self.right, MARGIN, say("page {number} of {total}", number=number, total=total), align="right")
            canvas.showPage()
            if progress is not None:
                progress(number, total)
        canvas.save()
        return out.getvalue()
