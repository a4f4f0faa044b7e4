"""What the crew sees and keys. Only this room imports textual, and no arithmetic is done in here."""

from __future__ import annotations

import os
import sys
from pathlib import Path

FRAMES_A_SECOND = "120"
"""At 60 an Enter close on the last digit waits for the next frame; measured in tests/benchmarks/latency.py."""

UNUSABLE = 2
"""Exit status for a file that cannot be opened, as from the shell."""


def at_a_terminal() -> bool:
    """True where there is a terminal to read keys from and to show a screen on; a closed stream is none."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def show(job: str | None) -> int:
    """Show a job on its shot grid, or the list of jobs, until the crew leaves; return the exit status."""
    from rodcall.book.file import JobFileError, open_job
    from rodcall.book.places import tablet_name

    try:
        opened = open_job(Path(job), tablet_name()) if job is not None else None
    except JobFileError as error:
        print(f"rodcall: {error}", file=sys.stderr)
        return UNUSABLE
    # Textual reads this once, when it is imported.
    os.environ.setdefault("TEXTUAL_FPS", FRAMES_A_SECOND)
    from rodcall.screens.app import RodcallApp

    app = RodcallApp(opened)
    app.run()
    return app.return_code or 0
