"""The contractor's logo: a small PNG or an SVG that only draws."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from rodcall.book.storage.pictures import PictureError
from rodcall.tablet.logo import MOST_BYTES, read_logo

GOOD = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9v9z" fill="url(#a)"/></svg>'


def test_a_png_and_an_svg_are_taken(tmp_path):
    out = BytesIO()
    Image.new("RGBA", (40, 20)).save(out, "PNG")
    (tmp_path / "logo.png").write_bytes(out.getvalue())
    (tmp_path / "logo.svg").write_text(GOOD, "utf-8")
    assert read_logo(str(tmp_path / "logo.png")).startswith("data:image/png;base64,")
    assert read_logo(str(tmp_path / "logo.svg")).startswith("data:image/svg+xml;base64,")


HOSTILE = {
    "a script": GOOD.replace("<path", "<script>1</script><path"),
    "an event": GOOD.replace("<path", '<path onload="1"'),
    "a picture from elsewhere": GOOD.replace("<path", '<image href="https://elsewhere.example/a.png"/><path'),
    "a reference": GOOD.replace("<path", '<use href="other.svg#a"/><path'),
    "an old reference": GOOD.replace("<path", '<use xmlns:x="http://www.w3.org/1999/xlink" x:href="o.svg"/><path'),
    "a fill from elsewhere": GOOD.replace("url(#a)", "url(https://elsewhere.example/a)"),
    "a style that fetches": GOOD.replace("<path", "<style>@import 'a.css'</style><path"),
    "a page in it": GOOD.replace("<path", "<foreignObject/><path"),
    "an entity": '<!DOCTYPE svg [<!ENTITY a "aaaa">]>' + GOOD,
    "no svg": "<html/>",
    "no xml": "<svg",
    "no picture": "GIF89a",
    "nothing": "",
}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=HOSTILE)
def test_what_does_more_than_draw_is_refused_in_a_line(content, tmp_path):
    (tmp_path / "logo.svg").write_text(content, "utf-8")
    with pytest.raises(PictureError) as refused:
        read_logo(str(tmp_path / "logo.svg"))
    assert str(refused.value).startswith("logo.svg: ")
    assert "\n" not in str(refused.value)


def test_a_large_one_and_none_are_refused(tmp_path):
    (tmp_path / "logo.svg").write_text(GOOD + " " * MOST_BYTES, "utf-8")
    with pytest.raises(PictureError, match="larger than 500 kB"):
        read_logo(str(tmp_path / "logo.svg"))
    with pytest.raises(PictureError, match="no such file"):
        read_logo(str(tmp_path / "none.png"))
