"""The as-built sheets beside the job they tell of: what the crew takes with it when it leaves the screen."""

from __future__ import annotations

from rodcall.book.file import JobFile
from rodcall.book.replace import replace_file
from rodcall.sheets.make import Form, make

KINDS = (".pdf", ".txt", ".csv")


def write_beside(opened: JobFile) -> list[str]:
    """Write the as-built sheet in each form beside the job, and tell where, in lines.

    Raises:
        OSError: when the disk does not take one.
    """
    told = [f"in {opened.path.parent}"]
    missing: set[str] = set()
    for kind in KINDS:
        path = opened.path.with_suffix(kind)
        made = make(opened, kind, Form.AS_BUILT)
        replace_file(path, made.content)
        told.insert(-1, f"written: {path.name}")
        missing.update(made.missing)
    if missing:
        told.append(f"no letters for {' '.join(sorted(missing)[:20])}: each stands as a box on the sheet")
    return told
