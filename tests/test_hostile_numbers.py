"""Wrong values in every field of a job file, sealed as if they were right, go through figures, sheets and season."""

from __future__ import annotations

import asyncio
import contextlib
import copy
import json
import tempfile
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rodcall.book.entry_lines import DictationError, dictate
from rodcall.book.model.terms import TERMS
from rodcall.book.storage.job_format import document_text, first_seal, sealed
from rodcall.book.storage.opening import JobFileError, new_job_file, open_job, open_to_write
from rodcall.book.storage.schema import json_schema
from rodcall.figures.summary import summarise
from rodcall.sheets.exports.figures_json import figures
from rodcall.sheets.exports.season import row
from rodcall.sheets.make import Output, SheetError, make
from rodcall.tui.app import RodcallApp
from rodcall.units import FOOT, MM, SIZE_LIMIT, M, Unit
from tests.cli.kit import rodcall
from tests.kit import a_job
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
                make(opened, kind, Output.AS_BUILT)
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


@pytest.mark.parametrize("at", [at for at, each in enumerate(ENTRIES) if each["kind"] == "term"])
def test_a_term_said_as_a_control_character_is_told_as_text(tmp_path, at):
    """What a terminal would obey is never in the line that refuses a file."""
    entries = copy.deepcopy(ENTRIES)
    entries[at]["said"] = "\x1b"
    write(tmp_path / "pad.json", HEAD, entries)
    assert row(tmp_path / "pad.json").message.startswith(f"pad.json: entry {at + 1}: ")
    goes_through(tmp_path / "pad.json")


@pytest.mark.parametrize("length", [2**63, 10**13 + 1, f"{2**63} m", "1e300 m", "9" * 5000 + " ft"], ids=range(5))
def test_a_hostile_length_is_one_line_from_every_command(tmp_path, length):
    path = tmp_path / "pad.json"
    write(path, {**HEAD, "length": length}, ENTRIES)
    for command in ("figures", "verdict", "dig", "layout"):
        assert rodcall(command, path).refusal.startswith("pad.json: job: length: ")
    told = rodcall("season", tmp_path)
    assert (told.status, told.out.count("\n")) == (0, 2)


# -- every field, through screen and paper too ------------------------------------------------------------------

NUMBERS = (2**63, -(2**63), 2**63 - 1, 2**31, 10**15, 1e308, -1e308, 5e-324, "nan", "inf", "-1e999", "9" * 5000)
WORDS = ("9" * 5000 + " ft", f"{2**63} mm", "1e308 in", "NaN", "", "\u202e-1", "A" * 5000, "ZZ9999", "\x1b[2J")
FIELDS = [("job", key) for key in HEAD] + [
    (at, key) for at, each in enumerate(ENTRIES) for key in each if key not in ("kind",)
]


def with_wrong(fields: list[tuple[Any, str]], wrong: list[Any], path: Path) -> None:
    """The old file with wrong values put into these fields, sealed as if they were right."""
    head, entries = copy.deepcopy(HEAD), copy.deepcopy(ENTRIES)
    for (where, key), value in zip(fields, wrong, strict=True):
        held = head if where == "job" else entries[where]
        held[key] = [value] * len(held[key]) if isinstance(held[key], list) else value
    write(path, head, entries)


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_wrong_values_in_any_fields_are_refused_or_go_through_figures_sheets_screen_and_season(tmp_path, data):
    """What opens is shown on the screen and printed; what does not is one line everywhere."""
    fields = data.draw(st.lists(st.sampled_from(FIELDS), min_size=1, max_size=2, unique=True))
    near = st.one_of(st.sampled_from((*NUMBERS, *WORDS, *TIMES)), st.integers(), st.floats(), st.text(max_size=9))
    wrong = data.draw(st.lists(near, min_size=len(fields), max_size=len(fields)))
    folder = Path(tempfile.mkdtemp(dir=tmp_path))
    path = folder / "pad.json"
    try:
        with_wrong(fields, wrong, path)
    except ValueError:
        # No JSON holds it (NaN), or no number is written with as many digits.
        return
    goes_through(path)
    try:
        opened = open_job(path, "reader")
    except JobFileError:
        # In one line that is printable, as `goes_through` has seen.
        return
    for kind in (".pdf", ".txt"):
        with contextlib.suppress(SheetError):
            make(opened, kind, Output.AS_BUILT)
    asyncio.run(shown(path))


