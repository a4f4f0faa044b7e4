"""In-cab grade logging: a reading is written into the book; everything else is computed from the book."""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - a checkout runs on any Python, and pip is not there to say it
    sys.exit("rodcall needs Python 3.11 or newer; this is Python {}.{}".format(*sys.version_info[:2]))

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rodcall.api import Job, JobError, OpenItem, Writer, open

__version__ = "0.1.0"

__all__ = ["Job", "JobError", "OpenItem", "Writer", "__version__", "open"]


# Without annotations, so that any Python can read the line above that refuses it.
def __getattr__(name):  # type: ignore[no-untyped-def]
    """Load the public names when one is used first: the screen starts without them."""
    if name not in __all__:
        raise AttributeError("module 'rodcall' has no attribute " + repr(name))
    from rodcall import api

    return getattr(api, name)
