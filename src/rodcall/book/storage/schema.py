"""The JSON Schema (2020-12) of a job file."""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter

from rodcall.book.model.entries import AnyEntry
from rodcall.book.model.job import Job
from rodcall.book.storage.job_format import FORMAT, VERSION

_SEAL = {"type": "string", "description": "SHA-256 over the seal before and this"}
_OWN = {"type": "string", "description": "the first 16 digits of SHA-256 over a line feed and this alone"}
_END = {
    "type": "object",
    "description": "The last entry, so that one that is missing at the end is missed",
    "properties": {
        "entries": {"type": "integer", "description": "how many there are"},
        "seal": {"type": "string", "description": "the first 16 digits of the last one's seal"},
    },
    "required": ["entries", "seal"],
}
_JOINED = {
    "type": "object",
    "description": "Where the entries of a joined book come from",
    "properties": {
        "entries": {"type": "integer", "description": "how many it had when it was joined"},
        "books": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {"seal": {"type": "string"}, "entries": {"type": "integer"}},
                "required": ["seal", "entries"],
            },
        },
        "edited": {"type": "array", "description": "tablet and number of entries whose seal was broken"},
    },
    "required": ["entries", "books", "edited"],
}


def json_schema() -> dict[str, Any]:
    """What `rodcall schema` prints."""
    entry = TypeAdapter(AnyEntry).json_schema(ref_template="#/$defs/{model}", mode="validation")
    head = Job.model_json_schema(ref_template="#/$defs/{model}", mode="validation")
    definitions = {**entry.pop("$defs", {}), **head.pop("$defs", {}), "Job": head, "Entry": entry}
    for kind in definitions.values():
        if "kind" in kind.get("properties", {}):
            kind["properties"]["seal"] = _SEAL
            kind["properties"]["own"] = _OWN
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
            "joined": _JOINED,
            "end": _END,
            "entries": {"type": "array", "items": {"$ref": "#/$defs/Entry"}},
        },
        "required": ["format", "version", "job", "entries"],
        "additionalProperties": False,
        "$defs": definitions,
    }
