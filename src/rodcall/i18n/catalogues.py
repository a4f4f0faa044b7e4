"""Finds the catalogue of a language; loaded only where another language than English is spoken.

A package has each catalogue compiled. A checkout has the text beside it: where that is newer, it is compiled once more,
as Python does with its own files.
"""

from __future__ import annotations

import os
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from pathlib import Path
from tempfile import NamedTemporaryFile

DOMAIN = "rodcall"
LOCALES = Path(__file__).parent / "locale"
"""`LANGUAGE/LC_MESSAGES/rodcall.po`, as gettext has it."""


def catalogue(language: str) -> NullTranslations:
    """The sentences of a language; where the package lacks its file, English."""
    po = LOCALES / language / "LC_MESSAGES" / f"{DOMAIN}.po"
    compiled = _fresh(po, po.with_suffix(".mo"))
    return GNUTranslations(BytesIO(compiled)) if compiled else NullTranslations()


def _fresh(po: Path, mo: Path) -> bytes | None:
    edited, built = _changed(po), _changed(mo)
    if built is not None and (edited is None or edited <= built):
        return mo.read_bytes()
    if edited is None:
        return None
    from rodcall.i18n.po import compiled  # Not needed where a package was built.

    tables = compiled(po.read_text("utf-8"))
    _keep(tables, mo)
    return tables


def _changed(file: Path) -> int | None:
    try:
        return file.stat().st_mtime_ns
    except OSError:
        return None


def _keep(tables: bytes, mo: Path) -> None:
    """Write the compiled catalogue whole or not at all; a folder that takes no file costs only time."""
    try:
        with NamedTemporaryFile(dir=mo.parent, prefix=mo.name, delete=False) as file:
            file.write(tables)
        try:
            os.replace(file.name, mo)
        except OSError:
            os.unlink(file.name)
    except OSError:
        return
