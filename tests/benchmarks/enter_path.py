"""Which files one Enter passes, from the key to the painted cell: python -m tests.benchmarks.enter_path

A reading is typed into a copy of a sample job; from its Enter on, each file of the program is listed at its first call,
with how many of its functions ran. Threads are counted too, so that the durable line is among them.
"""

from __future__ import annotations

import asyncio
import os
import sys
import tempfile
import threading
from collections import defaultdict
from pathlib import Path
from types import FrameType
from unittest import mock

import rodcall
from tests.documents import TOP

HOUSE = Path(rodcall.__file__).parent


async def passed(folder: Path) -> dict[str, set[str]]:
    """The functions that ran, by file, in the order of the files' first calls."""
    from rodcall.book.storage.opening import open_to_write
    from rodcall.tui.app import RodcallApp
    from rodcall.tui.shot_grid import screen
    from tests.tui.kit import Crew

    path = folder / "cider-shed.json"
    path.write_bytes((TOP / "sample_jobs" / path.name).read_bytes())
    ran: dict[str, set[str]] = defaultdict(set)

    def note(frame: FrameType, event: str, _: object) -> None:
        file = Path(frame.f_code.co_filename)
        if event == "call" and file.is_relative_to(HOUSE):
            ran[file.relative_to(HOUSE).as_posix()].add(frame.f_code.co_name)

    with mock.patch.object(screen, "cautions_seen"):
        async with RodcallApp(open_to_write(path, "path")).run_test(size=(80, 24)) as pilot:
            crew = Crew(pilot, path)
            await crew.key("5.01\n", "5.02")
            await crew.settled()
            threading.setprofile(note)
            sys.setprofile(note)
            await crew.key("\n")
            sys.setprofile(None)
            threading.setprofile(None)
    return ran


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        os.environ["RODCALL_HOME"] = str(Path(made) / "home")
        found = asyncio.run(passed(Path(made)))
    print(f"{len(found)} files, {sum(map(len, found.values()))} functions")
    for name, functions in found.items():
        print(f"{len(functions):4}  {name}")
