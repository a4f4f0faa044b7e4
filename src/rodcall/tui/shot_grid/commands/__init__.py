"""What the shot grid's letters do: each asks, if it must, in the entry line, and writes one entry."""
