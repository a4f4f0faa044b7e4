"""The verdicts of the jobs that are listed, worked out while nobody waits: a big pad's in a process of its own.

That one costs seconds, which keys would feel in this process; it is stopped when the list is left.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from rodcall.book.storage.opening import JobFileError, open_job
from rodcall.tablet.job_index import Glance

LARGEST = 200
"""Spots up to which a verdict is worked out in this process: 40 ms for a pad of a dozen, a second for this many."""


class Verdicts:
    """Works verdicts out, one after another, on the thread of whoever asks."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._stopped = False

    def of(self, job: Glance) -> Glance | None:
        """The job with its verdict; None where the file cannot be read any more, or it was stopped."""
        if self._stopped:
            return None
        try:
            verdict, still_open = worked_out(job.path) if job.positions <= LARGEST else self._beside(job.path)
        except (JobFileError, OSError, ValueError):
            return None
        return replace(job, verdict=verdict, open=still_open)

    def stop(self) -> None:
        """End what is being worked out, and take nothing more."""
        self._stopped = True
        if self._process is not None:
            self._process.kill()

    def _beside(self, path: Path) -> tuple[str, int]:
        command = [sys.executable, "-m", __name__, str(path)]
        flags = 0
        if sys.platform == "win32":
            flags = subprocess.CREATE_NO_WINDOW | subprocess.BELOW_NORMAL_PRIORITY_CLASS
        quiet = subprocess.DEVNULL
        with subprocess.Popen(
            command, stdin=quiet, stdout=subprocess.PIPE, stderr=quiet, creationflags=flags
        ) as process:
            self._process = process
            if self._stopped:
                process.kill()
            told, _ = process.communicate()
        verdict, still_open = json.loads(told)
        return str(verdict), int(still_open)


def worked_out(path: Path) -> tuple[str, int]:
    """A job's verdict, in English, and how much is on its punch list."""
    from rodcall.figures.summary import summarise

    listed = summarise(open_job(path, "glance").book.page).punch_list
    return str(listed.verdict), listed.open


def main(arguments: Sequence[str]) -> None:
    """Print the verdict of one file, behind whoever else works on this tablet."""
    if hasattr(os, "nice"):
        os.nice(10)
    print(json.dumps(worked_out(Path(arguments[0]))))


if __name__ == "__main__":
    main(sys.argv[1:])
