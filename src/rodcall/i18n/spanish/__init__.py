"""The Spanish table: each English sentence of the code, as a crew says it in Spanish; a part for each room.

A native speaker who has stood on a pad should read it before it is relied on.
"""

from __future__ import annotations

from types import MappingProxyType

from rodcall.i18n.spanish import (
    book,
    figures,
    files,
    helper,
    lengths,
    practice,
    punch,
    punching,
    screens,
    sheets,
    shell,
    trade,
    upstairs,
    words,
)

_PARTS = (
    lengths.SENTENCES,
    book.SENTENCES,
    figures.SENTENCES,
    files.SENTENCES,
    helper.SENTENCES,
    practice.SENTENCES,
    punch.SENTENCES,
    punching.SENTENCES,
    screens.SENTENCES,
    sheets.SENTENCES,
    shell.SENTENCES,
    trade.SENTENCES,
    upstairs.SENTENCES,
    words.SENTENCES,
)

SPANISH = MappingProxyType({english: spanish for part in _PARTS for english, spanish in part.items()})
"""Spanish by English. `{name}` stands where it stands in English; the order may differ."""
