"""`python -m rodcall`, where the command itself is not on the path."""

from rodcall.start import main

main()
