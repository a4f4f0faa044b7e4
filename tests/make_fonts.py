"""Makes the sheets' fonts anew: python tests/make_fonts.py FOLDER, where FOLDER holds DejaVuSans.ttf and -Bold.ttf.

Needs fonttools, which nothing else here does. What is kept: Latin and its extensions, Greek, Cyrillic, and the
signs of the trade (fractions, primes, arrows, boxes). The licence travels beside them, as it asks.
"""

from __future__ import annotations

import sys
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FONTS = Path(__file__).parents[1] / "src" / "rodcall" / "sheets" / "typeset" / "fonts"
KEPT = (
    *(range(0x20, 0x7F), range(0xA0, 0x250), range(0x2B0, 0x370)),
    *(range(0x370, 0x400), range(0x400, 0x530), range(0x1E00, 0x2000)),
    *(range(0x2010, 0x2070), range(0x2070, 0x20D0), range(0x2100, 0x2200)),
    *(range(0x2200, 0x2270), range(0x2500, 0x2600), range(0x2600, 0x2614), (0xFFFD,)),
)


def cut(source: Path, into: Path) -> None:
    """Write the part of a font that the sheets need."""
    options = Options()
    # Plain glyphs are all that a sheet draws; no shaping, no hints for screens. A fixed date keeps the bytes the same.
    options.layout_features = []
    options.hinting = False
    options.glyph_names = False
    options.drop_tables += ["FFTM", "GDEF", "GPOS", "GSUB", "kern"]
    options.recalc_timestamp = False
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
    font = TTFont(source)
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=[code for part in KEPT for code in part])
    subsetter.subset(font)
    font.save(into)


if __name__ == "__main__":
    for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
        cut(Path(sys.argv[1]) / name, FONTS / name)
    licence = str(TTFont(Path(sys.argv[1]) / "DejaVuSans.ttf")["name"].getDebugName(13))
    (FONTS / "LICENSE-DejaVu.txt").write_text(
        "\n".join(line.rstrip() for line in licence.splitlines()) + "\n", encoding="utf-8"
    )
