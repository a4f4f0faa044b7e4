"""The command line, called in this process or as a program of its own, and what came of it."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from rodcall.book.model.job import Job
from rodcall.book.storage.opening import open_job
from rodcall.cli.main import main

NEEDED = ("--name", "Pad", "--length", "60ft", "--width", "40ft", "--along", "4", "--across", "3")
SHOTS = """\
# read out from the paper sheet
A1 0
B1 -1/2      # the unit is the job's
C1 l1/4

A2 -3/4
B2 -1-3/8
C2 -3.175mm
A3 -3/8
B3 -5/8
C3 +1/8
A4 g
B4 -3/8
C4 -1/4
"""


@dataclass(frozen=True)
class Told:
    """How a command ended and what it said."""

    status: int
    out: str
    err: str

    @property
    def refusal(self) -> str:
        """The one line of a command that could not be done."""
        assert self.status == 2, self
        assert self.out == ""
        assert self.err.startswith("rodcall: ")
        assert self.err.endswith("\n")
        assert self.err.count("\n") == 1
        return self.err.removeprefix("rodcall: ").rstrip("\n")


def rodcall(*words: object, stdin: str | bytes = "") -> Told:
    """Call the command line in this process."""
    raw = stdin.encode() if isinstance(stdin, str) else stdin
    out, err, given = (io.TextIOWrapper(io.BytesIO(start), "utf-8", newline="") for start in (b"", b"", raw))
    with redirect_stdout(out), redirect_stderr(err), mock.patch("sys.stdin", given), pytest.raises(SystemExit) as end:
        main([str(word) for word in words])
    return Told(end.value.code or 0, _written(out), _written(err))


def _written(stream: io.TextIOWrapper) -> str:
    stream.flush()
    stream.seek(0)
    return stream.read()


def program(*words: object, code: str = "", env: dict[str, str] | None = None, **streams: object) -> Told:
    """Run it as a program of its own; with `code`, a fresh interpreter that runs this instead of the program."""
    start = ("-c", code) if code else ("-m", "rodcall")
    ended = subprocess.run(
        [sys.executable, *start, *map(str, words)],
        **{"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **streams},
        env={**os.environ, "PYTHONIOENCODING": "utf-8", **(env or {})},
        timeout=60,
    )
    return Told(ended.returncode, (ended.stdout or b"").decode(), (ended.stderr or b"").decode())


def on_disk(folder: Path) -> dict[str, tuple[bytes, int]]:
    """All files below a folder: content and time of the last change, ns."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return {str(path): (path.read_bytes(), path.stat().st_mtime_ns) for path in files}


def job_of(path: Path) -> Job:
    """The job in a file."""
    return open_job(path, "reader").book.job


def figures(path: Path, *words: str) -> dict[str, Any]:
    """What `figures --json` prints."""
    told = rodcall("figures", path, "--json", *words)
    assert (told.status, told.err) == (0, "")
    assert told.out.count("\n") == 1
    return json.loads(told.out)
