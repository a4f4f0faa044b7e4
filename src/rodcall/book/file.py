"""One job, one JSON file: read with every doubt checked, replaced as a whole, never left half written.

The file is `{"format", "version", "job", "entries"}` with one entry a line, so that a person can read it and a
line-by-line comparison shows what was added. Each entry carries a seal: the SHA-256 of the seal before it and of
its own content, so that a later edit shows at its place.
"""

from __future__ import annotations

import hashlib
import json
import os
import uuid
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError

from rodcall.book.book import Book
from rodcall.book.entries import AnyEntry, Entry
from rodcall.book.job import Job
from rodcall.book.page import PageError
from rodcall.book.replace import replace_file

FORMAT = "rodcall job"
VERSION = 1
MOST_BYTES = 64 * 2**20
"""A book of 50,000 entries takes about 20 MB; what is larger is no job."""

_KINDS: dict[str, type[Entry]] = {kind.model_fields["kind"].default: kind for kind in Entry.__subclasses__()}
"""Each kind checks itself, so that opening builds no checker for kinds that the book does not hold."""


class JobFileError(Exception):
    """A file that is no job, or cannot be read; the text is one line with the place in the file."""


class JobFile:
    """A job's book and the file that keeps it.

    The lines already in the file are kept as they are; only what was written since is turned into text, so the
    seals of an entry that somebody edited keep telling.
    """

    def __init__(self, path: Path, book: Book) -> None:
        self.path = path
        self.book = book
        self.broken_seals: tuple[int, ...] = ()
        """Places in the entries (1 is the first) where a seal does not fit: edited outside of rodcall."""
        self._head = json.loads(book.job.model_dump_json())
        self._seals = [_seal("", self._head)]
        self._lines: list[str] = []

    @property
    def unwritten(self) -> int:
        """Entries that are in the book and not yet in `content`."""
        return len(self.book.entries) - len(self._lines)

    @property
    def seal(self) -> str:
        """The last entry's seal, which stands for the whole book up to it."""
        return self.seals[-1]

    @property
    def seals(self) -> tuple[str, ...]:
        """The seal of what was agreed, then that of each entry."""
        self._catch_up()
        return tuple(self._seals)

    def content(self) -> bytes:
        """The whole file as it should stand now."""
        self._catch_up()
        head = json.dumps({"format": FORMAT, "version": VERSION, "job": self._head}, ensure_ascii=False, indent=1)
        entries = ",\n  ".join(self._lines)
        return f'{head[:-2]},\n "entries": [\n  {entries}\n ]\n}}\n'.encode()

    def save(self) -> int:
        """Replace the file by the book as it is now, and return how many entries are on the disk.

        Raises:
            OSError: when the disk did not take it; the file is as it was.
        """
        content = self.content()
        kept = len(self._lines)
        replace_file(self.path, content)
        return kept

    def _catch_up(self) -> None:
        for entry in self.book.entries[len(self._lines) :]:
            content = json.loads(entry.model_dump_json(exclude_defaults=False))
            self._seals.append(_seal(self._seals[-1], content))
            self._lines.append(json.dumps({**content, "seal": self._seals[-1]}, ensure_ascii=False))

    def _keep_lines(self, entries: Iterable[dict[str, Any]]) -> None:
        broken = []
        for place, raw in enumerate(entries, 1):
            seal = raw.get("seal")
            content = {key: value for key, value in raw.items() if key != "seal"}
            if seal != _seal(self._seals[-1], content):
                broken.append(place)
            self._seals.append(seal if isinstance(seal, str) else "")
            self._lines.append(json.dumps(raw, ensure_ascii=False))
        self.broken_seals = tuple(broken)


def open_job(path: Path, tablet: str) -> JobFile:
    """Read a job, checking everything: its form, its version, each entry, and that each means what was said.

    Raises:
        JobFileError: with the place in the file; the file is not touched.
    """
    document = _document(path)
    job = read_head(document, path)
    raw_entries = document["entries"]
    if not isinstance(raw_entries, list):
        raise JobFileError(f"{path.name}: entries: a list is wanted")
    book = Book(job, tablet)
    for entry in _entries(raw_entries, path):
        try:
            book.take(entry)
        except PageError as error:
            raise JobFileError(f"{path.name}: entry {len(book.entries) + 1}: {error}") from None
    opened = JobFile(path, book)
    opened._keep_lines(raw_entries)
    return opened


def new_job_file(path: Path, job: Job, tablet: str) -> JobFile:
    """Begin a job's file on the disk.

    Raises:
        JobFileError: when something is there already or the disk does not take it.
    """
    if path.exists():
        raise JobFileError(f"{path.name}: there is a file already; open it or choose another name")
    created = JobFile(path, Book(job, tablet))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        created.save()
    except OSError as error:
        raise JobFileError(f"{path.name}: cannot be written ({_reason(error)})") from None
    return created


