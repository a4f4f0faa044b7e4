"""Reads entries from damaged bytes line by line, so that only damaged lines are lost.

A line is taken where it follows on the line before it (its seal), or is sound by itself (its own seal). One that is
neither is mended where one wrong bit explains it, is replaced by a copy that lies elsewhere, or is left out and named.
One that is changed and still a whole entry was edited by somebody: it counts, and its seal tells of it for ever.
"""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from rodcall.book.storage.job_format import BEFORE_ENTRIES, FileLine, Make, digest, read_line

MOST_MENDED = 16
"""Lines for which a wrong bit is looked for at one opening: each takes some milliseconds."""
_LONGEST_MENDED = 2000
"""Characters of a line in which it is looked for."""
_SEAL = re.compile(r'"seal": "([0-9a-f]{64})"')
_JOINT = re.compile(r'(?<="\})[^"{}]{1,6}(?=\{")')
"""Between two entries whose line feed was hit."""
_BEGINNING = re.compile(r'(?<=.)(?=\{"number": )')
"""Where an entry begins behind half of another."""
_MOST_CLOSING = 3
"""Characters of a line that closes what a file opened."""
_FIRST_BYTES = 16_384
"""What stands before the entries ends within these."""


@dataclass
class Salvage:
    """What came of the lines of a file or a journal; places count from 1 in the order in which they stand there."""

    lines: list[FileLine] = field(default_factory=list)
    broken: list[int] = field(default_factory=list)
    """Places in `lines` that do not follow on the line before: edited, or what stood before is not here."""
    left_out: list[int] = field(default_factory=list)
    """Places that no entry could be made of."""
    mended: list[int] = field(default_factory=list)
    """Places where one wrong bit was put right."""
    filled: int = 0
    """Lines that came from elsewhere."""
    doubled: list[int] = field(default_factory=list)
    """Places that say once more what stood before."""
    seal: str = ""
    """What the next entry follows on; where the last one is left out, it is not the last line's."""

    gaps: list[int] = field(default_factory=list)
    """Places in `lines` before which one was left out."""
    ends_hurt: bool = False
    """The last one is left out."""

    @property
    def is_whole(self) -> bool:
        """As it was written, but for what somebody edited."""
        return not (self.left_out or self.mended or self.filled or self.doubled)


def assemble(
    first: str,
    texts: Sequence[str],
    make: Make,
    elsewhere: Callable[[], Mapping[str, FileLine]] = dict,
    *,
    edited: bool = True,
) -> Salvage:
    """The entries of lines of any origin.

    Args:
        first: The seal that the first one follows on.
        texts: The lines.
        make: Makes what is kept of an entry of its content: text where it is none.
        elsewhere: Lines that lie elsewhere, by the seal that each follows on; asked for only where one is missing.
        edited: Whether an entry that is whole but not as it was sealed counts.
    """
    found = Salvage(seal=first)
    known: dict[str, str] = {}
    tried = 0
    waiting = deque(texts)
    place = 0
    while waiting:
        text = waiting.popleft()
        line = read(text, make)
        if line is None and _JOINT.search(text):
            waiting.extendleft(reversed(_JOINT.split(text)))
            found.mended.append(place + 1)
            continue
        if line is None and _BEGINNING.search(text):
            waiting.extendleft(reversed(_BEGINNING.split(text)))
            continue
        place += 1
        if line is not None and line.seal and line.fits(found.seal):
            if line.own and not line.is_sound:
                found.mended.append(place)
                line = line.with_own()
            _take(found, known, line)
            continue
        if line is not None and known.get(line.seal) == line.text:
            found.doubled.append(place)
            continue
        copies = list(_copies(found.seal, elsewhere(), line))
        if copies:
            for copy in copies:
                _take(found, known, copy)
            found.filled += len(copies)
            if line is None or not line.fits(found.seal):
                continue
            _take(found, known, line)
            continue
        if (line is None or not line.is_sound) and tried < MOST_MENDED:
            tried += 1
            mended = one_bit(text, found.seal, make)
            if mended is not None:
                found.mended.append(place)
                _take(found, known, mended)
                continue
        if line is None or not (line.is_sound or (edited and not isinstance(line.made, str))):
            found.left_out.append(place)
            found.gaps.append(len(found.lines) + 1)
            stored = _SEAL.search(text)
            found.seal = stored[1] if stored else digest(found.seal, "what is not here")
            continue
        _take(found, known, line)
        found.broken.append(len(found.lines))
    found.ends_hurt = bool(texts) and found.left_out[-1:] == [place]
    # Of what was left out or mended for want of its seal, the chain over what is here tells for ever.
    before = first
    if found.left_out:
        found.broken = []
        for place, line in enumerate(found.lines, 1):
            if not line.fits(before):
                found.broken.append(place)
            before = line.seal
    return found


