"""Exit statuses: what a script, a shell or a service manager learns from how the program ended."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """How a run ended; numbers are a promise to scripts."""

    DONE = 0
    """Done, or the verdict is PASS."""
    FAIL = 1
    """The verdict is FAIL, or a digest is not that of this book."""
    UNUSABLE = 2
    """The command line, the file or an entry cannot be used: one line on stderr, nothing changed."""
    NOT_PROVEN = 3
    """The verdict is NOT PROVEN."""
    INTERNAL_ERROR = 70
    """An internal error (`EX_SOFTWARE` of sysexits.h); a report is written and named."""
    INTERRUPTED = 130
    """Ctrl+C: 128 + 2, as shells count signals."""
    OUTPUT_LOST = 141
    """The output could not be written, as through a closed pipe (128 + 13); the book is written all the same."""
