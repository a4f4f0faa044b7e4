"""What the kinds of entry are called where people read of them; in the file they keep their names."""

from __future__ import annotations

from rodcall.book.model.entries import Entry, Shot
from rodcall.i18n import phrase, say

KINDS = (
    phrase("reference"),
    phrase("setup"),
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
    phrase("walk"),
    phrase("photo"),
    phrase("issue"),
    phrase("note"),
    phrase("damage"),
)
"""As the file has them, shots apart."""


def kind_words(entry: Entry) -> str:
    """What kind of entry it is, in the language that is spoken."""
    if isinstance(entry, Shot):
        return say("reading")
    return say(str(getattr(entry, "kind", phrase("entry"))))
