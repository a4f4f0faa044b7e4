"""A sheet as PDF: its content goes as JSON to templates, which a typesetter lays out (`*.typ`, beside this file).

Why `typst`: tags and PDF/UA-1 checked as the file is written, heads that repeat and never stand alone, paragraphs,
lay-out that a designer can read, no network. It took the place of 1,000 lines of drawing by hand and an untagged
file. It costs 81 MB installed, against 32 MB for a PDF library and a picture library that both went; 14 ms to import,
only where a PDF or a photo is made; beside the same sheet as a web page 0.1 s or less for 12 and 200 spots, 0.4 s for
1,200, and 20 to 110 MB of memory (`tests.benchmarks.sheets`).
Fonts come by path and none from the system, so that a sheet is the same everywhere. A PDF/UA must not show what its
font lacks, and typst refuses the file then: such characters become a box before (`lettering`). The plan is one SVG
(`svg`) for PDF and web page; its text stays text in both. Photos need no picture library: `book/storage/pictures.py`
looks at their parts and size, and typst decodes them, turns them upright and makes them small, which leaves out what
the camera wrote of the place.
"""

from __future__ import annotations

import base64
import json
import struct
from collections.abc import Sequence
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from rodcall.i18n import say, spoken
from rodcall.sheets.content.blocks import (
    BLANK,
    Beside,
    Block,
    Certificate,
    Facts,
    Pictures,
    Plan,
    Remarks,
    Sheet,
    Table,
)
from rodcall.sheets.typeset.lettering import FAMILY, Lettering, fonts_folder, width_of
from rodcall.sheets.typeset.long_table import MOST_ROWS, long_table
from rodcall.sheets.typeset.svg import code_svg, plan_svg, strip_svg

if TYPE_CHECKING:
    from typst import Compiler

MARGIN = 40.0
LATEST = 253_402_300_799
"""Seconds since 1970 at the end of the year 9999, the last that a PDF can name."""
SMALL = 7.2
"""Size of type in tables, points; the templates have it too."""
GAP = 5.4
"""Between two columns of a table."""
GUTTER = 14.0
MOST_STRIPS = 6
PLAN_WIDTH, PLAN_HEIGHT = 356.0, 350.0
"""Room for the plan on the first page, letter; beside it stands its key."""
LINE = 11.0
"""What each line above the plan takes of that room."""
MOST_LINES = 55
"""Rows of a table up to which strips are read one after the other; a longer one is read line by line."""


class Paper(StrEnum):
    """Sizes of paper."""

    LETTER = "letter"
    A4 = "a4"

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in points: 8 1/2 x 11 in, 210 x 297 mm."""
        return (612.0, 792.0) if self is Paper.LETTER else (595.28, 841.89)

    @property
    def room(self) -> float:
        """Between the margins, points."""
        return self.size[0] - 2 * MARGIN


class Typeset(NamedTuple):
    """A sheet as a file, and the characters in it that the font lacks."""

    content: bytes
    missing: tuple[str, ...]


def to_pdf(sheet: Sheet, paper: Paper) -> Typeset:
    """Typeset a sheet as tagged PDF/UA-1; the same sheet gives the same bytes."""
    lettering = Lettering()
    data = lettering.all_printable(_sheet(sheet, paper), but="logo")
    content = _compiler().compile(
        input=str(_templates() / "sheet.typ"),
        format="pdf",
        sys_inputs={"data": json.dumps(data)},
        pdf_standards=["ua-1"],
        timestamp=min(max(int(sheet.made.timestamp()), 0), LATEST),
    )
    assert isinstance(content, bytes)
    return Typeset(content, lettering.missing)


def first_page(sheet: Sheet, paper: Paper) -> str:
    """The first page of a sheet as an SVG picture."""
    data = Lettering().all_printable(_sheet(sheet, paper), but="logo")
    pages = _compiler().compile(
        input=str(_templates() / "sheet.typ"), format="svg", sys_inputs={"data": json.dumps(data)}
    )
    first = pages[0] if isinstance(pages, list) else pages
    assert isinstance(first, bytes)
    return first.decode()


_THUMBNAIL = """#set page(width: 240pt, height: auto, margin: 0pt)
#image(bytes(json(bytes(sys.inputs.data))), width: 100%)"""
_DOTS_PER_INCH = 110


def thumbnail(photo: bytes) -> bytes:
    """A photo as a small PNG, upright as the camera held it, without what else the camera wrote of the place.

    Raises:
        ValueError: when it cannot be decoded.
    """
    from typst import TypstError

    data = json.dumps(list(photo))
    try:
        content = _compiler().compile(
            input=_THUMBNAIL.encode(), format="png", ppi=_DOTS_PER_INCH, sys_inputs={"data": data}
        )
    except TypstError as error:
        raise ValueError(str(error)) from None
    first = content[0] if isinstance(content, list) else content
    assert isinstance(first, bytes)
    return first


def _templates() -> Path:
    return Path(str(files(__package__)))


@lru_cache(maxsize=1)
def _compiler() -> Compiler:
    """The typesetter with our fonts and none of the system's, so that a sheet looks the same everywhere."""
    from typst import Compiler, Fonts

    fonts = Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(fonts_folder())])
    return Compiler(root=str(_templates()), font_paths=fonts)


# -- what the templates get ---------------------------------------------------------------------------------