def json_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of a job file."""
    entry = TypeAdapter(AnyEntry).json_schema(ref_template="#/$defs/{model}", mode="validation")
    head = Job.model_json_schema(ref_template="#/$defs/{model}", mode="validation")
    definitions = {**entry.pop("$defs", {}), **head.pop("$defs", {}), "Job": head, "Entry": entry}
    for kind in definitions.values():
        if "kind" in kind.get("properties", {}):
            kind["properties"]["seal"] = {
                "type": "string",
                "description": "SHA-256 over the seal before and this",
            }
            kind["required"] = sorted({*kind.get("required", []), "kind"})
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "rodcall job",
        "description": "A field book: what was agreed, and the entries in the order written. Lengths in nm.",
        "type": "object",
        "properties": {
            "format": {"const": FORMAT},
            "version": {"const": VERSION},
            "job": {"$ref": "#/$defs/Job"},
            "entries": {"type": "array", "items": {"$ref": "#/$defs/Entry"}},
        },
        "required": ["format", "version", "job", "entries"],
        "additionalProperties": False,
        "$defs": definitions,
    }


def new_job_id() -> str:
    """A name for a job that no other tablet will give to another."""
    return uuid.uuid4().hex


def read_head(document: dict[str, Any], path: Path) -> Job:
    """The job in a document whose form was checked.

    Raises:
        JobFileError: with the field that cannot be.
    """
    try:
        return Job.model_validate(document["job"])
    except ValidationError as error:
        raise JobFileError(f"{path.name}: {_first(error, 'job')}") from None


def _document(path: Path) -> dict[str, Any]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise JobFileError(f"{path.name}: larger than any job ({MOST_BYTES // 2**20} MB)")
        raw = path.read_bytes()
    except OSError as error:
        raise JobFileError(f"{path.name}: cannot be read ({_reason(error)})") from None
    try:
        document = json.loads(raw.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_number)
    except UnicodeDecodeError as error:
        raise JobFileError(f"{path.name}: byte {error.start + 1} is no UTF-8 text") from None
    except json.JSONDecodeError as error:
        raise JobFileError(f"{path.name}: line {error.lineno}: no JSON ({error.msg})") from None
    except (ValueError, RecursionError) as error:
        raise JobFileError(f"{path.name}: no job ({str(error)[:60] or 'nested too deep'})") from None
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise JobFileError(f'{path.name}: no job file (format "{FORMAT}" is wanted)')
    if document.get("version") != VERSION or isinstance(document.get("version"), bool):
        version = str(document.get("version"))[:12]
        raise JobFileError(f"{path.name}: version {version!r}; this program reads version {VERSION}")
    missing = {"job", "entries"} - document.keys()
    unknown = document.keys() - {"format", "version", "job", "entries"}
    if missing or unknown:
        raise JobFileError(
            f"{path.name}: {'missing' if missing else 'unknown'}: {sorted(missing or unknown)[0][:24]!r}"
        )
    return document


def _entries(raw_entries: list[Any], path: Path) -> Iterator[Entry]:
    for place, raw in enumerate(raw_entries, 1):
        if not isinstance(raw, dict):
            raise JobFileError(f"{path.name}: entry {place}: an object is wanted")
        if not isinstance(raw.get("kind"), str) or raw["kind"] not in _KINDS:
            raise JobFileError(f"{path.name}: entry {place}: kind {str(raw.get('kind'))[:24]!r} is not known")
        try:
            yield _KINDS[raw["kind"]].model_validate({key: value for key, value in raw.items() if key != "seal"})
        except ValidationError as error:
            raise JobFileError(f"{path.name}: {_first(error, f'entry {place}')}") from None


def _first(error: ValidationError, place: str) -> str:
    """The first complaint, in one line with its place."""
    first = error.errors(include_url=False, include_context=False)[0]
    where = " ".join(str(part) for part in first["loc"][-1:])
    message = first["msg"].removeprefix("Value error, ").splitlines()[0]
    return f"{place}{': ' + where if where else ''}: {message}"[:160]


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise ValueError(f"{twice[:24]!r} stands twice in one object")
    return found


def _no_number(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _seal(before: str, content: dict[str, Any]) -> str:
    canonical = json.dumps(content, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(f"{before}\n{canonical}".encode("utf-8", "surrogatepass")).hexdigest()


def _reason(error: OSError) -> str:
    return (error.strerror or os.strerror(error.errno or 0)).lower()
