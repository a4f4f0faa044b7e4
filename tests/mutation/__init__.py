"""Mutation: would a test notice if a line of the arithmetic were different? `python -m tests.mutation MODULE ...`."""
