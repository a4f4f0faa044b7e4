"""The text of a job file: one entry a line, each line sealed over the one before it, and read back from any bytes.

A seal is the SHA-256 of the seal before it, a line feed, and the entry's own line as JSON without its seals. The first
entry follows on the seal of what was agreed. Beside it stands the line's own seal, over nothing but itself, so that a
line is known to be sound whatever became of the one before it; files from before there was one have the chain alone.
Bytes of any origin cost bounded time and memory: what no job can be is refused before it is taken apart.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from rodcall.i18n import say

FORMAT = "rodcall job"
VERSION = 1

MOST_BYTES = 64 * 2**20
"""A book of 50,000 entries takes about 12 MB; what is larger is no job."""
MOST_ENTRIES = 100_000
MOST_PARTS = 30 * MOST_ENTRIES
"""Commas and brackets in a file: a bound on what reading it can take of the memory."""

END_DIGITS = 16
"""Hexadecimal digits of the last seal that stand before the entries."""

OWN_DIGITS = 16
"""Hexadecimal digits of a line's own seal: 64 bits, against damage, not against people."""
BEFORE_ENTRIES, _AFTER_ENTRIES, _INDENT = '\n "entries": [\n', "\n ]\n}\n", "  "


_HEAD_BYTES = 4096
"""What stands before the entries takes no more."""
_SEALS_BYTES, _SEALS_PARTS = 128, 4
"""What the seals of a line and its lay-out take, at most."""


class JobFileError(Exception):
    """A file that is no job, or cannot be read; the text is one line that begins with the file's name."""

    def __init__(self, path: Path, text: str) -> None:
        super().__init__(f"{printable(path.name)}: {text}")


class TornError(JobFileError):
    """A file that is not whole: no text, or no JSON."""


Make = Callable[[dict[str, Any]], Any]
"""Makes what is kept of an entry of its content, as it is read: 50,000 dicts at once are 60 MB."""


class FileLine(NamedTuple):
    """One entry as it stands in a file."""

    text: str
    """With its seals, on one line."""
    seal: str
    """As it stands there; empty where there is none."""
    own: str
    """The line's own seal, as it stands there; empty where there is none."""
    made: Any
    """What was made of its content."""

    def fits(self, before: str) -> bool:
        """Is it as it was sealed, after that seal?"""
        content = self._as_sealed()
        if content is not None and self.seal == digest(before, content):
            return True
        # Written anew by another program, the same content may be spaced otherwise.
        return self.seal == digest(before, self._content())

    @property
    def is_sound(self) -> bool:
        """Is it as it was sealed, by itself? False too where it has no seal of its own."""
        content = self._as_sealed()
        if content is not None and self.own == own_seal(content):
            return True
        return bool(self.own) and self.own == own_seal(self._content())

    def with_own(self) -> FileLine:
        """The same entry with its own seal put right; for one that fits."""
        return self._replace(text=with_seals(self._content(), self.seal), own=own_seal(self._content()))

    def _as_sealed(self) -> str | None:
        """Its content as it stands there, where our own program wrote it."""
        ending = _seals_text(self.own, self.seal)
        return f"{self.text[: -len(ending)]}}}" if self.text.endswith(ending) else None

    def _content(self) -> str:
        return as_text(read_line(self.text, dict).made)


class End(NamedTuple):
    """What a file says of its last entry before it lists them, so that one that is missing at the end is missed."""

    entries: int
    seal: str
    """The first digits of its seal."""


@dataclass
class Document:
    """A job file in its parts."""

    version: int
    head: dict[str, Any]
    """What was agreed."""
    texts: list[str]
    """The line of each entry, as it stands."""
    joined: dict[str, Any] = field(default_factory=dict)
    """Of a joined book: where it comes from (see `join`)."""
    end: End | None = None
    """None in a file from before there was one."""

    @property
    def first_seal(self) -> str:
        """What the first entry follows on."""
        return first_seal(self.head, self.joined)


def printable(text: str) -> str:
    """Text of any origin as it may stand in a message: one line that disturbs no terminal."""
    return "".join(char if char.isprintable() else "·" for char in text)


def as_text(content: Any) -> str:
    """An object as it stands in a line."""
    return json.dumps(content, ensure_ascii=False)


