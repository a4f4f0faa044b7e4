"""The contractor's logo: a small PNG, or an SVG that runs nothing and fetches nothing."""

from __future__ import annotations

import base64
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from rodcall.book.storage.pictures import PictureError, look_at
from rodcall.book.storage.safe_read import fetch, reason
from rodcall.i18n import say

MOST_BYTES = 500_000
MOST_PIXELS = 4_000_000
_FORBIDDEN = frozenset({"script", "foreignObject", "iframe", "audio", "video", "animate", "set", "handler", "image"})
"""Elements that run, fetch or move something; a picture within a picture too."""
_OUTSIDE = re.compile(r"url\(\s*['\"]?(?!#)|@import|javascript:", re.IGNORECASE)


def read_logo(said: str) -> str:
    """A logo as a `data:` address.

    Args:
        said: Its file, as the settings have it.

    Raises:
        PictureError: when it cannot be read, is of another kind, too large, or does what a picture does not.
    """
    path = Path(said).expanduser()
    try:
        content = fetch(path, MOST_BYTES)
    except OSError as error:
        raise PictureError(say("{file}: cannot be read ({why})", file=path.name, why=reason(error))) from None
    if content is None:
        raise PictureError(say("{file}: no such file", file=path.name))
    try:
        kind = _checked(content)
    except PictureError as error:
        raise PictureError(f"{path.name}: {error}") from None
    return f"data:{kind};base64,{base64.b64encode(content).decode('ascii')}"


def _checked(content: bytes) -> str:
    if len(content) > MOST_BYTES:
        raise PictureError(say("larger than {most} kB; a logo is smaller", most=MOST_BYTES // 1000))
    if content.startswith(b"\x89PNG"):
        size = look_at(content)
        if size.width * size.height > MOST_PIXELS:
            raise PictureError(say("more than {most} million dots; take a smaller picture", most=MOST_PIXELS // 10**6))
        return "image/png"
    _check_svg(content)
    return "image/svg+xml"


def _check_svg(content: bytes) -> None:
    # An entity of a document type can grow without end, or fetch a file.
    if b"<!DOCTYPE" in content.upper() or b"<!ENTITY" in content.upper():
        raise PictureError(say("an SVG with a document type; save it as plain SVG"))
    try:
        root = ElementTree.fromstring(content)
    except (ElementTree.ParseError, ValueError, LookupError):
        raise PictureError(say("no PNG or SVG picture")) from None
    if _name(root.tag) != "svg":
        raise PictureError(say("no PNG or SVG picture"))
    for element in root.iter():
        name = _name(element.tag)
        if name in _FORBIDDEN:
            raise PictureError(say("an SVG with <{name}>; a logo is only drawn", name=name))
        if name == "style" and _OUTSIDE.search(element.text or ""):
            raise PictureError(say("an SVG that refers to something outside"))
        for key, value in element.attrib.items():
            outside = _name(key) == "href" and not value.startswith("#")
            if _name(key).lower().startswith("on") or outside or _OUTSIDE.search(value):
                raise PictureError(say("an SVG that runs or refers to something outside"))


def _name(tag: object) -> str:
    return str(tag).rpartition("}")[2]
