"""What the page of published checks shows as ours: worked out here, kept in the package."""

from __future__ import annotations

from pathlib import Path

from rodcall.manual.checks import checks
from tests.checks.ours import OURS

FILE = Path(__file__).parents[2] / "src/rodcall/manual/checks_ours.toml"


def shown() -> str:
    """What stands in the package."""
    return FILE.read_text("utf-8") if FILE.exists() else ""


def told() -> str:
    """Our figures to eight digits, which are the same on any machine; nothing to speak of is 0."""
    head = "# Written by `python -m tests.checks`: our figure for each row of checks.toml.\n"
    return head + "".join(f"{check.id} = {_digits(float(OURS[check.id]()))}\n" for check in checks())


def _digits(value: float) -> str:
    return repr(float(f"{value:.8g}")) if abs(value) > 1e-9 else "0.0"
