"""The least that a Textual program with numpy and pydantic can be: what rodcall's start is compared with.

Of pydantic it imports the class of its models, since the bare name alone loads next to nothing; it builds none.
"""

from __future__ import annotations

import numpy as np
from pydantic import BaseModel
from textual.app import App, ComposeResult
from textual.widgets import Static


class Minimal(App[None]):
    """Shows one line, made with what it imports."""

    def compose(self) -> ComposeResult:
        yield Static(f"minimal, numpy {np.__version__}, pydantic {BaseModel.__name__}")


if __name__ == "__main__":
    Minimal().run()
