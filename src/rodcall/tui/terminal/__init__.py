"""The terminal itself: its keys, characters, and colours."""
