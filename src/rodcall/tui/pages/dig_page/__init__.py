"""The dig page: the order of work zone by zone, on a map that one drives by."""
