"""Pictures of the screens for the README, from the sample jobs: python -m tests.make_pictures

A test compares them with the screens as they are, so that no picture shows what the program no longer looks like.
"""

from __future__ import annotations

import asyncio
import os
import re
import tempfile
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
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
    "outlier": ("cider-shed.json", (*"+1.02", "enter")),
}
"""Each picture's sample job, and the keys from its shot grid to what it shows."""
CERTIFICATE = "certificate"
"""The picture of the first page of a certificate."""
SESSION = "session"
"""The picture that moves: a pad being keyed."""
FRAMES = (
    (),
    (*"-.12", "enter"),
    (*"+.02", "enter"),
    (*"-.05", "enter"),
    (*"+1.02", "enter"),
    ("=",),
    (*"+.02", "enter"),
)
"""Keys from one frame of it to the next, on the first sample."""
SECONDS_A_FRAME = 2
NAMES = (*SHOWN, CERTIFICATE, SESSION)


def picture(name: str, folder: Path) -> str:
    """One picture as SVG.

    Args:
        name: Which, of `NAMES`.
        folder: An empty folder, for a copy of the sample and for the program's own files.
    """
    quiet = {"RODCALL_HOME": str(folder / "home"), "TERM": "xterm-256color", "LC_ALL": "C.UTF-8", "TEXTUAL_FPS": "120"}
    with mock.patch.dict(os.environ, quiet):
        os.environ.pop("NO_COLOR", None)
        if name == CERTIFICATE:
            return certificate()
        if name == SESSION:
            return moving(asyncio.run(_drawn("cider-shed.json", FRAMES, folder)))
        sample, keys = SHOWN[name]
        return asyncio.run(_drawn(sample, (keys,), folder))[-1]


async def _drawn(sample: str, steps: Sequence[tuple[str, ...]], folder: Path) -> list[str]:
    """The screen after each step of keys."""
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
    opened.book.clock = lambda: datetime.fromtimestamp(last, UTC)
    at, seen = mock.patch.object(screen, "time", return_value=last), mock.patch.object(screen, "cautions_seen")
    frames = []
    with at, seen:
        app = RodcallApp(opened)
        async with app.run_test(size=SIZE) as pilot:
            crew = Crew(pilot, path)
            for keys in steps:
                await crew.press(*keys)
                await crew.settled()
                await pilot.pause()
                frames.append(without_fonts(app.export_screenshot(title="rodcall", simplify=True)))
    return frames


def moving(frames: Sequence[str]) -> str:
    """Pictures of one size as one that shows them in turn, by the rules of style sheets alone."""
    head = re.match(r"<svg [^>]*viewBox=\"([^\"]*)\"", frames[0])
    assert head is not None
    whole = SECONDS_A_FRAME * len(frames)
    share = 100 / len(frames)
    style = (
        f"@keyframes shown {{ 0%, {share:.3f}% {{ visibility: visible }} {share + 0.001:.3f}%, 100% "
        f"{{ visibility: hidden }} }} .frame {{ visibility: hidden; animation: shown {whole}s step-end infinite }}"
    )
    drawn = [
        f'<g class="frame" style="animation-delay: {SECONDS_A_FRAME * at}s">\n{frame}</g>\n'
        for at, frame in enumerate(frames)
    ]
    start = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{head[1]}">\n<style>{style}</style>\n'
    return f"{start}{''.join(drawn)}</svg>\n"


def certificate() -> str:
    """The first page of the certificate of a sample, as the typesetter draws it."""
    from rodcall.book.storage.opening import open_job
    from rodcall.figures.summary import summarise
    from rodcall.sheets.content.as_built import as_built
    from rodcall.sheets.content.record import record_of
    from rodcall.sheets.make import contractor_of
    from rodcall.sheets.typeset.pdf import Paper, first_page
    from rodcall.tablet.settings import Settings

    opened = open_job(TOP / "sample_jobs" / "nursery-slab.json", "pictures")
    contractor = Settings(
        contractor_name="Stony Brook Grading",
        contractor_address="Mill Lane, Juniper Hollow",
        contractor_contact="555 0142",
    )
    sheet = as_built(summarise(opened.book.page), record_of(opened), contractor_of(contractor, ""), {})
    return f"{first_page(sheet, Paper.LETTER)}\n"


def without_fonts(svg: str) -> str:
    """The picture without fonts from the network, which nobody who reads it should have to fetch."""
    svg = re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL)
    return "".join(f"{line.rstrip()}\n" for line in svg.splitlines())


if __name__ == "__main__":
    PICTURES.mkdir(parents=True, exist_ok=True)
    for name in NAMES:
        with tempfile.TemporaryDirectory() as made:
            (PICTURES / f"{name}.svg").write_text(picture(name, Path(made)), "utf-8")
