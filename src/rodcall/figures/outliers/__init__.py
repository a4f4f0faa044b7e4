"""Readings that do not fit their neighbours, and the mistake that would explain each."""
