"""Whether the terminal is still there: a window may go without a word to the program (a connection cut, a container).

Textual reads such a terminal again and again, at the cost of a processor, and the job stays locked.
"""

from __future__ import annotations

import select


def is_gone(descriptor: int) -> bool:
    """Has what a descriptor reads from gone for good? False where the system cannot tell, as on Windows."""
    if not hasattr(select, "poll"):
        return False
    asked = select.poll()
    # The end of a terminal is told unasked; of keys that wait nothing is asked.
    asked.register(descriptor, 0)
    return any(events & (select.POLLHUP | select.POLLERR | select.POLLNVAL) for _, events in asked.poll(0))
