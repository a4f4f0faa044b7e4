"""The least that a Textual program with numpy and pydantic can be: what rodcall's start is compared with.

Of pydantic it holds two small models, the least that a program which imports it for a file would have; the bare name
alone loads next to nothing.
"""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

import numpy as np
from pydantic import BaseModel, Field
from textual.app import App, ComposeResult
from textual.widgets import Static


class Reading(BaseModel):
    """What a program of this kind keeps."""

    number: Annotated[int, Field(ge=1)]
    time: datetime
    said: str


class Readings(BaseModel):
    """A file of them."""

    name: str
    readings: list[Reading]


class Minimal(App[None]):
    """Shows one line, made with what it imports."""

    def compose(self) -> ComposeResult:
        kept = Readings.model_validate({"name": "minimal", "readings": []})
        yield Static(f"{kept.name}, numpy {np.__version__}")


if __name__ == "__main__":
    Minimal().run()
