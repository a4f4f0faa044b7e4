"""Names of the kinds of entry as people read them; the file has its own."""

from __future__ import annotations

from rodcall.book.model.entries import Entry, Shot
from rodcall.i18n import phrase, say

KINDS = (
    phrase("reference"),
    "setup",
    phrase("confirm"),
    phrase("check"),
    phrase("decision"),
    phrase("laser check"),
    phrase("machine check"),
    phrase("leave out"),
    phrase("not pad"),
    phrase("strike"),
    phrase("target"),
    phrase("outline"),
    phrase("term"),
    phrase("fact"),
    phrase("zero"),
    phrase("round"),
    "walk",
    phrase("photo"),
    phrase("issue"),
    phrase("note"),
    phrase("damage"),
)
"""As the file has them, shots apart."""

_SHOWN = {"setup": phrase("set-up"), "walk": phrase("walking order")}
"""Kinds that people read in other words."""


def kind_words(entry: Entry) -> str:
    """What kind of entry it is, in the language that is spoken."""
    if isinstance(entry, Shot):
        return say("reading")
    kind = str(getattr(entry, "kind", phrase("entry")))
    return say(_SHOWN.get(kind, kind))
