"""What the crew sees and keys. Only this room imports textual, and no arithmetic is done in here."""

from __future__ import annotations

import os

from rodcall.book.file import JobFile

FRAMES_A_SECOND = "120"
"""At 60 an Enter close on the last digit waits for the next frame; measured in tests/benchmarks/latency.py."""


def run(opened: JobFile | None) -> int:
    """Show a job on its shot grid, or the list of jobs, until the crew leaves; return the exit status."""
    # Textual reads this once, when it is imported.
    os.environ.setdefault("TEXTUAL_FPS", FRAMES_A_SECOND)
    from rodcall.screens.app import RodcallApp

    app = RodcallApp(opened)
    app.run()
    return app.return_code or 0
