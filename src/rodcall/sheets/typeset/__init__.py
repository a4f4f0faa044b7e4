"""How a sheet looks: as PDF, as a web page, and as plain text."""
