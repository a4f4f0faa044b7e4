"""The shot grid's commands: each may ask in the entry line, and writes one entry."""
