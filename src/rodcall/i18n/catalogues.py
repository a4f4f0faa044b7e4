"""Finds the catalogue of a language; loaded only where another language than English is spoken.

A package has each catalogue compiled. A checkout has the text beside it: where that is newer, it is compiled once more,
as Python does with its own files.
"""

from __future__ import annotations

import os
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from pathlib import Path

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
    # Neither is needed where a package was built.
    from tempfile import NamedTemporaryFile

    from rodcall.i18n.po import compiled

    tables = compiled(po.read_text("utf-8"))
    try:
        with NamedTemporaryFile(dir=mo.parent, prefix=mo.name, delete=False) as file:
            file.write(tables)
        _put(file.name, mo)
    except OSError:
        pass  # A folder that takes no file costs only the time to compile again.
    return tables


def _changed(file: Path) -> int | None:
    try:
        return file.stat().st_mtime_ns
    except OSError:
        return None


def _put(written: str, mo: Path) -> None:
    """Whole or not at all; on Windows it cannot be replaced while another program reads it."""
    try:
        os.replace(written, mo)
    except OSError:
        os.unlink(written)
