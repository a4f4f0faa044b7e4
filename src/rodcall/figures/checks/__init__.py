"""Whether the heights can be trusted: check shots, drift, closures, and rounds against each other."""
