"""Compiles a gettext catalogue: the text that a translator edits (`.po`) to the tables that a program reads (`.mo`).

Both forms are those of the GNU gettext manual, chapters "The Format of PO Files" and "The Format of GNU MO Files". Two
use it: the build of the package, and a checkout whose `.po` was edited since. It imports nothing of the package, since
the build runs it as a file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from struct import pack

_PART = re.compile(r'(msgctxt|msgid|msgid_plural|msgstr|msgstr\[\d+\])?\s*"(.*)"\s*')
_ESCAPE = re.compile(r"\\(.)")
_ESCAPED = {"n": "\n", "t": "\t", "r": "\r"}
_MAGIC, _HEAD = 0x950412DE, 28


class PoError(ValueError):
    """A line that no catalogue has; the message begins with its number, from 1."""


def compiled(po: str) -> bytes:
    """The `.mo` of a `.po`; an entry that is fuzzy or not wholly translated is left out.

    Raises:
        PoError: for a line that is neither a comment nor a part of an entry.
    """
    pairs = sorted((_key(parts).encode(), each.encode()) for parts in _entries(po) if (each := _translation(parts)))
    keys, values = [key for key, _ in pairs], [value for _, value in pairs]
    tables, text, at = b"", b"", _HEAD + 16 * len(pairs)
    for part in (*keys, *values):
        tables += pack("<II", len(part), at + len(text))
        text += part + b"\0"
    head = pack("<7I", _MAGIC, 0, len(pairs), _HEAD, _HEAD + 8 * len(pairs), 0, at)
    return head + tables + text


def _entries(po: str) -> Iterator[dict[str, str]]:
    """The parts of each entry, by keyword (`msgctxt`, `msgid`, `msgstr[0]`); of a fuzzy one, nothing."""
    parts: dict[str, str] = {}
    fuzzy, keyword = False, ""
    for number, line in enumerate(po.splitlines(), 1):
        if not line.strip():
            continue
        comment = line.startswith("#")
        part = None if comment else _PART.fullmatch(line)
        if part is None and not comment:
            raise PoError(f"{number}: {line}")
        begins = comment or (part is not None and part[1] in ("msgctxt", "msgid"))
        if begins and any(each.startswith("msgstr") for each in parts):
            if not fuzzy:
                yield parts
            parts, fuzzy = {}, False
        if comment:
            fuzzy |= line.startswith("#,") and "fuzzy" in line
        elif part is not None:
            keyword = part[1] or keyword
            parts[keyword] = parts.get(keyword, "") + _ESCAPE.sub(
                lambda found: _ESCAPED.get(found[1], found[1]), part[2]
            )
    if parts and not fuzzy:
        yield parts


def _key(parts: dict[str, str]) -> str:
    context = f"{parts['msgctxt']}\4" if "msgctxt" in parts else ""
    plural = f"\0{parts['msgid_plural']}" if "msgid_plural" in parts else ""
    return f"{context}{parts['msgid']}{plural}"


def _translation(parts: dict[str, str]) -> str:
    forms = [parts[name] for name in sorted(parts) if name.startswith("msgstr")]
    return "\0".join(forms) if all(forms) else ""
