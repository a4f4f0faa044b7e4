"""What the crew sees and keys. Only this room imports textual, and no arithmetic is done in here."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from rodcall.exits import Exit

if TYPE_CHECKING:
    from rodcall.book.fold.round_page import Change
    from rodcall.book.storage.opening import JobFile
    from rodcall.practice.pads import Pads
    from rodcall.tablet.settings import Settings
    from rodcall.tui.app import RodcallApp

FRAMES_A_SECOND = "120"
"""At 60 an Enter close on the last digit waits for the next frame; measured in tests/benchmarks/latency.py."""


def at_a_terminal() -> bool:
    """True where there is a terminal to read keys from and to show a screen on; a closed stream is none."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def show(
    job: str | None,
    export: Callable[[JobFile], list[str]] | None = None,
    certify: Callable[[JobFile], Change] | None = None,
    *,
    helper: bool = False,
) -> int:
    """Show a job on its shot grid, or the list of jobs, until the crew leaves; return the exit status.

    Args:
        job: Path of its file; None for the list.
        export: Writes a job's sheets beside it and tells what came of it; screens know no sheets.
        certify: Writes into a job's book that its certificate is issued.
        helper: Open the helper's page over the shot grid.
    """
    from rodcall.book.storage.opening import JobFileError, open_to_write
    from rodcall.tablet.paths import tablet_name

    settings, wrong = _settings()
    try:
        opened = open_to_write(Path(job), tablet_name()) if job is not None else None
    except JobFileError as error:
        print(f"rodcall: {error}", file=sys.stderr)
        return Exit.UNUSABLE
    from rodcall.tui.app import RodcallApp

    app = RodcallApp(opened, export, settings, wrong, certify=certify)
    app.begins_with = "helper" if helper else ""
    return _run(app)


def practise(pads: Pads) -> int:
    """Show the pads of a practice on the shot grid until the crew leaves; return the exit status, as `show` does.

    Args:
        pads: Where one pad after the other is begun; it keeps how each of them went.
    """
    settings, wrong = _settings()
    from rodcall.tui.app import RodcallApp
    from rodcall.tui.shot_grid.practice import PracticeGrid

    first = pads.begin()
    return _run(RodcallApp(first.file, None, settings, wrong, lambda _: PracticeGrid(first, pads)))


def _settings() -> tuple[Settings, tuple[str, ...]]:
    """What the crew has set, in force before textual is imported, and each line that could not be used."""
    from rodcall.i18n import speak
    from rodcall.tablet.settings import read

    settings, wrong = read()
    speak(settings.language)
    # Textual reads this once, when it is imported.
    os.environ.setdefault("TEXTUAL_FPS", FRAMES_A_SECOND)
    return settings, wrong


def _run(app: RodcallApp) -> int:
    """Run the program until it ends, however it does; say what is left to say, and return the exit status."""
    app.run()
    if app.fault is not None:
        from rodcall.tablet.crash_report import tell

        return tell(app.fault, app.parting or "everything is saved")
    if app.parting:
        print(f"rodcall: {app.parting}", file=sys.stderr)
    return app.return_code or 0
