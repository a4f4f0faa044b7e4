"""Compiles the catalogues of sentences whenever the package is built, for an editable install too."""

from __future__ import annotations

from pathlib import Path
from runpy import run_path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class Catalogues(BuildHookInterface):  # type: ignore[type-arg]
    """Each `.po` gets its `.mo` beside it."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Compile with the lines that a checkout uses, so that a build needs nothing more."""
        room = Path(self.root, "src", "rodcall", "i18n")
        compiled = run_path(str(room / "po.py"))["compiled"]
        for po in room.glob("locale/*/LC_MESSAGES/*.po"):
            po.with_suffix(".mo").write_bytes(compiled(po.read_text("utf-8")))
