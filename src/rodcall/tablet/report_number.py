"""Numbers of reports: counted on the tablet, its own sign before them, so that two tablets never give one twice."""

from __future__ import annotations

import re

from rodcall.book.storage.atomic_write import replace_file
from rodcall.book.storage.safe_read import fetch
from rodcall.tablet.paths import SMALL, home, tablet_name


def next_report_number() -> str:
    """The next number, such as `3F9A2C-0007`; it is kept before it is told, so that a crash costs a number at most.

    Raises:
        OSError: when the tablet cannot keep it.
    """
    kept = home() / "reports"
    said = (fetch(kept, SMALL) or b"").decode("ascii", "replace").strip()
    number = (int(said) if re.fullmatch(r"[0-9]{1,9}", said) else 0) + 1
    kept.parent.mkdir(parents=True, exist_ok=True)
    replace_file(kept, f"{number}\n".encode("ascii"))
    sign = re.sub(r"[^A-Z0-9]", "", tablet_name().upper().removeprefix("TABLET-"))[:8] or "R"
    return f"{sign}-{number:04d}"
