"""Opens a file that was written, in whatever the system opens such files with."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from rodcall.i18n import say


def open_file(path: Path, environment: Mapping[str, str] = os.environ) -> str:
    """Open a file; what came of it, in one line. Nothing waits for the program that shows it."""
    try:
        if sys.platform == "win32":
            os.startfile(path)
            return say("opened {name}", name=path.name)
        command = opener(environment)
        if command is None:
            return say("no desktop to open {name} on; it is in {folder}", name=path.name, folder=path.parent)
        subprocess.Popen(
            [command, str(path)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError as error:
        return say("{name} was not opened: {why}", name=path.name, why=error.strerror or str(error))
    return say("opened {name}", name=path.name)


def opener(environment: Mapping[str, str]) -> str | None:
    """The command that opens a file, on systems other than Windows; None where there is none, or no desktop."""
    if sys.platform == "darwin":
        return shutil.which("open")
    has_desktop = environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY")
    return shutil.which("xdg-open", path=environment.get("PATH")) if has_desktop else None


def newest_sheet(job: Path) -> Path | None:
    """The PDF beside a job that was written last, or None."""
    found = [path for path in job.parent.glob("*.pdf") if path.stem == job.stem or path.stem.startswith(f"{job.stem}-")]
    return max(found, key=lambda path: path.stat().st_mtime_ns, default=None)
