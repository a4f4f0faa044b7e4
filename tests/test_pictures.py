"""The README's pictures are the screens as they are, and each is shown."""

from __future__ import annotations

import re

import pytest

from tests.documents import README, TOP
from tests.make_pictures import NAMES, PICTURES, picture


@pytest.mark.parametrize("name", NAMES)
def test_the_picture_is_the_screen(name, tmp_path):
    kept = (PICTURES / f"{name}.svg").read_text("utf-8")
    assert picture(name, tmp_path) == kept, "draw it anew: python -m tests.make_pictures"
    assert "http" not in kept.replace("http://www.w3.org/2000/svg", "").replace("https://www.textualize.io", "")


def test_each_picture_is_shown_and_each_shown_is_there():
    shown = re.findall(r"\]\((\.github/pictures/[a-z-]+\.svg)\)", README.read_text("utf-8"))
    assert sorted(shown) == sorted(f".github/pictures/{name}.svg" for name in NAMES)
    assert all((TOP / path).exists() for path in shown)
    assert {path.stem for path in PICTURES.glob("*.svg")} == set(NAMES)
