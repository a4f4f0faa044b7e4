"""What an opening found after an end that was none, in one line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rodcall.book.model.entries import Damage
from rodcall.book.storage.job_file import JobFile
from rodcall.book.storage.rescue.recovery import OnDisk
from rodcall.i18n import counted, say

_MOST_TOLD = 5
"""Lines left out that are told of one by one."""


def told_of(here: OnDisk, opened: JobFile, trouble: str = "") -> str:
    """What an opening found, in one line."""
    entries, parts = sum(not isinstance(each, Damage) for each in opened.book.entries), []
    left_by = opened.lock.left_by if opened.lock is not None else ""
    if here.damaged:
        parts.append(
            counted(
                entries,
                "the file was damaged; {number} entry is whole and is here",
                "the file was damaged; {number} entries are whole and are here",
            )
        )
        parts += _damage_told(here, opened.left_out)
    elif here.in_journal or (left_by and here.journals and not here.added):
        since = counted(here.in_journal, "{number} entry since", "{number} entries since")
        parts.append(say("the program was cut off; everything saved is here, {since}", since=since))
    if here.added:
        parts.append(
            counted(
                here.added,
                "{number} entry that the file lacked is put in",
                "{number} entries that the file lacked are put in",
            )
        )
    first, last = here.lost
    if first == last:
        parts.append(say("entry {number} is in no file", number=first))
    elif first < last:
        parts.append(say("entries {first} to {last} are in no file", first=first, last=last))
    if here.lost_lines:
        parts.append(
            counted(
                here.lost_lines,
                "{number} line of the journal is damaged and left out",
                "{number} lines of the journal are damaged and left out",
            )
        )
    if opened.put_by:
        files = say(" and ").join(opened.put_by)
        parts.append(say("what could not be read is kept in {files}", files=files))
    if trouble:
        parts.append(say("could not be repaired ({why})", why=trouble))
    return "; ".join(parts)


def _damage_told(here: OnDisk, left_out: Sequence[str]) -> Iterator[str]:
    mended = len(here.entries.mended)
    if mended:
        yield counted(
            mended,
            "one wrong bit in {number} entry is put right by its seal",
            "one wrong bit in each of {number} entries is put right by their seals",
        )
    if left_out:
        told = left_out[:_MOST_TOLD]
        more = len(left_out) - len(told)
        rest = [say("and {number} more", number=more)] if more else []
        yield say("left out: {lines}", lines=", ".join([*told, *rest]))