async def shown(path: Path) -> None:
    """The shot grid of a job, its punch list and its proof, painted once each."""
    file = open_to_write(path, "tablet-b")
    app = RodcallApp(file)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for key in ("-", "1", "enter"):
            await pilot.press(key)
        assert app.fault is None
    file.close()


# -- by schema --------------------------------------------------------------------------------------------------


def unbounded(schema: Any, where: str = "") -> Iterator[str]:
    """Places in a schema where a number, a text or a list may be as large as it likes."""
    if isinstance(schema, list):
        for each in schema:
            yield from unbounded(each, where)
    if not isinstance(schema, dict):
        return
    kind = schema.get("type")
    if kind in ("integer", "number") and not (
        {"minimum", "exclusiveMinimum"} & schema.keys() and {"maximum", "exclusiveMaximum"} & schema.keys()
    ):
        yield where
    if kind == "string" and not {"maxLength", "pattern", "enum", "const", "format"} & schema.keys():
        yield where
    if kind == "array" and not {"maxItems"} & schema.keys():
        yield where
    for key, value in schema.items():
        yield from unbounded(value, f"{where}/{key}")


def test_every_number_text_and_list_of_a_job_file_has_bounds_in_the_schema():
    told = json_schema()
    model = {"job": told["$defs"]["Job"], **{key: value for key, value in told["$defs"].items() if key != "Entry"}}
    loose = {place for place in unbounded(model) if not place.endswith(SEALS)}
    sizes = {
        place
        for place in loose
        if (place.rsplit("/", 1)[-1] in HEAD and str(HEAD[place.rsplit("/", 1)[-1]])[0].isdigit())
        or place.endswith(("/spacing_along/items", "/spacing_across/items"))
    }
    assert loose - sizes == set(), "sizes are text in the file; each is read by `parse_length`, which has bounds"


SEALS = ("/seal", "/own")


# -- the largest and the smallest that a job may say ------------------------------------------------------------

SHAPES = ((2, 2), (3, 3), (4, 3))
PADS = (3, 50 * MM, M, 60 * FOOT, SIZE_LIMIT)
SMALL = (0, 1, 127 * 25_000, M, SIZE_LIMIT)
SAID = ("0", "+1", "-1", "+30 m", "-30 m", "+100'", "-100'", "+0.000001 mm", "+1e9")
TERM_SAID = (
    "0",
    "1",
    "1000000",
    "1e300",
    "100%",
    "-99%",
    "0.0001",
    "9" * 300,
    "1mm",
    "10000m",
    "99 yd3",
    "none",
    "yes",
)
LINES = ("reference BM1 high 9999", "reference BM1 low 9999", "check ZERO +1", "round final", "round working")


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_what_a_job_may_say_at_most_and_at_least_goes_through_everything(tmp_path, data):
    """No figure overflows, and nothing ends a screen or a sheet, whatever the model lets in."""
    folder = Path(tempfile.mkdtemp(dir=tmp_path))

    def one(values: Any) -> Any:
        return data.draw(st.sampled_from(values))

    along, across = one(SHAPES)
    sizes = {name: one(SMALL) for name in ("tolerance_high", "tolerance_low", "goal", "least_drop")}
    steps = {name: one(SMALL[1:]) for name in ("step", "round_to")}
    slopes = {name: one((0.0, -1.0, 1.0, 5e-324)) for name in ("slope_along", "slope_across")}
    shrink = one((0.0, 0.1, 1 - 2**-53))
    unit, length, width = one(tuple(Unit)), one(PADS), one(PADS)
    try:
        job = a_job(
            unit, along=along, across=across, length=length, width=width, shrink=shrink, **sizes, **steps, **slopes
        )
        file = new_job_file(folder / "pad.json", job, "tablet-a")
    except (ValueError, JobFileError):
        return
    for index in range(job.grid.size):
        with contextlib.suppress(ValueError):
            file.book.shoot(job.grid.name(index), one(SAID))
    for name, term in TERMS.items():
        with contextlib.suppress(ValueError):
            file.book.set_term(name, one((*TERM_SAID, *term.choices)))
    for target in (one(SAID), one(SAID)):
        with contextlib.suppress(ValueError):
            file.book.aim(target, slope_along=one((0.0, 1.0, -1.0)), slope_across=one((0.0, 1.0, -1.0)))
    with contextlib.suppress(DictationError):
        dictate(file.book, [one(LINES), one(LINES)], lambda: None, lambda index: False)
    file.append()
    file.close()
    goes_through(file.path)
    with contextlib.suppress(SheetError):
        make(open_job(file.path, "reader"), ".pdf", Output.AS_BUILT)
    asyncio.run(shown(file.path))
