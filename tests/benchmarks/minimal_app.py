"""The least that a Textual program with numpy and pydantic can be: what rodcall's start is compared with."""

from __future__ import annotations

import numpy as np
import pydantic
from textual.app import App, ComposeResult
from textual.widgets import Static


class Minimal(App[None]):
    """Shows one line, made with what it imports."""

    def compose(self) -> ComposeResult:
        yield Static(f"minimal, numpy {np.__version__}, pydantic {pydantic.VERSION}")


if __name__ == "__main__":
    Minimal().run()