def digest(before: str, text: str) -> str:
    """The seal of a text that follows on a seal."""
    return hashlib.sha256(f"{before}\n{text}".encode("utf-8", "surrogatepass")).hexdigest()


def own_seal(text: str) -> str:
    """The seal of a text by itself."""
    return digest("", text)[:OWN_DIGITS]


def first_seal(head: dict[str, Any], joined: dict[str, Any]) -> str:
    """The seal of what was agreed, and of where a joined book comes from."""
    seal = digest("", as_text(head))
    return digest(seal, as_text(joined)) if joined else seal


def sealed(content: dict[str, Any], before: str) -> tuple[str, str]:
    """The line of an entry that follows on a seal, and its seal."""
    return sealed_text(as_text(content), before)


def sealed_text(text: str, before: str) -> tuple[str, str]:
    """As `sealed`, of the entry's text."""
    seal = digest(before, text)
    return with_seals(text, seal), seal


def with_seals(text: str, seal: str) -> str:
    """The line of an object's text: its own seal and the one that is given."""
    return f"{text[:-1]}{_seals_text(own_seal(text), seal)}"


def document_text(head: dict[str, Any], joined: dict[str, Any], lines: list[str]) -> str:
    """The whole file."""
    top: dict[str, Any] = {"format": FORMAT, "version": VERSION, "job": head}
    if joined:
        top["joined"] = joined
    last = _LAST_SEAL.search(lines[-1]) if lines else None
    seal = last[1] if last is not None else "" if lines else first_seal(head, joined)
    top["end"] = {"entries": len(lines), "seal": seal[:END_DIGITS]}
    before = json.dumps(top, ensure_ascii=False, indent=1).removesuffix("\n}")
    return "".join((before, ",", BEFORE_ENTRIES, _INDENT, f",\n{_INDENT}".join(lines), _AFTER_ENTRIES))


def read_line(text: str, make: Make) -> FileLine:
    """An entry from its line; `make` is given its content without the seals.

    Raises:
        ValueError: when it is no JSON object.
    """
    content = _JSON.decode(text)
    if not isinstance(content, dict):
        raise ValueError(say("must be an object"))
    seal, own = content.pop("seal", ""), content.pop("own", "")
    return FileLine(text, seal if isinstance(seal, str) else "", own if isinstance(own, str) else "", make(content))


