"""The README's pictures are the screens as they are, and each is shown."""

from __future__ import annotations

import re

import pytest

from tests.documents import README, TOP
from tests.make_pictures import NAMES, PICTURES, picture


@pytest.mark.parametrize("name", NAMES)
def test_the_picture_is_the_screen(name, tmp_path):
    kept = (PICTURES / f"{name}.svg").read_text("utf-8")
    # A difference of such long lines takes pytest minutes to show.
    same = picture(name, tmp_path) == kept
    assert same, "draw it anew: python -m tests.make_pictures"
    # Names of the formats are no addresses to fetch from.
    fetched = set(re.findall(r"https?://[^\s\"')<]+", kept)) - {"https://www.textualize.io"}
    assert all(address.startswith("http://www.w3.org/") for address in fetched), fetched


def test_each_picture_is_shown_and_each_shown_is_there():
    shown = re.findall(r"\]\((\.github/pictures/[a-z-]+\.svg)\)", README.read_text("utf-8"))
    assert sorted(shown) == sorted(f".github/pictures/{name}.svg" for name in NAMES)
    assert all((TOP / path).exists() for path in shown)
    assert {path.stem for path in PICTURES.glob("*.svg")} == set(NAMES)
