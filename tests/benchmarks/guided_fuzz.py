"""Feeds the program bytes that a fuzzer finds by watching which lines of ours they reach; run by hand.

    pip install atheris && python -m tests.benchmarks.guided_fuzz [-runs=1000000] [-seed=1] [libFuzzer's options]

The first byte says what the rest is taken for: a length, a line of `enter`, or a job file. Each must be taken, or
refused by the one kind of error that it may raise, in one printable line. Atheris is not in the tests' requirements:
it comes for some systems and versions of Python only.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["rodcall"]):
    from rodcall.book.entry_lines import FORMS, write_line
    from rodcall.book.storage.opening import JobFile, JobFileError, open_job
    from rodcall.units import LengthError, Unit, parse_height, parse_length, parse_reading

from tests.kit import a_book

UNITS = tuple(Unit)
LENGTH, LINE, FILE = 0, 1, 2
FOLDER = Path(tempfile.mkdtemp())
LENGTHS = ("-1-3/8", "4' 3 3/8\"", "4-3-3/8", "low .5", "1,25 m h", "+⅜in", "0")


def one_input(data: bytes) -> None:
    """Take one input for what its first bytes say."""
    if len(data) < 2:
        return
    kind, rest = data[0] % 3, data[2:]
    if kind == FILE:
        path = FOLDER / "pad.json"
        path.write_bytes(rest)
        _refused(JobFileError, lambda: open_job(path, "reader"))
        return
    said = rest.decode("utf-8", "replace")
    if kind == LINE:
        _refused(ValueError, lambda: write_line(a_book(), said, lambda: None))
        return
    unit = UNITS[data[1] % len(UNITS)]
    _refused(LengthError, lambda: parse_height(said, unit))
    _refused(LengthError, lambda: parse_reading(said, unit, signed=bool(data[1] & 64)))
    _refused(LengthError, lambda: parse_length(said))


def _refused(error: type[Exception], act: Callable[[], object]) -> None:
    try:
        act()
    except error as refusal:
        told = str(refusal)
    else:
        return
    assert told.isprintable(), repr(told)


def seeds(folder: Path) -> None:
    """Good ones to begin with."""
    job = JobFile(FOLDER / "good.json", a_book("A1 0", "B1 -1-3/8", "note é", "strike B1", "B1 -1/2")).content()
    texts = [(LENGTH, said) for said in LENGTHS] + [(LINE, form) for form, *_ in FORMS]
    for number, content in enumerate([bytes([FILE, 0]) + job, *(bytes([k, 0]) + t.encode() for k, t in texts)]):
        (folder / str(number)).write_bytes(content)


if __name__ == "__main__":
    corpus = Path(tempfile.mkdtemp())
    seeds(corpus)
    atheris.Setup([sys.argv[0], "-max_len=4096", *sys.argv[1:], str(corpus)], one_input)
    atheris.Fuzz()
