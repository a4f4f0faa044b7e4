"""In-cab grade logging: a reading is written into the book; everything else is computed from the book."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rodcall.api import Job, JobError, OpenItem, Writer, open

__version__ = "0.1.0"

__all__ = ["Job", "JobError", "OpenItem", "Writer", "__version__", "open"]


def __getattr__(name: str) -> Any:
    """Load the public names when one is used first: the screen starts without them."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from rodcall import api

    return getattr(api, name)
