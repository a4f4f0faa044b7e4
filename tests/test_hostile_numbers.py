"""Wrong values in every field of a job file, sealed as if they were right, go through figures, sheets and season."""

from __future__ import annotations

import copy
import json
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rodcall.book.storage.job_format import document_text, first_seal, sealed
from rodcall.book.storage.opening import JobFileError, open_job
from rodcall.figures.summary import summarise
from rodcall.sheets.exports.figures_json import figures
from rodcall.sheets.exports.season import row
from rodcall.sheets.make import Form, SheetError, make
from tests.cli.kit import rodcall
from tests.make_old_file import FOLDER

WRONG = (2**31, 2**53, 2**63, 10**30, -1, -(2**63), 0, 1e308, 5e-324, True, None, "9" * 5000, [], {})
SIZES = ("0.000001 mm", "1 mm", "10000 m", "0 mm")
TIMES = ("0001-01-01T00:00:00+23:59", "9999-12-31T23:59:59-23:59", "1969-12-31T00:00:00Z")
DOCUMENT = json.loads((FOLDER / "version-1.json").read_bytes())
HEAD = DOCUMENT["job"]
ENTRIES = [{key: value for key, value in each.items() if key not in ("own", "seal")} for each in DOCUMENT["entries"]]


def write(path: Path, head: dict[str, Any], entries: list[dict[str, Any]]) -> None:
    lines, seal = [], first_seal(head, {})
    for each in entries:
        line, seal = sealed(each, seal)
        lines.append(line)
    path.write_text(document_text(head, {}, lines), "utf-8")


def goes_through(path: Path) -> None:
    """Refused in one line, or every figure and sheet is made; no number overflows on the way."""
    told = row(path)
    assert told.message.isprintable()
    try:
        opened = open_job(path, "reader")
    except JobFileError:
        return
    summary = summarise(opened.book.page)
    with warnings.catch_warnings():
        warnings.simplefilter("error", RuntimeWarning)
        json.dumps(figures(summary), allow_nan=False)
        summary.dig(lambda _: None)
        for kind in (".txt", ".html", ".csv", ".xml"):
            try:
                make(opened, kind, Form.AS_BUILT)
            except SheetError:
                continue


def heads() -> Iterator[tuple[str, Any]]:
    for key, value in HEAD.items():
        yield from ((key, wrong) for wrong in WRONG)
        sized = isinstance(value, str) and value.endswith((" ft", " in", " mm", " m"))
        yield from ((key, size) for size in SIZES if sized)
    yield from (("created", time) for time in TIMES)


@pytest.mark.parametrize("key", HEAD)
def test_a_wrong_value_in_what_was_agreed(tmp_path, key):
    for name, value in heads():
        if name == key:
            write(tmp_path / "pad.json", {**HEAD, key: value}, ENTRIES)
            goes_through(tmp_path / "pad.json")


@pytest.mark.parametrize("kind", sorted({each["kind"] for each in ENTRIES}))
def test_a_wrong_value_in_an_entry(tmp_path, kind):
    at = next(at for at, each in enumerate(ENTRIES) if each["kind"] == kind)
    for key, value in ENTRIES[at].items():
        for wrong in (*WRONG, *(TIMES if key == "time" else ())):
            entries = copy.deepcopy(ENTRIES)
            is_list = isinstance(value, list) and not isinstance(wrong, list)
            entries[at][key] = [wrong] * len(value) if is_list else wrong
            write(tmp_path / "pad.json", HEAD, entries)
            goes_through(tmp_path / "pad.json")


@pytest.mark.parametrize("length", [2**63, 10**13 + 1, f"{2**63} m", "1e300 m", "9" * 5000 + " ft"], ids=range(5))
def test_a_hostile_length_is_one_line_from_every_command(tmp_path, length):
    path = tmp_path / "pad.json"
    write(path, {**HEAD, "length": length}, ENTRIES)
    for command in ("figures", "verdict", "dig", "layout"):
        assert rodcall(command, path).refusal.startswith("pad.json: job: length: ")
    told = rodcall("season", tmp_path)
    assert (told.status, told.out.count("\n")) == (0, 2)
