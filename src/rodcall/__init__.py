"""In-cab grade logging: a reading is written into the book; everything else is computed from the book."""

__version__ = "0.1.0"
