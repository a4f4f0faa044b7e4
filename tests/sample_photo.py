"""Draws the photo that travels with a sample: a pad in an orchard, with the level on its tripod, the rod, and BM1.

A drawing, so that nobody's place or face is shown. Without a picture library, and stored, not packed, so that every
Python writes the same bytes and the digest in the sample's book is that of this picture.
"""

from __future__ import annotations

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

WIDTH, HEIGHT = 400, 260
COLOURS = """
    b8d4ea d6e6f2 8fb08a 6b9468 4f7a4c b59a72 9c8059 c9b48e
    d9c8a6 2b2b2b f2f2f2 c0392b 7a7f86 a9afb6 5b4636 e6b800
"""
SKY, HAZE, HILL, TREE, SHADE, SOIL, RUT, PAD, LIGHT, BLACK, WHITE, RED, STONE, RIM, TRUNK, BRASS = range(16)


def photo() -> bytes:
    """The picture as PNG (ISO/IEC 15948), four bits a dot."""
    dots = _scene()
    packed = (dots[:, ::2] << 4) | dots[:, 1::2]
    rows = b"".join(b"\0" + row.tobytes() for row in packed)
    palette = b"".join(bytes.fromhex(colour) for colour in COLOURS.split())
    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", WIDTH, HEIGHT, 4, 3, 0, 0, 0)),
        (b"PLTE", palette),
        (b"IDAT", zlib.compress(rows, 0)),
        (b"IEND", b""),
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body)) for kind, body in parts
    )


def _scene() -> NDArray[np.uint8]:
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    dots = np.full((HEIGHT, WIDTH), SKY, np.uint8)

    def disk(at: tuple[int, int], radius: int, colour: int, *, flat: float = 1.0) -> None:
        dots[(x - at[0]) ** 2 + ((y - at[1]) / flat) ** 2 <= radius**2] = colour

    def box(left: int, top: int, right: int, bottom: int, colour: int) -> None:
        dots[top:bottom, left:right] = colour

    def beam(top: tuple[int, int], foot: tuple[int, int], half: float, colour: int) -> None:
        share = (y - top[1]) / (foot[1] - top[1])
        middle = top[0] + share * (foot[0] - top[0])
        dots[(share >= 0) & (share <= 1) & (np.abs(x - middle) <= half)] = colour

    dots[y > 60 + 12 * np.cos(x / 70)] = HAZE
    dots[y > 82 + 9 * np.cos(x / 55 + 1)] = HILL
    for at in range(8, WIDTH, 34):
        box(at - 1, 96, at + 2, 112, TRUNK)
        disk((at, 92), 13, TREE)
        disk((at + 3, 95), 8, SHADE)
    dots[y > 110] = SOIL
    dots[(y > 118) & ((x + 3 * y) % 47 < 3)] = RUT
    # The pad in perspective, with the grid that the shots are taken on.
    far, near = 128, 244
    depth = (y - far) / (near - far)
    left, right = 150 - 130 * depth, 270 + 90 * depth
    pad = (depth >= 0) & (depth <= 1) & (x >= left) & (x <= right)
    dots[pad] = PAD
    across = (x - left) / np.maximum(right - left, 1)
    for share in (0, 1 / 3, 2 / 3, 1):
        dots[pad & (np.abs(across - share) < 0.006)] = LIGHT
    for share in (0.02, 0.12, 0.25, 0.42, 0.66, 0.97):
        dots[pad & (np.abs(depth - share) < 0.006)] = LIGHT
    # The level on its tripod.
    for foot in (318, 342, 366):
        beam((342, 128), (foot, 206), 1.6, BRASS)
    box(334, 112, 351, 128, BLACK)
    box(337, 104, 348, 112, RED)
    box(339, 100, 346, 104, WHITE)
    # The rod on the well's collar, marked each tenth of its length.
    disk((64, 214), 34, STONE, flat=0.4)
    disk((64, 208), 34, RIM, flat=0.4)
    disk((64, 208), 22, BLACK, flat=0.4)
    box(86, 84, 94, 210, WHITE)
    for top in range(90, 206, 12):
        box(86, top, 91, top + 6, RED if top % 24 == 18 else BLACK)
    box(82, 106, 98, 118, BRASS)
    return dots
