"""Photos: a copy beside the job, its digest in the book; what is no whole picture is refused in one line."""

from __future__ import annotations

import hashlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from rodcall.book.fold.page import PageError
from rodcall.book.model.entries import Photo
from rodcall.book.storage.opening import JobFile, new_job_file, open_job
from rodcall.book.storage.photos import photo_of
from rodcall.book.storage.pictures import MOST_BYTES, PictureError, look_at
from rodcall.tablet.paths import archive
from tests.cli.kit import rodcall
from tests.kit import a_job, say


def picture(kind: str, size: tuple[int, int] = (64, 48), **more) -> bytes:
    """A picture as another library writes it, with something to compress in it."""
    image = Image.linear_gradient("L").resize(size).convert("RGB")
    out = BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


@pytest.fixture
def opened(tmp_path: Path) -> JobFile:
    (tmp_path / "site.jpg").write_bytes(picture("JPEG"))
    (tmp_path / "with blanks B2.png").write_bytes(picture("PNG"))
    return new_job_file(tmp_path / "pad.json", a_job(), "tablet-a")


@pytest.mark.parametrize(
    ("kind", "more"), [("JPEG", {}), ("JPEG", {"progressive": True}), ("PNG", {}), ("PNG", {"optimize": True})]
)
def test_a_whole_picture_is_known_with_its_size(kind, more):
    assert look_at(picture(kind, (640, 480), **more))[1:] == (640, 480)


def test_what_a_camera_writes_behind_the_picture_does_not_matter():
    assert look_at(picture("JPEG") + b"more of the maker's own").width == 64


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_no_cut_of_a_picture_is_taken(kind):
    content = picture(kind)
    for end in range(len(content)):
        with pytest.raises(PictureError):
            look_at(content[:end])


def test_no_changed_byte_of_a_png_is_taken():
    content = picture("PNG")
    for at in range(len(content)):
        with pytest.raises(PictureError):
            look_at(content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :])


@pytest.mark.parametrize(
    "content", [b"", b"no picture", b"GIF89a", b"<svg/>", b"%PDF-1.7", b"\x89PNG", b"\xff\xd8\xff"]
)
def test_what_is_no_picture_is_refused(content):
    with pytest.raises(PictureError) as refused:
        look_at(content)
    assert "\n" not in str(refused.value)


def test_a_huge_one_is_refused_before_it_is_decoded():
    with pytest.raises(PictureError, match="larger than 25 MB"):
        look_at(picture("JPEG") + bytes(MOST_BYTES))
    wide = bytearray(picture("JPEG"))
    at = wide.index(b"\xff\xc0") + 5
    wide[at : at + 4] = b"\xff\xff\xff\xff"
    with pytest.raises(PictureError, match="million dots"):
        look_at(bytes(wide))


def test_a_photo_is_copied_and_its_digest_written(opened, tmp_path):
    opened.book.photo(f"{tmp_path / 'site.jpg'} b2")
    entry = opened.book.entries[-1]
    content = (tmp_path / "site.jpg").read_bytes()
    assert isinstance(entry, Photo)
    assert (entry.file, entry.at, entry.sha256) == ("site.jpg", "B2", hashlib.sha256(content).hexdigest())
    (tmp_path / "site.jpg").unlink()
    assert photo_of(opened.path, entry.sha256) == content


def test_a_name_with_blanks_with_and_without_a_place(opened, tmp_path):
    name = tmp_path / "with blanks B2.png"
    say(opened.book, f'photo "{name}" A1', f'photo "{name}"', "reference BM1 +1", f"photo '{name}' BM1")
    photos = [entry for entry in opened.book.entries if isinstance(entry, Photo)]
    assert [(entry.file, entry.at) for entry in photos] == [(name.name, "A1"), (name.name, ""), (name.name, "BM1")]


@pytest.mark.parametrize("said", ["photo", "photo nothing.jpg", "photo . A1", "photo site.jpg Z9", 'photo ""'])
def test_what_cannot_be_kept_writes_nothing(opened, said, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    with pytest.raises(ValueError, match=r"\w"):
        say(opened.book, said)
    assert opened.book.entries == []
    assert sorted(tmp_path.iterdir()) == before


def test_undo_strikes_it_and_redo_brings_it_back(opened, tmp_path):
    opened.book.photo(str(tmp_path / "site.jpg"))
    opened.book.undo()
    assert opened.book.page.photos == []
    opened.book.redo()
    assert len(opened.book.page.photos) == 1


def test_one_that_was_changed_or_taken_away_is_not_shown(opened, tmp_path):
    opened.book.photo(str(tmp_path / "site.jpg"))
    digest = opened.book.entries[-1].sha256
    (copy,) = tmp_path.glob("pad.json.photo-*.jpg")
    copy.write_bytes(picture("JPEG", (32, 32)))
    with pytest.raises(PictureError, match="it was changed"):
        photo_of(opened.path, digest)
    copy.unlink()
    with pytest.raises(PictureError, match="not beside the job"):
        photo_of(opened.path, digest)


def test_photos_go_with_their_job_into_the_archive(opened, tmp_path):
    opened.book.photo(str(tmp_path / "site.jpg"))
    opened.save()
    opened.close()
    moved = archive(opened.path)
    assert photo_of(moved, open_job(moved, "reader").book.entries[-1].sha256)


def test_the_shell_refuses_a_damaged_one_in_a_line(tmp_path):
    (tmp_path / "cut.jpg").write_bytes(picture("JPEG")[:200])
    path = tmp_path / "pad.json"
    new_job_file(path, a_job(), "tablet-a").close()
    told = rodcall("enter", path, stdin=f"photo {tmp_path / 'cut.jpg'}\n")
    assert "line 1: cut.jpg: a damaged picture" in told.refusal


def test_a_book_without_a_file_keeps_none(opened):
    opened.book.keep_photo = None
    with pytest.raises(PageError, match="needs a job file"):
        opened.book.photo("site.jpg")
