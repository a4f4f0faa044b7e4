"""What a sheet says, before it is drawn or written."""
