"""Nothing of the helper's page is loaded before it is wanted, and nothing but its server loads the web library."""

from __future__ import annotations

import subprocess
import sys

import pytest


@pytest.mark.parametrize(
    ("loaded", "never"),
    [
        ("rodcall.tui.shot_grid.screen", ("aiohttp", "segno", "psutil", "rodcall.helper")),
        ("rodcall.helper.desk", ("aiohttp", "segno", "psutil", "textual")),
        ("rodcall.tui.pages.helper", ("aiohttp",)),
        ("rodcall.helper.server", ("textual", "rich")),
    ],
)
def test_what_is_not_wanted_is_not_loaded(loaded: str, never: tuple[str, ...]) -> None:
    script = f"import sys, {loaded}; print([name for name in {never!r} if name in sys.modules])"
    told = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
