"""A tablet's settings for the sheets."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.fixture
def settings() -> Callable[..., None]:
    """Writes the lines of the settings file of this test's tablet."""

    def write(*lines: str) -> None:
        home = Path(os.environ["RODCALL_HOME"])
        home.mkdir(parents=True, exist_ok=True)
        (home / "settings.toml").write_text("\n".join(lines) + "\n", "utf-8")

    return write
