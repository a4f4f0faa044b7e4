"""Contact sheets of the screens: python -m tests.looks DIR [--scenes grid,form] [--sizes 60x20] [--themes sun]

Each scene becomes three sheets: small sizes, large sizes, and all themes. They are web pages, and where a chromium is
installed also PNG. Beside them the characters of each screen are written as text.
"""

from __future__ import annotations

import os

os.environ.update(TERM="xterm-256color", COLORTERM="truecolor", LC_ALL="C.UTF-8", TEXTUAL_FPS="120")
os.environ.pop("NO_COLOR", None)

import argparse
import asyncio
import base64
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from tests.looks.scenes import LANGUAGES, SCENES, SIZES, at_rest, cut, home_of_its_own, shown, text_of
from tests.make_pictures import without_fonts

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
PIXELS = 8
"""Of a column on a sheet of one size; less where all themes are side by side."""
STYLE = "body{margin:0;background:#666} div{display:flex;flex-wrap:wrap;gap:6px}"

Size = tuple[int, int]


async def drawn(name: str, size: Size, language: str, themes: list[str], folder: Path) -> dict[str, str]:
    """A scene as SVG in each theme; its characters are written beside, and what is cut off is printed."""
    with home_of_its_own() as home:
        async with shown(name, size, language, home) as pilot:
            at = f"{name}.{size[0]}x{size[1]}.{language}"
            (folder / f"{at}.txt").write_text("\n".join(line.rstrip() for line in text_of(pilot.app)) + "\n", "utf-8")
            for line in cut(pilot.app):
                print(f"{at}: {line}", flush=True)
            made = {}
            for theme in themes:
                pilot.app.wear(theme)  # type: ignore[attr-defined]
                await at_rest(pilot)
                made[theme] = without_fonts(pilot.app.export_screenshot(title=f"{at} {theme}", simplify=True))
            return made


def sheet(folder: Path, name: str, pictures: list[tuple[str, float]]) -> None:
    """One page of pictures, each with its width in pixels."""
    images, room, line, tall = [], max(width for _, width in pictures) * 2 + 6, 0.0, [0.0]
    for svg, width in pictures:
        box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
        assert box is not None
        height = width * float(box[2]) / float(box[1])
        if line + width > room:
            line = 0
            tall.append(0)
        line += width + 6
        tall[-1] = max(tall[-1], height + 6)
        # No font of the network's; one whose block characters fill their cell.
        coded = base64.b64encode(svg.replace("Fira Code", "DejaVu Sans Mono").encode()).decode()
        images.append(f'<img width="{width:.0f}" src="data:image/svg+xml;base64,{coded}">')
    page = folder / f"{name}.html"
    page.write_text(f"<!doctype html><style>{STYLE}</style><div>{''.join(images)}</div>", "utf-8")
    browser = next(filter(None, map(shutil.which, BROWSERS)), None)
    if browser is None:
        return
    with tempfile.TemporaryDirectory() as profile:
        looks = ("--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", f"--user-data-dir={profile}")
        room = (f"--window-size={room:.0f},{sum(tall):.0f}", f"--screenshot={page.with_suffix('.png')}")
        subprocess.run([browser, *looks, *room, page.as_uri()], check=False, capture_output=True, timeout=120)


async def scene(name: str, asked: argparse.Namespace) -> None:
    """All sheets of a scene."""
    by_size: dict[Size, list[tuple[str, float]]] = {}
    by_theme = []
    for size in asked.sizes:
        for language in asked.languages:
            made = await drawn(name, size, language, asked.themes, asked.folder)
            by_size.setdefault(size, []).append((made[asked.themes[0]], size[0] * PIXELS))
            by_theme += [(svg, 480.0) for svg in made.values()] if language == asked.languages[0] else []
    small = [each for size, found in by_size.items() if size[0] < 100 for each in found]
    if small:
        sheet(asked.folder, f"{name}-small", small)
    for size, found in by_size.items():
        if size[0] >= 100:
            sheet(asked.folder, f"{name}-{size[0]}x{size[1]}", found)
    if len(asked.themes) > 1:
        sheet(asked.folder, f"{name}-themes", by_theme)


def main() -> None:
    """Draw what is asked for."""
    told = argparse.ArgumentParser(prog="python -m tests.looks", description="Contact sheets of the screens.")
    told.add_argument("folder", type=Path, help="where they are written")
    told.add_argument("--scenes", default="", help="parts of their names, with commas between; all when not given")
    told.add_argument("--sizes", type=_sizes, default=list(SIZES), help="60x20,80x24")
    told.add_argument("--themes", type=_parts, default=["day", "sun", "night", "sixteen", "none"])
    told.add_argument("--languages", type=_parts, default=list(LANGUAGES))
    asked = told.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    for name in SCENES:
        if any(part in name for part in asked.scenes.split(",")):
            asyncio.run(scene(name, asked))


def _parts(text: str) -> list[str]:
    return text.split(",")


def _sizes(text: str) -> list[Size]:
    return [(int(wide), int(high)) for wide, high in (each.split("x") for each in text.split(","))]


if __name__ == "__main__":
    main()
