"""The page and its rounds, computed from the entries one at a time."""