def read(text: str, make: Make) -> FileLine | None:
    """The entry of a line; None where it is no object."""
    try:
        return read_line(text, make)
    except (ValueError, RecursionError):
        return None


def pieces(raw: bytes) -> tuple[str, list[str]] | None:
    """The text before the entries, and the lines of the entries, of a file in our own lay-out, whole or not."""
    marker = BEFORE_ENTRIES.encode()
    head, found, rest = raw.partition(marker)
    if not found:
        at = _nearly(raw[:_FIRST_BYTES], marker)
        if at is None:
            return None
        head, rest = raw[:at], raw[at + len(marker) :]
    return head.decode("utf-8", "surrogateescape"), list(split_lines(rest))


def split_lines(raw: bytes) -> Iterator[str]:
    """The lines of entries in any bytes, without what stands between them."""
    for piece in raw.decode("utf-8", "surrogateescape").split("\n"):
        begin, end = piece.find("{"), piece.rfind("}")
        whole = piece[begin : end + 1] if 0 <= begin < end else piece.strip(" ,\r")
        # The brackets at the end, hit or not, are no entry.
        if len(whole) > _MOST_CLOSING or "{" in whole:
            yield from _JOINT.split(whole)


def mended_head(head: str, is_right: Callable[[str], bool]) -> str | None:
    """What stands before the entries, with the one bit put right that makes it right; None where none does."""
    return next(filter(is_right, _flipped(head)), None) if len(head) < _FIRST_BYTES else None


def _take(found: Salvage, known: dict[str, str], line: FileLine) -> None:
    found.lines.append(line)
    found.seal = line.seal
    known[line.seal] = line.text


def _copies(seal: str, elsewhere: Mapping[str, FileLine], line: FileLine | None) -> Iterator[FileLine]:
    """Copies that close the gap before a line; where the line itself is not an entry, the one in its place."""
    if not elsewhere or seal not in elsewhere:
        return
    if line is None or not (line.is_sound or not isinstance(line.made, str)):
        yield elsewhere[seal]
        return
    if not line.is_sound:
        return
    path: list[FileLine] = []
    for _ in range(len(elsewhere)):
        if seal not in elsewhere:
            return
        path.append(elsewhere[seal])
        seal = path[-1].seal
        if line.fits(seal):
            yield from path
            return


def one_bit(text: str, before: str, make: Make) -> FileLine | None:
    """The line with one bit put right, where that is what its seals say."""
    if len(text) > _LONGEST_MENDED:
        return None
    for candidate in _flipped(text):
        # Whoever is right ends as a sealed line does; most candidates are told apart without reading them.
        stored = _SEAL.search(candidate, len(candidate) - 80)
        if stored is None:
            continue
        line = read(candidate, make) if _agrees(candidate, stored[1], before) else None
        if line is not None and not isinstance(line.made, str) and (line.fits(before) or line.is_sound):
            return line
    return None


_ENDING = re.compile(r'(?:, "own": "([0-9a-f]{16})")?, "seal": "([0-9a-f]{64})"\}$')


def _agrees(text: str, seal: str, before: str) -> bool:
    ending = _ENDING.search(text, len(text) - 120 if len(text) > 120 else 0)
    if ending is None:
        return False
    content = f"{text[: ending.start()]}}}"
    if digest(before, content) == seal:
        return True
    return ending[1] is not None and digest("", content)[:16] == ending[1]


def _flipped(text: str) -> Iterator[str]:
    try:
        raw = text.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:
        return
    for at in range(len(raw)):
        for bit in range(8):
            changed = raw[:at] + bytes([raw[at] ^ 1 << bit]) + raw[at + 1 :]
            try:
                yield changed.decode("utf-8")
            except UnicodeDecodeError:
                continue


def _nearly(raw: bytes, marker: bytes) -> int | None:
    """Where a marker stands in which one byte was hit."""
    for at in range(len(raw) - len(marker) + 1):
        wrong = 0
        for mine, theirs in zip(raw[at : at + len(marker)], marker, strict=True):
            wrong += mine != theirs
            if wrong > 1:
                break
        else:
            return at
    return None
