"""Mutation: would a test notice if a line of the arithmetic were different? Run `python -m tests.mutation MODULE ...`."""
