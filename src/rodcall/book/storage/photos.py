"""Photos of a job: a copy of each lies beside the job's file, named by its digest, so that it moves with the job.

`pad.json.photo-1a2b3c4d5e6f.jpg`: what lies there is what the book has the SHA-256 of, or it is not shown.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from rodcall.book.storage.atomic_write import beside, new_file
from rodcall.book.storage.pictures import MOST_BYTES, PictureError, look_at
from rodcall.book.storage.safe_read import fetch, reason
from rodcall.i18n import say

_DIGITS = 12
"""Of the digest in a copy's name."""
_LONGEST_NAME = 200


def keep_photo(job: Path, said: str) -> tuple[str, str]:
    """Copy a picture beside a job's file; returns its name and the SHA-256 of its bytes.

    Args:
        job: The job's file.
        said: The picture's file, as it was typed.

    Raises:
        PictureError: when it cannot be read, is no picture, damaged or too large, or the disk is full.
    """
    try:
        path = Path(said).expanduser()
        content = fetch(path, MOST_BYTES)
    except (OSError, ValueError, RuntimeError) as error:
        why = reason(error) if isinstance(error, OSError) else say("no name of a file")
        raise PictureError(say("{file}: cannot be read ({why})", file=_shown(said), why=why)) from None
    if content is None:
        raise PictureError(say("{file}: no such file", file=_shown(said)))
    try:
        kind = look_at(content).kind
    except PictureError as error:
        raise PictureError(f"{_shown(path.name)}: {error}") from None
    digest = hashlib.sha256(content).hexdigest()
    try:
        new_file(_copy(job, digest, kind), content)
    except FileExistsError:
        # The same picture once more; one that was changed meanwhile is told where it is shown.
        pass
    except OSError as error:
        raise PictureError(say("{file}: cannot be copied ({why})", file=_shown(said), why=reason(error))) from None
    return _shown(path.name)[-_LONGEST_NAME:], digest


def photo_of(job: Path, digest: str) -> bytes:
    """The bytes of a photo that the book has the digest of.

    Raises:
        PictureError: when it is not there, or is not the one.
    """
    for kind in ("jpg", "png"):
        try:
            content = fetch(_copy(job, digest, kind), MOST_BYTES)
        except OSError as error:
            raise PictureError(say("cannot be read ({why})", why=reason(error))) from None
        if content is None:
            continue
        if hashlib.sha256(content).hexdigest() != digest:
            raise PictureError(say("not the picture that the book has: it was changed"))
        return content
    raise PictureError(say("not beside the job any more"))


def _copy(job: Path, digest: str, kind: str) -> Path:
    return beside(job, f".photo-{digest[:_DIGITS]}.{kind}")


def _shown(text: str) -> str:
    return "".join(char if char.isprintable() and char not in '/\\:"' else "_" for char in text)
