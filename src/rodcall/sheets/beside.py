"""The as-built sheets beside the job they tell of: what the crew takes with it when it leaves the screen."""

from __future__ import annotations

import os

from rodcall.book.storage.atomic_write import new_file
from rodcall.book.storage.opening import JobFile
from rodcall.i18n import say
from rodcall.sheets.make import Output, make

KINDS = (".pdf", ".html", ".txt", ".csv")


def write_beside(opened: JobFile) -> list[str]:
    """Write the as-built sheet in each form beside the job, and tell where, in lines.

    Nothing is written over, least of all a sheet with somebody's pencil on it: the next ones are `pad-2.pdf` and so on.

    Raises:
        OSError: when the disk does not take one.
    """
    stem, number = opened.path.stem, 1
    while any(os.path.lexists(opened.path.with_name(f"{stem}{kind}")) for kind in KINDS):
        number += 1
        stem = f"{opened.path.stem}-{number}"
    told = [say("in {folder}", folder=opened.path.parent)]
    missing: set[str] = set()
    warnings: dict[str, None] = {}
    for kind in KINDS:
        path = opened.path.with_name(f"{stem}{kind}")
        made = make(opened, kind, Output.AS_BUILT)
        new_file(path, made.content)
        told.insert(-1, say("written: {file}", file=path.name))
        missing.update(made.missing)
        warnings.update(dict.fromkeys(made.warnings))
    told += warnings
    if missing:
        told.append(say("not in the sheet's font, printed as a box: {letters}", letters=" ".join(sorted(missing)[:20])))
    return told
