"""Where the program starts: straight to the screen for a job or the list of jobs, else to the command line.

A crew that was interrupted waits for this, so nothing is imported that the first screen does not need, and the
collector rests until that screen stands.
"""

from __future__ import annotations

import gc
import os
import sys
from typing import TYPE_CHECKING

from rodcall.tui import at_a_terminal

if TYPE_CHECKING:
    from rodcall.book.fold.round_page import Change
    from rodcall.book.storage.opening import JobFile


def main() -> None:
    """Run `rodcall`."""
    # Looking for pydantic's plugins would read the entry points of every package that is installed.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    # Of matrices as small as ours numpy's library makes shares for each core, and cores that are busy make all wait.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    words = sys.argv[1:]
    if _is_for_the_screen(words):
        gc.disable()
        from rodcall.tui import show

        sys.exit(show(words[0] if words else None, write_beside, issue, helper=len(words) > 1))
    from rodcall.cli.main import main as command_line

    command_line()


def write_beside(file: JobFile) -> list[str]:
    """Write a job's sheets beside it; paper is not thought of before somebody asks for it."""
    from rodcall.sheets.beside import write_beside

    return write_beside(file)


def issue(file: JobFile) -> Change:
    """Write into a job's book that its certificate is issued."""
    from rodcall.sheets.issue import issue

    return issue(file)


def _is_for_the_screen(words: list[str]) -> bool:
    """A job file and nothing else but `--helper`, or nothing at all, at a terminal."""
    is_file = words[1:] in ([], ["--helper"]) and words[0].lower().endswith(".json") if words else False
    return (not words or (is_file and not words[0].startswith("-"))) and at_a_terminal()
