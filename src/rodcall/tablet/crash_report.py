"""Internal errors: a report without private data, and one line instead of a traceback.

The report names types, functions, line numbers and versions. Messages, values and paths stay out of it: a reading, a
customer's name or a note may stand in any of them.
"""

from __future__ import annotations

import platform
import sys
import traceback
from collections.abc import Iterator
from datetime import datetime
from importlib import metadata
from pathlib import Path

from rodcall.book.storage.atomic_write import replace_file
from rodcall.exits import Exit
from rodcall.i18n import say
from rodcall.tablet.paths import home

_HOUSE = Path(__file__).parents[1]

_LIBRARIES = ("rodcall", "textual", "rich", "numpy", "pydantic", "click")


def tell(error: BaseException, saved: str | None = None) -> int:
    """Write the report, say one line on stderr, and return the exit status."""
    words = say(
        "rodcall: internal error ({kind}); {saved}",
        kind=type(error).__name__,
        saved=saved or say("nothing written is lost"),
    )
    path = home() / "reports" / f"{datetime.now():%Y-%m-%d-%H%M%S}.txt"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        replace_file(path, "".join(f"{line}\n" for line in report(error)).encode())
        words += say(". Report without names or readings: {path}", path=path)
    except OSError:
        pass
    print(words, file=sys.stderr)
    return Exit.INTERNAL_ERROR


def report(error: BaseException) -> Iterator[str]:
    """What happened where, of which versions, line by line."""
    yield f"python {platform.python_version()} on {platform.system()} {platform.machine()}"
    for name in _LIBRARIES:
        try:
            yield f"{name} {metadata.version(name)}"
        except metadata.PackageNotFoundError:
            continue
    cause: BaseException | None = error
    seen: set[int] = set()
    while cause is not None and id(cause) not in seen:
        seen.add(id(cause))
        yield ""
        yield f"{type(cause).__module__}.{type(cause).__qualname__}"
        for frame in traceback.extract_tb(cause.__traceback__):
            yield f"  {_without_names(Path(frame.filename))}:{frame.lineno} {frame.name}"
        cause = cause.__cause__ or cause.__context__


def _without_names(path: Path) -> str:
    """A file by its path within the program, else by its last folder: folders above are named after people."""
    inside = path.relative_to(_HOUSE) if path.is_relative_to(_HOUSE) else Path(*path.parts[-2:])
    return inside.as_posix()
