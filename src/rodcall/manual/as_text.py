"""A page as plain text for a terminal: headings underlined, paragraphs and tables broken to the width."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from itertools import groupby

LEFT_MOST = 30
"""Characters of a table's left column at most; a longer cell has a line of its own."""


def as_text(markdown: str, width: int = 80) -> str:
    """Plain text of the Markdown that the pages use: headings, paragraphs, lists, two-column tables, code.

    >>> print(as_text("# Zero\\n\\nThe height that *others* are told from, such as `A1`.", 30))
    Zero
    ====
    <BLANKLINE>
    The height that others are
    told from, such as A1.
    """
    return "\n\n".join(_block(block, max(width, 40) - 1) for block in _blocks(markdown))


def _blocks(markdown: str) -> Iterator[list[str]]:
    """Lines that belong together; a fence keeps its blank lines."""
    gathered: list[str] = []
    fenced = False
    for line in markdown.splitlines():
        if line.startswith("```"):
            fenced = not fenced
        if line.strip() or fenced:
            gathered.append(line)
        elif gathered:
            yield gathered
            gathered = []
    if gathered:
        yield gathered


def _block(lines: list[str], width: int) -> str:
    first = lines[0]
    if first.startswith("#"):
        title = _plain(first.lstrip("# "))
        return f"{title}\n{('=' if first.startswith('# ') else '-') * len(title)}"
    if first.startswith("```"):
        return "\n".join(f"    {line}".rstrip() for line in lines if not line.startswith("```"))
    if first.startswith("|"):
        return _table(lines, width)
    if re.match(r"- |\d+\. ", first):
        return "\n".join(_items(lines, width))
    return textwrap.fill(_plain(" ".join(lines)), width, break_long_words=False, break_on_hyphens=False)


def _items(lines: list[str], width: int) -> Iterator[str]:
    """Items of a list, each with the lines that go on with it."""
    starts = [bool(re.match(r"- |\d+\. ", line)) for line in lines]
    numbered = zip(lines, (sum(starts[: at + 1]) for at in range(len(lines))), strict=True)
    for _, item in groupby(numbered, key=lambda each: each[1]):
        text = " ".join(line.strip() for line, _ in item)
        mark, _, rest = text.partition(" ")
        yield textwrap.fill(
            _plain(rest),
            width,
            initial_indent=f"{mark} ",
            subsequent_indent=" " * (len(mark) + 1),
            break_long_words=False,
            break_on_hyphens=False,
        )


def _table(lines: list[str], width: int) -> str:
    """Two columns: the left as wide as it needs, the right broken; the heads of the columns are left out."""
    rows = [[_plain(cell) for cell in re.split(r"(?<!\\)\|", line.strip()[1:-1])] for line in lines[2:]]
    left = min(max((len(row[0]) for row in rows), default=0), LEFT_MOST)
    told = []
    for row in rows:
        right = textwrap.wrap("  ".join(filter(None, row[1:])), width - left - 4, break_long_words=False) or [""]
        if len(row[0]) > left:
            told += [f"  {row[0]}", *(f"  {'':{left}}  {line}" for line in right)]
        else:
            told += [f"  {row[0]:{left}}  {right[0]}".rstrip(), *(f"  {'':{left}}  {line}" for line in right[1:])]
    return "\n".join(told)


def _plain(text: str) -> str:
    """Without the marks of Markdown: code, emphasis, links, and what was escaped for a table."""
    text = re.sub(r"\[([^]]+)\]\([^)]+\)", r"\1", text.strip())
    text = re.sub(r"(?<![\w`])\*\*?([^*`]+)\*\*?(?![\w`])", r"\1", text)
    return text.replace("\\|", "|").replace("`", "")
