"""A table of thousands of rows in a PDF: its columns are texts, and no row is out of step."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pdfplumber
import pytest
from pypdf import PdfReader

from rodcall.sheets.content.blocks import Table
from rodcall.sheets.make import Output, make
from rodcall.sheets.typeset import pdf
from rodcall.sheets.typeset.long_table import long_table
from rodcall.units import MM
from tests.kit import say
from tests.sheets.kit import a_file, shoot


@pytest.mark.parametrize("target", ["target 0", ""], ids=["rows that stand out", "none does"])
def test_every_row_is_in_one_line_of_its_strip(monkeypatch, target):
    monkeypatch.setattr(pdf, "MOST_ROWS", 100)
    opened = shoot(a_file(along=22, across=20), 6, 9 * MM)
    if target:
        say(opened.book, target)
    tables: list[Table] = []

    def laid_out(table: Table, *more: Any) -> dict[str, Any]:
        tables.append(table)
        return long_table(table, *more)

    monkeypatch.setattr(pdf, "long_table", laid_out)
    raw = make(opened, ".pdf", Output.AS_BUILT).content
    (table,) = tables
    assert len(table.rows) == 440
    lines: dict[str, tuple[str, ...]] = {}
    with pdfplumber.open(BytesIO(raw)) as read:
        for page in read.pages[1:]:
            if "Each column is read from top to bottom" not in page.extract_text() and not lines:
                continue
            words = page.extract_words(y_tolerance=1)
            heads = sorted(word["x0"] for word in words if word["text"] == table.head[0])
            for word in words:
                strip = max((at for at, x in enumerate(heads) if x <= word["x0"] + 1), default=None)
                if strip is not None:
                    row = (page.page_number, strip, round(word["top"]))
                    lines[row] = (*lines.get(row, ()), word["text"])
    found = {line[0]: line for line in lines.values()}
    for row in table.rows:
        assert found[row[0]] == tuple(" ".join(filter(None, row)).split()), row
    assert "<pdfuaid:part>1</pdfuaid:part>" in PdfReader(BytesIO(raw)).trailer["/Root"]["/Metadata"].get_data().decode()