def _sheet(sheet: Sheet, paper: Paper) -> dict[str, Any]:
    return {
        "title": sheet.title,
        "subject": sheet.subject,
        "author": [sheet.author] if sheet.author else [],
        "date": sheet.date,
        "foot": sheet.foot,
        "language": spoken(),
        "family": FAMILY,
        "size": list(paper.size),
        "margin": MARGIN,
        "page": say("page {number} of {total}", number="@", total="@").split("@"),
        "annex": say("Evidence and annex"),
        "certificate": _certificate(sheet.certificate, paper) if sheet.certificate is not None else None,
        "blocks": [each for block in sheet.blocks for each in _block(block, paper)],
    }


def _certificate(told: Certificate, paper: Paper) -> dict[str, Any]:
    plan = told.plan
    return {
        "contractor": {"name": told.contractor.name, "lines": told.contractor.lines, "logo": _logo(told)},
        "report": told.report,
        "facts": told.facts,
        "outcome": told.outcome,
        "word": told.word,
        "sentence": told.sentence,
        "reasons": told.reasons,
        "band": told.band,
        "plan": _plan(plan, PLAN_WIDTH, PLAN_HEIGHT + paper.size[1] - Paper.LETTER.size[1] - LINE * len(told.reasons)),
        "numbers": {"title": told.numbers.title, "rows": told.numbers.rows},
        "strip": None if told.strip is None else {"svg": strip_svg(told.strip, paper.room), "said": told.strip.said},
        "signatures": [say("{role}, name and date", role=role) for role in told.signatures],
        "digest": told.digest,
        "code": code_svg(told.code),
        "code-said": say("QR code of the digest: {code}", code=told.code),
        "validity": told.validity,
    }


def _logo(told: Certificate) -> str | None:
    """The logo as a drawing; a PNG lies in one of its own size."""
    kind, _, content = told.contractor.logo.partition(";base64,")
    if not content:
        return None
    raw = base64.b64decode(content)
    if kind.endswith("svg+xml"):
        return raw.decode("utf-8", "replace")
    width, height = struct.unpack_from(">II", raw, 16)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}">'
        f'<image href="{told.contractor.logo}" width="{width}" height="{height}"/></svg>'
    )


def _plan(plan: Plan, width: float, height: float) -> dict[str, Any]:
    drawn = plan_svg(plan, width, height)
    return {
        "kind": "plan",
        "title": plan.title,
        "said": plan.said,
        "svg": drawn.svg,
        "height": drawn.height,
        "key": plan.key,
        "notes": [*plan.notes, *([plan.north_said] if not plan.spread_out else [])],
    }


def _block(block: Block, paper: Paper) -> list[dict[str, Any]]:
    match block:
        case Facts():
            return [{"kind": "facts", "title": block.title, "rows": block.rows}]
        case Beside():
            return [{"kind": "beside", "parts": [_block(part, paper)[0] for part in (block.left, block.right)]}]
        case Remarks():
            return [{"kind": "remarks", "title": block.title, "lines": block.lines}]
        case Table():
            return [_table(block, paper)]
        case Plan():
            tall = 0.4 if block.spread_out else 0.42
            width = paper.room if block.spread_out else PLAN_WIDTH
            return [_plan(block, width, tall * paper.size[1])]
        case Pictures():
            pictures = [
                {"caption": each.caption, "png": list(each.png) if each.png else None} for each in block.pictures
            ]
            return [{"kind": "pictures", "title": block.title, "pictures": pictures}]


def _table(table: Table, paper: Paper) -> dict[str, Any]:
    widths = _widths(table)
    strips = _strips(table, widths, paper) if table.in_strips else 1
    if len(table.rows) > MOST_ROWS and not table.for_pencil:
        return long_table(table, strips, widths, paper.size[1] - 2 * MARGIN)
    lines = -(-len(table.rows) // strips)
    order = list(range(len(table.rows)))
    if strips > 1 and lines <= MOST_LINES:
        # Read down one strip, then down the next; what is missing at the end is left empty.
        order = [strip * lines + line for line in range(lines) for strip in range(strips)]
    rows = [list(table.rows[at]) if at < len(table.rows) else [""] * len(table.head) for at in order]
    return {
        "kind": "table",
        "title": table.title,
        "head": table.head,
        "rows": rows,
        "words": sorted(table.words_in),
        "none": table.none or say("none"),
        "strips": strips,
        "pencil": table.for_pencil,
        "strong": [place for place, at in enumerate(order) if at in table.strong],
        "note": table.note,
        "blank": BLANK,
    }


def _widths(table: Table) -> list[float]:
    """How wide the widest cell of each column is, points."""
    columns: Sequence[Sequence[str]] = list(zip(table.head, *table.rows, strict=True))
    hand = 44.0 if table.for_pencil else 0.0
    return [
        max(
            width_of(column[0], SMALL - 0.8, bold=True),
            *(hand if cell == BLANK else width_of(cell, SMALL, bold=bool(table.strong)) for cell in column[1:]),
            0.0,
        )
        for column in columns
    ]


def _strips(table: Table, widths: Sequence[float], paper: Paper) -> int:
    """How often the columns fit beside each other."""
    whole = sum(widths) + GAP * len(widths)
    return max(min(int((paper.room + GUTTER) / (whole + GUTTER)), MOST_STRIPS, max(len(table.rows), 1)), 1)
