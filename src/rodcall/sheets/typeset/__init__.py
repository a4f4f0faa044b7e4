"""How a sheet looks: as PDF and as plain text."""
