"""`python -m tests.checks` writes our figures of the published checks into the package, for `rodcall manual checks`."""

from tests.checks.write import FILE, told

FILE.write_text(told(), "utf-8")
