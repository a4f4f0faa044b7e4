"""The content of each sheet, before it is drawn or written."""
