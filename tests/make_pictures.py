"""Pictures of the screens for the README, from the sample jobs: python -m tests.make_pictures

A test compares them with the screens as they are, so that no picture shows what the program no longer looks like.
"""

from __future__ import annotations

import asyncio
import os
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from unittest import mock

from tests.documents import TOP

PICTURES = TOP / ".github" / "pictures"
SIZE = (100, 30)
SHOWN: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "shot-grid": ("cider-shed.json", ()),
    "target": ("cider-shed.json", ("t",)),
    "dig": ("packing-yard.json", ("d",)),
    "punch-list": ("cider-shed.json", ("tab",)),
}
"""Each picture's sample job, and the keys from its shot grid to the page."""


def picture(name: str, folder: Path) -> str:
    """One picture as SVG.

    Args:
        name: Which, of `SHOWN`.
        folder: An empty folder, for a copy of the sample and for the program's own files.
    """
    quiet = {"RODCALL_HOME": str(folder / "home"), "TERM": "xterm-256color", "LC_ALL": "C.UTF-8", "TEXTUAL_FPS": "120"}
    with mock.patch.dict(os.environ, quiet):
        os.environ.pop("NO_COLOR", None)
        return asyncio.run(_drawn(*SHOWN[name], folder))


async def _drawn(sample: str, keys: tuple[str, ...], folder: Path) -> str:
    # Textual reads its environment when it is imported.
    from rodcall.book.storage.opening import open_to_write
    from rodcall.tui.app import RodcallApp
    from rodcall.tui.shot_grid import screen
    from tests.tui.kit import Crew

    path = folder / sample
    path.write_bytes((TOP / "sample_jobs" / sample).read_bytes())
    opened = open_to_write(path, "pictures")
    # Ten minutes after the last entry, whenever it is made, and without the cautions of a day's first job.
    last = opened.book.entries[-1].time.timestamp() + 600
    at, seen = mock.patch.object(screen, "time", return_value=last), mock.patch.object(screen, "cautions_seen")
    with at, seen:
        app = RodcallApp(opened)
        async with app.run_test(size=SIZE) as pilot:
            crew = Crew(pilot, path)
            await crew.press(*keys)
            await crew.settled()
            await pilot.pause()
            svg = app.export_screenshot(title="rodcall", simplify=True)
    return without_fonts(svg)


def without_fonts(svg: str) -> str:
    """The picture without fonts from the network, which nobody who reads it should have to fetch."""
    svg = re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL)
    return "".join(f"{line.rstrip()}\n" for line in svg.splitlines())


if __name__ == "__main__":
    PICTURES.mkdir(parents=True, exist_ok=True)
    for name in SHOWN:
        with tempfile.TemporaryDirectory() as made:
            (PICTURES / f"{name}.svg").write_text(picture(name, Path(made)), "utf-8")