def read_document(raw: bytes, path: Path) -> Document:
    """A job file from its bytes, its entries as they stand, unread.

    Raises:
        TornError: when they are no text or no JSON.
        JobFileError: when they are something else, or more, than a job.
    """
    if len(raw) > MOST_BYTES:
        raise JobFileError(path, say("too large: the limit is {most} MB", most=MOST_BYTES // 2**20))
    if parts_of(raw) > MOST_PARTS:
        raise JobFileError(path, say("too many parts for a job"))
    if not raw.strip(b"\0\t\n\r "):
        # What a file system leaves of a file that was made and not written when the power went.
        raise TornError(path, say("empty; rodcall recover lists what is left of the job"))
    try:
        text = raw.decode("utf-8-sig")
        document = _as_written(text, path) or _as_any_json(text, path)
    except UnicodeDecodeError as error:
        raise TornError(path, say("byte {byte} is not UTF-8 text", byte=error.start + 1)) from None
    except json.JSONDecodeError as error:
        raise TornError(path, say("line {line}: not JSON ({why})", line=error.lineno, why=error.msg)) from None
    except RecursionError:
        raise TornError(path, say("not a job (nested too deep)")) from None
    except ValueError as error:
        raise TornError(path, say("not a job ({why})", why=str(error)[:60])) from None
    if len(document.texts) > MOST_ENTRIES:
        raise JobFileError(path, say("too many entries: the limit is {most}", most=MOST_ENTRIES))
    return document


def parts_of(raw: bytes) -> int:
    """Commas and brackets, as `MOST_PARTS` counts them."""
    return sum(map(raw.count, (b",", b"[", b"{")))


class Room:
    """What a file may still grow by, so that a reader takes it: the writer keeps the reader's limits."""

    def __init__(self) -> None:
        self._bytes, self._parts = MOST_BYTES - _HEAD_BYTES, MOST_PARTS - _HEAD_BYTES

    def weigh(self, raw: bytes) -> None:
        """Take what is on the disk off it."""
        self._bytes -= len(raw)
        self._parts -= parts_of(raw)

    def takes(self, text: str) -> bool:
        """Has an entry's text room? Then it is taken off."""
        raw = text.encode("utf-8", "surrogatepass")
        taken, parts = len(raw) + _SEALS_BYTES, parts_of(raw) + _SEALS_PARTS
        if taken > self._bytes or parts > self._parts:
            return False
        self._bytes -= taken
        self._parts -= parts
        return True


def read_top(head: str) -> dict[str, Any]:
    """What stands before the entries, from the text there.

    Raises:
        ValueError: when it is no JSON.
    """
    top = _JSON.decode(f"{head.rstrip().removesuffix(',')}}}")
    if not isinstance(top, dict):
        raise ValueError(say("must be an object"))
    return top


def checked(top: dict[str, Any], path: Path) -> Document:
    """A document without its entries, once the form of what stands before them is a job's.

    Raises:
        JobFileError: when it is not.
    """
    if top.get("format") != FORMAT:
        raise JobFileError(path, say('not a job file (its format is not "{format}")', format=FORMAT))
    version = top.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or not 1 <= version <= VERSION:
        raise JobFileError(
            path,
            say(
                "version {version}; this program reads version {known}", version=repr(str(version)[:12]), known=VERSION
            ),
        )
    unknown = top.keys() - {"format", "version", "job", "joined", "end"}
    if unknown:
        raise JobFileError(path, say("unknown: {name}", name=repr(min(unknown)[:24])))
    if not isinstance(top.get("job"), dict):
        raise JobFileError(path, say("job: must be an object"))
    if not isinstance(top.get("joined", {}), dict):
        raise JobFileError(path, say("joined: must be an object"))
    return Document(version, top["job"], [], top.get("joined", {}), _end(top.get("end")))


def _end(told: Any) -> End | None:
    """What a file says of its last entry; where that is no such thing, an end that fits no file."""
    if told is None:
        return None
    entries, seal = (told.get("entries"), told.get("seal")) if isinstance(told, dict) else (None, None)
    is_count = isinstance(entries, int) and not isinstance(entries, bool) and 0 <= entries <= MOST_ENTRIES
    return End(entries if is_count and isinstance(entries, int) else 0, seal if isinstance(seal, str) else "?")


def _as_written(text: str, path: Path) -> Document | None:
    """A file in our own lay-out, line by line and without a copy of it; None for any other."""
    head, found, _ = text.partition(BEFORE_ENTRIES)
    if not found or not text.endswith(_AFTER_ENTRIES):
        return None
    at, end = len(head) + len(found), len(text) - len(_AFTER_ENTRIES)
    texts = []
    try:
        top = read_top(head)
    except (ValueError, RecursionError):
        # The other way knows the place of the mistake.
        return None
    if text[at:] == _INDENT + _AFTER_ENTRIES:
        at = end
    while at < end:
        stop = text.find("\n", at, end)
        last = stop < 0
        stop = end if last else stop
        if not text.startswith(f"{_INDENT}{{", at, stop) or text[stop - 1] != ("}" if last else ","):
            return None
        texts.append(text[at + len(_INDENT) : stop if last else stop - 1])
        at = stop + 1
    document = checked(top, path)
    document.texts = texts
    return document


def _as_any_json(text: str, path: Path) -> Document:
    top = _JSON.decode(text)
    if not isinstance(top, dict) or top.get("format") != FORMAT:
        raise JobFileError(path, say('not a job file (its format is not "{format}")', format=FORMAT))
    entries = top.pop("entries", None)
    document = checked(top, path)
    if not isinstance(entries, list):
        raise JobFileError(path, say("entries: must be a list"))
    document.texts = list(map(as_text, entries))
    return document


def _seals_text(own: str, seal: str) -> str:
    return f', "own": "{own}", "seal": "{seal}"}}' if own else f', "seal": "{seal}"}}'


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise ValueError(say("{name} is twice in one object", name=repr(key[:24])))
        found[key] = value
    return found


def _no_number(name: str) -> Any:
    raise ValueError(say("{name} is not a number", name=name))


_LAST_SEAL = re.compile(r'"seal": "([0-9a-f]{64})"\}$')
_JSON = json.JSONDecoder(object_pairs_hook=_once, parse_constant=_no_number)
