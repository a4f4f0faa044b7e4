"""Files for other programs, read back by other libraries and held against their standards."""
