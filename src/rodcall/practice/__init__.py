"""A pad that is not there and a helper who calls it out, with mistakes, to learn on; and how well it went."""
