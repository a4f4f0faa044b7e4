"""In-cab grade logging: a reading is written into the book; everything else is computed from the book."""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - a checkout runs on any Python, and pip is not there to say it
    sys.exit("rodcall needs Python 3.11 or newer; this is Python {}.{}".format(*sys.version_info[:2]))

__version__ = "0.1.0"
