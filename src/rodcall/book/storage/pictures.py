"""Is it a picture, whole, and not too large? PNG and JPEG, looked at without a picture library.

A PNG says of every part how long it is and what its checksum is (ISO/IEC 15948), so that damage shows anywhere. A JPEG
(ITU-T T.81) has no checksum: its parts must follow on each other and its end must be there; damage within the picture
shows where it is typeset.
"""

from __future__ import annotations

import struct
import zlib
from typing import NamedTuple

from rodcall.i18n import say

MOST_BYTES = 25 * 2**20
MOST_PIXELS = 100_000_000
"""More than any tablet's or telephone's camera has; what is decoded takes four bytes a pixel."""

_PNG, _JPEG = b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"
_SIZES = frozenset({0xC0, 0xC1, 0xC2})
"""JPEG: baseline, extended and progressive frames; others no program shows."""
_ALONE = frozenset({0x01, *range(0xD0, 0xD8)})
"""JPEG markers without a length."""


class PictureError(ValueError):
    """No picture, a damaged one, or one that is too large; one line."""


class Size(NamedTuple):
    """What was found."""

    kind: str
    """`png` or `jpg`."""
    width: int
    height: int


def look_at(content: bytes) -> Size:
    """The kind and size of a picture, once it is whole.

    Raises:
        PictureError: when it is none, damaged, or too large.
    """
    if len(content) > MOST_BYTES:
        raise PictureError(say("larger than {most} MB; take a smaller picture", most=MOST_BYTES // 2**20))
    try:
        if content.startswith(_PNG):
            size = _png(content)
        elif content.startswith(_JPEG):
            size = _jpeg(content)
        else:
            raise PictureError(say("no PNG or JPEG picture"))
    except (struct.error, IndexError, zlib.error):
        raise PictureError(say("a damaged picture; take it again")) from None
    if not size.width or not size.height:
        raise PictureError(say("a damaged picture; take it again"))
    if size.width * size.height > MOST_PIXELS:
        raise PictureError(say("more than {most} million dots; take a smaller picture", most=MOST_PIXELS // 10**6))
    return size


def _png(content: bytes) -> Size:
    at, size, seen = len(_PNG), None, False
    while True:
        length, kind = struct.unpack_from(">I4s", content, at)
        (checksum,) = struct.unpack_from(">I", content, at + 8 + length)
        if zlib.crc32(content[at + 4 : at + 8 + length]) != checksum:
            raise struct.error
        if kind == b"IHDR":
            size = Size("png", *struct.unpack_from(">II", content, at + 8))
        seen = seen or kind == b"IDAT"
        at += 12 + length
        if kind == b"IEND":
            break
    if size is None or not seen:
        raise struct.error
    return size


def _jpeg(content: bytes) -> Size:
    at, size = 2, None
    while True:
        if content[at] != 0xFF:
            raise struct.error
        marker = content[at + 1]
        if marker == 0xFF:
            at += 1
            continue
        if marker in _ALONE:
            at += 2
            continue
        (length,) = struct.unpack_from(">H", content, at + 2)
        if marker in _SIZES:
            height, width = struct.unpack_from(">HH", content, at + 5)
            size = Size("jpg", width, height)
        at += 2 + length
        if marker == 0xDA:
            break
    # What follows are the scans; telephones put more behind the end.
    if size is None or content.find(b"\xff\xd9", at) < 0:
        raise struct.error
    return size
